"""The class of a joint learnt from the owner's own breaks and from the rods that have not broken.

A section breaks when its mean-curve damage, times the class's factor, reaches a lognormal critical
sum. The factor is the same for all sections of one class, each section's own scatter is its own,
and turns that were not counted share one error. Survivors count by what they have survived.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, logsumexp, ndtr

from rodhand.wear.life_used import (
    CRITICAL_SUM_MEDIAN,
    LOG10_LIFE_SD,
    NINETY_PERCENT,
    STRESS_MODEL_SIGMA,
    scatter_variance,
)

Floats = NDArray[np.float64]

CLASS_SIGMA = math.log(3.0) / NINETY_PERCENT
"""Standard deviation of ln damage from the class: times or over 3 as a 90 % band (ours). [-]"""
LEAST_BREAKS = 3
"""Fewest breaks of one class (ours). With two, one break put down to the wrong cause is half of
all there is; with three, any one may be taken away and two are left."""
LEAST_BORES = 2
"""Fewest bores they were in (ours): breaks in one bore may all be that bore's fault."""
REACH = 4.5
"""The grid of ln factor reaches so many prior standard deviations either way. [-]"""
POINTS, BIAS_POINTS = 241, 25


@dataclass(frozen=True)
class Exposure:
    """What one section of one rod has stood, or broke under.

    Parameters
    ----------
    counted, guessed : float
        Mean-curve damage survived, from turns counted and from turns guessed. [-]
    counted_to, guessed_to : float or None
        The same with the bore it broke in; both None for a survivor. [-]
    bore : str
        Bore it broke in.

    Raises
    ------
    ValueError
        If a damage is negative or not finite, or a break adds none.
    """

    counted: float
    guessed: float
    counted_to: float | None = None
    guessed_to: float | None = None
    bore: str = ""

    def __post_init__(self) -> None:
        """Refuse what is no damage."""
        told = [each for each in (self.counted, self.guessed) if not 0.0 <= each < math.inf]
        if told or (self.counted_to is None) != (self.guessed_to is None):
            raise ValueError(f"no exposure: {self}")
        if self.counted_to is not None and self.guessed_to is not None:
            grown = self.counted_to >= self.counted and self.guessed_to >= self.guessed
            more = self.counted_to + self.guessed_to - self.counted - self.guessed
            if not grown or not 0.0 < more < math.inf:
                raise ValueError(f"a break without damage: {self}")

    @property
    def broke(self) -> bool:
        """Whether it broke."""
        return self.counted_to is not None


