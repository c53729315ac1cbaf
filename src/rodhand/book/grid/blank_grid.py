"""A grid with nothing in it, to be printed: with a rig of the book its rods as they lie."""

from __future__ import annotations

from pathlib import Path

from rodhand.book.grid.checks import ENDS, ITEM
from rodhand.book.grid.grid import (
    GridHead,
    GridRow,
    GridView,
    Layout,
    grid_columns,
    system_of_rig,
)
from rodhand.book.work.box_of import rig_named, rods_of_rig, row_and_place
from rodhand.book.work.in_force import is_invented
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.database import FILE_NAME
from rodhand.record.kept_open import journal_of
from rodhand.units import System

RODS_WHEN_UNKNOWN = 36
MOST_RODS = 1000


def blank_grid(
    layout: Layout, folder: Path | None = None, rig: str = "", rods: int | None = None,
    units: System | None = None,
) -> GridView:  # fmt: skip
    """What a blank sheet shows.

    Parameters
    ----------
    layout : str
        One of `rodhand.book.grid.grid.LAYOUTS`.
    folder : Path, optional
        A book's folder; a sheet needs none.
    rig : str, optional
        Rig of the book whose rods are printed in; a sheet without marks when empty.
    rods : int, optional
        How many; as many as lie in the box, or `RODS_WHEN_UNKNOWN`, when not given.
    units : {"metric", "us"}, optional
        The rig's own, else metric, when not given.

    Returns
    -------
    GridView
        Rows without values.

    Raises
    ------
    BadInputError
        If there is no such rig, or no such number of rods.
    CannotReadError
        If the book cannot be read.
    """
    book, found = _book_and_rig(folder, rig)
    if rods is not None and not 1 <= rods <= MOST_RODS:
        values = {"most": str(MOST_RODS)}
        raise BadInputError([Fault("sheet_rods", str(rods), column="--rods", values=values)])
    keys = rods_of_rig(book, found) if found else ()
    count = rods or len(keys) or RODS_WHEN_UNKNOWN
    names = [book.things[key].name if key else "" for key in keys[:count]]
    names += [""] * (count - len(names))
    if layout == "ream-log":  # stations count down, from what only who prints it can say
        rows = [_station(str(number) if rods else "") for number in range(count, 0, -1)]
    else:
        rows = [row for number, name in enumerate(names, 1)
                for row in _rows(layout, book, found, number, name)]  # fmt: skip
    system = units or system_of_rig(book, found)
    columns = grid_columns(layout, system)
    return GridView(layout, found, "", system, columns, (), tuple(rows), GridHead(),
                    invented=is_invented(book))  # fmt: skip


def _book_and_rig(folder: Path | None, rig: str) -> tuple[Book, str]:
    if not rig:
        return Book(), ""
    if folder is None or not (folder / FILE_NAME).exists():
        raise BadInputError([Fault("sheet_rig", rig, column="--rig")])
    book = journal_of(folder).book()
    found = rig_named(book, rig)
    if not found:
        raise BadInputError([Fault("sheet_rig", rig, column="--rig")])
    return book, found


def _rows(layout: Layout, book: Book, rig: str, number: int, name: str) -> list[GridRow]:
    row, place = row_and_place(book, rig, number)
    if layout == "checks":
        where = f"{row} / {place}" if rig else str(number)
        told = {"row": where, "things": name, "item": ITEM}
        return [GridRow({}, {**told, "end": end}) for end in ENDS]
    if layout == "loading":
        where = str(row) if rig else ""
        return [GridRow({}, {"row": where, "place": str(place), "rod": name})]
    return [_station(str(number), name)]


def _station(station: str, rod: str = "") -> GridRow:
    return GridRow({}, {"station": station, "rod": rod})
