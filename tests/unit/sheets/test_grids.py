"""Files that cannot be used as a whole, and the encodings and delimiters that can."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import openpyxl
import pytest

from rodhand.faults import BadInputError, CannotReadError
from rodhand.sheets import grids
from rodhand.sheets.grids import read_grid
from rodhand.words import render_faults

PLAIN = "station,pitch_pct,remark\n1,-20,Größe\n2,-15,\n"
CELLS = (("station", "pitch_pct", "remark"), ("1", "-20", "Größe"), ("2", "-15", ""))


def written(tmp_path: Path, data: bytes, name: str = "log.csv") -> Path:
    path = tmp_path / name
    path.write_bytes(data)
    return path


def code_of(path: Path) -> str:
    with pytest.raises(BadInputError) as raised:
        read_grid(path)
    render_faults(raised.value)  # every text of the fault must be there
    return raised.value.faults[0].code


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le-mark", "utf-16-be-mark", "utf-32"]
)
def test_encodings_named_by_their_first_bytes_read_alike(tmp_path: Path, encoding: str) -> None:
    marks = {"utf-16-le-mark": b"\xff\xfe", "utf-16-be-mark": b"\xfe\xff"}
    mark = marks.get(encoding, b"")
    data = mark + PLAIN.encode(encoding.removesuffix("-mark"))
    grid = read_grid(written(tmp_path, data))
    assert grid.cells == CELLS
    assert grid.flags == ()


def test_western_european_is_read_and_flagged(tmp_path: Path) -> None:
    grid = read_grid(written(tmp_path, PLAIN.encode("cp1252")))
    assert grid.cells == CELLS
    assert [(flag.code, flag.line) for flag in grid.flags] == [("encoding_guessed", 2)]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiters_are_found(tmp_path: Path, delimiter: str) -> None:
    grid = read_grid(written(tmp_path, PLAIN.replace(",", delimiter).encode()))
    assert grid.cells == CELLS


def test_semicolons_win_over_decimal_commas(tmp_path: Path) -> None:
    grid = read_grid(written(tmp_path, b"station;pitch_pct\n1;-20,5\n2;-18,0\n3;-7,25\n"))
    assert grid.cells[1] == ("1", "-20,5")


def test_a_line_that_names_the_delimiter_is_obeyed_and_counted(tmp_path: Path) -> None:
    grid = read_grid(written(tmp_path, b"sep=;\r\na;b\r\n1;2\r\n"))
    assert grid.cells == (("a", "b"), ("1", "2"))
    assert grid.lines == (2, 3)


def test_lines_are_those_of_the_file_with_blank_rows_and_quoted_breaks(tmp_path: Path) -> None:
    grid = read_grid(written(tmp_path, b'a,b\n\n1,"x\ny"\n,\n2,z\n'))
    assert grid.lines == (1, 4, 6)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file_empty"),
        (b" \n\n \r\n", "file_empty"),
        (b"\xef\xbb\xbf", "file_empty"),
        (b",,,\n,,,\n", "file_empty"),
        (bytes(range(256)) * 20, "file_binary"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "file_binary"),
        (b"%PDF-1.7\n\x00\x01", "file_binary"),
        (PLAIN.encode("utf-16")[2:], "file_binary"),  # no mark that names it
        (b"\xff\xfe" + b"\x00\xd8\x00", "encoding_broken"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "workbook_old_or_locked"),
        (b"PK\x03\x04 and then nothing", "workbook_damaged"),
        (b"a,b\n1," + b"9" * 200_000 + b"\n", "csv_broken"),
    ],
)
def test_files_that_cannot_be_used(tmp_path: Path, data: bytes, code: str) -> None:
    assert code_of(written(tmp_path, data)) == code


def test_a_zip_that_is_no_workbook(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    with zipfile.ZipFile(path, "w") as parts:
        parts.writestr("content.xml", "<table/>")
    assert code_of(path) == "zip_not_workbook"


def test_a_file_of_500_megabytes_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    with path.open("wb") as file:
        file.truncate(500_000_000)  # sparse: it takes no room on the disk
    with pytest.raises(BadInputError) as raised:
        read_grid(path)
    assert raised.value.faults[0].code == "file_too_large"
    assert raised.value.faults[0].found == "500 MB"
    assert "100 MB at most" in render_faults(raised.value)


def test_a_workbook_that_unpacks_too_large_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rodhand.sheets.xlsx.LARGEST_UNPACKED", 1000)
    assert code_of(workbook(tmp_path, [["a"], [1]])) == "workbook_unpacks_too_large"


def test_too_many_rows_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grids, "MOST_ROWS", 10)
    assert len(read_grid(written(tmp_path, b"a\n" + b"1\n" * 10)).cells) == 11
    assert code_of(written(tmp_path, b"a\n" + b"1\n" * 11)) == "too_many_rows"


def test_missing_file_folder_pipe_and_forbidden_name_cannot_be_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "none.csv", tmp_path, tmp_path / "pipe", Path("a\0b")):
        with pytest.raises(CannotReadError) as raised:
            read_grid(path)
        assert raised.value.reason


def workbook(tmp_path: Path, rows: list[list[object]], **formats: str) -> Path:
    book = openpyxl.Workbook()
    for row in rows:
        book.worksheets[0].append(row)
    for cell, text in formats.items():
        book.worksheets[0][cell].number_format = text
    path = tmp_path / "log.xlsx"
    book.save(path)
    return path


def test_workbook_cells_read_as_a_spreadsheet_shows_them(tmp_path: Path) -> None:
    path = workbook(
        tmp_path,
        [["n", "pitch", "when"], [1, 0.1 + 0.2, None], [2, -0.135, " x "], [None], [3, True, "y"]],
        B3="0.0%",
    )
    grid = read_grid(path)
    assert grid.cells[1][:2] == ("1", "0.3")
    assert grid.cells[2] == ("2", "-13.5%", "x")
    assert grid.cells[3] == ("3", "true", "y")
    assert grid.lines == (1, 2, 3, 5)


def test_the_first_sheet_that_holds_anything_is_read_and_the_others_told(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.create_sheet("log").append(["a"])
    book.create_sheet("notes").append(["b"])
    book.save(tmp_path / "log.xlsx")
    grid = read_grid(tmp_path / "log.xlsx")
    assert grid.cells == (("a",),)
    assert [(flag.code, flag.found) for flag in grid.flags] == [("sheet_not_read", "notes")]
    assert read_grid(tmp_path / "log.xlsx", "notes").cells == (("b",),)
    with pytest.raises(BadInputError, match="sheet_missing"):
        read_grid(tmp_path / "log.xlsx", "other")


def test_a_formula_without_its_result_is_a_fault_and_no_blank(tmp_path: Path) -> None:
    path = workbook(tmp_path, [["n", "pitch"], [1, "=2*3"]])
    with pytest.raises(BadInputError) as raised:
        read_grid(path)
    (fault,) = raised.value.faults
    assert (fault.code, fault.line, fault.column, fault.found) == (
        "formula_not_computed", 2, "B", "=2*3",
    )  # fmt: skip
