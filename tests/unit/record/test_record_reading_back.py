"""What the entries say: things and marks, bores and passes, readings, loads."""

from __future__ import annotations

import pytest

from book_builder import YARD, Row, build_book, entries_of, log_rows
from rodhand.record.book import Book
from rodhand.record.reading_back import read_book
from rodhand.record.validate import read_payload

BORE: Row = ("bore", {"bore": "B-1", "rig": "rig-40", "ground": "sand"}, "2025-06-01")


def codes(book: Book) -> set[str]:
    return {problem.code for problem in book.problems}


def test_a_set_makes_its_rods_with_marks_counted_up() -> None:
    book = build_book([])
    names = [book.things[key].name for key in book.sets["SET-M1"].things]
    assert (names[0], names[-1], len(names)) == ("M1-01", "M1-40", 40)
    assert book.things[book.sets["SET-M1"].things[6]].number == 7


def test_unmarked_rods_have_set_and_number_until_they_are_marked() -> None:
    rows = [
        ("set", {"set": "SET-X", "rod_type": "r-m", "count": "3"}, "2025-01-01"),
        ("mark", {"thing": "set-x NO. 2", "mark": "X-77"}, "2025-02-01"),
        ("check", {"things": "SET-X no. 2, X-77", "item": "box", "found": "ok"}, "2025-03-01"),
    ]
    book = build_book(rows, allow_problems=True)
    assert codes(book) == {"mark_twice"}  # both names are one rod
    assert [book.things[key].name for key in book.sets["SET-X"].things] == [
        "SET-X no. 1", "X-77", "SET-X no. 3",
    ]  # fmt: skip
    assert book.checks[0].things == (book.sets["SET-X"].things[1],)
    assert book.thing_named("x-77") is book.things[book.sets["SET-X"].things[1]]


def test_a_mark_is_the_thing_that_carried_it_then() -> None:
    rows = [
        ("mark", {"thing": "M1-05", "mark": "OLD-5"}, "2025-03-01"),
        ("thing", {"thing": "M1-05", "what": "rod", "set": "SET-M1"}, "2025-04-01"),
        ("check", {"things": "M1-05", "item": "box", "found": "before"}, "2025-02-01"),
        ("check", {"things": "M1-05", "item": "box", "found": "after"}, "2025-05-01"),
    ]
    book = build_book(rows)
    before, after = (book.things[check.things[0]] for check in book.checks)
    assert (before.name, before.number) == ("OLD-5", 5)
    assert before.marks[0].until == "2025-03-01T00:00"
    assert (after.name, after.number) == ("M1-05", 0)
    assert book.sets["SET-M1"].things[-1] == after.key


def test_a_mark_two_things_would_carry_is_told() -> None:
    book = build_book([("thing", {"thing": "m1-05", "what": "sub"})], allow_problems=True)
    assert codes(book) == {"mark_taken"}
    assert len(book.things) == 40


def test_a_re_cut_starts_a_generation_and_dates_the_length() -> None:
    rows = [
        ("dressing", {"things": "M1-01", "what": "re-cut", "end": "pin", "new_length_ft": "9.5"}),
        ("dressing", {"things": "M1-01..M1-02", "what": "refaced", "end": "box"}),
    ]
    book = build_book(rows)
    first, second = (book.thing_named(mark) for mark in ("M1-01", "M1-02"))
    assert first is not None
    assert second is not None
    assert (first.generation, second.generation, second.length) == (2, 1, None)
    assert first.length == pytest.approx(2.8956)  # 9.5 ft


