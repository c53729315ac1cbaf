"""Chance of a break in the next bore: an order of rods and a range, never one percentage."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from rodhand.wear.life_used import (
    CRITICAL_SUM_MEDIAN,
    NINETY_PERCENT,
    PRINTED_CLASSES,
    ClassFactor,
    model_variance,
    scatter_variance,
)

CLASS_ERROR = 3.0
"""The joint's class may be wrong by this factor in life, either way, until the owner's own breaks
say more (3 to 10; the range is told with 3). [-]"""
MOST_ASSUMED = 0.5
"""No chance is told when more than this share of a rod's history is assumed. [-]"""
_NORMAL = NormalDist()


@dataclass(frozen=True)
class Chance:
    """How likely a rod breaks in the next bore.

    Parameters
    ----------
    order : float
        Chance with the class taken as right; for ranking rods only. [-]
    at_least, at_most : int
        "1 in at_least to 1 in at_most": the range over the class error, rounded; at_least is the
        larger number and the smaller chance.
    """

    order: float
    at_least: int
    at_most: int


def broken_by(mean: float, slope: float | None) -> float:
    """F(D): chance that a section has broken by the time its mean-curve damage is D.

    Parameters
    ----------
    mean : float
        Damage on the mean curve, zero or above. [-]
    slope : float or None
        m of the curve, for the error of the stress model; None leaves that error out.

    Returns
    -------
    float
        Chance. [-]
    """
    if mean <= 0.0:
        return 0.0
    variance = scatter_variance() if slope is None else model_variance(slope)
    return _NORMAL.cdf((math.log(mean) - math.log(CRITICAL_SUM_MEDIAN)) / math.sqrt(variance))


def section_chance(mean: float, added: float, slope: float | None) -> float:
    """Chance that a section breaks in the next bore, given that it has not broken yet.

    Parameters
    ----------
    mean : float
        Mean-curve damage so far. [-]
    added : float
        What the next bore adds. [-]
    slope : float or None
        m of the curve; see `broken_by`. [-]

    Returns
    -------
    float
        [F(D + dD) - F(D)] / [1 - F(D)]. [-]
    """
    before, after = broken_by(mean, slope), broken_by(mean + added, slope)
    if before >= 1.0:
        return 1.0
    return (after - before) / (1.0 - before)


def rod_chance(
    means: Sequence[float],
    added: Sequence[float],
    slopes: Sequence[float | None],
    class_factors: Sequence[float] = (),
) -> float:
    """Chance that any section of a rod breaks in the next bore: 1 - product of (1 - p).

    Parameters
    ----------
    means, added : sequence of float
        Mean-curve damage so far and added, by section. [-]
    slopes : sequence of float or None
        m by section; None leaves the error of the stress model out, see `broken_by`. [-]
    class_factors : sequence of float
        Factor on the damage of each section, for the error of its class; 1 when not given. [-]

    Returns
    -------
    float
        Chance. [-]
    """
    whole = 1.0
    factors = class_factors or (1.0,) * len(means)
    for mean, more, slope, factor in zip(means, added, slopes, factors, strict=True):
        whole *= 1.0 - section_chance(factor * mean, factor * more, slope)
    return 1.0 - whole


def chance_of_break(
    means: Sequence[float],
    added: Sequence[float],
    slopes: Sequence[float],
    assumed: float,
    classes: Sequence[ClassFactor] = PRINTED_CLASSES,
) -> Chance | None:
    """Chance of a break of one rod in the next bore, as order and range.

    Parameters
    ----------
    means, added, slopes : sequence of float
        See `rod_chance`.
    assumed : float
        Share of the rod's history that is assumed. [-]
    classes : sequence of ClassFactor
        What is held of the class of each section; where breaks have told it, its own band stands
        for `CLASS_ERROR` and for the error of the stress model. The damages hold its factor.

    Returns
    -------
    Chance or None
        None when more than half of the history is assumed, when a damage is unknown, or when the
        next bore adds nothing.
    """
    known = all(math.isfinite(x) for x in (*means, *added))
    if assumed > MOST_ASSUMED or not known or not any(more > 0.0 for more in added):
        return None
    own = [slope if c.sigma is None else None for slope, c in zip(slopes, classes, strict=True)]
    error = [
        CLASS_ERROR if c.sigma is None else math.exp(NINETY_PERCENT * c.sigma) for c in classes
    ]
    low = rod_chance(means, added, own, [1.0 / each for each in error])
    order, high = rod_chance(means, added, own), rod_chance(means, added, own, error)
    return Chance(order, one_in(low), one_in(high))


RAREST = 1_000_000
"""Chances below one in this many are told as this many. [-]"""


def one_in(chance: float) -> int:
    """N of "1 in N", to 1, 2 or 5 times a power of ten, nearest by ratio.

    Parameters
    ----------
    chance : float
        Chance, 0 to 1. [-]

    Returns
    -------
    int
        From 1 to `RAREST`.

    Examples
    --------
    >>> one_in(0.0054), one_in(0.13), one_in(0.9)
    (200, 10, 1)
    """
    if chance <= 1.0 / RAREST:
        return RAREST
    steps = [step * int(10**power) for power in range(7) for step in (1, 2, 5)]
    return min(steps, key=lambda n: abs(math.log(n * chance)))
