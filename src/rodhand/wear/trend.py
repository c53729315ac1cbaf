"""How fast a size wears, with its band, and when it crosses a limit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import stats

Floats = NDArray[np.float64]
LEAST_READINGS = 3
BAND = 0.90
"""Share of cases the bands hold."""
OF_ERROR = 1.0 / 1.96
"""One standard deviation of a reading over its error, within which it lies 19 times in 20. [1]"""
Why = Literal["", "few", "gauge", "no wear"]


@dataclass(frozen=True)
class SizeRead:
    """One reading of one size.

    Parameters
    ----------
    done : float
        What the end or tube had done by then: metres, hours or make-ups. [exposure]
    size : float
        Gauge reading. [m]
    error : float
        It lies within so much of the truth, 19 times in 20. [m]
    """

    done: float
    size: float
    error: float


@dataclass(frozen=True)
class Trend:
    """A line through the readings of one size.

    Parameters
    ----------
    why : {"", "few", "gauge", "no wear"}
        Why nothing can be told yet: fewer than three readings, a change within the gauge's error,
        or none toward the limit. Empty where the trend is told.
    rate, rate_low, rate_high : float
        Wear toward the limit, with its 90 % band; NaN where not told. [m/exposure]
    crosses, crosses_low, crosses_high : float
        What it will have done when the limit is reached; infinite where the band has no end, NaN
        where not told. [exposure]
    again : float
        What it must have done for the next reading to tell; NaN when that is not known.
        [exposure]
    """

    why: Why
    rate: float = math.nan
    rate_low: float = math.nan
    rate_high: float = math.nan
    crosses: float = math.nan
    crosses_low: float = math.nan
    crosses_high: float = math.nan
    again: float = math.nan


def wear_trend(
    readings: Sequence[SizeRead],
    limit: float,
    usual_rate: float | None = None,
    grows: bool = False,
) -> Trend:
    """The trend of one size toward its limit.

    Parameters
    ----------
    readings : sequence of SizeRead
        Of one size of one end since its steel was last cut, in any order.
    limit : float
        Size at the limit. [m]
    usual_rate : float, optional
        Wear of others like it, from which the next useful reading is worked out. [m/exposure]
    grows : bool
        Whether wear makes the size larger, as in a swelled box; else smaller.

    Returns
    -------
    Trend
        Weighted straight line. Its band is widened where readings scatter more than the gauge's
        error explains; the crossing's band is Fieller's.

    Raises
    ------
    ValueError
        If there is no reading, or an error is not above 0.

    Notes
    -----
    With scatter as the gauge explains the normal distribution is used, with more of it Student's
    with n - 2 degrees of freedom. The same gauge's steady error moves all readings alike: it
    cancels in the rate and stays in the crossing.
    """
    rows = sorted(readings, key=lambda each: each.done)
    if not rows or any(not each.error > 0.0 for each in rows):
        raise ValueError("needs readings, each with an error above 0")
    toward = -1.0 if grows else 1.0
    done = np.array([each.done for each in rows])
    worn = toward * (rows[0].size - np.array([each.size for each in rows]))
    spread = np.array([each.error for each in rows])
    told_at = math.hypot(spread[0], spread[-1])
    if len(rows) < LEAST_READINGS or done[-1] <= done[0]:
        again = _again(rows[-1].done, rows[0].done, told_at, usual_rate)
        return Trend("few", again=again)
    fit = _line(done, worn, spread * OF_ERROR)
    change = fit.rate * (done[-1] - done[0])
    if abs(change) <= told_at or fit.rate <= 0.0:
        why: Why = "gauge" if abs(change) <= told_at else "no wear"
        again = _again(done[-1], done[0], told_at, usual_rate, fit.rate)
        return Trend(why, again=again)
    half = fit.factor * math.sqrt(fit.rate_variance)
    to_go = toward * (rows[0].size - limit)
    low, high = _crossing_band(fit, to_go, float(done[-1]))
    return Trend(
        "", fit.rate, fit.rate - half, fit.rate + half, (to_go - fit.start) / fit.rate, low, high
    )


@dataclass(frozen=True)
class _Fit:
    """A line start + rate * done, its covariance, and how many deviations the band is wide."""

    start: float
    rate: float
    start_variance: float
    covariance: float
    rate_variance: float
    factor: float


def _line(done: Floats, worn: Floats, deviation: Floats) -> _Fit:
    """The weighted line; see `wear_trend`."""
    weights = 1.0 / deviation**2
    design = np.column_stack([np.ones_like(done), done])
    covariance = np.linalg.inv(design.T @ (weights[:, None] * design))
    start, rate = covariance @ (design.T @ (weights * worn))
    free = len(done) - 2
    scatter = float(np.sum(weights * (worn - start - rate * done) ** 2)) / free
    quantile = 0.5 + BAND / 2.0
    factor = float(stats.norm.ppf(quantile))
    if scatter > 1.0:
        covariance *= scatter
        factor = float(stats.t.ppf(quantile, free))
    return _Fit(
        float(start), float(rate), float(covariance[0, 0]), float(covariance[0, 1]),
        float(covariance[1, 1]), factor,
    )  # fmt: skip


def _crossing_band(fit: _Fit, to_go: float, now: float) -> tuple[float, float]:
    """Where the line may reach the limit: Fieller's band, its upper end infinite if it has none."""
    k = fit.factor**2
    a = fit.rate**2 - k * fit.rate_variance
    b = fit.rate * (fit.start - to_go) - k * fit.covariance
    c = (fit.start - to_go) ** 2 - k * fit.start_variance
    root = math.sqrt(max(b * b - a * c, 0.0))
    if a > 0.0:
        return (-b - root) / a, (-b + root) / a
    ends = [x for x in ((-b - root) / a, (-b + root) / a) if x > now] if a < 0.0 else []
    return (min(ends) if ends else now), math.inf


def _again(
    now: float, first: float, told_at: float, usual: float | None, own: float = 0.0
) -> float:
    """When one more reading is worth while: the change is then above the gauge's error.

    NaN where no rate is known. [exposure]
    """
    rate = max(own, usual or 0.0)
    return math.nan if rate <= 0.0 else max(first + told_at / rate, now)