def test_passes_come_in_the_order_of_the_work() -> None:
    rows = [
        BORE,
        ("pass", {"bore": "b-1", "pass": "pull", "what": "pullback"}, "2025-06-01"),
        *log_rows("B-1", [{"station": "1"}], "ream 2", "2025-06-03"),
        *log_rows("B-1", [{"station": "1"}], "ream 1", "2025-06-02"),
        *log_rows(
            "B-1", [{"station": "2"}, {"station": "1.5"}, {"station": "1"}], "", "2025-06-04"
        ),
    ]
    bore = build_book(rows).bores["B-1"]
    assert [(each.name, each.what) for each in bore.passes] == [
        ("pilot", "pilot"), ("ream 1", "ream"), ("ream 2", "ream"), ("pull", "pullback"),
    ]  # fmt: skip
    assert [row.station for row in bore.passes[0].readings] == [1.0, 1.5, 2.0]


def test_readings_without_a_pass_belong_to_the_pilot_whatever_it_is_called() -> None:
    rows = [
        BORE,
        ("pass", {"bore": "B-1", "pass": "pilot hole", "what": "pilot"}),
        *log_rows("B-1", [{"station": "1"}], ""),
    ]
    (only,) = build_book(rows).bores["B-1"].passes
    assert (only.name, len(only.readings)) == ("pilot hole", 1)


def test_two_readings_that_differ_are_both_kept_the_devices_later_first() -> None:
    readings = [{"station": "4", "pitch_pct": pitch} for pitch in ("-4.0", "-5", "-4")]
    (reading,) = build_book([BORE, *log_rows("B-1", readings)]).bores["B-1"].passes[0].readings
    assert reading.typed["pitch_pct"] == "-4"
    # the first says the same number as the last, so only one contradicts
    assert [other.typed["pitch_pct"] for other in reading.alternatives] == ["-5"]


def test_readings_that_do_not_contradict_are_one() -> None:
    readings = [{"station": "4", "pitch_pct": "-4"}, {"station": "4.0", "rpm": "90"}]
    (reading,) = build_book([BORE, *log_rows("B-1", readings)]).bores["B-1"].passes[0].readings
    assert reading.alternatives == ()
    assert reading.rpm == 90.0
    assert reading.typed["pitch_pct"] == "-4"
    assert "bore" not in reading.typed


def test_a_load_serves_the_rigs_bores_until_the_next() -> None:
    rows: list[Row] = [
        ("load", {"rig": "Rig-40", "things": "SET-M1", "how": "by row"}, "2025-05-01")
    ]
    rows += [("bore", {"bore": f"B-{n}", "rig": "Rig-40"}, f"2025-06-0{n}") for n in (3, 1, 2, 4)]
    own = {"rig": "Rig-40", "bore": "B-3", "things": "M1-10..M1-01", "how": "marked"}
    rows.append(("load", own, "2025-07-01"))
    book = build_book(rows)
    assert list(book.bores) == ["B-1", "B-2", "B-3", "B-4"]
    seen = {name: bore.load for name, bore in book.bores.items()}
    assert {name: load and (load.how, load.loads_ago) for name, load in seen.items()} == {
        "B-1": ("by row", 0), "B-2": ("by row", 1), "B-3": ("marked", 0), "B-4": ("marked", 1),
    }  # fmt: skip
    assert seen["B-3"] is not None
    assert book.things[seen["B-3"].things[0]].name == "M1-10"


def test_a_load_with_an_unknown_rod_is_told_and_not_used() -> None:
    rows = [
        BORE,
        ("load", {"rig": "Rig-40", "things": "M1-01, M9-99", "how": "by row"}, "2025-05-01"),
    ]
    book = build_book(rows, allow_problems=True)
    assert codes(book) == {"thing_unknown"}
    assert (book.loads, book.bores["B-1"].load) == ((), None)


def test_later_facts_of_a_bore_are_put_over_the_earlier() -> None:
    rows = [BORE, ("bore", {"bore": "b-1", "rig": "Rig-40", "hole_diameter_in": "4"}, "2025-06-02")]
    bore = build_book(rows).bores["B-1"]
    assert (bore.name, bore.ground, bore.rig) == ("B-1", "sand", "Rig-40")
    assert bore.hole_diameter == pytest.approx(0.1016)  # 4 in
    assert bore.origin.happened.start == "2025-06-01T00:00"


