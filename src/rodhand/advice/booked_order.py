"""Which rod lies where over several booked bores: life spent by one is met by the next.

Ways of ordering are followed bore by bore through the box; the cheapest of all bores together is
taken. What any way costs is bounded from below in `rodhand.advice.booked_bound`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from rodhand.advice.booked_bound import lower_bound
from rodhand.advice.booked_case import BookedBore, BookedCase, BookedWay
from rodhand.advice.box_hands import Rows, after_bore
from rodhand.advice.order_case import Arranged, Floats, How, OrderCase, told
from rodhand.advice.rod_order import cheapest, planned, turnings
from rodhand.wear.chance_table import log_unbroken

HORIZONS, HORIZONS_OF_MANY = (1, 3, 10), (10,)
"""Bores ahead a load is planned for, each tried; those of a box of many rods. [bores]"""
EFFORT, MANY_RODS = 0.5, 100
"""Share of the assignments of one bore's search; a box of more rods is one of many. [-], [rods]"""


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
    ahead = {min(each, len(case.bores)) for each in (HORIZONS_OF_MANY if many else HORIZONS)}
    found = [
        *booked_turnings(case),
        *(_followed(case, "planned", each, lambda later, _: _least(later))
          for each in sorted(ahead)),
    ]  # fmt: skip
    best = min(found, key=lambda way: (way.against, way.cost))
    if len(case.bores) == 1:
        now, _ = _cases_at(case, case.box, case.means, case.bores)
        bound = planned(now).bound
    else:
        bound = lower_bound(case, best, many)
    return replace(best, how="planned", bound=min(best.cost, bound))


def _least(case: OrderCase) -> Arranged:
    return cheapest((planned(case, EFFORT), *turnings(case)))


def _followed(case: BookedCase, how: How, ahead: int, choose: Chosen) -> BookedWay:
    """One way of ordering, bore by bore: damage adds up, and the box lies as the last bore left it.

    ``choose`` is given the case of the next bores together and that of the next one alone.
    """
    box, means, boxes, ways = case.box, case.means.copy(), [], []
    number = {rod: k for k, rod in enumerate(case.rods)}
    for k, bore in enumerate(case.bores):
        now, later = _cases_at(case, box, means, case.bores[k : k + ahead])
        chosen = choose(later, now)
        way = told(now, how, chosen.box, chosen.todo.rows)
        boxes.append(box)
        ways.append(way)
        who = [number[rod] for rod in way.todo.order[: len(bore.added)]]
        means[who] += bore.added[: len(who)]
        box = after_bore(case.kind, way.box, case.capacity, way.todo.rows, len(who))
    return BookedWay(how, tuple(boxes), tuple(ways))


def _cases_at(
    case: BookedCase, box: Rows, means: Floats, bores: Sequence[BookedBore]
) -> tuple[OrderCase, OrderCase]:
    """The next bore alone, and the next bores as one: every rod keeps its place in them."""
    inside = [rod for row in box for rod in row]
    here = set(inside)
    beside = tuple(rod for rod in case.rods if rod not in here)
    number = {rod: k for k, rod in enumerate(case.rods)}
    who = [number[rod] for rod in (*inside, *beside)]
    places = max(len(bore.added) for bore in bores)
    chance = np.zeros((len(who), places))
    forbidden = np.zeros((len(who), places), dtype=bool)
    spent = np.repeat(means[who][:, None, :], places, axis=1)
    alive = np.repeat(log_unbroken(means[who], case.spread)[:, None], places, axis=1)
    found = []
    for bore in bores:
        used = len(bore.added)
        spent[:, :used] += bore.added[None]
        after = log_unbroken(spent[:, :used], case.spread)
        share = bore.break_cost / bores[0].break_cost
        chance[:, :used] -= np.expm1(after - alive[:, :used]) * share
        alive[:, :used] = after
        forbidden[:, :used] |= bore.forbidden[who]
        if bore is bores[0] or bore is bores[-1]:
            shape = np.s_[:, :used] if bore is bores[0] else np.s_[:, :]
            found.append(OrderCase(
                case.kind, box, beside, case.capacity, chance[shape].copy(),
                spent[shape].max(axis=2), forbidden[shape].copy(), bores[0].break_cost,
                case.move_cost))  # fmt: skip
    return found[0], found[-1]
