"""Which rod lies in which place of the box: expected cost of breaks plus the cost of moving rods.

One bore is an assignment of rods to places and is solved exactly for a given order of the rows:
the cost of a rod in a place is its chance to break there times what a break costs. What is lifted
costs too, and a row reached from the top is lifted down to the lowest rod that changes: how deep to
lift each row is found by branch and bound over these assignments.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import permutations
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from rodhand.advice.box_hands import BoxKind, LoadingList, Rows, make_list

Floats = NDArray[np.float64]
ALL_ROW_ORDERS_UP_TO = 4
"""Rows up to which every order of them is tried; with more only turning them, either way."""
FORBIDDEN = 1e3
"""Breaks a rod in a place it must not stand in counts as, so that it is a last resort. [breaks]"""
TIE = 1e-9
"""Weight of the worst rod beside the costs, so that it decides between equal ones. [-]"""
EQUAL = 1e-9
"""Costs this near each other are the same. [-]"""
EVALUATIONS, EVALUATED_RODS, LEAST = 700, 60, 60
"""Assignments tried at most for a box of so many rods, fewer for more, and never fewer than."""
How = Literal["as_it_lies", "lead_moved", "rows_turned", "planned"]


@dataclass(frozen=True, eq=False)
class OrderCase:
    """A box, what each place of the next bore takes, and what things cost.

    Parameters
    ----------
    kind : BoxKind
        How the box is reached.
    box : tuple of tuple of str
        The box as it lies, without the rods that stay out.
    beside : tuple of str
        Rods that may come in from beside the box.
    capacity : int
        Rods a row has room for.
    chance : (rods, places) array of float
        Chance that each rod breaks at each place of the bore, the lead first; rods of the box row
        by row, then those beside it. [-]
    worn : (rods, places) array of float
        Life each rod would have used after each place, for ties. [-]
    forbidden : (rods, places) array of bool
        Where a rod must not stand.
    break_cost, move_cost : float
        Of one break and of moving one rod, in the same money.
    """

    kind: BoxKind
    box: Rows
    beside: tuple[str, ...]
    capacity: int
    chance: Floats
    worn: Floats
    forbidden: NDArray[np.bool_]
    break_cost: float
    move_cost: float

    @property
    def rods(self) -> tuple[str, ...]:
        """Rods in the order of the rows of ``chance``."""
        return (*(rod for row in self.box for rod in row), *self.beside)


@dataclass(frozen=True)
class Arranged:
    """One way to order the rods.

    Parameters
    ----------
    how : {"as_it_lies", "lead_moved", "rows_turned", "planned"}
        Which way.
    todo : LoadingList
        What hands do.
    box : tuple of tuple of str
        The box after that.
    breaks : float
        Expected breaks in the bore. [breaks]
    cost : float
        Breaks and rods moved, lifted ones too, in money.
    against : int
        Rods in places they must not stand in.
    bound : float
        No order of this box costs less; NaN where it was not worked out.
    """

    how: How
    todo: LoadingList
    box: Rows
    breaks: float
    cost: float
    against: int = 0
    bound: float = float("nan")

    @property
    def brought(self) -> int:
        """Rods brought in from beside the box. [rods]"""
        out = {step.rod for step in self.todo.steps if step.what == "out"}
        return len({step.rod for step in self.todo.steps} - out)

    @property
    def gap(self) -> float:
        """How far its cost may stand above the least, as a share of it. [-]"""
        return (self.cost - self.bound) / self.bound if self.bound > 0.0 else 0.0


@dataclass(frozen=True)
class _Slot:
    """A place of a box: its row, rods above it as it lies, and who lies there; None for nobody."""

    row: int
    above: int
    base: int | None


def told(case: OrderCase, how: How, box: Rows, rows: Sequence[int]) -> Arranged:
    """Cost of one arrangement of a box.

    Parameters
    ----------
    case : OrderCase
        The box as it lies.
    how : {"as_it_lies", "lead_moved", "rows_turned", "planned"}
        Which way it was found.
    box : tuple of tuple of str
        The box as it would lie.
    rows : sequence of int
        Rows in order of use.
    """
    todo = make_list(case.kind, case.box, box, rows)
    number = {rod: k for k, rod in enumerate(case.rods)}
    places = case.chance.shape[1]
    who = np.array([number[rod] for rod in todo.order[:places]], dtype=int)
    at = np.arange(len(who))
    breaks = float(case.chance[who, at].sum())
    against = int(case.forbidden[who, at].sum())
    cost = case.break_cost * breaks + case.move_cost * todo.lifted
    return Arranged(how, todo, box, breaks, cost, against)


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


def planned(case: OrderCase) -> Arranged:
    """The order that costs least, with a proven bound.

    Parameters
    ----------
    case : OrderCase
        The box and the costs.

    Returns
    -------
    Arranged
        Exact where its ``gap`` is 0; else no order costs less than its ``bound``. A loose rack is
        one assignment for each order of its rows.
    """
    if case.kind.reach == "any":
        ways = [told(case, "planned", _Cells(case, rows).solve(None), rows)
                for rows in _row_orders(case)]  # fmt: skip
        way = min(ways, key=lambda way: _weighed(case, way))
        return replace(way, bound=way.cost)
    return _branch(case)


def _branch(case: OrderCase) -> Arranged:
    """Branch and bound over how deep each row is lifted, rows in every order of use tried.

    Lifting deeper only makes an assignment cheaper, so the assignment at the deepest of a range and
    the lifting at its least together cost no more than anything in the range.
    """
    sizes = tuple(len(row) for row in case.box)
    budget = max(EVALUATIONS * EVALUATED_RODS**2 // max(sum(sizes), EVALUATED_RODS) ** 2, LEAST)
    cells = {rows: _Cells(case, rows) for rows in _row_orders(case)}
    first = (0,) * len(sizes)
    best = _begun(case, cells, budget // 3)
    queue = [(0.0, k, rows, first, sizes) for k, rows in enumerate(cells)]
    count = len(queue)
    while queue and budget > 0:
        least, _, rows, low, high = heappop(queue)
        if least >= _weighed(case, best) * (1.0 - EQUAL):
            heappush(queue, (least, 0, rows, low, high))
            break
        budget -= 1
        way = told(case, "planned", cells[rows].solve(high), rows)
        if _weighed(case, way) < _weighed(case, best):
            best = way
        wide = max(range(len(sizes)), key=lambda r: high[r] - low[r])
        if high[wide] == low[wide]:
            continue
        least = _weighed(case, way) + case.move_cost * (sum(low) - way.todo.lifted + way.brought)
        middle = (low[wide] + high[wide]) // 2
        for lo, hi in ((low[wide], middle), (middle + 1, high[wide])):
            count += 1
            node = (*low[:wide], lo, *low[wide + 1 :]), (*high[:wide], hi, *high[wide + 1 :])
            more = case.move_cost * (lo - low[wide])
            heappush(queue, (least + more, count, rows, *node))
    bound = min((node[0] for node in queue), default=float("inf"))
    missed = FORBIDDEN * case.break_cost * best.against
    return replace(best, bound=min(bound - missed, best.cost))


def _begun(case: OrderCase, cells: Mapping[tuple[int, ...], _Cells], budget: int) -> Arranged:
    """A good order to begin with: one row after another lifted deeper as long as that pays."""
    begun = [told(case, "planned", each.solve((0,) * len(case.box)), rows)
             for rows, each in cells.items()]  # fmt: skip
    best = min(begun, key=lambda way: _weighed(case, way))
    rows, depth = best.todo.rows, [0] * len(case.box)
    for row in rows:
        size = len(case.box[row - 1])
        for tried in range(0, size + 1, max(1, size * len(rows) // max(budget, 1))):
            wanted = [*depth[: row - 1], tried, *depth[row:]]
            way = told(case, "planned", cells[rows].solve(wanted), rows)
            if _weighed(case, way) < _weighed(case, best):
                best, depth = way, wanted
    return best


def _weighed(case: OrderCase, way: Arranged) -> float:
    return way.cost + FORBIDDEN * case.break_cost * way.against


def tries_all_row_orders(case: OrderCase) -> bool:
    """Whether every order of use that the box allows is tried."""
    return case.kind.rows_in_turn or len(case.box) <= ALL_ROW_ORDERS_UP_TO


def _row_orders(case: OrderCase) -> list[tuple[int, ...]]:
    turn = tuple(range(1, len(case.box) + 1))
    if case.kind.rows_in_turn:
        return [turn]
    if tries_all_row_orders(case):
        return list(permutations(turn))
    turned = [(*turn[k:], *turn[:k]) for k in range(len(turn))]
    return [*turned, *(tuple(reversed(each)) for each in turned)]


class _Cells:
    """Costs of every rod in every place of a box whose rows are used in one order."""

    def __init__(self, case: OrderCase, rows: Sequence[int]) -> None:
        self.case = case
        number = {rod: k for k, rod in enumerate(case.rods)}
        self.slots = _slots(case, rows, number)
        self.inside = len(case.rods) - len(case.beside)
        used = min(case.chance.shape[1], len(self.slots))
        expected = case.break_cost * (case.chance + FORBIDDEN * case.forbidden)
        # The worst rod weighs by a high power, so that it alone decides between equal costs.
        worn = case.worn / max(float(case.worn.max(initial=0.0)), 1e-300)
        scale = max(float(case.break_cost * case.chance.max(initial=0.0)), case.move_cost, 1e-300)
        self.cost = np.zeros((len(case.rods), len(self.slots)))
        self.cost[:, :used] = expected[:, :used] + TIE * scale * worn[:, :used] ** 8
        self.cost[self.inside :] += case.move_cost

    def solve(self, depth: Sequence[int] | None) -> Rows:
        """The box of least cost when each row is lifted so deep and no deeper.

        None is a loose rack: every rod can change, at the price of moving it.
        """
        case, cost = self.case, self.cost
        if depth is None:
            # One that leaves the box is moved too: staying saves a move, changing adds none.
            moved = np.zeros_like(cost[: self.inside])
            for k, slot in enumerate(self.slots):
                if slot.base is not None:
                    moved[slot.base, k] = -case.move_cost
            cost = cost.copy()
            cost[: self.inside] += moved
        free = [
            k
            for k, slot in enumerate(self.slots)
            if depth is None or slot.base is None or slot.above < depth[slot.row - 1]
        ]
        fixed = {k: slot.base for k, slot in enumerate(self.slots) if slot.base is not None}
        fixed = {k: rod for k, rod in fixed.items() if k not in set(free)}
        staying = set(fixed.values())
        rods = [k for k in range(len(case.rods)) if k not in staying]
        who, where = linear_sum_assignment(cost[np.ix_(rods, free)])
        at = fixed | {free[k]: rods[w] for w, k in zip(who.tolist(), where.tolist(), strict=True)}
        box: list[list[str]] = [[] for _ in case.box]
        for k, slot in enumerate(self.slots):
            box[slot.row - 1].append(case.rods[at[k]])
        return tuple(tuple(row) for row in box)


def _slots(case: OrderCase, rows: Sequence[int], number: dict[str, int]) -> list[_Slot]:
    """Places in order of use; those for rods from beside the box lie on top of the last rows."""
    inside = len(case.rods) - len(case.beside)
    short = min(len(case.beside), max(0, case.chance.shape[1] - inside))
    extra = dict.fromkeys(rows, 0)
    for row in reversed(rows):
        extra[row] = min(short, case.capacity - len(case.box[row - 1]))
        short -= extra[row]
    slots = []
    for row in rows:
        slots += [_Slot(row, 0, None)] * extra[row]
        slots += [_Slot(row, k, number[rod]) for k, rod in enumerate(case.box[row - 1])]
    return slots


def pays(plan: Arranged, turning: Arranged) -> bool:
    """Whether a plan saves more for each rod moved than moving one costs.

    Parameters
    ----------
    plan, turning : Arranged
        The order that costs least, and the cheapest that needs no reckoning.
    """
    return (plan.against, plan.cost) < (turning.against, turning.cost)
