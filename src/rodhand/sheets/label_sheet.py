"""Sheets of labels to stick on: a QR code, the mark, and four characters for hands."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from rodhand import __version__
from rodhand.book.yard.labels import Label
from rodhand.sheets.paper import FOLDER, PAGE_SIZE, created
from rodhand.sheets.qr_code import qr_code, qr_svg
from rodhand.units import System
from rodhand.words import say


@dataclass(frozen=True)
class LabelGrid:
    """How labels lie on a sheet: columns and rows, size of one and margins of the sheet [mm]."""

    columns: int
    rows: int
    wide: float
    high: float
    left: float
    top: float


GRIDS = {
    "metric": LabelGrid(3, 8, 70.0, 37.0, 0.0, 0.5),
    "us": LabelGrid(3, 10, 66.7, 25.4, 4.8, 12.7),
}
"""24 to an A4 sheet, 70 by 37 mm; 30 to a Letter sheet, 2 5/8 by 1 in: sizes sold widely (common
practice, no source)."""


def label_address(base: str, code: str) -> str:
    """What a label's QR code says: an address of these pages in capitals, or the code alone.

    Examples
    --------
    >>> label_address("http://192.0.2.7:8765/", "K7QM")
    'HTTP://192.0.2.7:8765/L/K7QM'
    """
    return f"{base.rstrip('/')}/L/{code}".upper() if base else code


def label_pdf(
    labels: Sequence[Label],
    base: str,
    system: System,
    invented: bool,
    skip: int = 0,
    language: str = "en",
) -> bytes:
    """Labels as PDF; the same labels give the same bytes.

    Parameters
    ----------
    labels : sequence of Label
        In the order they are printed, row by row of the sheet.
    base : str
        Address of these pages as phones reach them; empty for codes that open nothing.
    system : {"metric", "us"}
        Size of the sheet.
    invented : bool
        Whether the book is invented; it is printed on each label.
    skip : int
        Places already used on the first sheet.
    language : str
        Language of the words.

    Returns
    -------
    bytes
        The PDF, fonts inside.

    Raises
    ------
    TooLongError
        If the address is longer than a code of this size holds.
    """
    import typst

    grid = GRIDS[system]
    cells = [None] * (skip % (grid.columns * grid.rows)) + [
        {
            "name": each.name,
            "row": say("labels.row_short", language, row=each.row) if each.row else "",
            "code": each.code,
            "under": each.under,
            "qr": qr_svg(qr_code(label_address(base, each.code))),
        }
        for each in labels
    ]
    sheet = {
        "page": PAGE_SIZE[system],
        "language": language,
        "title": say("labels.title", language),
        "invented": say("labels.invented", language) if invented else "",
        "foot": __version__,
        "grid": vars(grid),
        "cells": cells,
    }
    return typst.compile(
        FOLDER / "typst" / "labels.typ",
        root=FOLDER / "typst",
        font_paths=[FOLDER / "fonts"],
        ignore_system_fonts=True,
        sys_inputs={"paper": json.dumps(sheet, ensure_ascii=False)},
        timestamp=created(""),
    )
