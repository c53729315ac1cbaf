"""Write the workbook in which a book can be kept: a sheet for each kind of entry."""

from __future__ import annotations

import io
import os
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.entry import Entry
from rodhand.record.kept_open import journal_of
from rodhand.record.kinds import KINDS
from rodhand.record.order import known_by, listen
from rodhand.sheets.workbook_columns import (
    BY,
    HAPPENED,
    NUMBER,
    OF_A_BOOK,
    OF_THE_ROW,
    ZONE,
    field_of,
    sheet_columns,
)
from rodhand.sheets.xlsx import number_text
from rodhand.units import System
from rodhand.words import say

MADE_FOR = 2000  # rows that get choices and formats when a sheet is still empty
BY_ENTRY = ("strike", "pick", "station-shift")
"""Kinds without a sheet: they name entries, by an id or a count that no row of a sheet has."""
_NUMBERS = ("whole", "number", "quantity")
_GUIDE = ("sheets", "units", "happened", "by", "marks", "blank", "back")


def write_workbook(
    entries: Sequence[Entry] | None, path: Path | str, system: System = "metric"
) -> None:
    """Write a workbook to fill in, or with what a book's entries say.

    Parameters
    ----------
    entries : sequence of Entry or None
        Entries to write out, in their order; struck ones and strikes are left out. None writes
        the empty workbook.
    path : Path or str
        File to write; it is there whole or not at all.
    system : {"metric", "us"}
        Units of the columns nobody has typed in yet.

    Raises
    ------
    CannotReadError
        If it cannot be written.

    Notes
    -----
    A number stands as a number where a spreadsheet shows it with the digits as typed, else as
    text (``2.740``), so that what is read back is what was typed.
    """
    data = workbook_bytes(entries, system)
    file = Path(path)
    with told_plainly(file):
        handle, part = tempfile.mkstemp(dir=file.parent, prefix=".part-")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            os.replace(part, file)
        except BaseException:
            Path(part).unlink(missing_ok=True)
            raise


def export_workbook(folder: Path, path: Path, system: System = "metric", as_of: str = "") -> int:
    """Write a book out as a workbook and tell how many entries it holds.

    Raises
    ------
    CannotReadError
        If the book cannot be read or the file not be written.
    """
    journal = journal_of(folder)
    known = {entry.id for entry in known_by(journal.entries(), as_of or None)}
    entries = [entry for entry in journal.entries() if entry.id in known]
    write_workbook(entries, path, system)
    return len(in_force(entries))


def workbook_bytes(entries: Sequence[Entry] | None, system: System = "metric") -> bytes:
    """Content of the workbook; see `write_workbook`."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_numbers": False})
    formats = {
        "title": book.add_format({"bold": True, "font_size": 14}),
        "heading": book.add_format({"bottom": 1}),
        "required": book.add_format({"bold": True, "bottom": 1}),
        "text": book.add_format({"num_format": "@"}),
        "wrap": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    rows = _rows_by_kind(in_force(entries or ()))
    _write_guide(book, formats)
    for kind in KINDS:
        if kind not in BY_ENTRY:
            _write_kind(book, formats, kind, system, rows.get(kind, []), entries is not None)
    book.close()
    return out.getvalue()


def in_force(entries: Sequence[Entry]) -> list[Entry]:
    """The entries that count, in the order given: no strikes and nothing struck."""
    counting = {
        said.entry.id for said_of_kind in listen(entries).by_kind.values() for said in said_of_kind
    }
    return [entry for entry in entries if entry.id in counting]


def _rows_by_kind(entries: Iterable[Entry]) -> dict[str, list[Mapping[str, str]]]:
    rows: dict[str, list[Mapping[str, str]]] = {}
    for number, entry in enumerate(entries, start=1):
        of_row = {NUMBER: str(number), HAPPENED: entry.happened, ZONE: entry.zone, BY: entry.by}
        rows.setdefault(entry.kind, []).append({**entry.payload, **of_row})
    return rows


def _write_guide(book: Any, formats: Mapping[str, Any]) -> None:
    """First sheet: how to fill the others in."""
    sheet = book.add_worksheet(say("workbook.guide"))
    sheet.set_column(0, 0, 18)
    sheet.set_column(1, 1, 90)
    sheet.write_string(0, 0, say("workbook.title"), formats["title"])
    row = 2
    for line in _GUIDE:
        sheet.write_string(row, 1, say(f"workbook.guide_{line}"), formats["wrap"])
        row += 1
    for kind in KINDS:
        if kind not in BY_ENTRY:
            row += 1
            sheet.write_url(row, 0, f"internal:'{kind}'!A1", string=kind)
            sheet.write_string(row, 1, say(f"workbook.kind.{kind}"), formats["wrap"])


def _write_kind(
    book: Any, formats: Mapping[str, Any], kind: str, system: System,
    rows: Sequence[Mapping[str, str]], of_a_book: bool,
) -> None:  # fmt: skip
    sheet = book.add_worksheet(kind)
    used = {column for row in rows for column in row}
    of_row = OF_A_BOOK if of_a_book else OF_THE_ROW
    headings = [*of_row, *sheet_columns(KINDS[kind], system, used)]
    last = max(MADE_FOR, len(rows))
    sheet.freeze_panes(1, 0)
    sheet.ignore_errors({"number_stored_as_text": f"A1:XFD{last + 1}"})
    for place, heading in enumerate(headings):
        field = None if heading in of_row else field_of(kind, heading)
        bold = field is not None and field.required
        sheet.write_string(0, place, heading, formats["required" if bold else "heading"])
        number = heading == NUMBER or (field is not None and field.type in _NUMBERS)
        # As text a mark like 1-2 stays a mark and does not become the second of January.
        sheet.set_column(place, place, len(heading) + 4, None if number else formats["text"])
        if field is not None and field.choices:
            choices = {"validate": "list", "source": list(field.choices)}
            sheet.data_validation(1, place, last, place, choices)
    for line, row in enumerate(rows, start=1):
        for place, heading in enumerate(headings):
            _write_cell(sheet, line, place, row.get(heading, ""))


def _write_cell(sheet: Any, line: int, place: int, text: str) -> None:
    if not text:
        return
    try:
        number = float(text)
        as_number = number_text(int(number) if number.is_integer() else number) == text
    except (ValueError, OverflowError):
        as_number = False
    if as_number and abs(number) < 1e15:
        sheet.write_number(line, place, number)
    else:
        sheet.write_string(line, place, text)


def export_or_blank(folder: Path, path: Path, system: System = "metric", as_of: str = "") -> int:
    """Write a book out as a workbook, or an empty one where the folder holds no book yet.

    Returns
    -------
    int
        Entries written; 0 for the empty workbook.

    Raises
    ------
    CannotReadError
        If the book cannot be read or the file not be written.
    """
    if (folder / FILE_NAME).exists():
        return export_workbook(folder, path, system, as_of)
    write_workbook(None, path, system)
    return 0
