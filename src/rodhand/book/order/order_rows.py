"""What is shown of an order of rods: hand movements, places, ways compared, rods that stay out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rodhand.advice.box_hands import LoadingList
from rodhand.advice.order_case import Arranged
from rodhand.advice.verdict import Sentence
from rodhand.book.order.order_case import (
    StaysOut,
)
from rodhand.book.work.assess import Assessment
from rodhand.book.work.lacking import Lacking
from rodhand.book.yard.yard import rod_in_yard
from rodhand.units import Figure


@dataclass(frozen=True)
class StepRow:
    """Hand movements of one row, in the order they are made; ``places`` only in a loose rack."""

    what: str
    row: int
    rods: tuple[str, ...]
    places: tuple[int, ...]


@dataclass(frozen=True)
class PlaceRow:
    """A rod in the order of use: where it lies, and whether it was laid there for this bore."""

    place: int
    name: str
    row: int
    number: int
    moved: bool
    in_bore: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class WayRow:
    """One way to order the rods: expected breaks over those as it lies, and rods moved."""

    how: str
    chosen: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class OutRow:
    """Rods that stay out, and the code of why."""

    why: str
    rods: tuple[str, ...]


@dataclass(frozen=True)
class RodOrderView:
    """A rig's rods for its next bore.

    Parameters
    ----------
    kind : str
        How the box gives its rods; ``kind_assumed`` where nobody entered it.
    state : str
        ``known``; else ``order`` (of the box not known), ``rods`` (none may go in), ``type`` (no
        rod type) or ``threads`` (they differ): then there is no list.
    bore : str
        The booked bore it is for; empty where none is booked.
    do, why, lead : Sentence or None
        What to do, why, and why this rod leads.
    use : tuple of int
        Rows in order of use.
    lacking : tuple of Lacking
        Prices it is weighed by that nobody gave; none where both were typed.
    """

    invented: bool
    rig: str
    kind: str
    kind_assumed: bool
    state: str
    bore: str = ""
    refused: tuple[str, ...] = ()
    do: Sentence | None = None
    why: Sentence | None = None
    lead: Sentence | None = None
    notes: tuple[Sentence, ...] = ()
    use: tuple[int, ...] = ()
    steps: tuple[StepRow, ...] = ()
    order: tuple[PlaceRow, ...] = ()
    ways: tuple[WayRow, ...] = ()
    out: tuple[OutRow, ...] = ()
    caution: Sentence | None = None
    figures: dict[str, Figure] | None = None
    lacking: tuple[Lacking, ...] = ()


def steps_of(assessment: Assessment, whole: LoadingList, loose: bool) -> tuple[StepRow, ...]:
    """Hand movements of a list, those of one row together; with places in a loose rack."""
    found: list[StepRow] = []
    for step in whole.steps:
        name = assessment.book.things[step.rod].name
        places = (step.place,) if loose else ()
        last = found[-1] if found else None
        if last and (last.what, last.row) == (step.what, step.row):
            found[-1] = replace(last, rods=(*last.rods, name), places=(*last.places, *places))
        else:
            found.append(StepRow(step.what, step.row, (name,), places))
    return tuple(found)


def places_of(
    assessment: Assessment, chosen: Arranged, whole: LoadingList, needed: int
) -> tuple[PlaceRow, ...]:
    """Rods in order of use, those past the ``needed`` ones spare."""
    at = {key: (r, n) for r, row in enumerate(chosen.box, 1) for n, key in enumerate(row, 1)}
    moved = {step.rod for step in whole.steps if step.what == "in"}
    return tuple(
        PlaceRow(place, assessment.book.things[key].name, *at[key], key in moved, place <= needed,
                 dict(rod_in_yard(assessment, key).figures))
        for place, key in enumerate(whole.order, 1)
    )  # fmt: skip


def out_of(assessment: Assessment, out: Sequence[StaysOut]) -> tuple[OutRow, ...]:
    """Rods that stay out, by why."""
    whys = dict.fromkeys(each.why for each in out)
    names = {each.key: assessment.book.things[each.key].name for each in out}
    return tuple(
        OutRow(why, tuple(names[each.key] for each in out if each.why == why)) for why in whys
    )
