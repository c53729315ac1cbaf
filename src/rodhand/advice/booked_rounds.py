"""Rounds of prices and lines that raise what several bores cannot cost less than.

A straight line below the cumulative hazard of each rod makes a price of each place. A price for
standing in a slot before a bore is given back in it, up to what lifting costs (Lagrange). Lines'
points of touch and prices are moved after every round; of the first bore the search of rows and
depths takes what moves cost whole.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from rodhand.advice.booked_case import BookedCase
from rodhand.advice.hazard_lines import line_below
from rodhand.advice.order_case import FORBIDDEN, Floats, OrderCase
from rodhand.advice.place_prices import Ints, settled, shared_out
from rodhand.advice.rows_search import RowsSearch

STEP, SHARE_STEP = 0.1, 0.5
"""First step of a price, as a share of moving one rod; of a row's shares, on a log scale. [-]"""
TOUCH_STEPS = 20.0
"""Rounds after which a line's point of touch moves half as far."""
OUTSIDE, NO_PRICE = -1, 1e-300


@dataclass(eq=False)
class Bores:
    """What stays the same over all rounds; slots are the box's places row by row.

    ``weight`` is what each bore's cumulative hazard counts; ``fixed`` a rod's cost at a place
    beside the lines; ``counted`` whether moves before each bore can be told from its slots.
    """

    case: BookedCase
    added: list[Floats]
    fixed: list[Floats]
    most: Floats
    weight: Floats
    at: list[Ints]
    counted: bool

    @property
    def slots(self) -> int:
        """Slots of the box, or places of the longest bore where moves are not counted."""
        return max(len(each) for each in self.added)


