"""From a file to rows of texts: any CSV or XLSX, whatever its encoding and delimiter.

Cells are kept as the person typed them. A number cell of a workbook becomes its shortest text of
at most 15 digits (what a spreadsheet shows), a percent-formatted one keeps its percent sign.
"""

from __future__ import annotations

import codecs
import csv
import io
import os
import re
import stat
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.sheets.flags import Flag
from rodhand.words import say

LARGEST_FILE = 100_000_000  # bytes; 100,000 rows of 25 columns are about 20 MB
MOST_ROWS = 250_000

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # before utf-16: its mark begins with the same two bytes
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_DELIMITERS = (";", "\t", ",", "|")
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_ZIP, _OLD_OFFICE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


@dataclass(frozen=True)
class Grid:
    """Rows of a file that hold anything, as texts with the blanks around them taken off.

    Parameters
    ----------
    source : str
        Name of the file.
    form : {"csv", "xlsx"}
        What the file was.
    lines : tuple of int
        Line or sheet row of each row, counted from 1.
    cells : tuple of tuple of str
        The rows.
    flags : tuple of Flag
        What is doubtful and was kept; a code under `flag` in the words.
    """

    source: str
    form: Literal["csv", "xlsx"]
    lines: tuple[int, ...]
    cells: tuple[tuple[str, ...], ...]
    flags: tuple[Flag, ...] = ()


def read_grid(path: Path | str, sheet: str | None = None) -> Grid:
    """Read a CSV or XLSX file to rows of texts.

    Parameters
    ----------
    path : Path or str
        The file.
    sheet : str, optional
        Sheet of a workbook; its first sheet with anything in it when not given.

    Returns
    -------
    Grid
        Its rows.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        If it is empty, too large, binary, damaged or neither CSV nor XLSX.
    """
    return grid_from_bytes(read_bytes(path), Path(path).name, sheet)


def read_bytes(path: Path | str) -> bytes:
    """Content of a regular file that is not too large; the size is looked at before reading.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        If it is empty or larger than `LARGEST_FILE`.
    """
    try:
        status = os.stat(path)
        if not stat.S_ISREG(status.st_mode):
            raise CannotReadError(str(path), say("cannot_read.not_a_file"))
        if status.st_size > LARGEST_FILE:
            raise file_fault(Path(path).name, "file_too_large", megabytes(status.st_size))
        return Path(path).read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        reason = getattr(error, "strerror", None) or str(error)
        raise CannotReadError(str(path), reason) from error


def grid_from_bytes(data: bytes, source: str, sheet: str | None = None) -> Grid:
    """Rows of a file's content; see `read_grid`."""
    if not data.strip():
        raise file_fault(source, "file_empty")
    if len(data) > LARGEST_FILE:
        raise file_fault(source, "file_too_large", megabytes(len(data)))
    if data.startswith(_ZIP):
        return _workbook_grid(data, source, sheet)
    if data.startswith(_OLD_OFFICE):
        raise file_fault(source, "workbook_old_or_locked")
    return _csv_grid(data, source)


def file_fault(source: str, code: str, found: str = "", **values: str) -> BadInputError:
    """The error of a file that cannot be used as a whole."""
    return BadInputError(
        [Fault(code, found, values={"limit": megabytes(LARGEST_FILE), **values})], source
    )


def megabytes(size: int) -> str:
    """A file size as people read it."""
    return f"{size / 1e6:,.0f} MB"


def _csv_grid(data: bytes, source: str) -> Grid:
    text, flags = _decode(data, source)
    text, delimiter = _delimiter(text)
    lines: list[int] = []
    cells: list[tuple[str, ...]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True)
    try:
        for row in reader:
            stripped = tuple([cell.strip() for cell in row])
            if any(stripped):
                lines.append(reader.line_num)
                cells.append(stripped)
                check_row_count(len(cells), source)
    except csv.Error as error:
        fault = Fault("csv_broken", str(error), line=reader.line_num)
        raise BadInputError([fault], source) from error
    if not cells:
        raise file_fault(source, "file_empty")
    return Grid(source, "csv", tuple(lines), tuple(cells), flags)


def check_row_count(count: int, source: str) -> None:
    """Refuse a file with more than `MOST_ROWS` rows under its heading."""
    if count > MOST_ROWS + 1:
        raise file_fault(source, "too_many_rows", most=f"{MOST_ROWS:,}")


def _decode(data: bytes, source: str) -> tuple[str, tuple[Flag, ...]]:
    """Text of a CSV file, and a flag where its encoding had to be guessed."""
    flags: tuple[Flag, ...] = ()
    mark, encoding = next((pair for pair in _BOMS if data.startswith(pair[0])), (b"", "utf-8"))
    try:
        text = data[len(mark) :].decode(encoding)
    except UnicodeDecodeError as error:
        if mark:
            raise file_fault(source, "encoding_broken", encoding) from error
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            raise file_fault(source, "file_binary") from None
        place = data.count(b"\n", 0, error.start) + 1
        typed = data[max(0, error.start - 10) : error.start + 10].decode("cp1252", "replace")
        flags = (Flag("encoding_guessed", " ".join(typed.split()), line=place),)
    if _CONTROL.search(text):
        raise file_fault(source, "file_binary")
    return text, flags


def _delimiter(text: str) -> tuple[str, str]:
    """The text without a `sep=` line, and the delimiter that cuts its first lines most evenly."""
    named = re.match(r"sep=(.)\r?\n", text, re.IGNORECASE)
    if named:
        # the line is blanked, not cut, so that line numbers stay those of the file
        return text[named.end() - 1 :], named[1]
    first = "\n".join(text[:200_000].splitlines()[:50])
    return text, max(_DELIMITERS, key=lambda delimiter: _evenness(first, delimiter))


def _evenness(text: str, delimiter: str) -> int:
    """Cells gained by a delimiter on the lines that agree about their number."""
    try:
        counts = Counter(len(row) for row in csv.reader(io.StringIO(text), delimiter=delimiter))
    except csv.Error:
        return 0
    return max(((width - 1) * lines for width, lines in counts.items()), default=0)


def _workbook_grid(data: bytes, source: str, sheet: str | None) -> Grid:
    from rodhand.sheets.xlsx import open_workbook  # openpyxl costs 0.2 s to import

    with open_workbook(data, source) as book:
        names = [sheet] if sheet is not None else book.sheet_names
        for position, name in enumerate(names):
            lines, cells = book.rows(name)
            if cells:
                check_row_count(len(cells), source)
                left = [other for other in names[position + 1 :] if book.has_rows(other)]
                flags = tuple(Flag("sheet_not_read", other) for other in left)
                return Grid(source, "xlsx", lines, cells, flags)
    raise file_fault(source, "file_empty")
