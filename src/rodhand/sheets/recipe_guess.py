"""Propose a recipe for a table with any headings, from their words, units and numbers.

A proposal is only a question: it is shown with the first rows as it understands them, and kept
under a name once somebody said yes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from rodhand.faults import BadInputError, Fault
from rodhand.sheets.foreign_units import our_suffix
from rodhand.sheets.grids import Grid
from rodhand.sheets.heading_words import Heading, meanings, modifiers, take_apart, unit_alone
from rodhand.sheets.log_columns import log_columns
from rodhand.sheets.numbers import BLANKS, DECIMAL_COMMA
from rodhand.sheets.recipes import FIELDS, PITCH_START, REFERENCES, Recipe, Spec
from rodhand.sheets.tables import Table, table_of

HEADING_WITHIN = 30  # lines in which the headings are looked for
_DECIMAL_POINT = re.compile(r"[+\-−]?\d*\.\d+%?")
_US_UNITS = frozenset(("ft", "in", "lb", "kip", "ftlb", "kftlb"))


@dataclass(frozen=True)
class ColumnGuess:
    """What one column is proposed to be.

    Parameters
    ----------
    heading : str
        As typed.
    spec : Spec or None
        The proposal; None for a column that is left out.
    doubts : tuple of str
        Why somebody must look: ``unit_assumed``, ``pitch_down_assumed``, ``mean_pitch``.
    """

    heading: str
    spec: Spec | None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Guess:
    """A proposed recipe, and what is proposed for each column in the table's order."""

    recipe: Recipe
    columns: tuple[ColumnGuess, ...]


@dataclass(frozen=True)
class _Column:
    """One column while its meaning is looked for."""

    position: int
    heading: str
    parts: Heading
    says: frozenset[str]
    numbers: tuple[float, ...]
    numeric: bool


def guess_recipe(grid: Grid, name: str) -> Guess:
    """Propose a recipe.

    Parameters
    ----------
    grid : Grid
        The file.
    name : str
        Name the recipe will be kept under.

    Returns
    -------
    Guess
        The proposal.

    Raises
    ------
    BadInputError
        If no line within the first `HEADING_WITHIN` holds headings that mean anything.
    """
    start, unit_line = _find_headings(grid)
    heading_line = grid.lines[start]
    table = table_of(grid, heading_line, unit_line)
    comma = _has_decimal_commas(table)
    columns = [_column(table, position, comma) for position in range(len(table.headings))]
    chosen = _assign([column for column in columns if column.heading])
    guesses = _specify(columns, chosen)
    specs = {guess.heading.lower(): guess.spec for guess in guesses if guess.spec is not None}
    fields = {spec.field.name for spec in specs.values()}
    recipe = Recipe(
        name, specs, comma,
        heading_line if start else None, unit_line,
        number_rows=not fields & {"station", "md"},
    )  # fmt: skip
    return Guess(recipe, tuple(guesses))


def first_rows(grid: Grid, recipe: Recipe, count: int = 5) -> Table:
    """The first rows of a file as a recipe understands them, under our headings.

    Parameters
    ----------
    grid : Grid
        The file.
    recipe : Recipe
        The recipe.
    count : int, optional
        How many rows of the file.

    Returns
    -------
    Table
        The rows; one more than ``count`` where the first rod's start is read as station 0.
    """
    table = table_of(grid, *recipe.lines)
    return recipe.apply(replace(table, rows=table.rows[:count], lines=table.lines[:count]))[0]


def _find_headings(grid: Grid) -> tuple[int, int | None]:
    """Row with the most cells that mean something, and the line of units under it."""
    best, best_score = 0, 0.0
    for row, cells in enumerate(grid.cells[:HEADING_WITHIN]):
        names = [cell for cell in cells if cell and not _is_number(cell, True)]
        score = sum(min(1.0, _meaning_score(cell)) for cell in names)
        if score > best_score + 0.01:
            best, best_score = row, score
    if best_score == 0.0 or best + 1 >= len(grid.cells):
        found = ", ".join(grid.cells[0])[:120]
        raise BadInputError([Fault("headings_mean_nothing", found, grid.lines[0])], grid.source)
    below = [cell for cell in grid.cells[best + 1] if cell]
    units = sum(unit_alone(cell) for cell in below)
    has_units = units >= 1 and units >= 0.5 * len(below) and best + 2 < len(grid.cells)
    return best, grid.lines[best + 1] if has_units else None


def _meaning_score(cell: str) -> float:
    found = meanings(take_apart(cell))
    return found[0].score if found else 0.0


def _is_number(cell: str, comma: bool) -> bool:
    return _number(cell, comma) is not None


def _number(cell: str, comma: bool) -> float | None:
    text = cell.replace("−", "-").removesuffix("%").strip()
    if comma and DECIMAL_COMMA.fullmatch(text):
        text = text.replace(",", ".")
    try:
        return float(text)
    except ValueError:
        return None


def _has_decimal_commas(table: Table) -> bool:
    cells = [cell for row in table.rows[:200] for cell in row]
    commas = any(DECIMAL_COMMA.fullmatch(cell) for cell in cells)
    return commas and not any(_DECIMAL_POINT.fullmatch(cell) for cell in cells)


def _column(table: Table, position: int, comma: bool) -> _Column:
    heading = table.headings[position]
    parts = take_apart(heading)
    cells = [cell for cell in table.column(position)[:500] if cell not in BLANKS]
    numbers = [number for cell in cells if (number := _number(cell, comma)) is not None]
    numeric = bool(cells) and len(numbers) >= 0.8 * len(cells)
    return _Column(position, heading, parts, modifiers(parts), tuple(numbers), numeric)


