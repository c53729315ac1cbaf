"""A table as a person gave it: headings, rows of texts, and the line each row stands on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from rodhand.faults import BadInputError, Fault
from rodhand.sheets.flags import Flag
from rodhand.sheets.grids import Grid, read_grid


@dataclass(frozen=True)
class Table:
    """Headings and rows of a file.

    Parameters
    ----------
    source : str
        Name of the file.
    form : {"csv", "xlsx"}
        What the file was.
    headings : tuple of str
        Headings as typed; none is blank above cells that hold something.
    rows : tuple of tuple of str
        Cells as typed, each row as long as the headings.
    lines : tuple of int
        Line of each row, counted from 1 as the file shows it.
    faults : tuple of Fault
        Rows and headings that do not fit together. Whoever uses the table must tell them.
    flags : tuple of Flag
        What is doubtful and was kept.
    """

    source: str
    form: Literal["csv", "xlsx"]
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    faults: tuple[Fault, ...] = ()
    flags: tuple[Flag, ...] = ()

    def column(self, position: int) -> list[str]:
        """All cells of one column, counted from 0."""
        return [row[position] for row in self.rows]


def read_table(path: Path | str, sheet: str | None = None) -> Table:
    """Read a CSV or XLSX file whose first row holds the headings.

    Parameters
    ----------
    path : Path or str
        The file.
    sheet : str, optional
        Sheet of a workbook; its first one with anything in it when not given.

    Returns
    -------
    Table
        Headings and rows, with faults of single rows in it.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        If the file as a whole cannot be used.
    """
    return table_of(read_grid(path, sheet))


def table_of(grid: Grid, heading_line: int | None = None, unit_line: int | None = None) -> Table:
    """Cut a grid into headings and rows.

    Parameters
    ----------
    grid : Grid
        Rows of the file.
    heading_line : int, optional
        Line of the headings; the first one that holds anything when not given. Lines above it
        (a title, a date) are left out.
    unit_line : int, optional
        Line under the headings that holds units; each is put in brackets behind its heading.

    Returns
    -------
    Table
        Headings and rows.

    Raises
    ------
    BadInputError
        If there is no such line, or no row under the headings.
    """
    start = 0 if heading_line is None else _position(grid, heading_line)
    headings = grid.cells[start]
    first = start + 1
    if unit_line is not None:
        units = grid.cells[_position(grid, unit_line)]
        padded = _fitted(units, len(headings))
        headings = tuple(f"{head} [{unit}]" if unit else head
                         for head, unit in zip(headings, padded, strict=True))  # fmt: skip
        first = _position(grid, unit_line) + 1
    rows, lines = grid.cells[first:], grid.lines[first:]
    if not rows:
        raise BadInputError([Fault("no_rows", line=grid.lines[start])], grid.source)
    width = len(headings)
    while (
        width
        and not headings[width - 1]
        and not any(map(any, (row[width - 1 : width] for row in rows)))
    ):
        width -= 1  # blank to the bottom: an empty column behind the table
    headings = headings[:width]
    faults = _blank_heading_faults(headings, rows, grid.lines[start])
    faults += _ragged_faults(grid, first, width)
    fitted = tuple([row if len(row) == width else _fitted(row, width) for row in rows])
    return Table(grid.source, grid.form, headings, fitted, lines, tuple(faults), grid.flags)


def _position(grid: Grid, line: int) -> int:
    if line not in grid.lines:
        raise BadInputError([Fault("line_is_blank", line=line)], grid.source)
    return grid.lines.index(line)


def _fitted(row: tuple[str, ...], width: int) -> tuple[str, ...]:
    return row[:width] + ("",) * (width - len(row))


def _blank_heading_faults(
    headings: tuple[str, ...], rows: tuple[tuple[str, ...], ...], line: int
) -> list[Fault]:
    return [
        Fault("heading_blank", line=line, column=str(place + 1))
        for place, head in enumerate(headings)
        if not head and any(len(row) > place and row[place] for row in rows)
    ]


def _ragged_faults(grid: Grid, first: int, width: int) -> list[Fault]:
    """Rows whose cells do not stand under the headings.

    A workbook leaves blank cells at a row's end out; in a CSV a missing delimiter would move
    every later value into its neighbour's column, so a short row is a fault there.
    """
    faults = []
    for line, row in zip(grid.lines[first:], grid.cells[first:], strict=True):
        if len(row) == width:
            continue
        values = {"cells": str(len(row)), "headings": str(width)}
        if any(row[width:]):
            extra = " | ".join(cell for cell in row[width:] if cell)[:60]
            faults.append(Fault("row_too_long", extra, line, values=values))
        elif len(row) < width and grid.form == "csv":
            faults.append(Fault("row_too_short", " | ".join(row)[:60], line, values=values))
    return faults
