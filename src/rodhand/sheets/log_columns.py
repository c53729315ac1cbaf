"""The columns of a log: which heading is which field in which unit, and what is wrong with them."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from rodhand.record.kind import Field
from rodhand.record.kinds_bores import READING_FIELDS
from rodhand.sheets.fault_list import FaultList
from rodhand.sheets.tables import Table

PASS_FIELD = Field("pass", "name")
"""Which pass a row belongs to; the pilot when there is no such column."""


@dataclass(frozen=True)
class Column:
    """One column of a log.

    Parameters
    ----------
    name : str
        Heading in the contract's spelling, for example ``torque_Nm``.
    field : Field
        Which fact it holds.
    suffix : str
        Unit of the typed numbers; empty for texts and plain numbers.
    """

    name: str
    field: Field
    suffix: str


@cache
def log_columns() -> Mapping[str, Column]:
    """Every heading a log may have, by its lower-case spelling."""
    return {
        name.lower(): Column(name, field, suffix)
        for field in (*READING_FIELDS, PASS_FIELD)
        for name, suffix in field.columns().items()
    }


def find_columns(table: Table, faults: FaultList, line: int = 1) -> dict[str, tuple[int, Column]]:
    """Columns of a table by field name, each with its position; faults for the other headings.

    Parameters
    ----------
    table : Table
        The file.
    faults : FaultList
        Takes unknown, doubled and unit-less headings and fields given in two units.
    line : int, optional
        Line of the headings.

    Returns
    -------
    dict
        Field name to position and column.
    """
    known = log_columns()
    found: dict[str, tuple[int, Column]] = {}
    for position, heading in enumerate(table.headings):
        if not heading:
            continue  # told by the table itself where it matters
        column = known.get(heading.lower())
        if column is None:
            _tell_unknown(heading, faults, line)
        elif column.field.name not in found:
            found[column.field.name] = (position, column)
        elif found[column.field.name][1].name == column.name:
            faults.add("column_doubled", heading, line, heading)
        else:
            first = found[column.field.name][1].name
            faults.add("column_two_units", heading, line, heading, first=first)
    return found


def _tell_unknown(heading: str, faults: FaultList, line: int) -> None:
    twins = _unit_twins(heading.lower())
    if twins:
        faults.add("column_without_unit", heading, line, heading, twins=" / ".join(twins))
        return
    nearest = nearest_name(heading, log_columns())
    if nearest:
        faults.add(
            "column_unknown_near", heading, line, heading, nearest=log_columns()[nearest].name
        )
    else:
        faults.add("column_unknown", heading, line, heading)


def _unit_twins(heading: str) -> list[str]:
    return [
        column.name
        for column in log_columns().values()
        if column.suffix
        and heading == column.name.lower().removesuffix(f"_{column.suffix.lower()}")
    ]


def nearest_name(heading: str, names: Mapping[str, object]) -> str:
    """The known name most like a heading; empty when none is near."""
    plain = "_".join(heading.lower().replace("-", " ").replace("_", " ").split())
    near = difflib.get_close_matches(plain, list(names), n=1, cutoff=0.7)
    return near[0] if near else ""
