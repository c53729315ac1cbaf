"""A grid as a form: rows read back as they were typed, and what the template draws."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rodhand.book.grid.grid import GridColumn, GridHead, GridRow, GridView, grid_columns
from rodhand.book.grid.plan import OF_HEAD
from rodhand.faults import Fault
from rodhand.sheets.blank_sheets import column_label, unit_label
from rodhand.web.next_row import row_after
from rodhand.words import render_fault

ROWS_MORE = 10
MOST_FIELDS = 100_000
_CELL = re.compile(r"([coe])\.(\d{1,6})(?:\.(\w{1,60}))?")


@dataclass(frozen=True)
class TypedGrid:
    """What came back from a grid's form."""

    columns: tuple[GridColumn, ...]
    rows: tuple[GridRow, ...]
    head: GridHead
    keep: bool


def read_grid_form(view: GridView, typed: Mapping[str, str]) -> TypedGrid:
    """Read a grid's form back.

    Parameters
    ----------
    view : GridView
        The grid as the book has it now, for its layout and units.
    typed : mapping of str to str
        The form: ``c.ROW.COLUMN`` what was typed, ``o.ROW.COLUMN`` what was shown,
        ``e.ROW`` the entry the row stands for, ``columns`` the names of its columns.

    Returns
    -------
    TypedGrid
        Rows in the order of the form.
    """
    cells: dict[int, dict[str, str]] = defaultdict(dict)
    offered: dict[int, dict[str, str]] = defaultdict(dict)
    entries: dict[int, str] = {}
    for name, text in typed.items():
        found = _CELL.fullmatch(name)
        if found is None:
            continue
        row = int(found[2])
        if found[1] == "e":
            entries[row] = text
        elif found[3]:
            (cells if found[1] == "c" else offered)[row][found[3]] = text.strip()
    names = typed.get("columns", "").split()
    columns = grid_columns(view.layout, view.system, names, ())
    rows = tuple(
        GridRow(cells[row], offered[row], entries.get(row, ""))
        for row in sorted({*cells, *entries})
    )
    said = {name: typed.get(name, "").strip() for name in ("happened", "by", "heading_ref", "how",
                                                           "bore")}  # fmt: skip
    return TypedGrid(columns, rows, GridHead(**said), "keep" in typed)


def with_more_rows(view: GridView, typed: TypedGrid) -> GridView:
    """The grid as it was typed with some more rows; nothing is kept yet."""
    rows = list(typed.rows)
    for _ in range(ROWS_MORE):
        rows.append(row_after(rows, view.step))
    return view.as_typed(typed.columns, rows, typed.head)


@dataclass(frozen=True)
class ShownCell:
    """One cell as it is drawn; ``shown`` stands in it while it is blank."""

    name: str
    label: str
    value: str
    shown: str
    offered: bool
    wide: bool
    number: bool
    above: bool
    faults: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class ShownRow:
    """One row as it is drawn, with the entry it stands for and what is wrong with it as a whole."""

    number: int
    entry: str
    cells: tuple[ShownCell, ...]
    offered: Mapping[str, str]
    faults: tuple[str, ...]


@dataclass(frozen=True)
class ShownGrid:
    """A grid as the template draws it."""

    view: GridView
    headings: tuple[tuple[str, str, GridColumn], ...]
    rows: tuple[ShownRow, ...]
    happened_faults: tuple[str, ...]
    faults: tuple[str, ...]
    places: tuple[tuple[str, str], ...]


def shown_grid(view: GridView) -> ShownGrid:
    """What a grid looks like: labels, and every fault beside its cell.

    Returns
    -------
    ShownGrid
        ``places`` leads from the head of the page to each cell with a fault or a doubt.
    """
    by_row: dict[int, list[tuple[Fault, bool]]] = defaultdict(list)
    for fault in view.faults:
        by_row[fault.line or 0].append((fault, False))
    for fault in view.doubts:
        by_row[fault.line or 0].append((fault, True))
    headings = tuple((column_label(c), unit_label(c), c) for c in view.columns)
    rows = tuple(
        _row(number, row, headings, by_row.get(number, ())) for number, row in
        enumerate(view.rows, 1)
    )  # fmt: skip
    whole = [fault for fault, _ in by_row.get(0, ())]
    in_head = [fault for fault in whole if fault.column in OF_HEAD]
    places = tuple(
        (f"c.{row.number}.{cell.name}", cell.label)
        for row in rows for cell in row.cells if cell.faults or cell.doubts
    )  # fmt: skip
    return ShownGrid(
        view, headings, rows,
        tuple(_told(fault) for fault in in_head),
        tuple(render_fault(fault) for fault in whole if fault not in in_head),
        places,
    )  # fmt: skip


def _row(
    number: int, row: GridRow, headings: Sequence[tuple[str, str, GridColumn]],
    told: Sequence[tuple[Fault, bool]],
) -> ShownRow:  # fmt: skip
    cells = tuple(_cell(number, row, *heading, told) for heading in headings)
    placed = {column.name for _, _, column in headings}
    rest = tuple(
        render_fault(replace(fault, line=None))
        for fault, _ in told
        if _column_of(fault) not in placed
    )
    offered = {name: text for name, text in row.offered.items() if text}
    return ShownRow(number, row.entry, cells, offered, rest)


def _cell(
    number: int, row: GridRow, label: str, unit: str, column: GridColumn,
    told: Sequence[tuple[Fault, bool]],
) -> ShownCell:  # fmt: skip
    here = [(fault, doubt) for fault, doubt in told if _column_of(fault) == column.name]
    return ShownCell(
        column.name,
        " ".join(part for part in (label, unit, str(number)) if part),
        row.cells.get(column.name, ""),
        row.offered.get(column.name, ""),
        column.offered,
        column.wide,
        bool(column.unit) or column.field in ("station", "rpm", "turns"),
        column.name in row.as_above,
        tuple(_told(fault) for fault, doubt in here if not doubt),
        tuple(_told(fault) for fault, doubt in here if doubt),
    )


def _column_of(fault: Fault) -> str:
    """Column of a fault; where it names several units of a field, the first."""
    return (fault.column or "").partition(" / ")[0]


def _told(fault: Fault) -> str:
    # Beside its cell a fault needs no row and no column.
    return render_fault(
        Fault(fault.code, fault.found, values={"column": fault.column or "", **fault.values})
    )
