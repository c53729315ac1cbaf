"""Which rod lies where over several booked bores: life spent by one is met by the next.

Ways of ordering are followed bore by bore through the box; the cheapest of all bores together is
taken. What any way costs is bounded from below in `rodhand.advice.booked_bound`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.booked_bound import Stretch, bound_of_breaks
from rodhand.advice.box_hands import BoxKind, Rows, after_bore
from rodhand.advice.order_case import FORBIDDEN, Arranged, Floats, How, OrderCase, told
from rodhand.advice.rod_order import cheapest, planned, turnings
from rodhand.wear.chance_table import log_unbroken

HORIZONS, HORIZONS_OF_MANY = (1, 3, 10), (10,)
"""Bores ahead a load is planned for, each tried; those of a box of many rods. [bores]"""
EFFORT_OF_FEW, EFFORT, MANY_RODS = 0.5, 0.15, 100
"""Share of the assignments of one bore's search; that for a box of more rods than this."""


@dataclass(frozen=True, eq=False)
class BookedBore:
    """A booked bore: its name, what it takes of each place, cost of a break, places not allowed.

    Parameters
    ----------
    name : str
        Its name.
    added : (places, 5) array of float
        Damage on the mean curve it adds at each place. [-]
    break_cost : float
        Of one break in it.
    forbidden : (rods, places) array of bool
        Where a rod must not stand.
    """

    name: str
    added: Floats
    break_cost: float
    forbidden: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class BookedCase:
    """A box and the bores booked for it, in their order.

    Parameters
    ----------
    kind, box, beside, capacity
        As of `OrderCase`.
    means : (rods, 5) array of float
        Damage of every rod so far, rods of the box row by row, then those beside it. [-]
    spread : (5,) array of float
        Of ln life by section. [-]
    bores : tuple of BookedBore
        First to come first.
    move_cost : float
        Of moving one rod, in the money of the breaks.
    """

    kind: BoxKind
    box: Rows
    beside: tuple[str, ...]
    capacity: int
    means: Floats
    spread: Floats
    bores: tuple[BookedBore, ...]
    move_cost: float

    @property
    def rods(self) -> tuple[str, ...]:
        """Rods in the order of the rows of ``means``."""
        return (*(rod for row in self.box for rod in row), *self.beside)


@dataclass(frozen=True)
class BookedWay:
    """One way to order the rods through all the bores.

    Parameters
    ----------
    how : str
        Which way.
    boxes : tuple of tuple of tuple of str
        The box as each bore finds it.
    ways : tuple of Arranged
        What is done before each bore; their ``bound`` is not worked out.
    bound : float
        No way costs less; NaN where it was not worked out.
    """

    how: How
    boxes: tuple[Rows, ...]
    ways: tuple[Arranged, ...]
    bound: float = float("nan")

    @property
    def cost(self) -> float:
        """Breaks and rods moved, of all bores."""
        return sum(way.cost for way in self.ways)

    @property
    def breaks(self) -> float:
        """Expected breaks, each on condition that the rod has not broken yet. [breaks]"""
        return sum(way.breaks for way in self.ways)

    @property
    def lifted(self) -> int:
        """Rods lifted before all bores. [rods]"""
        return sum(way.todo.lifted for way in self.ways)

    @property
    def against(self) -> int:
        """Rods in places they must not stand in. [rods]"""
        return sum(way.against for way in self.ways)

    @property
    def gap(self) -> float:
        """How far its cost may stand above the least, as a share of it. [-]"""
        return (self.cost - self.bound) / self.bound if self.bound > 0.0 else float("inf")


Chosen = Callable[[OrderCase, OrderCase], Arranged]


def booked_turnings(case: BookedCase) -> tuple[BookedWay, ...]:
    """What needs no planning: the box as it lies for every bore, and the cheapest turning each."""
    return (
        _followed(case, "as_it_lies", 1, lambda _, now: turnings(now)[0]),
        _followed(case, "rows_turned", 1, lambda _, now: cheapest(turnings(now))),
    )


