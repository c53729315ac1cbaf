"""Pages of a whole season and of a tiny book: figures by hand, one key one figure, strikes."""

from __future__ import annotations

from pathlib import Path

import pytest
from found_truths import worked

from book_builder import Row, build_book, entries_of, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.bore.office import office_view
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.typed_rows import drafts_of_values
from rodhand.book.opening import entries_in, open_assessment
from rodhand.book.tasks.week import this_week
from rodhand.book.twin import figures_of, twin
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.thing_page import thing_view
from rodhand.book.yard.yard import yard_view
from rodhand.demo.season import DEFAULT_SEED
from rodhand.record.reading_back import read_book
from rodhand.units import Figure, Standing

DAY, TODAY = "2025-06-01", "2025-06-06"
FOOT = 0.3048
ROWS: tuple[Row, ...] = (
    ("rig", {"rig": "Rig-7", "rod_type": "R-M", "pin_toward": "rig", "box_rows": "2",
             "rods_per_row": "3"}, "2025-01-01"),
    ("set", {"set": "S7", "rod_type": "R-M", "count": "7", "marks_start": "S7-1", "rig": "Rig-7"},
     "2025-01-01"),
    ("load", {"rig": "Rig-7", "things": "S7-1..S7-6", "how": "by row"}, "2025-05-01"),
    ("bore", {"bore": "A", "rig": "Rig-7", "ground": "sand"}, DAY),
    *log_rows("A", [
        {"station": str(n), "length_ft": "10", "pitch_pct": p, "turns": "400"}
        for n, p in enumerate(("-20", "-20", "-14", "-4.5"), 1)
    ]),
    ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "800", "rpm": "80"},
     DAY),
)  # fmt: skip


def tiny(*rows: Row) -> Assessment:
    return assess(build_book([*ROWS, *rows]), TODAY)


def value(figure: object) -> float | None:
    assert isinstance(figure, Figure)
    return figure.value


def test_the_yard_lies_as_the_box_is_loaded() -> None:
    yard = yard_view(tiny(("check", {"things": "S7-2", "item": "crack-hunt", "found": "crack"},
                           "2025-06-02")))  # fmt: skip
    boxes = [(name, [[rod.name for rod in row.rods] for row in rows]) for name, rows in yard.boxes]
    assert ("Rig-7", [["S7-1", "S7-2", "S7-3"], ["S7-4", "S7-5", "S7-6"]]) in boxes
    assert ("S7", [["S7-7"]]) in boxes  # in no box
    rods = {rod.name: rod for _, rows in yard.boxes for row in rows for rod in row.rods}
    assert rods["S7-2"].standing == "set aside"
    assert value(yard.counts["set aside"]) == 1.0
    # rod 1 went in over 4 rods and came back over 4; rod 7 stayed in the box
    assert value(rods["S7-1"].figures["metres"]) == pytest.approx(80 * FOOT)
    assert value(rods["S7-7"].figures["metres"]) == 0.0


def test_the_office_counts_the_bore() -> None:
    """Four rods of 10 ft; the pullback's 800 turns at 80 rpm are ten minutes."""
    office = office_view(tiny(("break", {"thing": "S7-1", "bore": "A"}, DAY)))
    (bore,) = office.bores
    assert (bore.name, bore.rig, bore.ground, bore.over) == ("A", "Rig-7", "sand", "over")
    assert value(bore.figures["length"]) == pytest.approx(40 * FOOT)
    assert value(bore.figures["rods"]) == 4.0
    row = next(each for each in office.sets if each.name == "S7")
    assert value(row.figures["count"]) == 7.0
    assert value(row.figures["bores"]) == 1.0
    assert value(row.figures["breaks"]) == 1.0


def test_the_bore_page_by_hand() -> None:
    """400 turns a row: rod 1 takes 4 rows, rod 4 one; 200 turns a row come back."""
    view = bore_view(tiny(), "A", "pullback")
    assert [row.name for row in view.rods] == ["S7-1", "S7-2", "S7-3", "S7-4"]
    turns = [value(row.figures["turns"]) for row in view.rods]
    # place k leaves the hole after 5 - k rows of the pullback
    assert turns == pytest.approx([1600 + 800, 1200 + 600, 800 + 400, 400 + 200])
    pilot, back = view.passes
    assert (value(pilot.figures["turns"]), value(back.figures["turns"])) == (1600.0, 800.0)
    assert value(view.figures["turns_total"]) == pytest.approx(2400.0)
    # 6 % in a rod is 0.87 of the limit of 145 ft, 9.5 % is 1.37 of it
    assert [row.over for row in view.stations] == ["no", "no", "no", "over"]