def _assign(columns: list[_Column]) -> dict[str, _Column]:
    """Field to column: the best word match first, each field and column once."""
    offers = [
        (score, -column.position, field, column)
        for column in columns
        for field, score in _readings(column).items()
    ]
    chosen: dict[str, _Column] = {}
    taken: set[int] = set()
    for _, _, field, column in sorted(offers, key=lambda offer: offer[:2], reverse=True):
        if field not in chosen and column.position not in taken:
            chosen[field] = column
            taken.add(column.position)
    _depth_along_the_hole(chosen)
    return chosen


def _depth_along_the_hole(chosen: dict[str, _Column]) -> None:
    """In a survey of a well the rising depth beside the angles is the measured one."""
    fields = set(chosen)
    survey = {"inclination", "azimuth"} & fields and not {"station", "md"} & fields
    if survey and "depth" in chosen and _mostly_rising(chosen["depth"].numbers):
        chosen["md"] = chosen.pop("depth")


def _readings(column: _Column) -> dict[str, float]:
    """Fields a column may be, by its words and by what its cells look like."""
    ours = log_columns().get(column.heading.lower())
    if ours is not None and _cells_fit(ours.field.name, column):
        return {ours.field.name: 10.0}
    if "not_read" in column.says or column.parts.unit == "foreign":
        return {}
    offers: dict[str, float] = {}
    for meaning in meanings(column.parts):
        field, score = meaning.field, meaning.score
        if not _cells_fit(field, column):
            continue
        if field == "pitch" and "start" in column.says:
            field = PITCH_START.name
        if field == "pitch" and "mean" in column.says:
            score -= 0.5
        if field == "pitch" and "end" in column.says:
            score += 0.5
        offers[field] = score
    if "station" in offers and "rod" not in offers and not column.numeric:
        offers["rod"] = offers.pop("station")
    return {field: score for field, score in offers.items() if score > 0.3}


def _cells_fit(field: str, column: _Column) -> bool:
    """Whether the cells can be this field: texts, rising numbers, or an angle from vertical."""
    known = FIELDS[field]
    if known.type in ("text", "choice") or field in ("pass", "rod"):
        return field in ("remark", "pass", "heading_ref") or not column.numeric
    if field == "station":
        return not column.numeric or _mostly_rising(column.numbers)
    if not column.numeric:
        return not column.numbers and field != "station"  # nobody read it yet
    if field == "md":
        return _mostly_rising(column.numbers)
    if field == "inclination":
        return min(column.numbers) >= 0
    return True


def _mostly_rising(numbers: tuple[float, ...]) -> bool:
    steps = [after - before for before, after in pairwise(numbers)]
    return sum(step > 0 for step in steps) >= 0.8 * len(steps)


def _specify(columns: list[_Column], chosen: dict[str, _Column]) -> list[ColumnGuess]:
    """The words of the recipe for each column, and what somebody must look at."""
    field_at = {column.position: field for field, column in chosen.items()}
    us = any(column.parts.unit in _US_UNITS for column in columns)
    down = _counts_down(chosen)
    guesses = []
    for column in columns:
        name = field_at.get(column.position)
        if name is None:
            if column.heading:
                guesses.append(ColumnGuess(column.heading, None))
            continue
        guesses.append(_spec(column, name, us, down))
    return guesses


def _counts_down(chosen: dict[str, _Column]) -> bool:
    """Whether the pitch is plus downward: said so, or the first rod would point up."""
    for name in (PITCH_START.name, "pitch"):
        if name in chosen:
            if "down" in chosen[name].says:
                return True
            return next((number > 0 for number in chosen[name].numbers if number), False)
    return False


def _spec(column: _Column, name: str, us: bool, down: bool) -> ColumnGuess:
    field, doubts = FIELDS[name], []
    ours = log_columns().get(column.heading.lower())
    if ours is not None and ours.field.name == name:
        return ColumnGuess(column.heading, Spec(field, ours.suffix))
    unit = column.parts.unit if field.type == "quantity" else ""
    if field.type == "quantity" and not unit:
        unit = _usual_unit(field.dimension, us)
        doubts.append("unit_assumed")
    other_way = name in ("pitch", PITCH_START.name) and down
    if other_way and "down" not in column.says:
        doubts.append("pitch_down_assumed")
    if name == "pitch" and "mean" in column.says:
        doubts.append("mean_pitch")
    other_way = other_way or (name == "offset" and "left" in column.says
                              and "right" not in column.parts.words)  # fmt: skip
    reference = ""
    if name in ("heading", "azimuth"):
        reference = next((word for word in REFERENCES if word in column.says), "")
    return ColumnGuess(
        column.heading, Spec(field, unit, other_way, reference=reference), tuple(doubts)
    )


def _usual_unit(dimension: str, us: bool) -> str:
    """Unit of a heading that says none, by the units of the other headings."""
    if dimension in ("slope", "angle"):
        return "pct" if dimension == "slope" else "deg"
    candidates = {"length": ("m", "ft"), "size": ("mm", "in"), "force": ("kN", "lb"),
                  "torque": ("Nm", "ftlb"), "duration": ("min", "min")}[dimension]  # fmt: skip
    unit = candidates[1] if us else candidates[0]
    assert our_suffix(dimension, unit) == unit
    return unit
