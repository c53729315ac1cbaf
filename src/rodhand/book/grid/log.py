"""The entry grid of a pass: what was read rod by rod, typed from its sheet."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.grid.grid import (
    FIELDS_OF,
    OFFERED,
    PILOT,
    READING,
    GridColumn,
    GridHead,
    GridRow,
    GridSaved,
    GridView,
    grid_columns,
    layout_of_pass,
    system_of_rig,
)
from rodhand.book.grid.plan import Subject, common_head, row_of, save_rows, standing
from rodhand.book.work.box_of import offered_rods
from rodhand.book.work.in_force import is_invented
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.entry import Entry
from rodhand.record.kept_open import journal_of
from rodhand.record.kinds_bores import READING_FIELDS
from rodhand.record.marks import fold
from rodhand.units import System, from_si

STATION, ANEW = "station", "anew"
REFERENCES = next(field.choices for field in READING_FIELDS if field.name == "heading_ref")
"""What headings may be counted from."""
ROWS_WHEN_UNKNOWN = 20
MOST_ROWS = 2000
"""Rows a page offers; a longer log is a file and comes in as a table."""
AWAY_FROM_RIG = ("pilot", "push-ream")


@dataclass(frozen=True)
class _Pass:
    """A pass while its grid is made: what is stored of it and what the book knows beside."""

    book: Book
    bore: Bore
    name: str
    what: str
    stored: tuple[Entry, ...]

    @property
    def step(self) -> int:
        return 1 if self.what in AWAY_FROM_RIG else -1

    @property
    def day(self) -> str:
        return self.bore.origin.happened.start[:10] or "unknown"


def log_grid(
    folder: Path, bore: str, pass_name: str = "", rods: int | None = None,
    chosen: Collection[str] | None = None, otherwise: System = "metric",
) -> GridView:  # fmt: skip
    """The grid of a pass.

    Parameters
    ----------
    folder : Path
        The book's folder.
    bore : str
        The bore, in any spelling.
    pass_name : str, optional
        The pass; the pilot when empty. It need not be there yet.
    rods : int, optional
        Rows to offer; by the box or by the pilot when not given.
    chosen : collection of str, optional
        Fields to ask for; all of the sheet's when not given.
    otherwise : {"metric", "us"}, optional
        Units where the rig has none.

    Returns
    -------
    GridView
        Rows the book holds, those it does not hold yet, and one more.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    CannotReadError
        If the book cannot be read.
    """
    each = _open(folder, bore, pass_name)
    system = system_of_rig(each.book, each.bore.rig, otherwise)
    layout = layout_of_pass(each.name, each.what)
    used = {name for entry in each.stored for name in row_of(entry).cells}
    columns = grid_columns(layout, system, used, chosen)
    offered = _offered(each, columns)
    return GridView(
        layout, each.bore.name, each.name, system, columns,
        tuple(name for name in FIELDS_OF[layout] if name not in OFFERED),
        tuple(_rows(each, offered, rods)),
        common_head(each.stored, each.day),
        each.step,
        invented=is_invented(each.book),
    )  # fmt: skip


def save_log(
    folder: Path, bore: str, pass_name: str, columns: Sequence[GridColumn],
    rows: Sequence[GridRow], head: GridHead, keep: bool = False,
) -> GridSaved:  # fmt: skip
    """Write the grid of a pass; see `rodhand.book.grid.plan.save_rows`.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    GridFaultsError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written.
    """
    each = _open(folder, bore, pass_name)
    common = {"bore": each.bore.name, "pass": each.name}
    subject = Subject(READING, common, (STATION, ANEW), each.day)
    return save_rows(folder, subject, columns, rows, head, each.stored, keep)


def _open(folder: Path, bore: str, pass_name: str) -> _Pass:
    journal = journal_of(folder)
    book, entries = journal.book(), journal.entries()
    found = next((each for name, each in book.bores.items() if fold(name) == fold(bore)), None)
    if found is None:
        raise NoSuchBoreError(bore)
    name = " ".join(pass_name.split()) or PILOT
    known = next((each for each in found.passes if fold(each.name) == fold(name)), None)
    name = known.name if known else name
    stored = [
        entry
        for entry in standing(entries, READING)
        if fold(entry.payload.get("bore", "")) == fold(found.name)
        and fold(entry.payload.get("pass", "") or PILOT) == fold(name)
    ]
    what = known.what if known else PILOT if fold(name) == PILOT else "ream"
    step = 1 if what in AWAY_FROM_RIG else -1
    stored.sort(key=lambda entry: (entry.payload.get(ANEW, ""), step * _station(entry.payload)))
    return _Pass(book, found, name, what, tuple(stored))


def _station(cells: Mapping[str, str]) -> float:
    try:
        return float(cells.get(STATION, ""))
    except ValueError:
        return math.inf


def _rows(each: _Pass, offered: dict[int, dict[str, str]], rods: int | None) -> list[GridRow]:
    """Stored rows, rows nobody entered yet in their places, and one more to go on with."""
    rows = [row_of(entry, offered.get(_whole(_station(entry.payload)))) for entry in each.stored]
    there = {_whole(_station(row.cells)) for row in rows}
    last = min(max(_last_row(each, rods, there), 0), MOST_ROWS)
    first = 0 if 0 in there else 1
    rows += [_blank(n, offered) for n in range(first, last + 1) if n not in there]
    rows.sort(key=lambda row: (row.cells.get(ANEW, ""), each.step * _station(row.cells)))
    beyond = last + 1 if each.step > 0 else first - 1
    if beyond >= 0 and beyond not in there:
        rows.append(_blank(beyond, offered))
    return rows


def _blank(station: int, offered: dict[int, dict[str, str]]) -> GridRow:
    return GridRow({STATION: str(station)}, offered.get(station) or offered.get(-1, {}))


def _whole(station: float) -> int:
    return int(station) if math.isfinite(station) and station == int(station) else -1


def _last_row(each: _Pass, rods: int | None, there: set[int]) -> int:
    """Last station a row is offered for."""
    last = max(there, default=0)
    if rods is not None:
        return max(last, rods)
    if each.stored:
        return last
    pilot = each.bore.pass_of(PILOT)
    drilled = int(max((row.station for row in pilot.readings), default=0)) if pilot else 0
    return drilled or len(offered_rods(each.book, each.bore)) or ROWS_WHEN_UNKNOWN


def _offered(each: _Pass, columns: Sequence[GridColumn]) -> dict[int, dict[str, str]]:
    """What is shown in blank cells, by station; -1 for rows beyond the box.

    A rod shown is the one the order of the box has there; kept as read is only a mark that was
    typed. A length shown is the rod's own or its type's, which counts anyway.
    """
    names = {column.field: column for column in columns}
    rods = offered_rods(each.book, each.bore) if "rod" in names else ()
    rig = each.book.rigs.get(each.bore.rig)
    rod_type = each.book.rod_types.get(rig.rod_type) if rig else None
    usual = rod_type.length if rod_type else None
    column = names.get("length")
    found = {-1: _cells(column, usual, "")}
    for station, key in enumerate(rods, 1):
        thing = each.book.things.get(key) if key else None
        length = thing.length if thing and thing.length is not None else usual
        found[station] = _cells(column, length, thing.name_on(each.day) if thing else "")
    return found


def _cells(column: GridColumn | None, length: float | None, rod: str) -> dict[str, str]:
    cells = {"rod": rod} if rod else {}
    if column is not None and length is not None:
        cells[column.name] = f"{from_si(length, 'length', column.unit):.4g}"
    return cells
