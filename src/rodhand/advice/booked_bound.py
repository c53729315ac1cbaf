"""What several bores cannot cost less than, whichever rods stand where and whatever is moved.

Damage adds up over the bores, and a rod that leaves its place is lifted. Both are relaxed to what
they cost at least, round after round (`rodhand.advice.booked_rounds`), so that every bore is an
assignment by itself.
"""

from __future__ import annotations

import numpy as np

from rodhand.advice.booked_case import BookedCase, BookedWay
from rodhand.advice.booked_rounds import Bores, Rounds
from rodhand.advice.box_hands import after_bore
from rodhand.advice.hazard_lines import least_chance, most_over_chance
from rodhand.advice.order_case import FORBIDDEN, Floats
from rodhand.advice.place_prices import Ints
from rodhand.advice.rows_search import row_orders

ROUNDS, ROUNDS_OF_MANY = 40, 12
"""Rounds in which prices and lines are moved; of a box of many rods."""
NEAR = 1e-4
"""A bound this near to the cost is near enough. [-]"""


def lower_bound(case: BookedCase, way: BookedWay, many: bool) -> float:
    """A lower bound of the cost of breaks and moves in all bores.

    Parameters
    ----------
    case : BookedCase
        The box and the bores.
    way : BookedWay
        A good way: where the lines touch first.
    many : bool
        Whether the box holds many rods; then fewer rounds are taken.

    Returns
    -------
    float
        In the money of the costs, for ways with no more rods in places they must not stand in
        than ``way`` has. With more rows than `ALL_ROW_ORDERS_UP_TO` among ways that turn them.
    """
    bores = _bores_of(case)
    missed = sum(FORBIDDEN * bore.break_cost * each.against
                 for bore, each in zip(case.bores, way.ways, strict=True))  # fmt: skip
    rounds = Rounds(bores, _totals(bores, way))
    for _ in range(ROUNDS_OF_MANY if many else ROUNDS):
        rounds.next()
        if way.cost - (rounds.best - missed) <= NEAR * way.cost:
            break
    return max(rounds.best, rounds.first_searched()) - missed


def _bores_of(case: BookedCase) -> Bores:
    size = sum(map(len, case.box))
    room = sum(max(0, case.capacity - len(row)) for row in case.box)
    wanted = max(len(bore.added) for bore in case.bores)
    short = min(len(case.beside), max(0, wanted - size), room)
    orders = row_orders(case)
    counted = not short and _lie_as_they_lay(case)
    most, added, fixed = np.zeros(case.means.shape[1]), [], []
    mosts = []
    # Costs that never rise from bore to bore make of each rod's breaks a sum of cumulative
    # hazards; what a bore costs above the least so far counts with its own least chance.
    costs = np.array([bore.break_cost for bore in case.bores])
    level = np.minimum.accumulate(costs)
    for bore, cost, base in zip(case.bores, costs, level, strict=True):
        places = min(len(bore.added), size + short)
        each = np.zeros((size + short, len(most)))
        each[:places] = bore.added[:places]
        own = np.zeros((len(case.rods), size + short))
        own[:, :places] = FORBIDDEN * cost * bore.forbidden[:, :places]
        if cost > base:
            own += (cost - base) * least_chance(case.means, case.spread, most, each)
        most = most + each.max(axis=0)
        own -= base * most_over_chance(case.means, case.spread, most, each)
        added.append(each)
        fixed.append(own)
        mosts.append(most)
    at = [_places_of(case, order) for order in orders] if counted else [np.arange(size + short)]
    return Bores(
        case, added, fixed, np.array(mosts), level - np.append(level[1:], 0.0), at, counted
    )


def _lie_as_they_lay(case: BookedCase) -> bool:
    """Whether every rod comes back to its place after each bore."""
    turn = tuple(range(1, len(case.box) + 1))
    return all(
        after_bore(case.kind, case.box, case.capacity, turn, len(bore.added)) == case.box
        for bore in case.bores
    )


def _places_of(case: BookedCase, order: tuple[int, ...]) -> Ints:
    """Place in the order of use of every slot when the rows are used in an order."""
    sizes = [len(row) for row in case.box]
    first, places = 0, [np.empty(0, dtype=np.int64)] * len(sizes)
    for row in order:
        places[row] = first + np.arange(sizes[row])
        first += sizes[row]
    return np.concatenate(places)


def _totals(bores: Bores, way: BookedWay) -> Floats:
    """What a way adds to every rod by the end of each bore. (bores, rods, 5) [-]"""
    number = {rod: k for k, rod in enumerate(bores.case.rods)}
    total, found = np.zeros_like(bores.case.means), []
    for added, each in zip(bores.added, way.ways, strict=True):
        who = [number[rod] for rod in each.todo.order[: len(added)]]
        total = total.copy()
        total[who] += added[: len(who)]
        found.append(total)
    return np.array(found)
