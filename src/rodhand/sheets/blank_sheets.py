"""Blank sheets to print: their columns are the entry grid's, in the same order and units."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from rodhand import __version__
from rodhand.advice.rules import Rule
from rodhand.book.grid.checks import ENDS, rules_of_ends
from rodhand.book.grid.grid import GridColumn, GridView
from rodhand.faults import CannotReadError
from rodhand.sheets.paper import FOLDER, PAGE_SIZE, created, replace_file
from rodhand.units import System
from rodhand.words import IN_FORCE, language_in_force, say

WEIGHTS: Mapping[str, float] = {
    "station": 0.8, "rod": 1.5, "row": 0.9, "place": 0.9, "things": 1.6, "end": 0.8, "item": 1.4,
    "remark": 3.2, "note": 3.0, "found": 3.0, "gauge": 1.2,
}  # fmt: skip
"""Widths of columns beside a column of numbers, which is 1.2."""
NUMBER_WEIGHT = 1.2
WRITTEN_OVER = frozenset({"rod", "length"})
"""Columns in which what is printed is only what should be there."""
ROW_HEIGHT = {"checks": 10.0}
"""Height of a row of boxes in mm, so that the three of a rod stand on one page."""
USUAL_ROW_HEIGHT = 11.5
HEADS = {
    "rod-log": ("rig", "bore", "pass", "date", "by", "heading_ref"),
    "ream-log": ("rig", "bore", "pass", "date", "by"),
    "loading": ("rig", "bore", "date", "by"),
    "checks": ("rig", "bore", "date", "by"),
}


@dataclass(frozen=True)
class SheetHead:
    """One box at the head of every page."""

    label: str
    value: str = ""
    weight: float = 1.0


@dataclass(frozen=True)
class SheetColumn:
    """One column of boxes; ``name`` is the grid's, ``small`` print leaves the box to write in."""

    name: str
    label: str
    unit: str
    weight: float
    small: bool = False


@dataclass(frozen=True)
class SheetRow:
    """One row of boxes.

    Parameters
    ----------
    cells : tuple of str
        What is printed in each.
    first : bool
        Whether a heavier line stands over it.
    together : int
        How many rows from this one on stay on one page; 0 in those that follow.
    """

    cells: tuple[str, ...]
    first: bool
    together: int = 1


@dataclass(frozen=True)
class BlankSheet:
    """A blank sheet, ready to be drawn."""

    name: str
    title: str
    heads: tuple[SheetHead, ...]
    columns: tuple[SheetColumn, ...]
    rows: tuple[SheetRow, ...]
    legend: tuple[tuple[str, ...], ...]
    system: System
    invented: bool
    language: str = IN_FORCE


def column_label(column: GridColumn, language: str = IN_FORCE) -> str:
    """Words over a column, the same on the sheet and in the grid."""
    return say(f"grid.column.{column.field}", language)


def unit_label(column: GridColumn, language: str = IN_FORCE) -> str:
    """Unit of a column in words; empty where there is none."""
    return say(f"unit.{column.unit}", language) if column.unit else ""


def blank_sheet(view: GridView, language: str = IN_FORCE) -> BlankSheet:
    """The sheet of a grid.

    Parameters
    ----------
    view : GridView
        A grid; what is typed in it is not printed, what is offered is.
    language : str, optional
        Language of the words.

    Returns
    -------
    BlankSheet
        Boxes, and for looks the list of what is looked at.
    """
    columns = tuple(
        SheetColumn(column.name, column_label(column, language), unit_label(column, language),
                    WEIGHTS.get(column.field, NUMBER_WEIGHT), column.field in WRITTEN_OVER)
        for column in view.columns
    )  # fmt: skip
    rows = []
    before = None
    for row in view.rows:
        cells = tuple(row.offered.get(column.name, "") for column in view.columns)
        group = row.offered.get("row") if view.layout in ("loading", "checks") else None
        first = bool(group) and group != before
        together = 1 if view.layout != "checks" else len(ENDS) if first else 0
        rows.append(SheetRow(cells, first, together))
        before = group
    return BlankSheet(
        view.layout,
        say(f"grid.title.{view.layout}", language),
        tuple(_head(name, view, language) for name in HEADS[view.layout]),
        columns,
        tuple(rows),
        _legend(language) if view.layout == "checks" else (),
        view.system,
        view.invented,
        language,
    )


def _head(name: str, view: GridView, language: str) -> SheetHead:
    value = view.subject if name == "rig" else ""
    return SheetHead(say(f"grid.head.{name}", language), value, 1.4 if name == "bore" else 1.0)


def _legend(language: str) -> tuple[tuple[str, ...], ...]:
    """What is looked at on each end, by the rule table: limit, source, how sure the number is."""
    return tuple(_rule_row(end, rule, language) for end in ENDS for rule in rules_of_ends()[end])


def _rule_row(end: str, rule: Rule, language: str) -> tuple[str, ...]:
    limit = rule.limit_unit
    if rule.limit is not None:
        limit = f"{rule.limit:g} {rule.limit_unit}"
    sure = say(f"grid.standing_of_number.{rule.standing_of_number}", language)
    return (
        end, rule.key, limit or say("grid.no_limit", language),
        say(f"standing.{rule.standing.replace(' ', '_')}", language), f"{rule.source} ({sure})",
    )  # fmt: skip


def sheet_json(sheet: BlankSheet) -> str:
    """What the template is given; the two private signs stand for page number and pages."""
    language = sheet.language
    legend = {
        "heading": say("grid.legend", language),
        "columns": [say(f"grid.legend_{name}", language)
                    for name in ("end", "item", "limit", "standing", "source")],
        "rows": sheet.legend,
        "notes": [say("grid.legend_note", language), say("grid.legend_govern", language)],
    }  # fmt: skip
    return json.dumps(
        {
            "page": PAGE_SIZE[sheet.system],
            "language": language or language_in_force(),
            "title": sheet.title,
            "how": say(f"grid.how.{sheet.name}", language),
            "invented": say("paper.invented", language) if sheet.invented else "",
            "heads": [asdict(head) for head in sheet.heads],
            "columns": [asdict(column) for column in sheet.columns],
            "rows": [asdict(row) for row in sheet.rows],
            "legend": legend,
            "row_height": ROW_HEIGHT.get(sheet.name, USUAL_ROW_HEIGHT),
            "foot": say("grid.foot", language, title=sheet.title, version=__version__),
            "page_words": say("paper.page", language, page="\ue000", pages="\ue001"),
        },
        ensure_ascii=False,
    )


def sheet_pdf(sheet: BlankSheet) -> bytes:
    """Draw a blank sheet as PDF; the same sheet gives the same bytes.

    Returns
    -------
    bytes
        The PDF: A4 in metric, US Letter in US units, both lying; fonts inside.
    """
    import typst

    return typst.compile(
        FOLDER / "typst" / "sheet.typ",
        root=FOLDER / "typst",
        font_paths=[FOLDER / "fonts"],
        ignore_system_fonts=True,
        sys_inputs={"paper": sheet_json(sheet)},
        timestamp=created(""),
    )


def write_sheet(sheet: BlankSheet, folder: Path) -> Path:
    """Write a blank sheet into a folder, whole or not at all.

    Returns
    -------
    Path
        The file; an earlier one of this name is replaced.

    Raises
    ------
    CannotReadError
        If the folder or the file cannot be written.
    """
    target = folder / f"{sheet.name}.pdf"
    content = sheet_pdf(sheet)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        replace_file(target, content)
    except OSError as error:
        raise CannotReadError(str(target), error.strerror or str(error)) from error
    return target
