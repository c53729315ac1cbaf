"""What the page of foreign tables shows and reads: columns with what each may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.faults import BadInputError, Fault
from rodhand.sheets.foreign_units import RESTATED
from rodhand.sheets.recipe_guess import Guess
from rodhand.sheets.recipes import (
    ENTRY_DOWN,
    OTHER_WAY,
    REFERENCES,
    Recipe,
    Spec,
    fields_of,
    spec_of_words,
)
from rodhand.sheets.table_in import Purpose
from rodhand.sheets.tables import Table
from rodhand.units import SUFFIXES
from rodhand.web.forms import field_label
from rodhand.words import say

SHOWN = 50
"""Faults shown at once; the rest is counted."""


@dataclass(frozen=True)
class ShownColumn:
    """One column of the file: its heading, its first cell, what it is read as, and why to look."""

    heading: str
    first: str
    chosen: str
    doubts: tuple[str, ...] = ()


def label_of(text: str, kind: str) -> str:
    """A recipe's words for one column as people read them, for example *pitch, %*."""
    name, *words = text.split()
    told = field_label(name)
    field = fields_of(kind)[name]
    ways = (*OTHER_WAY.values(), ENTRY_DOWN, *REFERENCES)
    for word in words:
        if field.type == "quantity" and word not in ways:
            told = say("table.in_unit", field=told, unit=word)
        else:
            way = word.replace("-", "_")
            told = f"{told}; {say(f'table.way.{way}')}"
    return told


def choices(kind: str) -> list[tuple[str, str]]:
    """What a column of a table may be: words of a recipe and how people read them."""
    texts: list[str] = []
    for name, field in fields_of(kind).items():
        if name == "unused":
            continue
        units = [""]
        if field.type == "quantity":
            units = [*SUFFIXES[field.dimension], *RESTATED.get(field.dimension, {})]
        for unit in units:
            text = f"{name} {unit}".strip()
            texts.append(text)
            if name in OTHER_WAY:
                texts.append(f"{text} {OTHER_WAY[name]}")
            if name in ("pitch", "pitch_start"):
                texts.append(f"{text} {ENTRY_DOWN}")
            if name in ("heading", "azimuth"):
                texts += [f"{text} {reference}" for reference in REFERENCES]
    return [(text, label_of(text, kind)) for text in texts]


def shown_columns(table: Table, recipe: Recipe, guess: Guess | None) -> list[ShownColumn]:
    """Every column of a table with what a recipe reads it as."""
    doubts = {each.heading: each.doubts for each in guess.columns} if guess else {}
    shown = []
    for position, heading in enumerate(table.headings):
        spec = recipe.spec_of(heading) if heading else None
        cells = [cell for cell in table.column(position) if cell]
        chosen = spec.as_text() if spec is not None and spec.field.name != "unused" else ""
        shown.append(ShownColumn(heading, cells[0] if cells else "", chosen,
                                 doubts.get(heading, ())))  # fmt: skip
    return shown


def same_fields(kind: str, recipe: Recipe) -> list[str]:
    """Required fields no column is read as, and those that hold for every row already."""
    read = {spec.field.name for spec in recipe.columns.values()}
    needed = [field.name for field in fields_of(kind).values() if field.required]
    if kind in ("reading", "load"):
        return []
    return [name for name in dict.fromkeys((*needed, *recipe.same)) if name not in read]


def purpose_of(typed: Mapping[str, str]) -> Purpose:
    """What a form says the table is taken in as."""
    said = {name: typed.get(name, "").strip()
            for name in ("bore", "pass", "rig", "happened", "by")}  # fmt: skip
    return Purpose(said["bore"], said["pass"], said["rig"], said["happened"], said["by"])


def recipe_of_form(typed: Mapping[str, str], kind: str) -> Recipe:
    """The recipe as the form shows it.

    Raises
    ------
    BadInputError
        If a column is said to be something no table of the kind has, or no column is anything.
    """
    faults: list[Fault] = []
    specs: dict[str, Spec] = {}
    unused = fields_of(kind)["unused"]
    for key, heading in typed.items():
        if not key.startswith("h.") or not heading:
            continue
        text = typed.get(f"as.{key[2:]}", "").strip()
        spec = spec_of_words(heading, text, faults, kind) if text else Spec(unused)
        if spec is not None:
            specs[heading.lower()] = spec
    if faults:
        raise BadInputError(faults, "table")
    same = {key[5:]: text.strip() for key, text in typed.items()
            if key.startswith("same.") and text.strip()}  # fmt: skip
    lines = [int(text) if (text := typed.get(name, "")).isdigit() else None
             for name in ("heading_line", "unit_line")]  # fmt: skip
    name = typed.get("name", "").strip()
    return Recipe(name, specs, "comma" in typed, lines[0], lines[1], "number_rows" in typed,
                  kind, same)  # fmt: skip
