"""Life used: damage of all bores added up, with its band, for each section of a rod.

Model 1. ln(life used) is taken as normal: the mean-curve damage over the median of the critical
sum is the median, and the spread is made of the curve's scatter, the critical sum, the stress
model, the turns and the readings of bends. The class of the joint is taken as right; what it may
be wrong by is said apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.wear.sections import SECTIONS, Section

Floats = NDArray[np.float64]

MODEL = 2
"""Version of these mechanics, stored with every result."""

CRITICAL_SUM_COV = 0.3
"""Coefficient of variation of the critical Miner sum, lognormal with mean 1 (JCSS Probabilistic
Model Code part 3, READ). [-]"""
CRITICAL_SUM_MEDIAN = 1.0 / math.sqrt(1.0 + CRITICAL_SUM_COV**2)
"""Median of that sum, 0.958. [-]"""
LOG10_LIFE_SD = 0.20
"""Scatter of log10 cycles about a mean curve (from memory for all classes). [-]"""
STRESS_MODEL_SIGMA = 0.198
"""Standard deviation of ln stress for a coefficient of variation of 20 % (JCSS, READ): sqrt(ln
1.04). [-]"""
NINETY_PERCENT = 1.645
"""Standard deviations from the median to the 5 and 95 % points. [-]"""
DECLARED_FACTOR = 3.0
"""A declared past is right within times or over this, as a 90 % band (ours). [-]"""
DECLARED_SIGMA = math.log(DECLARED_FACTOR) / NINETY_PERCENT


@dataclass(frozen=True, eq=False)
class Contribution:
    """What one bore, or a declared past, added to one rod.

    Parameters
    ----------
    source : str
        Key of the bore or of the declaration; parts of one source share its bends.
    design, low, best, high : (5,) array of float
        Damage of each section: design curve at best bends; mean curve at low, best and high
        bends. [-]
    bend_error : (5,) array of float
        Standard deviation of ln damage from reading the bends. [-]
    turns_rung : str
        Where the turns come from.
    turns_sigma : float
        Standard deviation of ln turns. [-]
    assumed : float
        Share of this contribution that stands on no record of this bore: 1 for a declared past, a
        pass nobody recorded, turns from the published range. [-]
    may_be_none : bool
        True for a pass nobody recorded: it may not have happened, so low counts none of it.
    high_at_least : (5,) array of float, optional
        Where the rod's place is in doubt: ``high`` of the place that took least. [-]
    unknown_size : bool
        True for work of which nobody knows how much it was: the sum with it is *at least* so much,
        and what stands here for it only widens the band.
    """

    source: str
    design: Floats
    low: Floats
    best: Floats
    high: Floats
    bend_error: Floats
    turns_rung: str
    turns_sigma: float
    assumed: float = 0.0
    may_be_none: bool = False
    high_at_least: Floats | None = None
    unknown_size: bool = False

    @property
    def least_high(self) -> Floats:
        """The least ``high`` may stand for: nothing where there may have been none. [-]"""
        if self.may_be_none:
            return np.zeros(len(SECTIONS))
        return self.high if self.high_at_least is None else self.high_at_least


@dataclass(frozen=True)
class LifeUsed:
    """Life used of one section: 1 is the median life on the named curve.

    Parameters
    ----------
    low, best, high : float
        5, 50 and 95 % points with the class taken as right. [-]
    design : float
        Sum on the mean-minus-two-SD curve at best bends; thresholds compare with this alone. [-]
    section : Section
        The section.
    model : int
        Version of the mechanics.
    label : str
        Code of what the sum leaves out, for example ``pilot_only``; empty when nothing.
    mean : float
        Sum on the mean curve at best bends, for the chance of a break. [-]
    assumed : float
        Share of the mean sum that stands on no record. [-]
    at_least : bool
        Whether nobody knows how much some of the work was: low is known, the rest is not.
    """

    low: float
    best: float
    high: float
    design: float
    section: Section
    model: int
    label: str
    mean: float
    assumed: float
    at_least: bool = False


@dataclass(frozen=True)
class RodLife:
    """Life used of all five sections of one rod.

    Parameters
    ----------
    sections : tuple of LifeUsed
        In the order of `SECTIONS`.
    """

    sections: tuple[LifeUsed, ...]

    @property
    def worst(self) -> LifeUsed:
        """The section with the largest design value, which stands for the rod."""
        return max(self.sections, key=lambda life: (not math.isnan(life.design), life.design))


def model_variance(slope: float) -> float:
    """Variance of ln life used from the curve, the critical sum and the stress model.

    Parameters
    ----------
    slope : float
        m of the section's curve. [-]

    Returns
    -------
    float
        (0.20 ln 10)^2 + ln 1.09 + (m 0.198)^2. [-]
    """
    return scatter_variance() + (slope * STRESS_MODEL_SIGMA) ** 2


def scatter_variance() -> float:
    """Variance of ln life used from the curve's scatter and the critical sum alone. [-]"""
    return (LOG10_LIFE_SD * math.log(10.0)) ** 2 + math.log(1.0 + CRITICAL_SUM_COV**2)


