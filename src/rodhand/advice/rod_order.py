"""Which rod lies in which place of the box for one bore: turnings, and the order of least cost."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.advice.box_hands import Rows
from rodhand.advice.order_case import Arranged, OrderCase, told
from rodhand.advice.rows_search import RowsSearch


def turnings(case: OrderCase) -> tuple[Arranged, ...]:
    """What needs no reckoning: the box as it lies, its lead rod moved to the back, rows turned.

    To the back is the top of the last row, or the last place of a loose rack; the two rods change.

    Where rows can be used in any order they are turned by using another first; where they are
    used in turn, by laying them over.
    """
    count = len(case.box)
    turn = tuple(range(1, count + 1))
    found = [told(case, "as_it_lies", case.box, turn)]
    flat = [rod for row in case.box for rod in row]
    last = sum(map(len, case.box[:-1])) if case.kind.reach == "top" else len(flat) - 1
    if 0 < last < len(flat):
        swapped = [*flat]
        swapped[0], swapped[last] = flat[last], flat[0]
        found.append(told(case, "lead_moved", _filled(case.box, swapped), turn))
    for first in range(1, count):
        if case.kind.rows_in_turn:
            laid = [rod for row in (*case.box[first:], *case.box[:first]) for rod in row]
            found.append(told(case, "rows_turned", _filled(case.box, laid), turn))
        else:
            found.append(told(case, "rows_turned", case.box, (*turn[first:], *turn[:first])))
    return tuple(found)


def _filled(like: Rows, rods: Sequence[str]) -> Rows:
    found, at = [], 0
    for row in like:
        found.append(tuple(rods[at : at + len(row)]))
        at += len(row)
    return tuple(found)


def cheapest(ways: Sequence[Arranged]) -> Arranged:
    """The cheapest of some arrangements: fewest rods against the rules first, then by cost."""
    return min(ways, key=lambda way: (way.against, way.cost, way.todo.lifted))


def planned(case: OrderCase, effort: float = 1.0) -> Arranged:
    """The order that costs least, with a proven bound.

    Parameters
    ----------
    case : OrderCase
        The box and the costs.
    effort : float
        Share of the assignments that are tried at most. [-]

    Returns
    -------
    Arranged
        Exact where its ``gap`` is 0; else no order costs less than its ``bound``.
    """
    return RowsSearch(case, effort).least(cheapest(turnings(case)))


def pays(plan: Arranged, turning: Arranged) -> bool:
    """Whether a plan saves more for each rod moved than moving one costs.

    Parameters
    ----------
    plan, turning : Arranged
        The order that costs least, and the cheapest that needs no reckoning.
    """
    return (plan.against, plan.cost) < (turning.against, turning.cost)
