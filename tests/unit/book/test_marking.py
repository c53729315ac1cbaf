"""Marks given later: a row at once, from a day on, and older bores as they were known."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodhand.book.entry.keeping import enter
from rodhand.book.entry.marking import give_marks, marks_view
from rodhand.book.entry.start import start
from rodhand.faults import BadInputError
from rodhand.record.book import Book
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal

OWN = {
    "rod_type": "thirty", "tube_od_in": "2.375", "wall_in": "0.28", "length_ft": "10",
    "joint_od_in": "2.75", "joint_bore_in": "1.0", "joint_length_mm": "180",
    "limit_radius_ft": "145", "set": "S1", "count": "36", "box_rows": "3", "rig": "Rig-1",
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    start(tmp_path, OWN, happened="2026-03-02")
    return tmp_path


def book_of(folder: Path) -> Book:
    with Journal.open(folder, write=False) as journal:
        return journal.book()


def test_rods_lie_in_their_rows_without_marks(folder: Path) -> None:
    view = marks_view(folder)
    ((rig, rows),) = view.boxes
    assert (rig, len(rows)) == ("Rig-1", 3)
    assert rows[1].unmarked == "S1 no. 13..S1 no. 24"
    assert rows[1].first == "S1-13"
    assert view.figures["unmarked"].value == 36


def test_a_row_is_marked_at_once_and_the_rest_stays_bare(folder: Path) -> None:
    row = marks_view(folder).boxes[0][1][1]
    assert len(give_marks(folder, row.unmarked, "M1-01", "2026-05-01").entries) == 12
    book = book_of(folder)
    assert book.problems == ()
    rods = [book.things[key] for key in book.sets["S1"].things]
    assert [rod.name for rod in rods[11:14]] == ["S1 no. 12", "M1-01", "M1-02"]
    assert (rods[12].name_on("2026-04-30"), rods[12].name_on("2026-05-01")) == (
        "S1 no. 13", "M1-01",
    )  # fmt: skip
    assert book.thing_named("s1 no. 13") == rods[12]
    after = marks_view(folder)
    assert after.boxes[0][1][1].unmarked == ""
    assert after.boxes[0][1][1].rods[0].mark == "M1-01"
    assert after.figures["unmarked"].value == 24


def test_rows_follow_a_new_load(folder: Path) -> None:
    turned = {
        "rig": "Rig-1",
        "things": "S1 no. 13..S1 no. 36, S1 no. 1..S1 no. 12",
        "how": "by row",
    }
    enter(folder, [Draft("load", turned, "2026-04-01", "", "")], "load")
    rows = marks_view(folder).boxes[0][1]
    assert rows[2].unmarked == "S1 no. 1..S1 no. 12"
    give_marks(folder, "S1 no. 2, S1 no. 5", "A-7", "2026-05-01")
    assert marks_view(folder).boxes[0][1][2].unmarked == (
        "S1 no. 1, S1 no. 3..S1 no. 4, S1 no. 6..S1 no. 12"
    )


def test_one_rod_may_have_a_mark_without_a_number(folder: Path) -> None:
    give_marks(folder, "S1 no. 3", "bent one", "2026-05-01")
    assert book_of(folder).thing_named("bent one") is not None


@pytest.mark.parametrize(
    ("rods", "first", "code", "column"),
    [
        ("", "M-1", "marks_empty", "rods"),
        ("S1 no. 1..S2 no. 3", "M-1", "marks_range", "rods"),
        ("S1 no. 1, S1 no. 1", "M-1", "mark_twice", "rods"),
        ("S1 no. 99", "M-1", "thing_unknown", "rods"),
        ("S1 no. 1..S1 no. 3", "", "entry_missing", "first"),
        ("S1 no. 1..S1 no. 3", "red", "mark_without_number", "first"),
        ("S1 no. 4", "TAKEN", "mark_taken", "first"),
    ],
)
def test_faults_stand_in_the_fields_of_the_page(
    folder: Path, rods: str, first: str, code: str, column: str
) -> None:
    give_marks(folder, "S1 no. 9", "TAKEN", "2026-04-01")
    count = len(book_of(folder).things)
    with pytest.raises(BadInputError) as told:
        give_marks(folder, rods, first, "2026-05-01")
    assert [(f.code, f.column) for f in told.value.faults] == [(code, column)]
    book = book_of(folder)
    assert len(book.things) == count
    assert sum(bool(thing.marks) for thing in book.things.values()) == 1


def test_a_bad_day_is_told_once(folder: Path) -> None:
    with pytest.raises(BadInputError) as told:
        give_marks(folder, "S1 no. 1..S1 no. 12", "M-1", "spring")
    assert [(f.code, f.column) for f in told.value.faults] == [("entry_happened", "happened")]
