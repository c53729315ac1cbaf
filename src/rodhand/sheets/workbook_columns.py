"""The columns of a workbook's sheets: one sheet a kind of entry, one unit a field."""

from __future__ import annotations

from collections.abc import Iterable

from rodhand.record.kind import Field, Kind
from rodhand.record.kinds import KINDS
from rodhand.units import System

HAPPENED, BY, ZONE, NUMBER = "happened", "by", "happened_zone", "no"
OF_THE_ROW = (HAPPENED, BY)
"""Columns of every sheet before those of its kind."""
OF_A_BOOK = (NUMBER, HAPPENED, ZONE, BY)
"""The same where a book's entries are written out: their order and their time zone too."""

_US = ("ft", "in", "lb", "ftlb", "ksi", "psi")


def usual_column(field: Field, system: System) -> str:
    """Heading of a field in a unit system.

    Parameters
    ----------
    field : Field
        A field of a kind.
    system : {"metric", "us"}
        Unit system.

    Returns
    -------
    str
        Heading with its unit.
    """
    columns = field.columns()
    ours = [column for column, suffix in columns.items() if suffix in _US]
    return ours[0] if system == "us" and ours else next(iter(columns))


def sheet_columns(kind: Kind, system: System, used: Iterable[str] = ()) -> list[str]:
    """Headings of a kind's fields: the usual unit, or those in which values were typed.

    Parameters
    ----------
    kind : Kind
        The kind.
    system : {"metric", "us"}
        Unit system for the fields nobody typed.
    used : iterable of str, optional
        Columns that hold a value.

    Returns
    -------
    list of str
        In the order of the kind's fields.
    """
    typed = set(used)
    headings: list[str] = []
    for field in kind.fields:
        in_use = [column for column in field.columns() if column in typed]
        headings += in_use or [usual_column(field, system)]
    return headings


def field_of(kind: str, column: str) -> Field | None:
    """Field a column of a sheet belongs to; None for one of the row's own."""
    known = KINDS[kind].columns().get(column.lower())
    return known[0] if known else None
