"""Read a filled-in workbook back as entries, each with its sheet and row."""

from __future__ import annotations

import difflib
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rodhand.book.entry.typed_rows import drafts_of_rows
from rodhand.faults import BadInputError, Fault
from rodhand.record.entry import Draft
from rodhand.record.kinds import KINDS
from rodhand.record.validate import read_payload
from rodhand.sheets.flags import Flag
from rodhand.sheets.grids import read_bytes, read_grid
from rodhand.sheets.workbook_columns import NUMBER, ZONE
from rodhand.sheets.xlsx import Workbook, open_workbook
from rodhand.words import say

_NOT_OF_THE_KIND = (NUMBER, ZONE)


@dataclass(frozen=True)
class SheetRow:
    """One row of a workbook: what it says, and where it stands."""

    sheet: str
    line: int
    draft: Draft


@dataclass(frozen=True)
class WorkbookRead:
    """A workbook as read: its rows in the order they are to be entered, and sheets left out."""

    source: str
    rows: tuple[SheetRow, ...]
    flags: tuple[Flag, ...]

    @property
    def drafts(self) -> list[Draft]:
        """The rows as drafts; each one's line is its place among the rows, from 0."""
        return [replace(row.draft, line=place) for place, row in enumerate(self.rows)]

    def placed(self, faults: Sequence[Fault]) -> tuple[Fault, ...]:
        """Faults of `drafts` at their sheet, row and column."""
        return tuple(
            fault if fault.line is None else _at(fault, self.rows[fault.line].sheet,
                                                 self.rows[fault.line].line)
            for fault in faults
        )  # fmt: skip


def _at(fault: Fault, sheet: str, line: int | None) -> Fault:
    column = f"{sheet}: {fault.column}" if fault.column else sheet
    return replace(fault, line=line, column=column)


def holds_our_sheets(path: Path | str) -> bool:
    """Whether a file is a workbook with a sheet of ours.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        If it is a damaged workbook.
    """
    data = read_bytes(path)
    if not data.startswith(b"PK"):
        return False
    with open_workbook(data, Path(path).name) as book:
        names = {name.casefold() for name in book.sheet_names}
        return say("workbook.guide").casefold() in names or bool(names & set(KINDS))


def read_workbook(path: Path | str, happened: str = "", by: str = "") -> WorkbookRead:
    """Read every sheet of a workbook that is named as a kind of entry.

    Parameters
    ----------
    path : Path or str
        The workbook.
    happened, by : str, optional
        For rows that say nothing of it themselves.

    Returns
    -------
    WorkbookRead
        Its rows: by their number where they have one, else sheet by sheet.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        With every fault of every sheet, at its sheet, row and column.
    """
    source = Path(path).name
    faults: list[Fault] = []
    rows: list[tuple[float, SheetRow]] = []
    flags: list[Flag] = []
    with open_workbook(read_bytes(path), source) as book:
        for name in book.sheet_names:
            kind = name.strip().casefold()
            if kind in KINDS:
                rows += _rows_of_sheet(book, name, kind, happened, by, faults)
            elif kind != say("workbook.guide").casefold():
                _tell_other_sheet(book, name, faults, flags)
    for _, row in rows:
        told = read_payload(row.draft.kind, row.draft.payload).faults
        faults += [_at(fault, row.sheet, row.line) for fault in told]
    if faults:
        raise BadInputError(faults, source)
    if not rows:
        raise BadInputError([Fault("workbook_without_rows")], source)
    ordered = sorted(rows, key=lambda pair: pair[0])
    return WorkbookRead(source, tuple(row for _, row in ordered), tuple(flags))


def read_rows(kind: str, path: Path | str, happened: str = "", by: str = "") -> list[Draft]:
    """Drafts of a CSV or of the first sheet of a workbook, whose rows are all of one kind.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        With every fault of its headings and rows; what the cells say is not looked at.
    """
    grid = read_grid(path)
    rows = list(zip(grid.lines[1:], grid.cells[1:], strict=True))
    return drafts_of_rows(kind, grid.cells[0], rows, happened, by, grid.source)


def _rows_of_sheet(
    book: Workbook, name: str, kind: str, happened: str, by: str, faults: list[Fault]
) -> list[tuple[float, SheetRow]]:
    """Rows of one sheet with the number that orders them; faults go to the list."""
    try:
        lines, cells = book.rows(name)
        if not cells:
            return []
        typed = list(zip(lines[1:], cells[1:], strict=True))
        drafts = drafts_of_rows(kind, cells[0], typed, happened, by, book.source)
    except BadInputError as error:
        faults += [_at(fault, name, fault.line) for fault in error.faults]
        return []
    rows = []
    for draft in drafts:
        said = {column.casefold(): text for column, text in draft.payload.items()}
        payload = {
            column: text
            for column, text in draft.payload.items()
            if column.casefold() not in _NOT_OF_THE_KIND
        }
        line = draft.line or 0
        place = _place(said.get(NUMBER, ""), name, line, faults)
        made = replace(draft, payload=payload, zone=said.get(ZONE, ""))
        rows.append((place, SheetRow(name, line, made)))
    return rows


def _place(text: str, sheet: str, line: int, faults: list[Fault]) -> float:
    """A row's number; rows without one come last, in the order of the sheets."""
    if not text:
        return math.inf
    if text.isascii() and text.isdigit():
        return float(text)
    faults.append(Fault("row_number", text, line, f"{sheet}: {NUMBER}"))
    return math.inf


def _tell_other_sheet(book: Workbook, name: str, faults: list[Fault], flags: list[Flag]) -> None:
    """A sheet of another name: a slip of the pen is a fault, anything else is left out."""
    if not book.has_rows(name):
        return
    near = difflib.get_close_matches(name.strip().casefold(), KINDS, n=1, cutoff=0.75)
    if near:
        faults.append(Fault("sheet_name_near", name, column=name, values={"nearest": near[0]}))
    else:
        flags.append(Flag("sheet_not_read", name))
