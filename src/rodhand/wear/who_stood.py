"""From places to rods: who stood there, as sure as somebody's look.

Turns and damage belong to places exactly. Which rod stood in a place is known by its mark, by the
row order, by set only, or not at all. Whatever is less than a one-to-one answer is a group: these
rods stood, in some order, in these places.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


class WhoStood(StrEnum):
    """How the rod in a place is known, surest first."""

    MARKED = "marked"
    BY_ROW = "by row"
    SET_ONLY = "set only"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Group:
    """Rods that stood in a number of places, nobody knows which in which.

    Parameters
    ----------
    rods : tuple of str
        Keys; at least as many as places. Rods too many stayed in the box.
    places : tuple of int
        Places in the string, from 1.
    known : WhoStood
        How that is known.

    Raises
    ------
    ValueError
        If there are fewer rods than places, or a key or a place is named twice.
    """

    rods: tuple[str, ...]
    places: tuple[int, ...]
    known: WhoStood

    def __post_init__(self) -> None:
        """Refuse a group that cannot have stood."""
        if len(self.rods) < len(self.places):
            raise ValueError(f"{len(self.rods)} rods cannot fill {len(self.places)} places")
        if len(set(self.rods)) < len(self.rods) or len(set(self.places)) < len(self.places):
            raise ValueError("a rod or a place is named twice in one group")


@dataclass(frozen=True, eq=False)
class Share:
    """What one rod takes of a quantity booked to places.

    Parameters
    ----------
    low, best, high : ndarray
        Least, expected and most, in the shape of one place's value.
    known : WhoStood
        How the rod's place is known.
    """

    low: Floats
    best: Floats
    high: Floats
    known: WhoStood


def one_to_one(rods: Sequence[str], known: WhoStood) -> tuple[Group, ...]:
    """Groups of a string whose rods are known by place, the rod behind the tool first."""
    return tuple(Group((rod,), (place,), known) for place, rod in enumerate(rods, 1))


def slipped(rods: Sequence[str], candidates: Sequence[int]) -> tuple[Group, ...]:
    """Groups by row after a slip was seen: the candidate places share, the rest stay exact.

    Parameters
    ----------
    rods : sequence of str
        Rods by place as the row order has it.
    candidates : sequence of int
        Places, from 1, among which the order is in doubt: back to the last confirmed load.

    Returns
    -------
    tuple of Group
        One group for the candidates, one for each other place.

    Raises
    ------
    ValueError
        If a candidate is not a place of the string.
    """
    doubtful = sorted(set(candidates))
    if doubtful and not 1 <= doubtful[0] <= doubtful[-1] <= len(rods):
        raise ValueError(f"places {doubtful} are not in a string of {len(rods)}")
    exact = [g for g in one_to_one(rods, WhoStood.BY_ROW) if g.places[0] not in doubtful]
    if not doubtful:
        return tuple(exact)
    group = Group(tuple(rods[p - 1] for p in doubtful), tuple(doubtful), WhoStood.BY_ROW)
    return (*exact, group)


def shares(
    groups: Sequence[Group], low: ArrayLike, best: ArrayLike, high: ArrayLike
) -> dict[str, Share]:
    """What each rod takes of a quantity booked to places.

    Parameters
    ----------
    groups : sequence of Group
        Who stood where; every place in one group.
    low, best, high : (p, ...) array of float
        The quantity of each place, place 1 first: damage by section, turns, metres. For a
        quantity without a band give the same array three times.

    Returns
    -------
    dict of str to Share
        One per rod. Best is the mean over the group's rods, so that what the rods take together
        is what the places gave; high is always the group's worst place and low its least, nothing
        if some of its rods stayed in the box.

    Raises
    ------
    ValueError
        If the groups do not hold every place once, or a rod stands in two groups.
    """
    least, middle, most = (np.asarray(x, dtype=float) for x in (low, best, high))
    held = sorted(place for g in groups for place in g.places)
    if held != list(range(1, len(middle) + 1)):
        raise ValueError(f"groups hold places {held}, the string has {len(middle)}")
    found: dict[str, Share] = {}
    for group in groups:
        if len(group.rods) == len(group.places) == 1:
            k = group.places[0] - 1
            if group.rods[0] in found:
                raise ValueError(f"{group.rods[0]} stands in two groups")
            found[group.rods[0]] = Share(least[k], middle[k], most[k], group.known)
            continue
        where = np.array(group.places, dtype=np.int64) - 1
        share = _share(group, least[where], middle[where], most[where])
        for rod in group.rods:
            if rod in found:
                raise ValueError(f"{rod} stands in two groups")
            found[rod] = share
    return found


def _share(group: Group, low: Floats, best: Floats, high: Floats) -> Share:
    if not group.places:
        nothing = np.zeros(best.shape[1:])
        return Share(nothing, nothing, nothing, group.known)
    spare = len(group.rods) > len(group.places)
    return Share(
        low=np.zeros(low.shape[1:]) if spare else low.min(axis=0),
        best=best.sum(axis=0) / len(group.rods),
        high=high.max(axis=0),
        known=group.known,
    )