def booked_plan(case: BookedCase) -> BookedWay:
    """The cheapest way found through all bores, with what no way can cost less than.

    Parameters
    ----------
    case : BookedCase
        The box and the bores.

    Returns
    -------
    BookedWay
        Before each bore the box is laid as is cheapest for it and some bores after it, as if
        every rod kept its place in them; each of `HORIZONS` is tried. Not proved to be the least:
        its ``gap`` says how far it may be from it.
    """
    many = len(case.rods) > MANY_RODS
    effort = EFFORT if many else EFFORT_OF_FEW
    ahead = {min(each, len(case.bores)) for each in (HORIZONS_OF_MANY if many else HORIZONS)}
    found = [
        *booked_turnings(case),
        *(_followed(case, "planned", each, lambda later, _: _least(later, effort))
          for each in sorted(ahead)),
    ]  # fmt: skip
    best = min(found, key=lambda way: (way.against, way.cost))
    return replace(best, how="planned", bound=min(best.cost, _bound(case, best)))


def _least(case: OrderCase, effort: float) -> Arranged:
    return cheapest((planned(case, effort), *turnings(case)))


def _followed(case: BookedCase, how: How, ahead: int, choose: Chosen) -> BookedWay:
    """One way of ordering, bore by bore: damage adds up, and the box lies as the last bore left it.

    ``choose`` is given the case of the next bores together and that of the next one alone.
    """
    box, means, boxes, ways = case.box, case.means.copy(), [], []
    number = {rod: k for k, rod in enumerate(case.rods)}
    for k, bore in enumerate(case.bores):
        now = _case_at(case, box, means, case.bores[k : k + 1])
        later = _case_at(case, box, means, case.bores[k : k + ahead]) if ahead > 1 else now
        chosen = choose(later, now)
        way = told(now, how, chosen.box, chosen.todo.rows)
        boxes.append(box)
        ways.append(way)
        who = [number[rod] for rod in way.todo.order[: len(bore.added)]]
        means[who] += bore.added[: len(who)]
        box = after_bore(case.kind, way.box, case.capacity, way.todo.rows, len(who))
    return BookedWay(how, tuple(boxes), tuple(ways))


def _case_at(case: BookedCase, box: Rows, means: Floats, bores: Sequence[BookedBore]) -> OrderCase:
    """The next bores as one: every rod keeps its place in them."""
    inside = [rod for row in box for rod in row]
    here = set(inside)
    beside = tuple(rod for rod in case.rods if rod not in here)
    number = {rod: k for k, rod in enumerate(case.rods)}
    who = [number[rod] for rod in (*inside, *beside)]
    places = max(len(bore.added) for bore in bores)
    chance = np.zeros((len(who), places))
    forbidden = np.zeros((len(who), places), dtype=bool)
    spent = np.broadcast_to(means[who][:, None, :], (len(who), places, means.shape[1])).copy()
    alive = log_unbroken(spent, case.spread)
    for bore in bores:
        used = len(bore.added)
        spent[:, :used] += bore.added[None]
        after = log_unbroken(spent[:, :used], case.spread)
        share = bore.break_cost / bores[0].break_cost
        chance[:, :used] -= np.expm1(after - alive[:, :used]) * share
        alive[:, :used] = after
        forbidden[:, :used] |= bore.forbidden[who]
    return OrderCase(case.kind, box, beside, case.capacity, chance, spent.max(axis=2), forbidden,
                     bores[0].break_cost, case.move_cost)  # fmt: skip


def _bound(case: BookedCase, way: BookedWay) -> float:
    """No way costs less: the dearer of two bounds, moves counted before the first bore at most."""
    number = {rod: k for k, rod in enumerate(case.rods)}
    total = np.zeros_like(case.means)
    for bore, each in zip(case.bores, way.ways, strict=True):
        who = [number[rod] for rod in each.todo.order[: len(bore.added)]]
        total[who] += bore.added[: len(who)]
    stretches = [
        Stretch(
            bore.added,
            bore.break_cost,
            FORBIDDEN * bore.break_cost * bore.forbidden.astype(np.float64),
        )
        for bore in case.bores
    ]
    missed = sum(
        FORBIDDEN * bore.break_cost * each.against
        for bore, each in zip(case.bores, way.ways, strict=True)
    )
    first = planned(_case_at(case, case.box, case.means, case.bores[:1]))
    apart = bound_of_breaks(case.means, case.spread, stretches, total, 0, first=1) + first.bound
    whole = bound_of_breaks(case.means, case.spread, stretches, total, 8) - missed
    return max(whole, apart - missed)
