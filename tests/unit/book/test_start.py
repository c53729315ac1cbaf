"""One form makes a book: what is entered, what is not known, and that nothing is kept by halves."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodhand.book.entry.start import START, entries_of, examples, needs_start, start
from rodhand.book.entry.started import started
from rodhand.faults import BadInputError
from rodhand.record.book import Book
from rodhand.record.journal import Journal
from rodhand.units import FOOT, INCH

OWN = {
    "rod_type": "thirty", "tube_od_in": "2.375", "wall_in": "0.28", "length_ft": "10",
    "joint_od_in": "2.75", "joint_bore_in": "1.0", "joint_length_mm": "180",
    "limit_radius_ft": "145", "set": "S1", "count": "36", "box_rows": "3", "rig": "Rig-1",
}  # fmt: skip


def book_of(folder: Path) -> Book:
    with Journal.open(folder, write=False) as journal:
        return journal.book()


def test_one_form_makes_rod_type_rig_set_past_and_box(tmp_path: Path) -> None:
    assert needs_start(tmp_path / "book")
    entered = start(tmp_path / "book", {**OWN, "rotating_h": "700", "order": "same"})
    assert [e.kind for e in entered.entries] == ["rod-type", "rig", "set", "past", "load"]
    assert not needs_start(tmp_path / "book")
    book = book_of(tmp_path / "book")
    assert book.problems == ()
    rod_type = book.rod_types["thirty"]
    assert rod_type.tube_od == pytest.approx(2.375 * INCH)
    assert rod_type.limit_radius == pytest.approx(145 * FOOT)
    assert rod_type.makeup_torque is None
    assert (book.rigs["Rig-1"].box_rows, book.rigs["Rig-1"].rods_per_row) == (3, 12)
    rods = [book.things[key] for key in book.sets["S1"].things]
    assert [rod.name for rod in rods][::35] == ["S1 no. 1", "S1 no. 36"]
    assert not any(rod.marks for rod in rods)
    past = book.sets["S1"].past
    assert past is not None
    assert (past.rotating_time, past.order) == (700 * 3600.0, "same")
    assert (book.loads[0].how, len(book.loads[0].things)) == ("by row", 36)


def test_what_nobody_knows_is_entered_as_not_known(tmp_path: Path) -> None:
    kinds = dict(entries_of(OWN, ""))
    assert kinds["past"] == {"set": "S1", "hours": "unknown"}
    assert kinds["rod-type"]["build"] == "unknown"
    assert "yield assumed" in kinds["rod-type"]["note"]
    assert "bought" not in kinds["set"]
    start(tmp_path, OWN)
    view = started(tmp_path)
    assert view is not None
    assert [each.key for each in view.known][-1] == "start_next.hours_unknown"


def test_nought_hours_are_nought_and_not_unknown() -> None:
    assert dict(entries_of({**OWN, "rotating_h": "0"}, ""))["past"] == {
        "set": "S1", "rotating_h": "0",
    }  # fmt: skip


@pytest.mark.parametrize(("count", "rows", "in_row"), [("36", "3", "12"), ("37", "3", "13")])
def test_rods_are_shared_evenly_over_the_rows(count: str, rows: str, in_row: str) -> None:
    rig = dict(entries_of({**OWN, "count": count, "box_rows": rows}, ""))["rig"]
    assert rig["rods_per_row"] == in_row


def test_a_percent_without_a_length_is_over_one_rod(tmp_path: Path) -> None:
    """6.9 % over 10 ft is a radius of 100 x 10 / 6.9 = 144.9 ft."""
    typed = {name: text for name, text in OWN.items() if name != "limit_radius_ft"}
    start(tmp_path, {**typed, "limit_pct": "6.9"})
    assert book_of(tmp_path).rod_types["thirty"].limit_radius == pytest.approx(144.93 * FOOT, 1e-4)


def test_an_invented_rod_type_is_marked_so_and_told(tmp_path: Path) -> None:
    names = {name: OWN[name] for name in ("set", "count", "rig")}
    all_of_it = dict(entries_of({**names, "rod_type": "demo-mid"}, ""))["rod-type"]
    assert all_of_it["note"].startswith("invented: all figures")
    assert all_of_it["tube_od_in"] == "2.375"
    begun = {**names, **examples()["demo-large"], "rod_type": "ours", "tube_od_in": "3.0"}
    start(tmp_path, begun, like="demo-large")
    view = started(tmp_path)
    assert view is not None
    told = str(view.warnings[0].values["note"])
    assert "wall_in" in told
    assert "tube_od_in" not in told


def test_figures_of_ones_own_are_not_called_invented() -> None:
    note = dict(entries_of(OWN, ""))["rod-type"]["note"]
    assert "invented" not in note
    assert dict(entries_of({**OWN, "yield_ksi": "120"}, ""))["rod-type"].get("note") is None


def test_every_fault_is_told_once_under_its_column_and_nothing_is_kept(tmp_path: Path) -> None:
    bad = {**OWN, "wall_in": "0,28", "count": "many", "rotating_h": "-5", "rod_type": ""}
    with pytest.raises(BadInputError) as told:
        start(tmp_path / "book", bad)
    columns = [fault.column for fault in told.value.faults]
    assert sorted(filter(None, columns)) == ["count", "rod_type", "rotating_h", "wall_in"]
    assert not (tmp_path / "book").exists()


def test_an_empty_form_names_every_needed_field_once(tmp_path: Path) -> None:
    with pytest.raises(BadInputError) as told:
        start(tmp_path / "book", {})
    columns = [fault.column or "" for fault in told.value.faults]
    assert len(columns) == len(set(columns))
    needed = {field.name for field in START.fields if field.required} | {"limit_radius"}
    assert len(columns) == len(needed)


def test_a_set_of_no_rods_and_a_set_twice_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInputError) as none:
        start(tmp_path, {**OWN, "count": "0"})
    assert [fault.code for fault in none.value.faults] == ["start_no_rods"]
    start(tmp_path, OWN)
    with pytest.raises(BadInputError) as twice:
        start(tmp_path, OWN)
    assert [(f.code, f.column) for f in twice.value.faults] == [("set_twice", "set")]


def test_a_second_set_may_use_the_rod_type_the_book_has(tmp_path: Path) -> None:
    start(tmp_path, OWN)
    more = {"rod_type": "thirty", "set": "S2", "count": "4", "rig": "Rig-2"}
    entered = start(tmp_path, more)
    assert [e.kind for e in entered.entries] == ["rig", "set", "past", "load"]
    assert book_of(tmp_path).problems == ()
