"""Propose what the columns of a loading list, of checks or of a list of rods are."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache

from rodhand.faults import BadInputError
from rodhand.record.kinds import KINDS
from rodhand.sheets.foreign_units import our_suffix
from rodhand.sheets.grids import Grid
from rodhand.sheets.heading_words import plain_words, take_apart
from rodhand.sheets.recipe_guess import ColumnGuess, Guess, guess_recipe
from rodhand.sheets.recipes import FOLDER, READING, Recipe, Spec, fields_of
from rodhand.sheets.tables import table_of

MARKS = ("things", "thing")
"""Fields that name what a row is about: a plain number heads the column of no other field."""


@cache
def _words() -> Mapping[str, tuple[str, ...]]:
    text = (FOLDER / "words" / "tables.toml").read_text(encoding="utf-8")
    return {name: tuple(words) for name, words in tomllib.loads(text)["fields"].items()}


def propose(grid: Grid, kind: str, name: str) -> Guess:
    """Propose a recipe for a table of a kind.

    Parameters
    ----------
    grid : Grid
        The file.
    kind : str
        One of `recipes.TABLE_KINDS`.
    name : str
        Name the recipe will have.

    Returns
    -------
    Guess
        The proposal. A column whose heading says nothing is left out; the unit of a size that
        names none is proposed as millimetres with a doubt.

    Raises
    ------
    BadInputError
        If the file has no rows under its headings.
    """
    table = table_of(grid)
    if kind == READING:
        try:
            return guess_recipe(grid, name)
        except BadInputError:  # its headings mean nothing to us: a person says what they are
            left = tuple(ColumnGuess(heading, None) for heading in filter(None, table.headings))
            return Guess(Recipe(name, {}), left)
    taken: set[str] = set()
    guesses = []
    for heading in filter(None, table.headings):
        guess = _column(heading, kind, taken)
        if guess.spec is not None:
            taken.add(guess.spec.field.name)
        guesses.append(guess)
    specs = {each.heading.lower(): each.spec for each in guesses if each.spec is not None}
    comma = any("," in cell and cell.replace(",", "").isdigit()
                for row in table.rows[:200] for cell in row)  # fmt: skip
    return Guess(Recipe(name, specs, comma, kind=kind), tuple(guesses))


def _column(heading: str, kind: str, taken: set[str]) -> ColumnGuess:
    ours = KINDS[kind].columns().get(heading.lower())
    fields = fields_of(kind)
    if ours is not None and ours[0].name in fields and ours[0].name not in taken:
        return ColumnGuess(heading, Spec(*ours))
    parts = take_apart(heading)
    said = {*parts.words, *plain_words(heading)}
    for name, words in _words().items():
        if name not in fields or name in taken or not said & set(words):
            continue
        field = fields[name]
        if field.type != "quantity":
            return ColumnGuess(heading, Spec(field))
        if our_suffix(field.dimension, parts.unit):
            return ColumnGuess(heading, Spec(field, parts.unit))
        if not parts.unit:
            unit = "m" if field.dimension == "length" else "mm"
            return ColumnGuess(heading, Spec(field, unit), ("unit_assumed",))
    return ColumnGuess(heading, None)
