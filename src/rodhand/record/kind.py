"""One kind of entry and its fields: how a fact is named, and what may be typed for it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rodhand.units import SUFFIXES

FieldType = Literal["text", "name", "marks", "whole", "number", "date", "choice", "quantity"]


@dataclass(frozen=True)
class Field:
    """One field of a kind of entry.

    Parameters
    ----------
    name : str
        Name of the fact.
    type : str
        How the typed text is read; ``marks`` is a list of marks with ranges
        (``M1-01..M1-15, M2-03``), ``name`` a single name or mark.
    required : bool
        Whether the entry cannot stand without it.
    dimension : str
        For a quantity: its dimension in `rodhand.units.SUFFIXES`.
    choices : tuple of str
        For a choice: what may be typed.
    column : str
        First part of the column name where it differs from ``name``.
    """

    name: str
    type: FieldType = "text"
    required: bool = False
    dimension: str = ""
    choices: tuple[str, ...] = ()
    column: str = ""

    def columns(self) -> dict[str, str]:
        """Column names this field may be typed under -> unit suffix ('' for no unit)."""
        base = self.column or self.name
        if self.type != "quantity":
            return {base: ""}
        return {
            f"{base}_{suffix}" if suffix else base: suffix for suffix in SUFFIXES[self.dimension]
        }


def quantity(name: str, dimension: str, required: bool = False, column: str = "") -> Field:
    """A field whose unit stands in its column name, of a dimension of `rodhand.units.SUFFIXES`."""
    return Field(name, "quantity", required, dimension, column=column)


def choice(name: str, choices: tuple[str, ...], required: bool = False) -> Field:
    """A field in which one of some words may be typed."""
    return Field(name, "choice", required, choices=choices)


@dataclass(frozen=True)
class Kind:
    """One kind of entry: its name and fields, in the order a person fills them in."""

    name: str
    fields: tuple[Field, ...]

    def columns(self) -> dict[str, tuple[Field, str]]:
        """Lower-case column name -> (field, unit suffix)."""
        return {
            column.lower(): (field, suffix)
            for field in self.fields
            for column, suffix in field.columns().items()
        }


NAME = Field("name", "name", required=True)
BORE = Field("bore", "name", required=True)
RIG = Field("rig", "name", required=True)
THINGS_MEANT = Field("things", "marks", required=True)
NOTE = Field("note")
"""Fields that many kinds share."""
SIGNS = Field("signs")
"""Signs a sheet of paper bore in place of a value: ``torque_ftlb "`` as the row above (the value
stands in its own column), ``pitch_pct ?`` not legible (no value stands)."""
