"""Wear by ground, from all ends of a set together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from rodhand.wear.trend import BAND, OF_ERROR

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class EndReadings:
    """Readings of one end since its steel was last cut.

    Parameters
    ----------
    worn : (n,) array
        Wear toward the limit since its first reading. [m]
    error : (n,) array
        A reading lies within so much of the truth, 19 times in 20. [m]
    done : (n, grounds) array
        What it had done in each ground by each reading. [exposure]
    """

    worn: Floats
    error: Floats
    done: Floats


@dataclass(frozen=True)
class GroundRate:
    """Wear in one ground with its 90 % band; NaN where the readings do not tell it apart.

    [m/exposure]
    """

    rate: float
    low: float
    high: float


def ground_rates(ends: Sequence[EndReadings], grounds: int) -> tuple[GroundRate, ...]:
    """Wear in each ground.

    Parameters
    ----------
    ends : sequence of EndReadings
        Of one size of the rods of a set.
    grounds : int
        How many grounds there are.

    Returns
    -------
    tuple of GroundRate
        Weighted least squares, each end with a start of its own. A ground whose band reaches
        below 0, or which the readings cannot tell from the others, is NaN.
    """
    nothing = (GroundRate(math.nan, math.nan, math.nan),) * grounds
    rows = [_about_its_mean(end) for end in ends if len(end.worn) > 1]
    if not rows:
        return nothing
    done = np.vstack([row[0] for row in rows])
    worn = np.concatenate([row[1] for row in rows])
    free = len(worn) - len(rows) - grounds
    seen = np.flatnonzero(np.abs(done).max(axis=0) > 0.0)
    if free < 1 or not len(seen) or np.linalg.matrix_rank(done[:, seen]) < len(seen):
        return nothing
    normal = np.linalg.inv(done[:, seen].T @ done[:, seen])
    rates = normal @ (done[:, seen].T @ worn)
    scatter = float(np.sum((worn - done[:, seen] @ rates) ** 2)) / free
    quantile = 0.5 + BAND / 2.0
    factor = float(stats.norm.ppf(quantile) if scatter <= 1.0 else stats.t.ppf(quantile, free))
    found = list(nothing)
    for place, rate, variance in zip(seen, rates, np.diag(normal), strict=True):
        half = factor * math.sqrt(float(variance) * max(scatter, 1.0))
        if rate - half > 0.0:
            found[place] = GroundRate(float(rate), float(rate - half), float(rate + half))
    return tuple(found)


def _about_its_mean(end: EndReadings) -> tuple[Floats, Floats]:
    """Work and wear of one end, less their weighted means, in deviations of its readings."""
    deviation = end.error * OF_ERROR
    weights = 1.0 / deviation**2
    mean_done = weights @ end.done / weights.sum()
    mean_worn = weights @ end.worn / weights.sum()
    return (end.done - mean_done) / deviation[:, None], (end.worn - mean_worn) / deviation