def test_whatever_cannot_be_used_is_told() -> None:
    rows: list[Row] = [
        BORE,
        ("bore", {"bore": "B-1", "rig": "Rig-12"}),
        ("reading", {"bore": "B-9", "station": "1"}),
        ("reading", {"bore": "B-1", "station": "1", "rod": "M9-01"}),
        ("reading", {"bore": "B-1", "station": "x"}),
        ("break", {"thing": "M9-01"}),
        ("past", {"set": "SET-9", "rotating_h": "900", "order": "same"}),
        ("set", {"set": "SET-M1", "rod_type": "R-M", "count": "1"}),
        ("strike", {"entry": "nothing", "why": "x"}),
        ("clock", {"device": "nobody", "fast_by_h": "1"}),
        ("hole", {"a": "1"}),
        ("remark", {"text": "x"}, "yesterday"),
    ]
    book = build_book(rows, allow_problems=True)
    assert codes(book) == {
        "rig_unknown", "bore_twice", "bore_unknown", "rod_unknown", "entry_not_a_number",
        "thing_unknown", "set_unknown", "set_twice", "strike_unknown", "device_unknown",
        "entry_kind", "entry_happened",
    }  # fmt: skip
    assert len(book.remarks) == 1
    assert len(book.bores["B-1"].passes[0].readings) == 1


def test_declared_past_and_dated_facts_stand_where_they_belong() -> None:
    rows: list[Row] = [
        ("past", {"set": "set-m1", "rotating_h": "900", "order": "same", "ground": "sand"}),
        ("setting", {"setting": "fit.known_share", "value": "0.8"}, "2025-06-02"),
        ("setting", {"setting": "fit.known_share", "value": "0.9"}, "2025-06-01"),
        ("standing", {"things": "M1-01", "standing": "set aside", "why": "bent"}),
        BORE,
        ("event", {"bore": "B-1", "what": "jerk"}),
        ("makeup", {"bore": "B-1", "from_station": "1", "to_station": "14", "share_pct": "30"}),
        ("slip", {"bore": "B-1", "rig": "Rig-40", "things": "M1-01, M1-02"}),
        ("remark", {"bore": "b-1", "text": "pipe wrench"}),
    ]
    book = build_book(rows)
    past = book.sets["SET-M1"].past
    assert past is not None
    assert past.rotating_time == 900 * 3600.0
    assert [setting.value for setting in book.settings] == ["0.9", "0.8"]
    bore = book.bores["B-1"]
    assert bore.makeups[0].share == pytest.approx(0.3)
    assert (len(bore.events), len(bore.slips), len(bore.remarks)) == (1, 1, 1)
    assert book.standings[0].things == (book.thing_named("M1-01").key,)  # type: ignore[union-attr]


def test_an_empty_journal_is_an_empty_book() -> None:
    assert read_book([]).entry_count == 0
    assert read_book(entries_of(YARD)).entry_count == 3


@pytest.mark.parametrize("typed", [{"hours": "unknown"}, {"hours": "unknown", "ground": "sand"}])
def test_hours_nobody_knows_are_unknown_and_not_nought(typed: dict[str, str]) -> None:
    past = build_book([("past", {"set": "SET-M1", **typed})]).sets["SET-M1"].past
    assert past is not None
    assert past.rotating_time is None
    assert past.order == "unknown"
    new = build_book([("past", {"set": "SET-M1", "rotating_h": "0"})]).sets["SET-M1"].past
    assert new is not None
    assert new.rotating_time == 0.0


@pytest.mark.parametrize("typed", [{}, {"rotating_h": "700", "hours": "unknown"}])
def test_a_past_says_its_hours_or_that_nobody_knows_them(typed: dict[str, str]) -> None:
    read = read_payload("past", {"set": "SET-M1", **typed})
    assert [fault.code for fault in read.faults] == ["past_hours"]