class Rounds:
    """Rounds of prices and lines; ``best`` is the highest bound so far.

    ``prices[k]`` is what standing in a slot costs each rod before bore k and gives back in it;
    it is never more than ``caps[k]``, what a rod of that slot pays at most of a row lifted.
    """

    def __init__(self, bores: Bores, total: Floats) -> None:
        self.bores, self.total, self.best, self.round = bores, total, float("-inf"), 0
        count, slots = len(bores.added), bores.slots
        rods = len(bores.case.rods)
        self.inside = min(slots, rods)
        self.starts = np.cumsum([0, *map(len, bores.case.box)])
        self.shares = np.zeros((count, slots))
        self.caps = np.stack([self._caps(each) for each in self.shares])
        self.prices = np.zeros((count + 1, rods, slots))
        own = np.arange(self.inside)
        for k in range(count):
            self.prices[k, own, own] = self.caps[k, : self.inside] * (count - k) / count
        self.place_prices = np.zeros((count, slots))
        self.kept: tuple[float, Floats, Floats] = (0.0, self.prices[1], np.empty(0))

    def _caps(self, shares: Floats) -> Floats:
        case = self.bores.case
        if not self.bores.counted:
            return np.zeros(len(shares))
        if case.kind.reach == "any":
            return np.full(len(shares), case.move_cost)
        rows = zip(self.starts, self.starts[1:], strict=False)
        return case.move_cost * np.concatenate([shared_out(shares[a:b]) for a, b in rows if b > a])

    def next(self) -> None:
        """One round: the bound at these prices and lines, then both moved."""
        bores = self.bores
        level, slope = self._lines()
        own = np.arange(self.inside)
        found = level + float(self.prices[0, own, own].sum())
        where, there, total, first = [], [], np.zeros_like(bores.case.means), 0.0
        for k, added in enumerate(bores.added):
            least, who, slot, place = self._assigned(k, slope[k] @ added.T + bores.fixed[k])
            first = least if k == 0 else first
            found += least
            total = total.copy()
            total[who] += added[place]
            there.append(total)
            stood = np.full(len(total), OUTSIDE)
            stood[who] = slot
            where.append(stood)
        if found > self.best:
            lines = slope[0] @ bores.added[0].T + bores.fixed[0]
            rest = found - first - float(self.prices[0, own, own].sum())
            self.best, self.kept = found, (rest, self.prices[1].copy(), lines)
        self._move(where)
        self.total += (np.array(there) - self.total) / (self.round + TOUCH_STEPS)
        self.round += 1

    def _lines(self) -> tuple[float, Floats]:
        """Height of the lines of all rods, and their slopes by bore."""
        bores, level = self.bores, 0.0
        slope = np.zeros_like(self.total)
        for k, weight in enumerate(bores.weight):
            if weight > 0.0:
                case = bores.case
                height, each = line_below(case.means, case.spread, self.total[k], bores.most[k])
                level += weight * float(height.sum())
                slope[: k + 1] += weight * each
        return level, slope

    def _assigned(self, k: int, at_places: Floats) -> tuple[float, Ints, Ints, Ints]:
        """The least assignment of one bore over all orders of use: cost, rods, slots, places.

        Orders whose bound by the last round's prices of places is no better are left out.
        """
        extra = self.prices[k + 1] - self.prices[k]
        costs = [at_places[:, at] + extra for at in self.bores.at]
        if not self.round:
            self._solved(k, costs, 0)
        last = self.place_prices[k].copy()
        bounds = [_by_prices(cost, last[at])
                  for cost, at in zip(costs, self.bores.at, strict=True)]  # fmt: skip
        tried = sorted(range(len(costs)), key=bounds.__getitem__)
        best = self._solved(k, costs, tried[0])
        for which in tried[1:]:
            if bounds[which] >= best[0]:
                break
            best = min(best, self._solved(k, costs, which), key=lambda each: each[0])
        return best

    def _solved(self, k: int, costs: list[Floats], which: int) -> tuple[float, Ints, Ints, Ints]:
        """The least assignment of one bore with its rows used in one order; prices of places kept.

        Prices of columns, each of which gets a rod, change no assignment and make it quick.
        """
        at, cost = self.bores.at[which], costs[which]
        last = self.place_prices[k, at]
        who, slot = linear_sum_assignment(cost - last)
        self.place_prices[k, at] = _prices(cost, who, slot, last)
        return float(cost[who, slot].sum()), who, slot, at[slot]

    def _move(self, where: list[Ints]) -> None:
        """Prices up where a rod left, down where one came; shares up of slots that were left."""
        if not self.bores.counted:
            return
        step = STEP * self.bores.case.move_cost / np.sqrt(1.0 + self.round)
        before = np.where(np.arange(len(where[0])) < self.inside, np.arange(len(where[0])), OUTSIDE)
        for k, now in enumerate(where):
            left = np.flatnonzero((before != now) & (before != OUTSIDE))
            came = np.flatnonzero((before != now) & (now != OUTSIDE))
            self.prices[k, left, before[left]] += step
            self.prices[k, came, now[came]] -= step
            self.shares[k, before[left]] += SHARE_STEP / np.sqrt(1.0 + self.round / 5.0)
            caps = self._caps(self.shares[k])
            grown = caps / np.maximum(self.caps[k], NO_PRICE)
            self.prices[k] = np.clip(self.prices[k] * grown, 0.0, caps)
            self.caps[k] = caps
            before = now

    def first_searched(self) -> float:
        """The best round's bound with the first bore searched through, its moves counted whole."""
        bores, (rest, prices, lines) = self.bores, self.kept
        case, bore = bores.case, bores.case.bores[0]
        places = min(len(bore.added), bores.slots) if not bores.counted else bores.slots
        forbidden = np.zeros((len(case.rods), places), dtype=bool)
        used = min(len(bore.added), places)
        forbidden[:, :used] = bore.forbidden[:, :used]
        chance = lines[:, :places] / bore.break_cost - FORBIDDEN * forbidden
        unworn = np.zeros_like(chance)
        alone = OrderCase(case.kind, case.box, case.beside, case.capacity, chance, unworn,
                          forbidden, bore.break_cost, case.move_cost)  # fmt: skip
        return rest + RowsSearch(alone, slots=prices if bores.counted else None).bound()


def _by_prices(cost: Floats, prices: Floats) -> float:
    """No assignment of every column costs less: prices of columns, and what rods save at them."""
    saved = (cost - prices).min(axis=1)
    if cost.shape[0] > cost.shape[1]:
        saved = np.minimum(saved, 0.0)
    return float(prices.sum() + saved.sum())


def _prices(cost: Floats, who: Ints, slot: Ints, last: Floats) -> Floats:
    """Prices of the columns of a least assignment; a rod left out pays none."""
    rods, slots = cost.shape
    square = np.hstack([cost, np.zeros((rods, rods - slots))])
    at = np.full(rods, OUTSIDE)
    at[who] = slot
    at[at == OUTSIDE] = np.arange(slots, rods)
    found = settled(square, at, np.append(last, np.zeros(rods - slots)))
    return np.asarray(found[:slots] - (found[slots:].max() if rods > slots else 0.0))
