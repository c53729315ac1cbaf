"""Labels of things and rows: four characters each, and what carries them."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from rodhand.book.tasks.task_parts import in_use
from rodhand.book.telling import in_name_order
from rodhand.book.views import YardRod
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_of import latest_load
from rodhand.book.yard.yard import rod_in_yard
from rodhand.units import Figure, Standing

LETTERS = "ACDEFHJKMNPQRTUVWXY3479"
"""Letters and digits that nobody takes for one another on a wet label."""
LENGTH = 4
CARRY = (
    "rod",
    "sub",
    "saver sub",
    "head",
    "transmitter housing",
    "transmitter",
    "reamer",
    "swivel",
)
Kind = Literal["thing", "row"]


@dataclass(frozen=True)
class Label:
    """One label.

    Parameters
    ----------
    kind : {"thing", "row"}
        What it is stuck to.
    name : str
        Mark of the thing, or the rig.
    row : int
        Number of the row; 0 for a thing.
    code : str
        Its four characters.
    under : str
        What stands small under the name: its set, or what it is.
    """

    kind: Kind
    name: str
    row: int
    code: str
    under: str


@dataclass(frozen=True)
class RowView:
    """The rods of one row of a rig's box as it was loaded last; figures: count."""

    invented: bool
    rig: str
    row: int
    code: str
    rods: tuple[YardRod, ...]
    figures: Mapping[str, Figure]


class NoSuchRowError(LookupError):
    """There is no such row."""


def code_of(what: str) -> str:
    """Four characters that stand for a thing's permanent key or a row, always the same.

    Examples
    --------
    >>> len(code_of("e1#5"))
    4
    """
    number = int.from_bytes(hashlib.sha256(f"label {what}".encode()).digest()[:8], "big")
    signs = []
    for _ in range(LENGTH):
        number, at = divmod(number, len(LETTERS))
        signs.append(LETTERS[at])
    return "".join(signs)


def row_key(rig: str, row: int) -> str:
    """What a row's code is made from."""
    return f"row {row} {rig}"


def plain_code(typed: str) -> str:
    """A code as typed by hand: capitals, without blanks and hyphens."""
    return "".join(sign for sign in typed.upper() if sign.isalnum())


@lru_cache(maxsize=4)
def labels_of(assessment: Assessment) -> tuple[Label, ...]:
    """Labels of everything in use, rods first, then rows.

    Notes
    -----
    A code is made from the permanent key: a rod keeps it through every mark, set and owner of
    this book. In a book of 750 rods one pair with the same code is to be expected; `labelled`
    then gives both.
    """
    book, usable = assessment.book, in_use(assessment)
    things = {
        thing.name: thing for key, thing in book.things.items()
        if key in usable and thing.what in CARRY
    }  # fmt: skip
    order = in_name_order(things)
    found = [
        Label("thing", name, 0, code_of(things[name].key), things[name].set or things[name].what)
        for what in CARRY
        for name in order
        if things[name].what == what
    ]
    for name, rig in book.rigs.items():
        found += [
            Label("row", name, row, code_of(row_key(name, row)), "")
            for row in range(1, (rig.box_rows or 0) + 1)
        ]
    return tuple(found)


def labelled(assessment: Assessment, typed: str) -> tuple[Label, ...]:
    """What carries a code; usually one, none when nothing does."""
    code = plain_code(typed)
    return tuple(each for each in labels_of(assessment) if each.code == code)


def row_view(assessment: Assessment, rig: str, row: int) -> RowView:
    """The rods of one row.

    Raises
    ------
    NoSuchRowError
        If the rig has no such row, or was never loaded.
    """
    known = assessment.book.rigs.get(rig)
    load = latest_load(assessment.book, rig)
    rows = (known.box_rows or 0) if known else 0
    if known is None or load is None or not 1 <= row <= rows:
        raise NoSuchRowError(f"{rig} {row}")
    keys = [key for key in load.things if key in assessment.book.things]
    per_row = known.rods_per_row or max(len(keys), 1)
    mine = keys[(row - 1) * per_row : row * per_row]
    rods = tuple(rod_in_yard(assessment, key) for key in mine)
    count = Figure(f"row.{rig}.{row}.count", float(len(rods)), "count", Standing.COMPUTED)
    return RowView(
        assessment.invented, rig, row, code_of(row_key(rig, row)), rods, {"count": count}
    )
