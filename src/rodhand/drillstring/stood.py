"""Who turned through a bend, who stands in it, and who still comes to it."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from rodhand.drillstring.ledger import TOUCHING
from rodhand.drillstring.passes import Leg
from rodhand.drillstring.travel import Travel


class Stood(StrEnum):
    """How a member stands to one bend at one moment."""

    PASSED = "passed"
    """It was in the bend before and is not now."""
    IN_IT = "in it now"
    TO_COME = "still to come"
    NEVER = "never"
    """It has not been in the bend and does not come to it on this way."""


def stood_through(
    leg: Leg, bend_from: float, bend_to: float, moment: float | None = None
) -> tuple[Stood, ...]:
    """Which members passed a bend, stand in it, or come to it later in the same leg.

    Parameters
    ----------
    leg : Leg
        The whole leg as far as it is known or planned.
    bend_from, bend_to : float
        The stretch of the hole that holds the bend. [m]
    moment : float, optional
        Moment to look at, as a count of moves that may end within one: 3.5 is halfway through the
        fourth move; the end of the leg when left out. [moves]

    Returns
    -------
    tuple of Stood
        One per member of the leg's order.

    Notes
    -----
    A member stands in the bend when any part of it does, ends that only touch apart. A member
    past its last row is no longer in the bend.
    """
    now = float(len(leg.travel)) if moment is None else moment
    u = leg.order.head_ends()
    nearest, farthest = bend_from + u + TOUCHING, bend_to + u + leg.order.lengths() - TOUCHING
    return tuple(
        _standing(leg, k, now, float(nearest[k]), float(farthest[k])) for k in range(len(u))
    )


def _standing(leg: Leg, k: int, now: float, nearest: float, farthest: float) -> Stood:
    """A member is in the bend while the tool stands between nearest and farthest."""
    joined, left = float(leg.joined[k]), float(leg.left[k])
    last = left == len(leg.travel)  # still in the string at the end of the leg
    if joined <= now and (now < left or last):
        low, high = _visited(leg.travel, now, now)
        if low < farthest and high > nearest:
            return Stood.IN_IT
    for begin, end, answer in (
        (joined, min(now, left), Stood.PASSED),
        (max(now, joined), left, Stood.TO_COME),
    ):
        if begin < end:
            low, high = _visited(leg.travel, begin, end)
            if low < farthest and high > nearest:
                return answer
    return Stood.NEVER


def _visited(travel: Travel, begin: float, end: float) -> tuple[float, float]:
    """Least and greatest tool position between two moments."""
    inner = range(int(np.ceil(begin)), int(np.floor(end)))
    stands = [_tool_at(travel, begin), _tool_at(travel, end)]
    stands += [float(travel.tool_from[k]) for k in inner]
    stands += [float(travel.tool_to[k]) for k in inner]
    return min(stands), max(stands)


def _tool_at(travel: Travel, moment: float) -> float:
    if moment >= len(travel):
        return float(travel.tool_to[-1])
    k = int(moment)
    share = moment - k
    return float((1.0 - share) * travel.tool_from[k] + share * travel.tool_to[k])
