"""`rodhand import`: a log or a workbook into a book, all of it or nothing."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
import typer
from typer.testing import CliRunner

from rodhand.cli.import_ import import_file
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.sheets.importing import import_log, import_workbook
from rodhand.sheets.workbook_out import export_workbook
from rodhand.words import render_faults

LOG = "station,pitch_pct,length_ft,pass\n1,-24.0,10,\n2,-18,10,\n2,,,pullback\n"
FOREIGN = "Stange Nr;Neigung [%];Tiefe (cm)\n1;20,5;61\n2;15;110\n"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.write("rig", {"rig": "R"}, "2025-01-01")
        journal.write("bore", {"bore": "B-7", "rig": "R"}, "2025-01-02")
    return folder


def log(tmp_path: Path, text: str = LOG, name: str = "log.csv") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def count(book: Path) -> int:
    with Journal.open(book, write=False) as journal:
        return len(journal.entries())


def run(*arguments: object) -> tuple[int, str]:
    app = typer.Typer()
    app.command()(import_file)
    result = CliRunner().invoke(app, [str(argument) for argument in arguments])
    if isinstance(result.exception, BadInputError):
        raise result.exception
    return result.exit_code, result.output


def codes(*arguments: object) -> list[str]:
    with pytest.raises(BadInputError) as raised:
        run(*arguments)
    render_faults(raised.value)
    return [fault.code for fault in raised.value.faults]


def test_a_log_becomes_the_readings_of_its_bore(tmp_path: Path, book: Path) -> None:
    code, told = run(log(tmp_path), "--bore", "b-7", "--book", book, "--happened", "2025-09-09")
    assert code == 0
    assert "3 readings of b-7 in the book: pilot, pullback" in told
    with Journal.open(book, write=False) as journal:
        bore = journal.book().bores["B-7"]
    assert [(p.name, [r.station for r in p.readings]) for p in bore.passes] == [
        ("pilot", [1.0, 2.0]), ("pullback", [2.0]),
    ]  # fmt: skip
    assert bore.passes[0].readings[0].typed["pitch_pct"] == "-24.0"
    assert bore.passes[0].readings[0].origin.happened.start == "2025-09-09T00:00"


def test_rows_without_a_pass_take_the_one_that_is_named(tmp_path: Path, book: Path) -> None:
    taken = import_log(book, log(tmp_path), "B-7", "ream 1")
    assert taken.passes == ("ream 1", "pullback")


def test_nothing_is_half_imported(tmp_path: Path, book: Path) -> None:
    before = count(book)
    bad = log(tmp_path, "station,pitch_pct\n1,-20\n2,x\n")
    assert codes(bad, "--bore", "B-7", "--book", book) == ["not_a_number"]
    assert codes(log(tmp_path), "--bore", "B-9", "--book", book) == ["bore_unknown"] * 3
    assert codes(log(tmp_path), "--book", book) == ["import_needs_bore"]
    survey = log(tmp_path, "md_m,inclination_deg\n0,90\n3,91\n")
    assert codes(survey, "--bore", "B-7", "--book", book) == ["import_survey"]
    assert count(book) == before


def test_a_log_is_not_taken_twice(tmp_path: Path, book: Path) -> None:
    run(log(tmp_path), "--bore", "B-7", "--book", book)
    before = count(book)
    with pytest.raises(BadInputError) as raised:
        import_log(book, log(tmp_path), "B-7")
    (fault,) = raised.value.faults
    assert (fault.code, fault.line, fault.values["count"]) == ("reading_already_there", 2, "3")
    assert count(book) == before


def test_no_book_is_made_for_a_log_of_an_unknown_bore(tmp_path: Path) -> None:
    assert "bore_unknown" in codes(log(tmp_path), "--bore", "B", "--book", tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_foreign_headings_are_asked_once_and_kept_by_name(tmp_path: Path, book: Path) -> None:
    foreign = log(tmp_path, FOREIGN)
    ask = (foreign, "--bore", "B-7", "--book", book, "--columns", "blue rig")
    before = count(book)
    assert codes(*ask) == ["import_not_agreed"]  # nobody there to ask
    assert count(book) == before
    code, told = run(*ask, "--yes")
    assert code == 0
    assert "Stange Nr → station" in told
    assert "pitch pct down; look here: plus seems to be downward" in told
    assert "decimal comma: yes" in told
    assert "-20.5" in told  # the first rows as understood
    with Journal.open(book, write=False) as journal:
        read = journal.book()
    assert list(read.recipes) == ["blue rig"]
    assert read.bores["B-7"].passes[0].readings[0].typed["depth_m"] == "0.61"
    again = log(tmp_path, FOREIGN.replace("20,5", "21,5"), "second.csv")
    code, told = run(again, "--bore", "B-7", "--pass", "x", "--book", book, "--columns", "blue rig")
    assert (code, "look here" in told) == (0, False)


def test_a_workbook_goes_in_whole_and_makes_the_book(tmp_path: Path, book: Path) -> None:
    run(log(tmp_path), "--bore", "B-7", "--book", book)
    assert export_workbook(book, tmp_path / "out.xlsx", "us") == 6
    code, told = run(tmp_path / "out.xlsx", "--book", tmp_path / "copy")
    assert (code, "6 entries" in told) == (0, True)  # rig, bore, the log, its three rows
    assert count(tmp_path / "copy") == 6


def test_faults_of_a_workbook_name_sheet_row_and_column(tmp_path: Path) -> None:
    made = openpyxl.Workbook()
    sheet = made.create_sheet("event")
    for row in (["bore", "what"], ["B-1", "jerk"]):
        sheet.append(row)
    made.save(tmp_path / "w.xlsx")
    with pytest.raises(BadInputError) as raised:
        import_workbook(tmp_path / "new", tmp_path / "w.xlsx")
    assert [(f.code, f.line, f.column) for f in raised.value.faults] == [
        ("bore_unknown", 2, "event: bore")
    ]
    assert "line 2, column event: bore" in render_faults(raised.value)
    assert not (tmp_path / "new").exists()


def test_a_length_in_the_wrong_unit_is_found_by_the_rig_s_rod_type(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    rod_type = {
        "name": "T", "tube_od_mm": "60", "wall_mm": "7", "length_m": "3.0", "joint_od_mm": "70",
        "joint_bore_mm": "25", "joint_length_mm": "180", "yield_MPa": "930",
        "build": "one-piece", "limit_radius_m": "44",
    }  # fmt: skip
    with Journal.open(folder) as journal:
        journal.write("rod-type", rod_type)
        journal.write("rig", {"rig": "R", "rod_type": "T"})
        journal.write("bore", {"bore": "B-7", "rig": "R"})
    path = log(tmp_path, "station,length_m,pitch_pct\n1,10,-20\n2,3,-20\n")
    taken = import_log(folder, path, "B-7")
    assert [(flag.code, flag.line) for flag in taken.log.flags] == [("length_unit", 2)]