@dataclass(frozen=True)
class ClassFactor:
    """What a section's class was found to be from the owner's own breaks.

    Parameters
    ----------
    factor : float
        Damage over that of the printed class, median. [-]
    sigma : float or None
        Standard deviation of its ln, stress model and class together; None where nothing was
        learnt and the class is taken as right. [-]
    """

    factor: float = 1.0
    sigma: float | None = None


PRINTED_CLASSES = (ClassFactor(),) * len(SECTIONS)
"""All five sections as printed."""


def variance_with(slope: float, of_class: ClassFactor) -> float:
    """Variance of ln life used: with the stress model's, or with what breaks left of it. [-]"""
    if of_class.sigma is None:
        return model_variance(slope)
    return scatter_variance() + of_class.sigma**2


@dataclass(frozen=True, eq=False)
class Sums:
    """Damage of several contributions added up, by section. [-]

    ``design``, ``low``, ``best`` and ``high`` as in `Contribution`; ``assumed`` the part of best
    that stands on no record; ``width`` the standard deviation of ln damage from turns and bends.
    """

    design: Floats
    low: Floats
    best: Floats
    high: Floats
    assumed: Floats
    width: Floats


def add_up(contributions: Sequence[Contribution]) -> Sums:
    """Add contributions up; see `rod_life` for how their errors go together."""
    none = np.zeros(len(SECTIONS))
    least = sum((c.least_high for c in contributions), none)
    turns = [(c.turns_rung, np.full(len(SECTIONS), c.turns_sigma), c.high) for c in contributions]
    bends = [(c.source, c.bend_error, c.high) for c in contributions]
    return Sums(
        design=sum((c.design for c in contributions), none),
        low=sum((c.low for c in contributions if not c.may_be_none), none),
        best=sum((c.best for c in contributions), none),
        high=sum((c.high for c in contributions), none),
        assumed=sum((c.assumed * c.best for c in contributions), none),
        # The width goes by high: where a rod's place is in doubt that is the worst place's.
        width=np.hypot(_width(turns, least), _width(bends, least)),
    )


def rod_life(
    contributions: Sequence[Contribution],
    slopes: Sequence[float],
    label: str = "",
    classes: Sequence[ClassFactor] = PRINTED_CLASSES,
) -> RodLife:
    """Add up what all bores did to one rod.

    Parameters
    ----------
    contributions : sequence of Contribution
        At least none; a rod without any has used nothing that is on record.
    slopes : sequence of float
        m of the curve of each section, in the order of `SECTIONS`. [-]
    label : str
        Code of what the sum leaves out.
    classes : sequence of ClassFactor
        What is held of the class of each section.

    Returns
    -------
    RodLife
        Five sections, every sum times its class's factor.

    Notes
    -----
    Turn errors on one rung go together over all bores (a wrong habit is wrong everywhere), those
    of different rungs are independent. Bend errors go together within one bore and are
    independent between bores.
    """
    at_least = any(each.unknown_size for each in contributions)
    return life_of_sums(add_up(contributions), slopes, at_least, label, classes)


def life_of_sums(
    sums: Sums,
    slopes: Sequence[float],
    at_least: bool = False,
    label: str = "",
    classes: Sequence[ClassFactor] = PRINTED_CLASSES,
) -> RodLife:
    """Life used of damage added up already; see `rod_life`."""
    lives = []
    for j, section in enumerate(SECTIONS):
        variance = variance_with(slopes[j], classes[j]) + sums.width[j] ** 2
        spread = math.exp(NINETY_PERCENT * math.sqrt(variance))
        factor = classes[j].factor
        lives.append(
            LifeUsed(
                low=factor * float(sums.low[j]) / CRITICAL_SUM_MEDIAN / spread,
                best=factor * float(sums.best[j]) / CRITICAL_SUM_MEDIAN,
                high=factor * float(sums.high[j]) / CRITICAL_SUM_MEDIAN * spread,
                design=factor * float(sums.design[j]),
                section=section,
                model=MODEL,
                label=label,
                mean=factor * float(sums.best[j]),
                assumed=float(sums.assumed[j] / sums.best[j]) if sums.best[j] > 0.0 else 0.0,
                at_least=at_least,
            )
        )
    return RodLife(tuple(lives))


def _width(parts: Iterable[tuple[str, Floats, Floats]], least: Floats) -> Floats:
    """Standard deviation of a sum: straight within a group, squares between groups.

    ``parts`` are (group, standard deviation of ln, weight); ``least`` the sum of the weights where
    each rod stood in the place that took least. So a rod in doubt counts its largest error over
    its smallest sum, but never more than the largest error there is: saying less about where it
    stood makes this grow, and where nothing is in doubt it is the plain weighted sum.
    """
    groups: dict[str, Floats] = {}
    largest = np.zeros(len(SECTIONS))
    for key, sigma, weight in parts:
        groups[key] = groups.get(key, np.zeros(len(SECTIONS))) + sigma * weight
        largest = np.maximum(largest, np.where(weight > 0.0, sigma, 0.0))
    squares = sum((g**2 for g in groups.values()), np.zeros(len(SECTIONS)))
    result = largest.copy()
    np.divide(np.sqrt(squares), least, out=result, where=least > 0.0)
    return np.minimum(result, largest)
