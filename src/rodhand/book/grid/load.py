"""The entry grid of a loading list: which rod lies where in the box, one entry for all of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.book.grid.grid import (
    GridHead,
    GridRow,
    GridSaved,
    GridView,
    grid_columns,
    system_of_rig,
)
from rodhand.book.grid.plan import GridFaultsError, Plan, standing, write
from rodhand.book.grid.signs import DITTO, SMUDGED
from rodhand.book.work.box_of import rig_named, rods_of_rig, row_and_place
from rodhand.book.work.in_force import is_invented
from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.entry import Draft, Entry
from rodhand.record.kept_open import journal_of
from rodhand.record.kinds import KINDS
from rodhand.record.marks import MarksError, expand_marks, fold
from rodhand.units import System

LOAD, ROD = "load", "rod"
ROWS_WHEN_UNKNOWN = 20
HOWS = next(field.choices for field in KINDS[LOAD].fields if field.name == "how")


@dataclass(frozen=True)
class _Box:
    """A rig's box while its grid is made, and the load entered of one day and bore."""

    book: Book
    rig: str
    stored: Entry | None


def load_grid(
    folder: Path, rig: str = "", bore: str = "", happened: str = "", rods: int | None = None,
    otherwise: System = "metric",
) -> GridView:  # fmt: skip
    """The grid of a rig's loading list.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str, optional
        The rig, in any spelling; the only one there is when empty.
    bore : str, optional
        Bore the box was loaded for.
    happened : str, optional
        Day as typed: a load entered of just this day and bore is shown again.
    rods : int, optional
        Rows to offer; as many as lay in the box when not given.
    otherwise : {"metric", "us"}, optional
        Units where the rig has none.

    Returns
    -------
    GridView
        One row a place, the rod that lay there last shown in it, and one more.

    Raises
    ------
    LookupError
        If there is no such rig.
    CannotReadError
        If the book cannot be read.
    """
    box = _open(folder, rig, bore, happened)
    system = system_of_rig(box.book, box.rig, otherwise)
    columns = grid_columns("loading", system)
    head = GridHead(happened, bore=bore)
    if box.stored is not None:
        payload = box.stored.payload
        head = GridHead(happened, box.stored.by, "", payload.get("how", ""), bore)
    return GridView("loading", box.rig, "", system, columns, (), tuple(_rows(box, rods)), head,
                    1, invented=is_invented(box.book))  # fmt: skip


def save_load(folder: Path, rig: str, rows: Sequence[GridRow], head: GridHead) -> GridSaved:
    """Write a loading list as one load; an earlier one of the same day and bore is struck.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    rows : sequence of GridRow
        As typed, first used first. A blank cell with a rod shown in it means that rod; a blank
        cell without one is an empty place.
    head : GridHead
        When, by whom, for which bore, and how the order is known: where it does not say, marked
        if every mark was typed, else by row.

    Returns
    -------
    GridSaved
        What was written and struck.

    Raises
    ------
    LookupError
        If there is no such rig.
    GridFaultsError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written.
    """
    box = _open(folder, rig, head.bore, head.happened)
    names, faults = _rods(box.book, rows)
    if not names and not faults:
        faults = [Fault("grid_no_rods")]
    if not head.happened:
        faults.append(Fault("grid_when", column="happened"))
    if faults:
        raise GridFaultsError(faults, rows)
    how = head.how or ("marked" if all(typed for _, typed in names) else "by row")
    payload = {"rig": box.rig, "things": ", ".join(name for name, _ in names), "how": how}
    payload |= {"bore": head.bore} if head.bore else {}
    if box.stored is not None and dict(box.stored.payload) == payload:
        return GridSaved(unchanged=1)
    struck = [box.stored.id] if box.stored else []
    plan = Plan([Draft(LOAD, payload, head.happened, by=head.by)], struck)
    return write(folder, plan, rows, head.by)


def _open(folder: Path, rig: str, bore: str, happened: str) -> _Box:
    journal = journal_of(folder)
    book, entries = journal.book(), journal.entries()
    found = rig_named(book, rig)
    if not found:
        raise LookupError(rig)
    stored = [
        entry
        for entry in standing(entries, LOAD)
        if fold(entry.payload.get("rig", "")) == fold(found)
        and fold(entry.payload.get("bore", "")) == fold(bore)
        and entry.happened == happened
    ]
    return _Box(book, found, stored[-1] if stored else None)


def _rows(box: _Box, rods: int | None) -> list[GridRow]:
    typed: tuple[str, ...] = ()
    if box.stored is not None:
        typed = expand_marks(box.stored.payload["things"])
    lay = [] if typed else [_name(box.book, key) for key in rods_of_rig(box.book, box.rig)]
    count = max(len(typed), rods if rods is not None else len(lay) or ROWS_WHEN_UNKNOWN) + 1
    rows = []
    for number in range(1, count + 1):
        row, place = row_and_place(box.book, box.rig, number)
        cells = {"row": str(row), "place": str(place)}
        if number <= len(typed):
            cells[ROD] = typed[number - 1]
        lies = lay[number - 1] if number <= len(lay) else ""
        rows.append(GridRow(cells, {ROD: lies} if lies else {}))
    return rows


def _name(book: Book, key: str | None) -> str:
    return book.things[key].name if key and key in book.things else ""


def _rods(book: Book, rows: Sequence[GridRow]) -> tuple[list[tuple[str, bool]], list[Fault]]:
    """Rods in order, each with whether its mark was typed, and faults by row."""
    names: list[tuple[str, bool]] = []
    faults: list[Fault] = []
    lines: dict[str, int] = {}
    for number, row in enumerate(rows, 1):
        typed = row.cells.get(ROD, "").strip()
        if typed in DITTO:
            faults.append(Fault("grid_rod_twice", typed, number, ROD))
            continue
        shown = row.offered.get(ROD, "")
        name = shown if typed in ("", SMUDGED) else typed
        if not name:
            faults += [Fault("grid_rod_smudged", typed, number, ROD)] if typed else []
            continue
        marks = _marks(book, name, number, faults)
        names += [(mark, name is typed) for mark in marks]
        for mark in marks:
            lines.setdefault(mark, number)
    counted = Counter(fold(name) for name, _ in names)
    faults += [
        Fault("grid_rod_twice", name, lines[name], ROD)
        for name in dict.fromkeys(name for name, _ in names)
        if counted[fold(name)] > 1
    ]
    return names, sorted(faults, key=lambda fault: fault.line or 0)


def _marks(book: Book, name: str, number: int, faults: list[Fault]) -> tuple[str, ...]:
    """Marks of one cell, a run of them where a range was typed; unknown ones are told."""
    try:
        marks = expand_marks(name)
    except MarksError as error:
        faults.append(Fault(error.code, name, number, ROD, {"part": error.found}))
        return ()
    unknown = [mark for mark in marks if book.thing_named(mark) is None]
    faults += [Fault("thing_unknown", mark, number, ROD) for mark in unknown]
    return marks
