"""Carry a recipe out: a foreign table's rows under our headings, units and signs."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from rodhand.faults import BadInputError, Fault
from rodhand.sheets.flags import Flag
from rodhand.sheets.foreign_units import restate
from rodhand.sheets.numbers import BLANKS, DECIMAL_COMMA
from rodhand.sheets.tables import Table

UNUSED = "unused"
"""Word of a recipe for a column that is left out though its heading is one of ours."""

if TYPE_CHECKING:
    from rodhand.sheets.recipes import Recipe, Spec

_POINTS_IN_THOUSANDS = re.compile(r"[+\-−]?\d{1,3}(\.\d{3})+")


def restated(table: Table, recipe: Recipe) -> tuple[Table, tuple[str, ...]]:
    """Rows of a table as a recipe understands them; see `Recipe.apply`."""
    chosen, unused, flags = _choose(table, recipe)
    # A column without a heading cannot be named by a recipe, so it is left out like any other.
    faults = [fault for fault in table.faults if fault.code != "heading_blank"]
    columns: dict[str, list[str]] = {}
    for name, (position, spec) in chosen.items():
        columns[name] = table.column(position)
        if spec.field.type in ("number", "quantity"):
            columns[name] = _plain_numbers(table, recipe, position, faults)
    turned = _turned_by_entry(columns, chosen, table, flags)
    for name, (_, spec) in chosen.items():
        if spec.field.type == "quantity":
            other_way = turned if spec.by_entry else spec.other_way
            columns[name] = [
                restate(cell, spec.field.dimension, spec.unit, other_way) for cell in columns[name]
            ]
    if recipe.number_rows and "station" not in columns:
        columns["station"] = [str(number) for number in range(1, len(table.rows) + 1)]
    references = {spec.reference for _, spec in chosen.values() if spec.reference}
    if references and "heading_ref" not in columns:
        columns["heading_ref"] = [min(references)] * len(table.rows)
    headings = {name: spec.heading for name, (_, spec) in chosen.items()}
    lines = table.lines
    if "pitch_start" in columns:
        headings.setdefault("pitch", headings.pop("pitch_start").replace("pitch_start", "pitch"))
        lines = _pair_pitches(columns, headings, table, flags)
    names = tuple(columns)
    rows = tuple(zip(*(columns[name] for name in names), strict=True))
    ours = tuple(headings.get(name, name) for name in names)
    done = replace(table, headings=ours, rows=rows, lines=lines, faults=tuple(faults),
                   flags=(*table.flags, *flags))  # fmt: skip
    return done, unused


def _choose(
    table: Table, recipe: Recipe
) -> tuple[dict[str, tuple[int, Spec]], tuple[str, ...], list[Flag]]:
    """Column for each field: the heading the recipe names first; the others are not used."""
    order = {heading: place for place, heading in enumerate(recipe.columns)}
    places = sorted(
        (position for position, heading in enumerate(table.headings) if heading),
        key=lambda position: order.get(table.headings[position].lower(), len(order)),
    )
    chosen: dict[str, tuple[int, Spec]] = {}
    unused: list[str] = []
    flags: list[Flag] = []
    for position in places:
        heading = table.headings[position]
        spec = recipe.spec_of(heading)
        if spec is None or spec.field.name == UNUSED:
            unused.append(heading)
        elif spec.field.name in chosen:
            first = table.headings[chosen[spec.field.name][0]]
            unused.append(heading)
            flags.append(Flag("column_second", heading, column=heading, values={"first": first}))
        else:
            chosen[spec.field.name] = (position, spec)
    if not chosen:
        known = ", ".join(recipe.columns)
        fault = Fault("recipe_fits_nothing", ", ".join(table.headings)[:120],
                      values={"recipe": recipe.name, "known": known[:200]})  # fmt: skip
        raise BadInputError([fault], table.source)
    in_table_order = dict(sorted(chosen.items(), key=lambda pair: pair[1][0]))
    return in_table_order, tuple(unused), flags


def _plain_numbers(table: Table, recipe: Recipe, position: int, faults: list[Fault]) -> list[str]:
    """Numbers with a decimal point, a plain minus and no percent sign; blanks as blanks."""
    plain = []
    for cell, line in zip(table.column(position), table.lines, strict=True):
        text = "" if cell in BLANKS else cell.replace("−", "-").removesuffix("%").strip()
        if recipe.decimal_comma and DECIMAL_COMMA.fullmatch(text):
            text = text.replace(",", ".")
        elif recipe.decimal_comma and table.form == "csv" and _POINTS_IN_THOUSANDS.fullmatch(text):
            faults.append(Fault("point_in_comma_file", cell, line, table.headings[position]))
            text = ""
        plain.append(text)
    return plain


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _turned_by_entry(
    columns: dict[str, list[str]], chosen: dict[str, tuple[int, Spec]], table: Table,
    flags: list[Flag],
) -> bool:  # fmt: skip
    """Whether plus is downward in the table: its first pitch that is not level is positive."""
    for name in ("pitch_start", "pitch"):
        if name not in chosen or not chosen[name][1].by_entry:
            continue
        numbers = (_number(cell) for cell in columns[name])
        first = next((number for number in numbers if number), 0.0)
        if first > 0:
            heading = table.headings[chosen[name][0]]
            flags.append(Flag("pitch_sign_by_entry", f"{first:g}", table.lines[0], heading))
            return True
        if first < 0:
            return False
    return False


def _pair_pitches(
    columns: dict[str, list[str]], headings: dict[str, str], table: Table, flags: list[Flag]
) -> tuple[int, ...]:
    """Turn the pitch at the start of each rod into the reading of the station before it.

    Where the rods' ends are read too, only the first rod's start is news: it is the rig's pitch,
    station 0. A later start that differs from the end before it is flagged, the end is kept.
    """
    starts = columns.pop("pitch_start")
    ends = columns.get("pitch")
    if ends is None:
        columns["pitch"] = [*starts[1:], ""]
    else:
        pairs = zip(ends, starts[1:], table.lines[1:], strict=False)
        for end, start, line in pairs:
            before, after = _number(end), _number(start)
            if before is not None and after is not None and abs(after - before) > 0.051:
                flags.append(Flag("start_not_end_before", start, line, headings["pitch"],
                                   {"end": end}))  # fmt: skip
    stations = columns.get("station", [])
    if not stations or _number(stations[0]) != 1.0 or not starts[0]:
        return table.lines
    for name, cells in columns.items():
        first = {"station": "0", "pitch": starts[0], "pass": columns.get("pass", [""])[0],
                 "heading_ref": columns.get("heading_ref", [""])[0]}.get(name, "")  # fmt: skip
        cells.insert(0, first)
    return (table.lines[0], *table.lines)
