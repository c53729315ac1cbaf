"""Signs people write instead of a value: as the row above, not legible.

A ditto sign is kept as the value above, and beside it that it was a sign: whoever counts on a
value should know that nobody wrote its digits. A cell that cannot be read is kept as not read.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from rodhand.book.grid.grid import GridColumn, GridRow
from rodhand.faults import Fault

ABOVE, SMUDGED = '"', "?"
DITTO = frozenset({'"', "'", "''", "”", "“", "″", "〃", ",,"})
"""What is typed or pasted for the ditto mark; the last two are its looks in other type."""


@dataclass(frozen=True)
class Settled:
    """One row with its signs resolved.

    Parameters
    ----------
    values : mapping of str to str
        Column to text; only cells somebody read.
    signs : mapping of str to str
        Column to `ABOVE` or `SMUDGED`.
    says : bool
        Whether anything but what the sheet came with was written into it.
    """

    values: Mapping[str, str]
    signs: Mapping[str, str]
    says: bool


def settle_signs(
    rows: Sequence[GridRow], columns: Sequence[GridColumn], given: Collection[str]
) -> tuple[list[Settled], list[Fault]]:
    """Resolve the signs of a grid.

    Parameters
    ----------
    rows : sequence of GridRow
        As typed.
    columns : sequence of GridColumn
        The grid's columns.
    given : collection of str
        Columns that say nothing by themselves, as the station.

    Returns
    -------
    list of Settled
        One for each row.
    list of Fault
        Signs with nothing above them, by row counted from 1.
    """
    settled: list[Settled] = []
    faults: list[Fault] = []
    above: Mapping[str, str] = {}
    for number, row in enumerate(rows, 1):
        stands, values, signs = {}, {}, {}
        for column in columns:
            text = row.cells.get(column.name, "").strip()
            ditto = text in DITTO
            if ditto:
                text = above.get(column.name, "")
                if not text and not column.offered:
                    faults.append(Fault("grid_nothing_above", ABOVE, number, column.name))
            stands[column.name] = text
            if text == SMUDGED:
                signs[column.name] = SMUDGED
            elif text:
                values[column.name] = text
                if ditto or column.name in row.as_above:
                    signs[column.name] = ABOVE
        says = any(name not in given for name in (*values, *signs))
        settled.append(Settled(values, signs, says))
        if says:
            above = stands
    return settled, faults


def signs_text(signs: Mapping[str, str]) -> str:
    """Signs as they are kept with an entry.

    Examples
    --------
    >>> signs_text({"torque_ftlb": ABOVE, "pitch_pct": SMUDGED})
    'torque_ftlb "; pitch_pct ?'
    """
    return "; ".join(f"{column} {sign}" for column, sign in signs.items())


def read_signs(text: str) -> dict[str, str]:
    """Column to sign, read back from an entry; anything else in the text is passed over."""
    pairs = (part.split() for part in text.split(";"))
    return {pair[0]: pair[1] for pair in pairs if len(pair) == 2 and pair[1] in (ABOVE, SMUDGED)}
