"""The same entries give the same book in whatever order they arrive; strikes; clocks; as-of."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from book_builder import YARD, Row, build_book, entries_of, log_rows
from rodhand.record.compare import book_as_facts
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.reading_back import read_book

DAYS = st.sampled_from(["2025-06-01", "2025-06-02", "2025-06-02T10:00", "2025-W23", "unknown"])
NAMES = st.sampled_from(["B-1", "b-1", "B-2", "B-9"])
STATIONS = st.sampled_from(["1", "2", "2.0", "2.5"])
MARKS = st.sampled_from(["M1-01", "M1-02..M1-04", "SET-M1", "M9-01", "NEW-1"])


def rows() -> st.SearchStrategy[Row]:
    """Rows of many kinds that often collide: same bore, station, mark; some refer to nothing."""
    payloads = st.one_of(
        st.builds(lambda b: ("bore", {"bore": b, "rig": "Rig-40"}), NAMES),
        st.builds(
            lambda b, s, p, v: ("reading", {"bore": b, "station": s, "pass": p, **v}),
            NAMES,
            STATIONS,
            st.sampled_from(["", "pilot", "pull 1"]),
            st.sampled_from([{"pitch_pct": "4"}, {"pitch_pct": "5"}, {"rpm": "90"}, {}]),
        ),
        st.builds(
            lambda b, w: ("pass", {"bore": b, "pass": "pull 1", "what": w, "rpm": "80"}),
            NAMES,
            st.sampled_from(["pullback", "ream"]),
        ),
        st.builds(
            lambda m, b: ("load", {"rig": "Rig-40", "things": m, "how": "by row", "bore": b}),
            MARKS,
            st.sampled_from(["", "B-1"]),
        ),
        st.builds(lambda m: ("check", {"things": m, "item": "box", "found": "ok"}), MARKS),
        st.builds(lambda m: ("dressing", {"things": m, "what": "re-cut", "end": "pin"}), MARKS),
        st.builds(lambda m: ("mark", {"thing": m, "mark": "NEW-1"}), MARKS),
        st.builds(lambda n: ("thing", {"thing": n, "what": "sub", "set": "SET-M1"}), MARKS),
        st.builds(
            lambda f: ("clock", {"device": "tablet-1", "fast_by_h": f}), st.sampled_from("19")
        ),
        st.just(("nonsense", {"a": "b"})),
    )
    return st.builds(lambda row, day: (*row, day), payloads, DAYS)


@st.composite
def journals(draw: st.DrawFn) -> list[Entry]:
    """Entries of two devices, some struck, some strikes struck."""
    entries = []
    for device in ("tablet-1", "tablet-2"):
        made = entries_of([*YARD[:3], *draw(st.lists(rows(), max_size=8))], device)
        chain = Chain(device, len(made), made[-1].hash)
        for number in range(draw(st.integers(0, 3))):
            target = draw(st.sampled_from([entry.id for entry in made]))
            strike = Draft("strike", {"entry": target, "why": "wrong"}, "2025-06-03")
            made.append(chain.add(strike, "2025-06-03T12:00:00+00:00", f"{device}-s{number}"))
        entries += made
    return entries


@settings(max_examples=150)
@given(journals(), st.randoms(use_true_random=False))
def test_any_order_of_arrival_gives_the_same_book(
    entries: list[Entry], dice: random.Random
) -> None:
    book = read_book(entries)
    shuffled = [*entries, *entries[:3]]  # some arrive twice
    dice.shuffle(shuffled)
    other = read_book(shuffled)
    assert other == book
    for name in ("bores", "things", "sets", "rigs", "rod_types", "recipes"):
        assert list(getattr(other, name)) == list(getattr(book, name))


@given(journals())
def test_nothing_is_dropped_silently(entries: list[Entry]) -> None:
    book = read_book(entries)
    told = {problem.entry for problem in book.problems}
    checks = {check.origin.entry for check in book.checks}
    struck = {e.payload["entry"] for e in entries if e.kind == "strike"}
    for entry in entries:
        if entry.kind == "check" and entry.id not in struck:
            assert entry.id in told | checks


def struck_book(strikes: list[tuple[str, str]]) -> set[str]:
    """Texts of the remarks left after strikes given as (id, target)."""
    entries = entries_of([("remark", {"text": text}, "2025-06-01") for text in "abc"], "d")
    chain = Chain("d", 3, entries[-1].hash)
    for id, target in strikes:
        draft = Draft("strike", {"entry": target, "why": "x"}, "2025-06-02")
        entries.append(chain.add(draft, "2025-06-02T12:00:00+00:00", id))
    return {remark.text for remark in read_book(entries).remarks}


def test_a_struck_entry_does_not_count() -> None:
    assert struck_book([("s1", "d-1")]) == {"b", "c"}


def test_a_struck_strike_restores() -> None:
    assert struck_book([("s1", "d-1"), ("s2", "s1")]) == {"a", "b", "c"}
    assert struck_book([("s1", "d-1"), ("s2", "s1"), ("s3", "s2")]) == {"b", "c"}


def test_one_of_two_strikes_struck_leaves_it_struck() -> None:
    assert struck_book([("s1", "d-1"), ("s2", "d-1"), ("s3", "s1")]) == {"b", "c"}


def test_strikes_in_a_circle_strike_nothing() -> None:
    assert struck_book([("s1", "s2"), ("s2", "s1"), ("s3", "s3")]) == {"a", "b", "c"}


def test_a_wrong_clock_is_put_right_in_order_and_day_and_not_in_the_entry() -> None:
    looks = [
        ("check", {"things": "M1-01", "item": "box", "found": "first"}, "2025-06-01T19:00"),
        ("check", {"things": "M1-01", "item": "box", "found": "second"}, "2025-06-01T12:00"),
    ]
    fast = entries_of([*YARD, looks[0]], "fast")
    fast[-1] = replace(fast[-1], entered="2025-06-01T19:00:20+00:00")
    true = entries_of(
        [looks[1], ("clock", {"device": "fast", "fast_by_h": "9"}, "2025-06-05")], "ok"
    )
    assert [check.found for check in read_book([*fast, true[0]]).checks] == ["second", "first"]
    checks = read_book([*fast, *true]).checks
    assert [check.found for check in checks] == ["first", "second"]
    assert fast[-1].happened == "2025-06-01T19:00"
    assert checks[0].origin.happened.start == "2025-06-01T10:00"
    assert checks[0].origin.at == "2025-06-01T10:00:00"


def test_as_of_knows_what_was_entered_not_what_happened() -> None:
    early, late = entries_of(
        [("remark", {"text": "a"}, "2025-06-01"), ("remark", {"text": "b"}, "2025-05-01")], "d"
    )
    late = replace(late, entered="2025-07-01T00:10:00+02:00")
    assert [remark.text for remark in read_book([early, late]).remarks] == ["b", "a"]
    assert [remark.text for remark in read_book([early, late], "2025-06-30").remarks] == ["a"]
    assert len(read_book([early, late], "2025-07-01").remarks) == 2
    assert read_book([early, late], "2025-06-30").head == read_book([early]).head


def test_typing_order_and_device_do_not_show_in_the_facts() -> None:
    day = [*log_rows("B-1", [{"station": "2", "pitch_pct": "4"}, {"station": "1", "rpm": "9"}])]
    bore: list[Row] = [("bore", {"bore": "B-1", "rig": "Rig-40"}, "2025-06-01")]
    one = read_book(entries_of([*YARD, *bore, *day], "x"))
    two = read_book(entries_of([*reversed(day), *bore, *reversed(YARD)], "y"))
    assert one.head != two.head
    assert book_as_facts(one) == book_as_facts(two)
    other = build_book([*bore, *log_rows("B-1", [{"station": "2", "pitch_pct": "4.0"}])])
    assert book_as_facts(other) != book_as_facts(one)  # 4.0 was typed, not 4
