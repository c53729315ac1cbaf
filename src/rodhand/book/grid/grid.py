"""The entry grid and the blank sheets: one list of columns for both, and the rows of a grid.

What a crew writes on a printed sheet is typed into a table of the same columns in the same order.
A grid shows what the book holds already, so typing is put right where it was typed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.kind import Field
from rodhand.record.kinds import KINDS
from rodhand.units import System

Layout = Literal["rod-log", "ream-log", "loading", "checks"]

PILOT = "pilot"
READING, CHECK = "reading", "check"
KIND_OF: Mapping[str, str] = {"rod-log": READING, "ream-log": READING, "checks": CHECK}
"""Kind of entry a row becomes; the rows of a loading list become one entry together."""
FIELDS_OF: Mapping[str, tuple[str, ...]] = {
    "rod-log": ("station", "rod", "length", "pitch", "heading", "depth", "rotating_time", "push",
                "torque", "remark"),
    "ream-log": ("station", "rotating_time", "rpm", "torque", "pull", "remark"),
    "loading": ("row", "place", "rod"),
    "checks": ("row", "things", "end", "item", "found", "reading", "second_reading", "gauge",
               "note"),
}  # fmt: skip
"""What each sheet and its grid ask for, in the order of the columns."""
LAYOUTS = tuple(FIELDS_OF)

OFFERED = frozenset({"station", "rod", "length", "row", "place", "things", "end", "item"})
"""Columns the order of the box, the rod type or the sheet itself fills in; Tab passes over them."""
TEXT_WIDE = frozenset({"remark", "note", "found"})
_US = ("ft", "in", "lb", "ftlb")


@dataclass(frozen=True)
class GridColumn:
    """One column of a sheet and of its grid.

    Parameters
    ----------
    name : str
        As its values are kept, unit included: ``pitch_pct``.
    field, unit : str
        The fact and its unit's suffix; no suffix where there is none.
    offered : bool
        Whether the sheet comes with it filled in.
    wide : bool
        Whether it holds words.
    """

    name: str
    field: str
    unit: str = ""
    offered: bool = False
    wide: bool = False


@dataclass(frozen=True)
class GridRow:
    """One row as it is typed.

    Parameters
    ----------
    cells : mapping of str to str
        Column to what stands in the cell; blank cells may be left out.
    offered : mapping of str to str
        Column to what is shown in a blank cell and not kept.
    entry : str
        Id of the entry the row stands for; empty for a row nobody entered yet.
    as_above : frozenset of str
        Columns whose stored value was typed as a sign for the row above.
    """

    cells: Mapping[str, str]
    offered: Mapping[str, str]
    entry: str = ""
    as_above: frozenset[str] = frozenset()


@dataclass(frozen=True)
class GridHead:
    """What is said once for all rows: when, by whom, and what headings are counted from."""

    happened: str = ""
    by: str = ""
    heading_ref: str = ""
    how: str = ""
    bore: str = ""


@dataclass(frozen=True)
class GridView:
    """A grid as a page shows it.

    Parameters
    ----------
    layout : str
        One of `LAYOUTS`.
    subject : str
        Bore or rig it is about.
    pass_name : str
        Pass of a log; empty for the others.
    system : {"metric", "us"}
        Units of its columns: the rig's.
    columns, choosable, rows, head
        Its columns, the fields that may be left out, its rows, what is said once.
    step : int
        What a row that is added counts on by; 0 where rows are not numbered.
    faults, doubts : tuple of Fault
        By row, counted from 1, and column: what cannot be taken, and what should be looked at.
    invented : bool
        Whether the book says of itself that it is invented.
    """

    layout: Layout
    subject: str
    pass_name: str
    system: System
    columns: tuple[GridColumn, ...]
    choosable: tuple[str, ...]
    rows: tuple[GridRow, ...]
    head: GridHead
    step: int = 0
    faults: tuple[Fault, ...] = ()
    doubts: tuple[Fault, ...] = ()
    invented: bool = False

    def as_typed(
        self, columns: Sequence[GridColumn], rows: Sequence[GridRow], head: GridHead
    ) -> GridView:
        """The same grid as somebody typed it."""
        return replace(self, columns=tuple(columns), rows=tuple(rows), head=head)


@dataclass(frozen=True)
class GridSaved:
    """What saving a grid did: ids written, ids struck, and rows left as they were."""

    written: tuple[str, ...] = ()
    struck: tuple[str, ...] = ()
    unchanged: int = 0


def grid_columns(
    layout: Layout, system: System, used: Iterable[str] = (), chosen: Collection[str] | None = None
) -> tuple[GridColumn, ...]:
    """Columns of a sheet and of its grid.

    Parameters
    ----------
    layout : str
        One of `LAYOUTS`.
    system : {"metric", "us"}
        The rig's unit system.
    used : iterable of str, optional
        Columns that hold something already: each stands in its own unit, and those the sheet
        does not ask for come behind.
    chosen : collection of str, optional
        Fields to ask for besides those that are filled in; all of the sheet's when not given.

    Returns
    -------
    tuple of GridColumn
        In the order of the sheet.
    """
    kind = KIND_OF.get(layout)
    if kind is None:
        return tuple(GridColumn(name, name, offered=name != "rod") for name in FIELDS_OF[layout])
    held = set(used)
    fields = {field.name: field for field in KINDS[kind].fields}
    columns: list[GridColumn] = []
    for name in FIELDS_OF[layout]:
        field = fields.get(name)
        if field is None:
            columns.append(GridColumn(name, name, offered=True))
            continue
        own = [column for column in field.columns() if column in held]
        if own or chosen is None or name in chosen or name in OFFERED:
            columns += [_column(field, column) for column in own or [_usual(field, system)]]
    there = {column.name for column in columns}
    columns += [
        _column(field, column)
        for field in KINDS[kind].fields
        for column in field.columns()
        if column in held and column not in there and field.name not in ("bore", "pass", "signs")
    ]
    return tuple(columns)


def _column(field: Field, name: str) -> GridColumn:
    return GridColumn(
        name, field.name, field.columns()[name], field.name in OFFERED, field.name in TEXT_WIDE
    )


def _usual(field: Field, system: System) -> str:
    """Column of a field in a unit system."""
    names = field.columns()
    ours = [name for name, unit in names.items() if unit in _US]
    return ours[0] if system == "us" and ours else next(iter(names))


def layout_of_pass(pass_name: str, what: str = "") -> Layout:
    """Sheet a pass is written on: the rod log for the pilot, the reaming log for all others."""
    return "rod-log" if PILOT in (what, pass_name.strip().casefold()) else "ream-log"


def system_of_rig(book: Book, rig: str, otherwise: System = "metric") -> System:
    """The rig's own units; where it has none, the ones given."""
    known = book.rigs.get(rig)
    units = known.units if known else ""
    return "us" if units == "us" else "metric" if units == "metric" else otherwise
