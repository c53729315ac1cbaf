"""Where to walk: things in the order of the rows they lie in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.book.tasks.task_parts import where_of
from rodhand.book.telling import in_name_order
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_places import places_now
from rodhand.words import say


@dataclass(frozen=True)
class WalkStop:
    """A row of a box, or another place, with what to look at there in walking order."""

    where: str
    things: tuple[str, ...]


def place_in_words(assessment: Assessment, key: str) -> str:
    """Rig, row and number of a rod in its box, else its rig or set."""
    thing = assessment.book.things[key]
    place = places_now(assessment).get(key)
    per_row = assessment.book.rigs[place[0]].rods_per_row if place else None
    if place is None or not per_row:
        return where_of(assessment, thing)
    row, number = divmod(place[1] - 1, per_row)
    return say("trace.in_row", rig=place[0], row=row + 1, number=number + 1)


def walking_order(assessment: Assessment, names: Sequence[str]) -> tuple[WalkStop, ...]:
    """Things by where they lie: row after row as the box lies now, then all that lies elsewhere.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    names : sequence of str
        Names of things; each once in the list whatever its ends.

    Returns
    -------
    tuple of WalkStop
        In a row the names stand in the order of their places.
    """
    rows: dict[tuple[str, int], list[tuple[int, str]]] = {}
    elsewhere: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        thing = assessment.book.thing_named(name)
        if thing is None:
            continue
        place = places_now(assessment).get(thing.key)
        per_row = assessment.book.rigs[place[0]].rods_per_row if place else None
        if place is None or not per_row:
            elsewhere.setdefault(where_of(assessment, thing), []).append(name)
            continue
        row, number = divmod(place[1] - 1, per_row)
        rows.setdefault((place[0], row + 1), []).append((number, name))
    stops = [
        WalkStop(say("trace.row", rig=rig, row=row), tuple(name for _, name in sorted(at)))
        for (rig, row), at in sorted(rows.items())
    ]
    return (
        *stops,
        *(WalkStop(where, in_name_order(at)) for where, at in sorted(elsewhere.items())),
    )
