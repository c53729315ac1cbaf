"""The entry grid of a walk along the box: pin, box and tube of every rod."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.rules import Rule, rules_from_rows
from rodhand.book.grid.grid import (
    CHECK,
    GridColumn,
    GridHead,
    GridRow,
    GridSaved,
    GridView,
    grid_columns,
    system_of_rig,
)
from rodhand.book.grid.plan import (
    GridFaultsError,
    Subject,
    common_head,
    row_of,
    save_rows,
    standing,
)
from rodhand.book.work.box_of import rig_named, rods_of_rig, row_and_place
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.tables import data_rows
from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.entry import Entry
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import fold
from rodhand.units import System

ENDS = ("pin", "box", "tube")
ITEM = "full-look"
"""Item a row comes with: everything the sheet's list asks of that end."""
KEY = ("things", "end", "item")
ROW = "row"
PARTS_OF_END: Mapping[str, tuple[str, ...]] = {
    "pin": ("pin", "threads", "shoulder", "joint"),
    "box": ("box", "threads", "shoulder", "joint"),
    "tube": ("tube", "whole"),
}


def rules_of_ends() -> dict[str, tuple[Rule, ...]]:
    """What is looked at on each end of a rod, by the rule table, with limit and source."""
    rules = rules_from_rows(data_rows("rules.csv")).values()
    return {
        end: tuple(rule for part in parts for rule in rules
                   if rule.part == part and rule.key != ITEM)
        for end, parts in PARTS_OF_END.items()
    }  # fmt: skip


@dataclass(frozen=True)
class _Walk:
    """A rig's box while its grid is made, and the looks entered of one day."""

    book: Book
    rig: str
    happened: str
    stored: tuple[Entry, ...]


def checks_grid(
    folder: Path, rig: str = "", happened: str = "", otherwise: System = "metric"
) -> GridView:
    """The grid of a rig's looks.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str, optional
        The rig, in any spelling; the only one there is when empty.
    happened : str, optional
        Day as typed: looks entered of just this day are shown again.
    otherwise : {"metric", "us"}, optional
        Units where the rig has none.

    Returns
    -------
    GridView
        Three rows a rod in walking order, and one more.

    Raises
    ------
    LookupError
        If there is no such rig.
    CannotReadError
        If the book cannot be read.
    """
    walk = _open(folder, rig, happened)
    system = system_of_rig(walk.book, walk.rig, otherwise)
    rows = _rows(walk)
    used = {name for row in rows if row.entry for name in row.cells}
    columns = grid_columns("checks", system, used)
    head = common_head(walk.stored, happened)
    return GridView("checks", walk.rig, "", system, columns, (), tuple(rows), head,
                    invented=is_invented(walk.book))  # fmt: skip


def save_checks(
    folder: Path, rig: str, columns: Sequence[GridColumn], rows: Sequence[GridRow],
    head: GridHead, keep: bool = False,
) -> GridSaved:  # fmt: skip
    """Write the grid of a rig's looks; see `rodhand.book.grid.plan.save_rows`.

    Raises
    ------
    LookupError
        If there is no such rig.
    GridFaultsError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written.
    """
    walk = _open(folder, rig, head.happened)
    kept = [column for column in columns if column.name != ROW]
    plain = [_without_row(row) for row in rows]
    if not head.happened:
        raise GridFaultsError([Fault("grid_when", column="happened")], plain)
    subject = Subject(CHECK, {}, KEY, head.happened)
    return save_rows(folder, subject, kept, plain, head, walk.stored, keep)


def _without_row(row: GridRow) -> GridRow:
    cells = {name: text for name, text in row.cells.items() if name != ROW}
    return GridRow(cells, row.offered, row.entry, row.as_above)


def _open(folder: Path, rig: str, happened: str) -> _Walk:
    journal = journal_of(folder)
    book, entries = journal.book(), journal.entries()
    found = rig_named(book, rig)
    if not found:
        raise LookupError(rig)
    stored = [each for each in standing(entries, CHECK) if happened and each.happened == happened]
    return _Walk(book, found, happened, tuple(stored))


def _rows(walk: _Walk) -> list[GridRow]:
    """Every end of every rod in walking order; what is stored in place of what is offered."""
    held: dict[tuple[str, str], list[Entry]] = {}
    for entry in walk.stored:
        own = fold(entry.payload.get("things", "")), entry.payload.get("end", "")
        held.setdefault(own, []).append(entry)
    rows = []
    for number, key in enumerate(rods_of_rig(walk.book, walk.rig), 1):
        if key is None or key not in walk.book.things:
            continue
        name = walk.book.things[key].name
        row, place = row_and_place(walk.book, walk.rig, number)
        where = {ROW: f"{row} / {place}"}
        for end in ENDS:
            stored = held.pop((fold(name), end), [])
            rows += [row_of(entry, where) for entry in stored]
            if not any(entry.payload.get("item") == ITEM for entry in stored):
                rows.append(GridRow({"things": name, "end": end, "item": ITEM}, where))
    others = [row_of(entry) for entries in held.values() for entry in entries]
    return [*rows, *others, GridRow({"item": ITEM}, {})]
