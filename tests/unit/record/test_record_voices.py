"""Several entries about one rod: told twice, contradicted, picked, put right."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book_builder import YARD, Row, entries_of
from rodhand.record.book_bores import Reading
from rodhand.record.entry import Entry
from rodhand.record.folding import with_more
from rodhand.record.reading_back import read_back, read_book

BORE: Row = ("bore", {"bore": "B-1", "rig": "Rig-40"})
BEGUN = entries_of([*YARD, BORE], "office")


def row(station: str, **typed: str) -> Row:
    return ("reading", {"bore": "B-1", "station": station, **typed})


def said(first: Iterable[Row], second: Iterable[Row] = (), *more: Row) -> list[Entry]:
    """Entries of two tablets, and of the office after them."""
    return [
        *BEGUN, *entries_of(first, "tablet", "Ann"), *entries_of(second, "phone", "Ben"),
        *entries_of(more, "desk", "Cy"),
    ]  # fmt: skip


def readings(entries: Iterable[Entry]) -> dict[float, Reading]:
    (pilot,) = read_book(entries).bores["B-1"].passes
    return {each.station: each for each in pilot.readings}


def pick(entry: str, against: str, **more: str) -> Row:
    return ("pick", {"bore": "B-1", "station": "4", "entry": entry, "against": against, **more})


def shift(device: str, first: int, last: int, stations: str) -> Row:
    run = {"device": device, "from_count": str(first), "to_count": str(last)}
    return ("station-shift", {"bore": "B-1", **run, "stations": stations})


def test_the_same_from_two_devices_is_one_reading_told_twice() -> None:
    read = readings(said([row("4", pitch_pct="-4.0")], [row("4", pitch_pct="-4", depth_m="2")]))[4]
    assert (read.open, read.alternatives) == ((), ())
    assert {voice.origin.device for voice in read.voices} == {"tablet", "phone"}
    assert read.depth == 2.0


@pytest.mark.parametrize(("degrees", "alike"), [("-2.3", True), ("-2.29", True), ("-2.4", False)])
def test_two_units_are_compared_as_far_as_each_was_read(degrees: str, alike: bool) -> None:
    """4 % is 2.2906 degrees: 2.3 and 2.29 round to it, 2.4 does not."""
    read = readings(said([row("4", pitch_pct="-4.0")], [row("4", pitch_deg=degrees)]))[4]
    assert (read.open == ()) is alike


def test_what_only_one_says_adds_where_another_value_differs() -> None:
    one = row("4", pitch_pct="-4", rotating_min="3", remark="hard")
    other = row("4", pitch_pct="-6", depth_m="2", remark="wet")
    read = readings(said([one], [other]))[4]
    assert read.open == ("pitch",)
    both = (read, *read.alternatives)
    assert {each.typed["pitch_pct"] for each in both} == {"-4", "-6"}
    assert {(each.depth, each.rotating_time) for each in both} == {(2.0, 180.0)}
    assert {*read.remark.split("; ")} == {"hard", "wet"}


def test_until_a_pick_the_stricter_counts_or_none() -> None:
    one = row("4", length_m="3.0", thrust_kN="5", depth_m="2.0", rod="M1-01")
    other = row("4", length_m="3.1", thrust_kN="7", depth_m="2.4", rod="M1-02")
    read = readings(said([one], [other]))[4]
    assert read.open == ("depth", "length", "rod", "thing", "thrust")
    for each in (read, *read.alternatives):
        assert (each.length, each.thrust, each.depth, each.rod, each.thing) == (
            3.0, 7000.0, None, "", "",
        )  # fmt: skip


def test_one_mark_in_other_capitals_is_one_rod() -> None:
    read = readings(said([row("4", rod="M1-01")], [row("4", rod="m1-01")]))[4]
    assert read.open == ()


def test_a_pick_sets_only_what_differs_aside_and_keeps_all() -> None:
    one, other = row("4", pitch_pct="-4"), row("4", pitch_pct="-6", depth_m="2")
    read = readings(said([one], [other], pick("tablet-1", "phone-1")))[4]
    assert (read.open, read.alternatives, read.typed["pitch_pct"], read.depth) == ((), (), "-4", 2)
    aside = {voice.origin.device: voice.aside for voice in read.voices}
    assert aside == {"tablet": (), "phone": ("pitch",)}


def test_a_value_that_came_after_the_pick_asks_again() -> None:
    late = row("4", pitch_pct="-5")
    entries = said([row("4", pitch_pct="-4")], [row("4", pitch_pct="-6"), late],
                   pick("tablet-1", "phone-1"))  # fmt: skip
    read = readings(entries)[4]
    assert read.open == ("pitch",)
    assert {each.typed["pitch_pct"] for each in (read, *read.alternatives)} == {"-4", "-5"}


def test_two_picks_that_differ_pick_nothing_until_a_third_replaces_them() -> None:
    rows = [row("4", pitch_pct="-4")], [row("4", pitch_pct="-6")]
    first, second = pick("tablet-1", "phone-1"), pick("phone-1", "tablet-1")
    assert readings(said(*rows, first, second))[4].open == ("pitch",)
    third = pick("phone-1", "tablet-1", instead_of="desk-1 desk-2")
    assert readings(said(*rows, first, second, third))[4].typed["pitch_pct"] == "-6"


def test_a_struck_pick_or_value_leaves_what_is_said() -> None:
    rows = [row("4", pitch_pct="-4")], [row("4", pitch_pct="-6")]
    again = ("strike", {"entry": "desk-1", "why": "by mistake"})
    assert readings(said(*rows, pick("tablet-1", "phone-1"), again))[4].open == ("pitch",)
    gone = ("strike", {"entry": "tablet-1", "why": "misread"})
    read = readings(said(*rows, pick("tablet-1", "phone-1"), gone))[4]
    assert (read.typed["pitch_pct"], read.open) == ("-6", ())


def test_one_correction_moves_a_run_of_one_device_and_is_taken_back_at_once() -> None:
    pitches = ["-1", "-2", "-3", "-4", "-5", "-6"]
    right = [row(str(n), pitch_pct=p) for n, p in enumerate(pitches, 1)]
    behind = [row(str(n - 1 if n > 3 else n), pitch_pct=p) for n, p in enumerate(pitches, 1)]
    wrong = readings(said(right, behind))
    assert [s for s, each in wrong.items() if each.open] == [3, 4, 5]
    put_right = shift("phone", 4, 6, "1")
    read = readings(said(right, behind, put_right))
    assert not any(each.open for each in read.values())
    assert {s: len(each.voices) for s, each in read.items()} == dict.fromkeys(
        map(float, range(1, 7)), 2
    )
    assert {v.stations for v in read[5].voices} == {0.0, 1.0}
    back = ("strike", {"entry": "desk-1", "why": "by mistake"})
    assert readings(said(right, behind, put_right, back)) == wrong


def test_a_row_typed_after_the_correction_stays_where_it_was_typed() -> None:
    later = row("2", pitch_pct="-9")
    read = readings(said([], [row("2", pitch_pct="-3"), later], shift("phone", 1, 1, "1")))
    assert {s: each.typed["pitch_pct"] for s, each in read.items()} == {2.0: "-9", 3.0: "-3"}
    assert read[3.0].typed["station"] == "2"


def test_no_correction_moves_a_row_before_the_first_rod() -> None:
    assert [*readings(said([], [row("1", pitch_pct="-3")], shift("phone", 1, 1, "-2")))] == [1.0]


def test_the_same_correction_twice_moves_once() -> None:
    twice = shift("phone", 1, 1, "1"), shift("phone", 1, 1, "1")
    assert [*readings(said([], [row("2", pitch_pct="-3")], *twice))] == [3.0]


STATIONS = st.sampled_from(["1", "2", "2.5", "3"])
VALUES: Mapping[str, st.SearchStrategy[str]] = {
    "pitch_pct": st.sampled_from(["-4", "-4.0", "-6"]), "depth_m": st.sampled_from(["1", "2"]),
    "turns": st.sampled_from(["200", "300"]), "remark": st.sampled_from(["hard", "wet"]),
}  # fmt: skip
READINGS = st.fixed_dictionaries({"station": STATIONS}, optional=VALUES).map(
    lambda typed: ("reading", {"bore": "B-1", **typed})
)
IDS = st.sampled_from([f"{device}-{n}" for device in ("tablet", "phone") for n in (1, 2, 3)])
PICKS = st.builds(
    lambda one, other, old: pick(one, other, **({"instead_of": old} if old else {})),
    IDS, IDS, st.sampled_from(["", "desk-1", "desk-2", "desk-1 desk-2"]),
)  # fmt: skip
SHIFTS = st.builds(
    shift, st.sampled_from(["tablet", "phone"]), st.integers(1, 3), st.integers(1, 4),
    st.sampled_from(["-1", "1", "2"]),
)  # fmt: skip
STRIKES = st.sampled_from(["tablet-1", "phone-2", "desk-1", "desk-2"]).map(
    lambda entry: ("strike", {"entry": entry, "why": "wrong"})
)
LOGS = st.lists(READINGS, min_size=1, max_size=6)


@given(LOGS, LOGS, st.lists(st.one_of(PICKS, SHIFTS, STRIKES), max_size=5), st.randoms())
def test_any_order_of_arrival_with_entries_sent_again_gives_the_same(
    first: list[Row], second: list[Row], more: list[Row], dice: random.Random
) -> None:
    entries = said(first, second, *more)
    book = read_book(entries)
    shuffled = [*entries, *dice.choices(entries, k=5)]
    dice.shuffle(shuffled)
    assert read_book(shuffled) == book
    once = [*{entry.id: entry for entry in shuffled}.values()]
    place = dice.randrange(len(once))
    folded = with_more(read_back(once[:place]), once[place:])
    assert folded.book == book
    by_one = read_back(once[:place])
    for entry in once[place:]:
        by_one = with_more(by_one, [entry])
    assert by_one.book == book


@given(LOGS, LOGS)
def test_nothing_said_is_dropped(first: list[Row], second: list[Row]) -> None:
    entries = said(first, second)
    read = readings(entries)
    told = [each for one in read.values() for each in (one.voices or (one,))]
    assert sorted(each.origin.entry for each in told) == sorted(
        entry.id for entry in entries if entry.kind == "reading"
    )
    for each in read.values():
        pitches = {v.values["pitch"] for v in each.voices if "pitch" in v.values}
        assert ("pitch" in each.open) is (len(pitches) > 1)
        counted = {one.pitch for one in (each, *each.alternatives) if one.pitch is not None}
        assert not pitches or counted == pitches
        assert all(math.isfinite(pitch) for pitch in counted)
