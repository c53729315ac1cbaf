"""`rodhand sheets`: blank sheets to write on at the rig and in the yard."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, cast

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.words import say


def sheets(
    paper: Annotated[str, typer.Option("--paper", help=say("sheets.paper"))] = "",
    rods: Annotated[int | None, typer.Option("--rods", help=say("sheets.rods"))] = None,
    rig: Annotated[str, typer.Option("--rig", help=say("sheets.rig"))] = "",
    units: Annotated[str, typer.Option("--units", help=say("sheets.units"))] = "",
    out: Annotated[Path, typer.Option("--out", help=say("sheets.out"), file_okay=False)] = Path(),
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Print blank sheets: rod log, reaming log, loading list, checks.

    Their columns are those of the page they are typed into. No book is needed.
    """
    from rodhand.book.grid.blank_grid import blank_grid
    from rodhand.book.grid.grid import LAYOUTS, Layout
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.blank_sheets import blank_sheet, write_sheet
    from rodhand.units import System

    faults = []
    if paper and paper not in LAYOUTS:
        faults.append(Fault("sheet_paper", paper, column="--paper"))
    if units not in ("", "metric", "us"):
        faults.append(Fault("paper_units", units, column="--units"))
    if faults:
        raise BadInputError(faults, "sheets")
    system = cast("System | None", units or None)
    for layout in [paper] if paper else LAYOUTS:
        view = blank_grid(cast("Layout", layout), book, rig, rods, system)
        print(say("report.written", file=write_sheet(blank_sheet(view), out)))
