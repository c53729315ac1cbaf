"""The order of least cost of a box, by branch and bound over rows and depths.

A branch is an order of the rows and, of each row, the depths between which it is lifted. Lifting
a row to a depth costs a move for every rod above; a rod below stays. The assignment of rods to
places in which a rod pays a price for leaving its place bounds all orders of a branch from below
(Lagrange): its dual prices say what each rod loses by staying, and each row then takes its depth
by itself. What a lifted row costs is shared out among its rods anew after every assignment, more
to those that leave their place, so that the bound rises.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count, permutations

import numpy as np
from scipy.optimize import linear_sum_assignment

from rodhand.advice.booked_case import BookedCase
from rodhand.advice.box_hands import Rows
from rodhand.advice.order_case import FORBIDDEN, Arranged, Floats, OrderCase, told, weighed
from rodhand.advice.place_prices import Ints, settled, shared_out

Numbers = tuple[int, ...]
ALL_ROW_ORDERS_UP_TO = 4
"""Rows up to which every order of them is tried; with more only turning them, either way."""
TIE = 1e-9
"""Weight of the worst rod beside the costs, so that it decides between equal ones. [-]"""
EQUAL = 1e-9
"""Costs this near each other are the same. [-]"""
TRIES, TRIED_RODS, MOST_TRIES = 240, 200, 3000
"""Assignments tried at most for a box of so many rods; more for fewer, by their square."""
ROUNDS, TOGETHER = 16, 4
"""Rounds in which a branch's bound is raised before it is parted, and rounds at a time."""
PARTS_TRIED = (4, 12)
"""Parts of a row in which its depth is tried, coarse and then fine."""
STEP = 1.0
"""How much more of its row's price a rod takes that left its place, on a log scale. [-]"""


@dataclass(frozen=True, eq=False)
class _Branch:
    """Orders of a box, from 0; ``shares`` on a log scale say who of a row pays for lifting it."""

    rows: Numbers
    low: Numbers
    high: Numbers
    shares: Floats
    bound: float = 0.0
    rounds: int = 0
    depth: Numbers = ()
    changed: Numbers = ()


@dataclass(frozen=True, order=True)
class _Found:
    """A box with its rows in order of use, and what it costs, ties decided by the worst rod."""

    key: float
    box: Rows = ()
    rows: Numbers = ()
    depth: Numbers = ()


def tries_all_row_orders(case: OrderCase) -> bool:
    """Whether every order of use that the box allows is tried."""
    return case.kind.rows_in_turn or len(case.box) <= ALL_ROW_ORDERS_UP_TO


def row_orders(case: OrderCase | BookedCase) -> list[Numbers]:
    """Orders of use that are tried, rows from 0: all, or with many rows only turning them."""
    turn = tuple(range(len(case.box)))
    if case.kind.rows_in_turn:
        return [turn]
    if len(turn) <= ALL_ROW_ORDERS_UP_TO:
        return list(permutations(turn))
    turned = [(*turn[k:], *turn[:k]) for k in turn]
    return [*turned, *(each[::-1] for each in turned)]