@dataclass(frozen=True, eq=False)
class Belief:
    """What is held of a class's factor on damage, as weights on a grid.

    Parameters
    ----------
    ln_factor, weight : (n,) array of float
        ln of the factor, above 0 when joints break sooner than the printed class; weights add to
        1. [-]
    """

    ln_factor: Floats
    weight: Floats

    @property
    def mean(self) -> float:
        """Mean of ln factor. [-]"""
        return float(self.ln_factor @ self.weight)

    @property
    def sigma(self) -> float:
        """Standard deviation of ln factor. [-]"""
        return math.sqrt(float((self.ln_factor - self.mean) ** 2 @ self.weight))

    def at(self, share: float) -> float:
        """The factor with so much weight below it. [-]"""
        below = np.cumsum(self.weight) - self.weight / 2.0
        return math.exp(float(np.interp(share, below, self.ln_factor)))

    def broken_at_design(self, design: float) -> float:
        """Chance that a section has broken when its design-curve damage is so much. [-]

        ``design`` above 0, as printed with the class uncalibrated.
        """
        mean = design / 10.0 ** (2.0 * LOG10_LIFE_SD)
        depth = (math.log(mean / CRITICAL_SUM_MEDIAN) + self.ln_factor) / math.sqrt(
            scatter_variance()
        )
        return float(ndtr(depth) @ self.weight)


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A class before and after the owner's breaks.

    Parameters
    ----------
    prior, posterior : Belief
        What was held before and after.
    breaks, survivors, bores : int
        How many went in; bores are those with breaks.
    """

    prior: Belief
    posterior: Belief
    breaks: int
    survivors: int
    bores: int

    @property
    def too_few(self) -> bool:
        """Whether nothing should be built on it; see `LEAST_BREAKS` and `LEAST_BORES`."""
        return self.breaks < LEAST_BREAKS or self.bores < LEAST_BORES


def prior_sigma(slope: float) -> float:
    """Standard deviation of ln factor before any break.

    Parameters
    ----------
    slope : float
        m of the class's curve. [-]

    Returns
    -------
    float
        sqrt((m 0.198)^2 + (ln 3 / 1.645)^2): the published stress-model error (JCSS, READ), which
        rods of one build share, and the class error. [-]
    """
    return math.hypot(slope * STRESS_MODEL_SIGMA, CLASS_SIGMA)


def calibrate(
    exposures: Sequence[Exposure], slope: float, turns_sigma: float, scatter: float | None = None
) -> Calibrated:
    """Update a class's factor from breaks and survivors.

    Parameters
    ----------
    exposures : sequence of Exposure
        Sections of one class, one for each end or tube of each rod; may be empty.
    slope : float
        m of the class's curve, above 0. [-]
    turns_sigma : float
        Standard deviation of ln turns of the turns that were guessed, one error shared by all of
        them; 0 for none. [-]
    scatter : float, optional
        Standard deviation of ln critical sum from section to section; the published one, 0.54,
        when not given. [-]

    Returns
    -------
    Calibrated
        Prior and posterior.

    Notes
    -----
    A survivor of damage D gives 1 - F(D), a break between D and D' gives F(D') - F(D): it is known
    in which bore it broke, not at which turn. F is lognormal about a median of 0.958. The shared
    error b of guessed turns multiplies their damage by exp(b), b normal, and is summed out: where
    all turns are guessed in one way, breaks cannot tell a wrong habit from a wrong class, and the
    posterior says so by staying wide.

    Limits: the scatter within a class is taken as published and is not learnt; sections of one
    rod are independent given the factor; rods taken out of work are taken to have been chosen by
    their life used or by age, not because they were about to break; wear other than by fatigue is
    not in it. Less than `LEAST_BREAKS` breaks are worked out and marked ``too_few``.
    """
    sigma = prior_sigma(slope)
    grid = np.linspace(-REACH * sigma, REACH * sigma, POINTS)
    log_prior = _log_normal(grid / sigma)
    unit = np.linspace(-3.0, 3.0, BIAS_POINTS) if turns_sigma > 0.0 else np.zeros(1)
    log_bias = _log_normal(unit)
    spread = math.sqrt(scatter_variance()) if scatter is None else scatter
    fit = np.zeros((POINTS, unit.size))
    raised = np.exp(turns_sigma * unit)
    for each in exposures:
        fit += _log_likelihood(each, grid[:, None], raised, spread)
    log_weight = logsumexp(fit + log_bias, axis=1) + log_prior
    broke = [each for each in exposures if each.broke]
    return Calibrated(
        Belief(grid, np.exp(log_prior)),
        Belief(grid, np.exp(log_weight - logsumexp(log_weight))),
        len(broke),
        len(exposures) - len(broke),
        len({each.bore for each in broke}),
    )


def _log_normal(depth: Floats) -> Floats:
    """Log of weights of a standard normal on a grid, adding to 1."""
    log = -0.5 * depth**2
    return np.asarray(log - logsumexp(log), dtype=np.float64)


def _log_likelihood(each: Exposure, ln_factor: Floats, raised: Floats, spread: float) -> Floats:
    shape = np.broadcast_shapes(ln_factor.shape, raised.shape)

    def depth(counted: float, guessed: float) -> Floats:
        damage = counted + guessed * raised
        with np.errstate(divide="ignore"):
            return np.asarray((np.log(damage / CRITICAL_SUM_MEDIAN) + ln_factor) / spread)

    survived = depth(each.counted, each.guessed)
    if each.counted_to is None or each.guessed_to is None:
        return np.broadcast_to(log_ndtr(-survived), shape)
    by_then = depth(each.counted_to, each.guessed_to)
    # Far out in a tail the difference is taken on the side where both are small.
    upper = survived > 0.0
    large = np.where(upper, log_ndtr(-survived), log_ndtr(by_then))
    small = np.where(upper, log_ndtr(-by_then), log_ndtr(survived))
    gap = np.minimum(small - large, -1e-300)
    return np.broadcast_to(large + np.log(np.maximum(-np.expm1(gap), 1e-300)), shape)
