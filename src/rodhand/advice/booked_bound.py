"""What the breaks of several bores cannot cost less than, whichever rods stand where.

Damage adds up, and the cumulative hazard of a section is convex in it as long as its hazard
rises. A straight line below it for every rod makes of the bores one assignment each, which no
order can cost less than; moving the points where the lines touch raises the bound (Frank and
Wolfe).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment
from scipy.special import log_ndtr

from rodhand.advice.order_case import Floats
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN

Ints = NDArray[np.int64]
LEAST_DAMAGE = 1e-12
"""Stands for no damage where a logarithm is taken. [-]"""
POINTS, MARGIN = 33, 1.02
"""Points at which the largest hazard is read, and what it is raised by."""


@dataclass(frozen=True, eq=False)
class Stretch:
    """One bore: damage added by place [-], cost of a break, further costs of rods at places."""

    added: Floats
    break_cost: float
    more: Floats


def bound_of_breaks(
    means: Floats, spread: Floats, bores: Sequence[Stretch], total: Floats, rounds: int,
    first: int = 0,
) -> float:  # fmt: skip
    """A lower bound of the cost of breaks in some bores.

    Parameters
    ----------
    means : (r, 5) array of float
        Damage of every rod so far. [-]
    spread : (5,) array of float
        Of ln life by section. [-]
    bores : sequence of Stretch
        All bores, first to come first.
    total : (r, 5) array of float
        What a good order adds to each rod, where the lines touch first. [-]
    rounds : int
        How often the lines are moved; 0 bounds each bore by itself, with the damage before it
        that makes breaks least.
    first : int
        The first bore that counts.

    Returns
    -------
    float
        In the money of the costs.
    """
    alone = [_least_chance(means, spread, bores, k) for k in range(len(bores))]
    found = sum(_assigned(bore.break_cost * each + bore.more)[0]
                for bore, each in zip(bores[first:], alone[first:], strict=True))  # fmt: skip
    if not rounds:
        return found
    most = sum((bore.added.max(axis=0) for bore in bores), np.zeros(means.shape[1]))
    share = _chance_of_hazard(means, spread, bores, most)
    common = min(bore.break_cost for bore in bores)
    for turn in range(rounds):
        level, slope = _line_below(means, spread, total, most)
        bound, there = common * float((share * level.sum(axis=1)).sum()), np.zeros_like(total)
        for bore, each in zip(bores, alone, strict=True):
            used = min(len(bore.added), len(means))
            cost = common * share[:, None] * (slope @ bore.added[:used].T)
            cost += (bore.break_cost - common) * each[:, :used] + bore.more[:, :used]
            least, who, where = _assigned(cost)
            bound += least
            there[who] += bore.added[where]
        found = max(found, bound)
        total = total + (there - total) * 2.0 / (turn + 3.0)
    return found


def _assigned(cost: Floats) -> tuple[float, Ints, Ints]:
    who, where = linear_sum_assignment(cost)
    return float(cost[who, where].sum()), who, where


def _least_chance(means: Floats, spread: Floats, bores: Sequence[Stretch], k: int) -> Floats:
    """Least chance of a break at every place of a bore, whatever the rods did in those before it.

    A lognormal's hazard rises and then falls, so what a bore adds to it is least with the least
    or the most damage before. [-]
    """
    bore = bores[k]
    before = sum((each.added.max(axis=0) for each in bores[:k]), np.zeros(means.shape[1]))
    added = bore.added[None]
    least = np.minimum(
        _hazard(means[:, None] + added, spread) - _hazard(means[:, None], spread),
        _hazard(means[:, None] + before + added, spread) - _hazard(means[:, None] + before, spread),
    )
    return np.asarray(-np.expm1(-least.sum(axis=2)))


def _hazard(damage: Floats, spread: Floats) -> Floats:
    """Cumulative hazard by section. [-]"""
    z = (np.log(np.maximum(damage, LEAST_DAMAGE)) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    return np.asarray(-log_ndtr(-z))


def _rate(damage: Floats, spread: Floats) -> Floats:
    """Hazard: what a further bit of damage adds to `_hazard`, for each bit. [-]"""
    there = np.maximum(damage, LEAST_DAMAGE)
    z = (np.log(there) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    density = np.exp(-0.5 * z**2 - log_ndtr(-z)) / np.sqrt(2.0 * np.pi)
    return np.asarray(density / (there * spread))


def _chance_of_hazard(
    means: Floats, spread: Floats, bores: Sequence[Stretch], most: Floats
) -> Floats:
    """Share of the hazard a rod takes in one bore that its chance of a break is at least. [-]

    By the largest hazard on the rod's way, read at some points and raised by a margin.
    """
    least = np.maximum(means, LEAST_DAMAGE)
    steps = np.linspace(0.0, 1.0, POINTS)[:, None, None]
    way = least * ((least + most) / least) ** steps
    largest = MARGIN * _rate(way, spread).max(axis=0)
    added = np.max([bore.added.max(axis=0) for bore in bores], axis=0)
    taken = np.maximum((largest * added).sum(axis=1), LEAST_DAMAGE)
    return np.asarray(-np.expm1(-taken) / taken)


def _line_below(
    means: Floats, spread: Floats, total: Floats, most: Floats
) -> tuple[Floats, Floats]:
    """Level at no damage added and slope of a line below every rod's cumulative hazard. [-]

    It touches at ``total`` where the hazard still rises, and is lowered where it would stand above
    the far end; where the hazard falls it is nought.
    """
    here = means + total
    slope = _rate(here, spread)
    slope = np.where(_rate(here * 1.001 + LEAST_DAMAGE, spread) >= slope, slope, 0.0)
    begun = _hazard(means, spread)
    level = np.where(slope > 0.0, _hazard(here, spread) - begun - slope * total, 0.0)
    over = level + slope * most - (_hazard(means + most, spread) - begun)
    return level - np.maximum(over, 0.0), slope