def test_a_pullback_nobody_recorded_follows_the_habit_of_the_rig() -> None:
    """800 turns in a pullback over 40 ft, by row or as a whole, are 800 in the next like it."""
    rows = [{"station": str(n), "turns": "200"} for n in (4, 3, 2, 1)]
    by_row = [*ROWS[:-1], *log_rows("A", rows, pass_name="pullback")]
    second: list[Row] = [
        ("bore", {"bore": "B", "rig": "Rig-7"}, "2025-06-03"),
        *log_rows("B", [
            {"station": str(n), "length_ft": "10", "pitch_pct": "-20", "turns": "400"}
            for n in (1, 2, 3, 4)
        ], day="2025-06-03"),
    ]  # fmt: skip
    for known in (by_row, ROWS):
        missing = assess(build_book([*known, *second]), TODAY).works["B"].passes[-1]
        assert (missing.what, missing.recorded) == ("pullback", False)
        assert missing.turns.best == pytest.approx(800.0)
    # a rig without any past: the middle of the published range, 60 to 400 turns a metre
    alone = assess(build_book(ROWS[:-1]), TODAY).works["A"].passes[-1]
    assert alone.turns.best == pytest.approx((60 * 400) ** 0.5 * 40 * FOOT)
    assert alone.turns.sigma == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("column", "rung", "sigma"),
    [
        ({"turns": "400"}, "counter", 0.02),
        ({"rotating_min": "4", "rpm": "100"}, "rpm and minutes", 0.10),
        ({"rotating_min": "4"}, "habit and time", 0.35),
        ({}, "published range", 0.9),
    ],
)
def test_rungs_of_turns(column: dict[str, str], rung: str, sigma: float) -> None:
    """DEFINITIONS: sigma of ln turns by rung. The rig's habit is 90 rpm."""
    rows: list[Row] = [
        ("rig", {**ROWS[0][1], "pilot_rpm": "90"}, "2025-01-01"), *ROWS[1:4],
        *log_rows("A", [{"station": str(n), "length_ft": "10", "pitch_pct": "-20", **column}
                        for n in (1, 2, 3, 4)]),
    ]  # fmt: skip
    turns = assess(build_book(rows), TODAY).works["A"].pilot.turns
    assert turns.sigma == pytest.approx(sigma), rung
    expected = {"counter": 1600.0, "rpm and minutes": 1600.0, "habit and time": 1440.0,
                "published range": (40 * 270) ** 0.5 * 40 * FOOT}  # fmt: skip
    assert turns.best == pytest.approx(expected[rung])


def test_rods_of_a_tail_string_take_part() -> None:
    """Rods added at the exit follow the reamer; after it the hole holds them."""
    ream: Row = ("pass", {"bore": "A", "pass": "pre-ream", "what": "pre-ream", "turns": "800",
                          "tail_rods": "S7-5, S7-6, S7-7", "tail_turns": "yes"}, DAY)  # fmt: skip
    assessment = tiny(ream)
    key = next(t.key for t in assessment.book.things.values() if t.name == "S7-5")
    (did,) = assessment.histories[key].bores
    assert did.turns > 0.0
    view = bore_view(assessment, "A", "pre-ream")
    assert twin(view)["figures"]
    still: Row = (ream[0], {**ream[1], "tail_turns": "no"}, DAY)
    other = tiny(still)
    passes = {c.design.any() for c in other.histories[key].bores[0].contributions[:1]}
    assert passes == {False}


def test_what_is_struck_leaves_the_week_and_stays_in_the_history() -> None:
    crack: Row = ("check", {"things": "S7-2", "item": "crack-hunt", "found": "crack"}, "2025-06-02")
    name = entries_of([*ROWS, crack])[-1].id

    def told(rows: list[Row]) -> tuple[bool, list[bool]]:
        from book_builder import YARD

        entries = entries_of([*YARD, *rows])
        assessment = assess(read_book(entries), TODAY, entries)
        lines = [*this_week(assessment).lines, *this_week(assessment).rest]
        named = any(line.verdict.what.key == "verdict.finding.what" for line in lines)
        history = thing_view(assessment, "S7-2").history
        return named, [line.struck for line in history if line.kind == "check"]

    from book_builder import YARD

    name = entries_of([*YARD, *ROWS, crack])[-1].id
    strike: Row = ("strike", {"entry": name, "why": "another rod"}, "2025-06-03")
    assert told([*ROWS, crack]) == (True, [False])
    assert told([*ROWS, crack, strike]) == (False, [True])


def test_as_of_a_day_the_book_knows_what_was_typed_by_then(tmp_path: Path) -> None:
    from book_builder import YARD

    folder = tmp_path / "book"
    for kind, payload, *day in [*YARD, *ROWS]:
        enter(folder, drafts_of_values(kind, payload, day[0] if day else DAY, "p1"), kind)
    entered = entries_in(folder)[-1].entered[:10]
    assert "A" in open_assessment(folder, entered).works
    before = open_assessment(folder, "2025-06-06")
    assert before.works == {}
    assert before.today == "2025-06-06"
    assert this_week(before).lines == ()


def test_every_page_of_the_season_has_one_figure_per_key() -> None:
    """`twin` refuses two different figures under one key."""
    season = worked(DEFAULT_SEED, True)
    for thing in list(season.book.things.values())[::3]:
        assert "view" in twin(thing_view(season, thing.name))
    for name in [*list(season.works)[::10], "B-1", "B-2", "B-3"]:
        for each in season.works[name].passes:
            assert twin(bore_view(season, name, each.name))["figures"]


def test_nothing_unknown_is_shown_as_nought() -> None:
    """A figure without a value is not called measured or computed as 0."""
    season = worked(DEFAULT_SEED, True)
    for view in (bore_view(season, "B-3"), thing_view(season, "M1-22"), office_view(season)):
        for figure in figures_of(view):
            if figure.value is None:
                assert figure.shown("metric").strip("\u00a0 ") in ("–", "unknown"), figure.key
            assert figure.standing in Standing
