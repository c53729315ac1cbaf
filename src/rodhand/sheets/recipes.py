"""Recipes: how to read a foreign table as a log, asked once and kept by name.

A recipe names, for each foreign heading, our field, its unit, and where it counts the other way.
It is a small text (TOML in a file, JSON in a book):

    name = "blue box"
    decimal_comma = true
    [columns]
    "Stange" = "station"
    "Neigung Ende (%)" = "pitch pct down"
    "Tiefe (cm)" = "depth cm"

Words behind the field: its unit; ``down`` (pitch), ``left`` (offset), ``up`` (depth) where the
table counts that way as plus; ``entry-down`` where the first reading shows it, because a bore
starts downward; ``grid``, ``true``, ``magnetic`` for headings. The field ``pitch_start`` is the
pitch at the start of a rod, ``unused`` a column to leave out.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record.kind import Field
from rodhand.record.kinds import KINDS
from rodhand.record.kinds_bores import READING_FIELDS
from rodhand.sheets import recipe_rows
from rodhand.sheets.foreign_units import RESTATED, our_suffix
from rodhand.sheets.log_columns import PASS_FIELD, log_columns
from rodhand.sheets.tables import Table
from rodhand.units import SUFFIXES

FOLDER = Path(__file__).parents[1] / "data" / "recipes"

PITCH_START = Field("pitch_start", "quantity", dimension="slope")
FIELDS: Mapping[str, Field] = {
    field.name: field
    for field in (*READING_FIELDS, PASS_FIELD, PITCH_START, Field(recipe_rows.UNUSED))
}
"""Fields a foreign column of a log may be read as."""

READING = "reading"
TABLE_KINDS = (READING, "load", "check", "thing")
"""Kinds of entry a table may hold: a log, one load in its order, checks, rods and other things."""
OF_THE_ROW = (Field("happened"), Field("by"), Field(recipe_rows.UNUSED))

OTHER_WAY = {"pitch": "down", "pitch_start": "down", "offset": "left", "depth": "up"}
ENTRY_DOWN = "entry-down"
REFERENCES = ("magnetic", "grid", "true", "relative")


def fields_of(kind: str) -> Mapping[str, Field]:
    """Fields a foreign column may be read as in a table of a kind of `TABLE_KINDS`."""
    if kind == READING:
        return FIELDS
    own = [field for field in KINDS[kind].fields if field.name != "signs"]
    if kind == "load":
        own = [field for field in own if field.name == "things"]
    return {field.name: field for field in (*own, *OF_THE_ROW)}


@dataclass(frozen=True)
class Spec:
    """What one foreign column is read as.

    Parameters
    ----------
    field : Field
        Our field.
    unit : str
        Unit of the foreign numbers, ours or one of `foreign_units.RESTATED`.
    other_way : bool
        Whether plus means the opposite of our plus.
    by_entry : bool
        Whether the first reading tells the sign, because a bore starts downward.
    reference : str
        What headings are counted from, where the column says so.
    """

    field: Field
    unit: str = ""
    other_way: bool = False
    by_entry: bool = False
    reference: str = ""

    @property
    def heading(self) -> str:
        """Heading of ours under which the column's numbers are kept."""
        base = self.field.column or self.field.name
        suffix = our_suffix(self.field.dimension, self.unit)
        return f"{base}_{suffix}" if suffix else base

    def as_text(self) -> str:
        """The words of the recipe, for example ``pitch pct down``."""
        words = [self.field.name, self.unit]
        words += [OTHER_WAY[self.field.name]] if self.other_way else []
        words += [ENTRY_DOWN] if self.by_entry else []
        return " ".join(word for word in (*words, self.reference) if word)


@dataclass(frozen=True)
class Recipe:
    """How to read one kind of foreign table.

    Parameters
    ----------
    name : str
        What it is kept under.
    columns : mapping of str to Spec
        Foreign heading in lower case to what it is; where two headings of one table are the
        same field, the first one named here is read.
    decimal_comma : bool
        Whether a comma is the decimal sign.
    heading_line, unit_line : int or None
        Lines of the headings and of the units under them, where not the first.
    number_rows : bool
        Whether the rows have no number of their own and are stations 1, 2, 3 and so on.
    kind : str
        Kind of entry its tables hold, one of `TABLE_KINDS`.
    same : mapping of str to str
        Columns that the table does not have and that say the same in every row.
    """

    name: str
    columns: Mapping[str, Spec]
    decimal_comma: bool = False
    heading_line: int | None = None
    unit_line: int | None = None
    number_rows: bool = False
    kind: str = READING
    same: Mapping[str, str] = field(default_factory=dict)

    @property
    def lines(self) -> tuple[int | None, int | None]:
        """Lines of the headings and of the units, for `tables.table_of`."""
        return self.heading_line, self.unit_line

    def spec_of(self, heading: str) -> Spec | None:
        """What a heading is read as: as the recipe says, else by our own names; None if unused."""
        spec = self.columns.get(heading.lower())
        if spec is None and self.kind != READING:
            known = KINDS[self.kind].columns().get(heading.lower())
            return Spec(*known) if known and known[0].name in fields_of(self.kind) else None
        if spec is None and heading.lower() in log_columns():
            ours = log_columns()[heading.lower()]
            spec = Spec(ours.field, ours.suffix)
        return spec

    def apply(self, table: Table) -> tuple[Table, tuple[str, ...]]:
        """Restate a foreign table in our headings, units and signs.

        Parameters
        ----------
        table : Table
            The file.

        Returns
        -------
        Table
            The same rows under our headings, and a row for station 0 where the pitch at the
            start of the first rod is known.
        tuple of str
            Headings that are not used.

        Raises
        ------
        BadInputError
            If the recipe knows none of the table's headings.
        """
        return recipe_rows.restated(table, self)

    def as_mapping(self) -> dict[str, Any]:
        """The recipe as plain values, as they stand in a file or a book."""
        plain: dict[str, Any] = {"name": self.name}
        for key in ("decimal_comma", "heading_line", "unit_line", "number_rows"):
            if getattr(self, key):
                plain[key] = getattr(self, key)
        if self.kind != READING:
            plain["kind"] = self.kind
        if self.same:
            plain["same"] = dict(self.same)
        plain["columns"] = {heading: spec.as_text() for heading, spec in self.columns.items()}
        return plain

    def to_text(self) -> str:
        """The recipe as it is kept in a book."""
        return json.dumps(self.as_mapping(), ensure_ascii=False)