class RowsSearch:
    """Search for the order of least cost of one box.

    Parameters
    ----------
    case : OrderCase
        The box and the costs.
    effort : float
        Share of the assignments that are tried at most. [-]
    slots : (rods, rods of the box) array of float, optional
        What standing in a place of the box costs every rod besides, whichever row is used first;
        no rod then comes in on top of a row.
    """

    def __init__(self, case: OrderCase, effort: float = 1.0, slots: Floats | None = None) -> None:
        self.case, self.slots = case, slots
        self.loose = case.kind.reach == "any"
        self.rods = case.rods
        self.sizes = tuple(len(row) for row in case.box)
        self.inside = sum(self.sizes)
        self.starts = tuple(np.cumsum((0, *self.sizes)).tolist())
        self.room = tuple(max(0, case.capacity - size) for size in self.sizes)
        wanted = min(len(case.beside), max(0, case.chance.shape[1] - self.inside))
        self.short = min(wanted, sum(self.room))
        self.cost = self._costs()
        most = self.cost.max(axis=0).sum() + (0.0 if slots is None else slots.max(axis=0).sum())
        self.stays = float(10.0 * most + case.move_cost)
        self.prices = np.zeros(len(self.rods))
        many = max(TRIES * TRIED_RODS**2 // max(len(self.rods), 1) ** 2, TRIES)
        self.tries = int(min(many, MOST_TRIES) * effort)
        self.together = TOGETHER if effort >= 1.0 else 1
        self.best = _Found(float("inf"))
        self.told: set[tuple[Numbers, Numbers]] = set()

    def least(self, known: Arranged) -> Arranged:
        """The order of least cost, with its bound.

        Parameters
        ----------
        known : Arranged
            An order already found; taken where the search stops before it finds one as cheap.
        """
        bound = self._searched()
        way = told(self.case, "planned", self.best.box, self.best.rows)
        if weighed(self.case, known) < weighed(self.case, way) * (1.0 - EQUAL):
            way = known
        missed = FORBIDDEN * self.case.break_cost * way.against
        return replace(way, how="planned", bound=min(bound - missed, way.cost))

    def bound(self) -> float:
        """No order costs less, rods in places they must not stand in counted as breaks."""
        return min(self._searched(), self.best.key)

    def _searched(self) -> float:
        """Search until the least is proved or no assignment is left; the lowest bound left."""
        number, queue = count(), list[tuple[float, int, _Branch]]()
        shares = np.zeros(self.inside)
        for rows in row_orders(self.case):
            begun = self._raised(_Branch(rows, (0,) * len(rows), self.sizes, shares))
            shares = begun.shares
            heappush(queue, (begun.bound, next(number), begun))
        if not self.loose:
            self._deepened(shares)
        while queue and self.tries > 0 and queue[0][0] < self.best.key * (1.0 - EQUAL):
            _, _, branch = heappop(queue)
            parts = [branch] if branch.rounds < ROUNDS else self._split(branch)
            for part in parts:
                raised = self._raised(part)
                heappush(queue, (raised.bound, next(number), raised))
        return queue[0][0] if queue else float("inf")

    def _deepened(self, shares: Floats) -> None:
        """The best order so far with one row after another lifted more or less deep."""
        for parts in PARTS_TRIED:
            for row in self.best.rows:
                size, depth = self.sizes[row - 1], self.best.depth
                for tried in {round(size * k / parts) for k in range(parts + 1)}:
                    if parts > PARTS_TRIED[0] and abs(tried - depth[row - 1]) * parts > 2 * size:
                        continue
                    rows = tuple(each - 1 for each in self.best.rows)
                    some = (*depth[: row - 1], tried, *depth[row:])
                    self._tell(_Branch(rows, some, some, shares, depth=some), None,
                               self._own_places(rows))  # fmt: skip

    def _costs(self) -> Floats:
        """Of every rod at every place; one from beside the box pays its move.

        Places that do not exist make up the square.
        """
        case, places = self.case, self.inside + self.short
        used = min(case.chance.shape[1], places)
        expected = case.break_cost * (case.chance + FORBIDDEN * case.forbidden)
        # The worst rod weighs by a high power, so that it alone decides between equal costs.
        worn = case.worn / max(float(case.worn.max(initial=0.0)), 1e-300)
        scale = max(float(case.break_cost * case.chance.max(initial=0.0)), case.move_cost, 1e-300)
        cost = np.zeros((len(self.rods), len(self.rods)))
        cost[:, :used] = expected[:, :used] + TIE * scale * worn[:, :used] ** 8
        cost[self.inside :, :places] += case.move_cost
        return cost

    def _cost_of(self, own: Ints) -> Floats:
        """Of every rod at every place, where the rods of the box have some places of their own."""
        if self.slots is None:
            return self.cost
        cost = self.cost.copy()
        cost[:, own] += self.slots
        return cost

    def _windows(self, rows: Numbers) -> list[tuple[int, int]]:
        """First place of each row of the box, and rods from beside that come into it.

        Those come into the rows used last, as far as these have room.
        """
        more, short = [0] * len(rows), self.short
        for row in reversed(rows):
            more[row] = min(short, self.room[row])
            short -= more[row]
        first, at = [0] * len(rows), 0
        for row in rows:
            first[row], at = at, at + self.sizes[row] + more[row]
        return list(zip(first, more, strict=True))

    def _own_places(self, rows: Numbers) -> Ints:
        """Place of every rod of the box that does not change: rods come in on top of a row."""
        places = np.zeros(self.inside, dtype=np.int64)
        for row, (first, more) in enumerate(self._windows(rows)):
            own = first + (0 if self.loose else more)
            places[self.starts[row] : self.starts[row + 1]] = own + np.arange(self.sizes[row])
        return places

    def _price(self, branch: _Branch) -> Floats:
        """What every rod of the box pays when it leaves its place."""
        price = np.full(self.inside, self.case.move_cost)
        for row, start in enumerate(self.starts[:-1]):
            low, high = branch.low[row], branch.high[row]
            own = price[start : start + self.sizes[row]]
            own[:low], own[high:] = 0.0, self.stays
            if not self.loose and high > low:
                own[low:high] *= shared_out(branch.shares[start + low : start + high])
        return price

    def _solve(self, branch: _Branch, price: Floats, own: Ints) -> tuple[Floats, Ints]:
        """The least assignment when leaving one's place costs a price, and its costs."""
        self.tries -= 1
        cost = self._cost_of(own).copy()
        cost[np.arange(self.inside), own] -= price
        _, at = linear_sum_assignment(cost - self.prices)
        return cost, at

    def _raised(self, branch: _Branch) -> _Branch:
        """A branch with a higher bound, after some rounds; orders found on the way are kept."""
        own = self._own_places(branch.rows)
        for _ in range(self.together):
            price = self._price(branch)
            cost, at = self._solve(branch, price, own)
            self.prices = settled(cost, at, self.prices)
            by_rod = (cost - self.prices).min(axis=1)
            loss = self._cost_of(own)[np.arange(self.inside), own] - by_rod[: self.inside]
            loss -= self.prices[own]
            rows, depth = self._depths(branch, loss)
            bound = float(by_rod.sum() + self.prices.sum()) + rows
            left = at[: self.inside] != own
            step = STEP / np.sqrt(1.0 + branch.rounds / 5.0)
            changed = tuple(
                1 + int(np.max(np.flatnonzero(left[a:b]), initial=-1))
                for a, b in zip(self.starts, self.starts[1:], strict=False)
            )
            branch = replace(
                branch, bound=max(branch.bound, bound), rounds=branch.rounds + 1, depth=depth,
                changed=changed, shares=branch.shares + step * left,
            )  # fmt: skip
            self._tell(branch, at if self.loose else None, own)
            if self.loose or branch.bound >= self.best.key * (1.0 - EQUAL):
                break
        return branch

    def _depths(self, branch: _Branch, loss: Floats) -> tuple[float, Numbers]:
        """Least each row costs by itself, and how deep it is lifted then."""
        if self.loose:
            return self.case.move_cost * self.inside, self.sizes
        whole, depths = 0.0, []
        for row, (a, b) in enumerate(zip(self.starts, self.starts[1:], strict=False)):
            staying = np.concatenate((np.cumsum(loss[a:b][::-1])[::-1], [0.0]))
            costs = self.case.move_cost * np.arange(b - a + 1) + staying
            costs = costs[branch.low[row] : branch.high[row] + 1]
            depths.append(branch.low[row] + int(costs.argmin()))
            whole += float(costs.min())
        return whole, tuple(depths)

    def _tell(self, branch: _Branch, at: Ints | None, own: Ints) -> None:
        """The best order of a branch's depths, kept if it is the cheapest so far."""
        key = (branch.rows, branch.depth)
        if at is None and key in self.told:
            return
        self.told.add(key)
        if at is None:
            leaf = replace(branch, low=branch.depth, high=branch.depth)
            _, at = self._solve(leaf, self._price(leaf), own)
        rod = {place: k for k, place in enumerate(at.tolist())}
        box: list[tuple[str, ...]] = [()] * len(self.sizes)
        for row, (first, more) in enumerate(self._windows(branch.rows)):
            box[row] = tuple(self.rods[rod[first + k]] for k in range(self.sizes[row] + more))
        left = at[: self.inside] != own
        lifted = sum(
            int(left[a:b].sum()) if self.loose
            else 1 + int(np.max(np.flatnonzero(left[a:b]), initial=-1))
            for a, b in zip(self.starts, self.starts[1:], strict=False)
        )  # fmt: skip
        cost = float(self._cost_of(own)[np.arange(len(self.rods)), at].sum())
        found = _Found(cost + self.case.move_cost * lifted, tuple(box),
                       tuple(row + 1 for row in branch.rows), branch.depth)  # fmt: skip
        self.best = min(self.best, found)

    def _split(self, branch: _Branch) -> Iterator[_Branch]:
        """A branch in two, where the depth of one row is least sure."""
        sure = [-1 if low == high else abs(deep - depth) * len(self.rods) + high - low
                for low, high, deep, depth in zip(branch.low, branch.high, branch.changed,
                                                  branch.depth, strict=True)]  # fmt: skip
        row = sure.index(max(sure))
        low, high = branch.low[row], branch.high[row]
        if low == high:
            return
        part = min(branch.depth[row], high - 1)
        for lo, hi in ((low, part), (part + 1, high)):
            yield replace(
                branch, rounds=ROUNDS - self.together,
                low=(*branch.low[:row], lo, *branch.low[row + 1 :]),
                high=(*branch.high[:row], hi, *branch.high[row + 1 :]),
            )  # fmt: skip
