"""Foreign tables: looked at, kept whole or not at all, taken back, taken in again."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from book_builder import ROD_TYPE
from rodhand.book.entry.imports import imports_of, undo_import
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.sheets.grids import grid_from_bytes
from rodhand.sheets.importing import book_in, import_log
from rodhand.sheets.recipes import Recipe, find_recipe, recipe_from_text
from rodhand.sheets.table_guess import propose
from rodhand.sheets.table_in import Purpose, look, take

LOG = "Stange Nr;Neigung [%];Tiefe (cm)\n1;20,5;61\n2;15;110\n"
LOADING = "Place,Rod mark\n1,M-03\n2,M-01\n3,M-02\n"
CHECKS = """Date,Rod,Item,Result,Joint OD (in),Bemerkung
2025-05-02,M-01,joint-od,ok,2.71,clean
2025-05-02,M-02,joint-od,worn,2.6,
"""
RODS = "Mark,Set,Serial no,Length (cm)\nX-1,M,7788,299\nX-2,M,7789,\n"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M"}),
        ("set", {"set": "M", "rod_type": "R-M", "count": "3", "marks_start": "M-01",
                 "rig": "Rig-40"}),
        ("bore", {"bore": "T-9", "rig": "Rig-40"}),
    )  # fmt: skip
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-01-02")
    return folder


def proposed(text: str, kind: str) -> Recipe:
    return propose(grid_from_bytes(text.encode(), "x.csv"), kind, "ours").recipe


def count(book: Path) -> int:
    with Journal.open(book, write=False) as journal:
        return len(journal.entries())


def taken(book: Path, text: str, kind: str, purpose: Purpose, keep: bool = False) -> None:
    take(book, text.encode(), f"{kind}.csv", proposed(text, kind), purpose, keep)


def test_first_rows_stand_as_found_and_as_understood(book: Path) -> None:
    looked = look(book, LOG.encode(), "a.csv", proposed(LOG, "reading"), Purpose("T-9"))
    assert looked.found.headings == ("Stange Nr", "Neigung [%]", "Tiefe (cm)")
    assert looked.found.rows[0] == ("1", "20,5", "61")
    assert looked.understood is not None
    first = dict(zip(looked.understood.headings, looked.understood.rows[0], strict=True))
    # Plus downward in the file, because a bore starts downward; 61 cm are 0.61 m.
    assert first == {"station": "1", "pitch_pct": "-20.5", "depth_m": "0.61"}
    assert looked.faults == ()
    assert count(book) == 4


def test_a_loading_list_is_one_load_in_its_order(book: Path) -> None:
    taken(book, LOADING, "load", Purpose("T-9", rig="Rig-40", happened="2025-05-01"))
    with Journal.open(book, write=False) as journal:
        (load,) = [entry for entry in journal.entries() if entry.kind == "load"]
    assert dict(load.payload) == {"rig": "Rig-40", "bore": "T-9", "things": "M-03, M-01, M-02",
                                  "how": "marked"}  # fmt: skip
    assert load.happened == "2025-05-01"


def test_checks_keep_their_day_their_unit_and_their_digits(book: Path) -> None:
    taken(book, CHECKS, "check", Purpose(by="k"))
    with Journal.open(book, write=False) as journal:
        checks = [entry for entry in journal.entries() if entry.kind == "check"]
    assert [(c.happened, c.by, dict(c.payload)) for c in checks] == [
        ("2025-05-02", "k", {"things": "M-01", "item": "joint-od", "found": "ok",
                             "reading_in": "2.71", "note": "clean"}),
        ("2025-05-02", "k", {"things": "M-02", "item": "joint-od", "found": "worn",
                             "reading_in": "2.6"}),
    ]  # fmt: skip


def test_a_list_of_rods_needs_what_they_are_and_takes_it_for_every_row(book: Path) -> None:
    recipe = proposed(RODS, "thing")
    looked = look(book, RODS.encode(), "rods.csv", recipe, Purpose())
    assert [(fault.code, fault.column) for fault in looked.faults] == [
        ("table_field_missing", "what")
    ]
    whole = recipe_from_text(
        '{"name": "r", "kind": "thing", "same": {"what": "rod"}, "columns":'
        ' {"Mark": "thing", "Set": "set", "Serial no": "serial", "Length (cm)": "length cm"}}',
        "r",
    )
    assert recipe.columns == whole.columns
    assert recipe_from_text(whole.to_text(), "r") == whole
    take(book, RODS.encode(), "rods.csv", whole, Purpose(happened="2025-04-01"), True)
    read = book_in(book)
    rod = next(thing for thing in read.things.values() if thing.serial == "7788")
    assert rod.length == pytest.approx(2.99)
    assert find_recipe("r", read.recipes) == whole


def test_every_fault_is_told_at_once_with_line_and_column_and_nothing_is_kept(book: Path) -> None:
    bad = "Rod,Item,Found,Joint OD (mm)\nM-01,joint-od,ok,6x9\nM-77,joint-od,ok,68\n,joint-od,ok,\n"
    recipe = proposed(bad, "check")
    looked = look(book, bad.encode(), "bad.csv", recipe, Purpose())
    told = {(fault.line, fault.column) for fault in looked.faults}
    assert {(2, "Joint OD (mm)"), (3, "Rod"), (4, "Rod")} <= told
    with pytest.raises(BadInputError) as error:
        take(book, bad.encode(), "bad.csv", recipe, Purpose(), True)
    assert {(f.line, f.column) for f in error.value.faults} == told
    assert count(book) == 4


def test_marks_of_a_load_that_are_not_known_stand_at_their_line(book: Path) -> None:
    bad = LOADING.replace("M-01", "M-99")
    looked = look(book, bad.encode(), "l.csv", proposed(bad, "load"), Purpose(rig="Rig-40"))
    assert [(fault.found, fault.line) for fault in looked.faults] == [("M-99", 3)]
    blank = LOADING.replace("M-01", "?")
    looked = look(book, blank.encode(), "l.csv", proposed(blank, "load"), Purpose(rig="Rig-40"))
    assert [(fault.code, fault.line) for fault in looked.faults] == [("table_mark_missing", 3)]


def test_a_table_is_taken_back_whole_and_may_be_taken_in_again(book: Path) -> None:
    before = book_in(book).bores
    taken(book, LOG, "reading", Purpose("T-9", happened="2025-05-01"))
    with Journal.open(book) as journal:  # a later entry of somebody's own stays
        journal.write("remark", {"bore": "T-9", "text": "rain"}, "2025-05-01")
    (table,) = imports_of(book)
    assert (table.file, table.what, table.count, table.standing, table.bore, table.struck) == (
        "reading.csv", "reading", 2, 2, "T-9", False,
    )  # fmt: skip
    with pytest.raises(BadInputError, match="1 fault") as told:
        taken(book, LOG.replace(";110", ";111"), "reading", Purpose("T-9"))
    assert [fault.code for fault in told.value.faults] == ["reading_already_there"]
    looked = look(book, CHECKS.encode(), "c.csv", proposed(CHECKS, "check"), Purpose())
    assert looked.faults == ()
    with pytest.raises(BadInputError):
        taken(book, LOG, "reading", Purpose("T-9"))
    done = undo_import(book, table.entry, "wrong bore", "k")
    assert {entry.kind for entry in done.entries} == {"strike"}
    assert len(done.entries) == 3  # two rows and the table itself
    assert book_in(book).bores["T-9"].passes == before["T-9"].passes == ()
    with Journal.open(book, write=False) as journal:
        assert [e.kind for e in journal.entries()].count("reading") == 2  # kept, struck
        assert any(e.kind == "remark" for e in journal.entries())
    (table,) = imports_of(book)
    assert (table.standing, table.struck) == (0, True)
    with pytest.raises(BadInputError):
        undo_import(book, table.entry, "again")
    taken(book, LOG, "reading", Purpose("T-9", happened="2025-05-01"))
    assert [r.station for r in book_in(book).bores["T-9"].passes[0].readings] == [1.0, 2.0]
    assert [each.struck for each in imports_of(book)] == [False, True]


def test_taking_back_leaves_alone_what_was_struck_before_and_what_others_typed(book: Path) -> None:
    taken(book, CHECKS, "check", Purpose())
    taken(book, LOADING, "load", Purpose(rig="Rig-40", happened="2025-05-03"))
    _, table = imports_of(book)
    with Journal.open(book) as journal:
        first = next(e for e in journal.entries() if e.kind == "check")
        journal.strike(first.id, "not that rod")
    (load, table) = imports_of(book)
    assert (table.count, table.standing) == (2, 1)
    assert len(undo_import(book, table.entry, "wrong").entries) == 2
    assert imports_of(book)[0] == load


def test_a_log_taken_in_by_command_is_in_the_list_too(book: Path, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("station,pitch_pct,length_ft\n1,-20,10\n2,-15,10\n", encoding="utf-8")
    import_log(book, path, "T-9", happened="2025-05-01")
    (table,) = imports_of(book)
    assert (table.file, table.count, table.bore, table.recipe) == ("log.csv", 2, "T-9", "")


def test_a_workbook_of_anybody_is_read_like_a_csv(book: Path, tmp_path: Path) -> None:
    path = tmp_path / "checks.xlsx"
    made = openpyxl.Workbook()
    for row in ("Stange", "Prüfung", "Befund"), ("M-01", "full-look", "ok"):
        made.active.append(row)
    made.save(path)
    data = path.read_bytes()
    recipe = propose(grid_from_bytes(data, "checks.xlsx"), "check", "ours").recipe
    assert {h: spec.as_text() for h, spec in recipe.columns.items()} == {
        "stange": "things", "prüfung": "item", "befund": "found",
    }  # fmt: skip
    looked = look(book, data, "checks.xlsx", recipe, Purpose())
    assert (looked.faults, len(looked.drafts)) == ((), 1)


def test_the_same_checks_again_would_count_twice(book: Path) -> None:
    taken(book, CHECKS, "check", Purpose())
    looked = look(book, CHECKS.encode(), "again.csv", proposed(CHECKS, "check"), Purpose())
    assert [(fault.code, fault.found) for fault in looked.faults] == [
        ("table_taken_before", "check.csv")
    ]
    before = count(book)
    with pytest.raises(BadInputError):
        taken(book, CHECKS, "check", Purpose())
    assert count(book) == before


def test_headings_that_mean_nothing_can_be_given_a_meaning(book: Path) -> None:
    odd = "aaa,bbb\n1,20\n2,15\n"
    recipe = proposed(odd, "reading")
    looked = look(book, odd.encode(), "odd.csv", recipe, Purpose("T-9"))
    assert (looked.understood, [f.code for f in looked.faults]) == (None, ["recipe_fits_nothing"])
    said = recipe_from_text('{"columns": {"aaa": "station", "bbb": "pitch pct down"}}', "")
    looked = look(book, odd.encode(), "odd.csv", said, Purpose("T-9"))
    assert [dict(draft.payload)["pitch_pct"] for draft in looked.drafts] == ["-20", "-15"]