def recipe_of(plain: Mapping[str, Any], source: str) -> Recipe:
    """Build a recipe from plain values.

    Parameters
    ----------
    plain : mapping
        Keys ``name``, ``columns`` and the optional ones of `Recipe`.
    source : str
        Where they come from; also the name when none is given.

    Returns
    -------
    Recipe
        The recipe.

    Raises
    ------
    BadInputError
        With every fault: unknown keys, fields, units and words.
    """
    faults: list[Fault] = []
    types = {"decimal_comma": bool, "heading_line": int, "unit_line": int, "number_rows": bool,
             "kind": str, "same": dict}  # fmt: skip
    for key, value in plain.items():
        if key not in (*types, "name", "columns"):
            faults.append(Fault("recipe_key_unknown", key, column=key))
        elif key in types and type(value) is not types[key]:
            faults.append(Fault("recipe_key_value", str(value), column=key))
    columns = plain.get("columns")
    if not isinstance(columns, dict) or not columns:
        faults.append(Fault("recipe_without_columns", column="columns"))
        columns = {}
    kind = str(plain.get("kind", READING))
    if kind not in TABLE_KINDS:
        faults.append(Fault("recipe_kind", kind, column="kind",
                            values={"kinds": ", ".join(TABLE_KINDS)}))  # fmt: skip
        kind = READING
    specs = {}
    for heading, text in columns.items():
        spec = spec_of_words(str(heading), str(text), faults, kind)
        if spec is not None:
            specs[str(heading).lower()] = spec
    if faults:
        raise BadInputError(faults, source)
    return Recipe(
        str(plain.get("name", source)), specs, **{k: plain[k] for k in types if k in plain}
    )


def spec_of_words(heading: str, text: str, faults: list[Fault], kind: str = READING) -> Spec | None:
    """One column's words, for example ``depth cm``; None with a fault where they say nothing."""
    name, *words = text.split() or [""]
    field = fields_of(kind).get(name)
    if field is None:
        faults.append(Fault("recipe_field_unknown", name, column=heading,
                            values={"fields": ", ".join(fields_of(kind))}))  # fmt: skip
        return None
    units = [w for w in words if our_suffix(field.dimension, w) is not None and w]
    signs = [w for w in words if w in (OTHER_WAY.get(name), ENTRY_DOWN) and w]
    if name not in ("pitch", "pitch_start") and ENTRY_DOWN in signs:
        signs = []
    references = [w for w in words if name in ("heading", "azimuth") and w in REFERENCES]
    for word in words:
        if word not in (*units, *signs, *references):
            known = (*SUFFIXES.get(field.dimension, {}), *RESTATED.get(field.dimension, {}))
            faults.append(Fault("recipe_word_unknown", word, column=heading,
                                values={"units": ", ".join(known) or "–"}))  # fmt: skip
    needs_unit = field.type == "quantity"
    if needs_unit and len(units) != 1:
        known = (*SUFFIXES[field.dimension], *RESTATED.get(field.dimension, {}))
        faults.append(Fault("recipe_unit_missing", text, column=heading,
                            values={"units": ", ".join(known)}))  # fmt: skip
        return None
    return Spec(field, units[0] if units else "", OTHER_WAY.get(name) in signs,
                ENTRY_DOWN in signs, references[0] if references else "")  # fmt: skip


def recipe_from_text(text: str, source: str) -> Recipe:
    """A recipe from JSON (as kept in a book) or TOML (as kept in a file).

    Raises
    ------
    BadInputError
        If the text is neither, or with every fault of the recipe.
    """
    try:
        plain = json.loads(text) if text.lstrip().startswith("{") else tomllib.loads(text)
    except ValueError as error:
        raise BadInputError([Fault("recipe_not_readable", str(error)[:80])], source) from error
    return recipe_of(plain, source)


def built_in_names() -> tuple[str, ...]:
    """Names of the recipes that come with the program."""
    return tuple(sorted(file.stem for file in FOLDER.glob("*.toml")))


def find_recipe(name: str, kept: Mapping[str, str] | None = None) -> Recipe:
    """A recipe by its name in the book, its built-in name, or the path of a TOML file.

    Parameters
    ----------
    name : str
        Name or path.
    kept : mapping of str to str, optional
        Recipes of a book: name to text.

    Returns
    -------
    Recipe
        The recipe.

    Raises
    ------
    BadInputError
        If there is no such recipe, or it has faults.
    CannotReadError
        If the file cannot be read.
    """
    kept = kept or {}
    if name in kept:
        return recipe_from_text(kept[name], name)
    path = FOLDER / f"{name}.toml" if name in built_in_names() else Path(name)
    if path.suffix != ".toml":
        names = ", ".join((*built_in_names(), *kept))
        raise BadInputError([Fault("recipe_unknown", name, values={"names": names})], "--columns")
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BadInputError([Fault("recipe_not_readable", str(error)[:80])], path.name) from error
    except OSError as error:
        raise CannotReadError(str(path), error.strerror or str(error)) from error
    return recipe_from_text(text, path.stem)
