"""How long rods lasted, in life used: Kaplan-Meier, Weibull, and the age it costs least to retire.

Ages are life used, never hours: a rod set aside on advice leaves at a life used that says nothing
of when it would have broken, while in hours the hard-worked would leave first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.optimize import brentq
from scipy.special import gamma, gammainc

LEAST_BREAKS = 5
"""With fewer breaks nothing is built on a fitted life (ours). [-]"""
_SHAPES = (0.05, 200.0)
_LARGEST_AGE = 50.0
"""Ages beyond so many scales are never worth waiting for. [-]"""


@dataclass(frozen=True)
class Lasted:
    """One rod: age at which it broke, or to which it has not. [any unit, above 0]"""

    age: float
    broken: bool


@dataclass(frozen=True)
class Weibull:
    """S(t) = exp(-(t / scale)^shape)."""

    shape: float
    scale: float

    def survival(self, age: float) -> float:
        """Share that lasts longer than an age. [-]"""
        return math.exp(-((age / self.scale) ** self.shape)) if age > 0.0 else 1.0

    def mean_to(self, age: float) -> float:
        """Mean age reached when all are retired at an age: integral of S from 0. [unit of scale]"""
        part = gammainc(1.0 / self.shape, (age / self.scale) ** self.shape)
        return float(self.scale / self.shape * gamma(1.0 / self.shape) * part)


@dataclass(frozen=True)
class Retire:
    """The age that costs least.

    Parameters
    ----------
    age : float or None
        Age to retire at; None where no age costs less than none. [unit of scale]
    rate, rate_never : float
        Cost per unit of age with it, and without any. [money per unit of age]
    """

    age: float | None
    rate: float
    rate_never: float


def kaplan_meier(lasted: Sequence[Lasted]) -> tuple[tuple[float, float], ...]:
    """Product-limit estimate of the share that lasts.

    Parameters
    ----------
    lasted : sequence of Lasted
        At least none.

    Returns
    -------
    tuple of (float, float)
        Each age at which one broke, and the share that lasts longer; rods unbroken at that age
        were still at risk.

    Notes
    -----
    Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457, from memory.
    """
    share, found = 1.0, []
    for age in sorted({each.age for each in lasted if each.broken}):
        at_risk = sum(each.age >= age for each in lasted)
        broke = sum(each.broken and each.age == age for each in lasted)
        share *= 1.0 - broke / at_risk
        found.append((age, share))
    return tuple(found)


def fit_weibull(lasted: Sequence[Lasted]) -> Weibull | None:
    """Weibull by maximum likelihood, rods not broken counted as such.

    Parameters
    ----------
    lasted : sequence of Lasted
        Ages above 0.

    Returns
    -------
    Weibull or None
        None with fewer than two different ages or without a break.

    Notes
    -----
    1/k = sum(t^k ln t)/sum(t^k) - mean of ln t over the broken; scale^k = sum(t^k)/breaks.
    """
    broke = [math.log(each.age) for each in lasted if each.broken]
    if not broke or len({each.age for each in lasted}) < 2:
        return None
    largest = max(each.age for each in lasted)
    logs = [math.log(each.age / largest) for each in lasted]  # so that no power overflows
    mean = sum(broke) / len(broke) - math.log(largest)

    def slope(shape: float) -> float:
        weights = [math.exp(shape * each) for each in logs]
        whole = sum(w * each for w, each in zip(weights, logs, strict=True)) / sum(weights)
        return whole - mean - 1.0 / shape

    if slope(_SHAPES[0]) * slope(_SHAPES[1]) > 0.0:
        return None
    shape = float(brentq(slope, *_SHAPES, xtol=1e-10))
    whole = sum(math.exp(shape * each) for each in logs)
    return Weibull(shape, largest * (whole / len(broke)) ** (1.0 / shape))


def retire_age(life: Weibull, planned: float, unplanned: float) -> Retire:
    """Age replacement: retire at an age or at the break, whichever comes first.

    Parameters
    ----------
    life : Weibull
        How long rods last.
    planned, unplanned : float
        Cost of one replaced in time, and of one that broke. [money]

    Returns
    -------
    Retire
        The least of [planned S(T) + unplanned (1 - S(T))] / integral of S from 0 to T. There is
        one only where the shape is above 1 and a break costs more than a replacement.

    Notes
    -----
    Barlow and Hunter, Operations Research 8 (1960) 90, from memory.
    """

    def rate(age: float) -> float:
        lasts = life.survival(age)
        return (planned * lasts + unplanned * (1.0 - lasts)) / life.mean_to(age)

    never = unplanned / life.mean_to(_LARGEST_AGE * life.scale)
    if life.shape <= 1.0 or unplanned <= planned:
        return Retire(None, never, never)

    def excess(age: float) -> float:
        hazard = life.shape / life.scale * (age / life.scale) ** (life.shape - 1.0)
        gone = 1.0 - life.survival(age)
        return float(hazard) * life.mean_to(age) - gone - planned / (unplanned - planned)

    far = _LARGEST_AGE * life.scale
    if excess(far) <= 0.0:
        return Retire(None, never, never)
    age = float(brentq(excess, 1e-9 * life.scale, far))
    return Retire(age, rate(age), never)
