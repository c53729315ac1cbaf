"""Limits on the bend of the hole, and whether one was passed beyond the error of reading it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

Over = Literal["over", "likely", "within_error", "no"]


@dataclass(frozen=True)
class OverCutoffs:
    """Least chance of being over the limit for each word; proposals of this project.

    Parameters
    ----------
    over, likely, within_error : float
        Falling between 1 and 0; below the last the answer is no. [1]
    """

    over: float = 0.95
    likely: float = 0.5
    within_error: float = 0.05


USUAL_CUTOFFS = OverCutoffs()

LONG_LIFE_DIAMETERS = 1200.0
"""Bend radius over tube OD of the long-life line; common guidance (ASTM F1962 family), Najafi,
Trenchless Technology Piping (2010), eq. 5.1."""


def radius_from_percent(percent: float, length: float) -> float:
    """Limit radius from a percent change over a stated length: R = 100 l / p.

    Parameters
    ----------
    percent : float
        Allowed change over the length, above 0. [%]
    length : float
        The length it is stated over, above 0. [m]

    Returns
    -------
    float
        Radius. [m]

    Raises
    ------
    ValueError
        If either is not above 0.

    Examples
    --------
    >>> radius_from_percent(10.0, 3.0)
    30.0
    """
    if percent <= 0 or length <= 0:
        raise ValueError(f"percent and length must be above 0, got {percent} % over {length} m")
    return 100.0 * length / percent


def limit_angle(limit_radius: float, length: float) -> float:
    """Change of direction a limit radius allows over a length: l / R. [rad]

    Parameters
    ----------
    limit_radius : float
        Above 0. [m]
    length : float
        Length along the hole. [m]

    Returns
    -------
    float
        Angle. [rad]

    Raises
    ------
    ValueError
        If the radius is not above 0.
    """
    if limit_radius <= 0:
        raise ValueError(f"limit_radius must be above 0 m, got {limit_radius} m")
    return length / limit_radius


def share_of_limit(bend: float, length: float, limit_radius: float) -> float:
    """Bend over what the limit radius allows on that length.

    Parameters
    ----------
    bend : float
        Change of direction over the length; NaN when not read. [rad]
    length, limit_radius : float
        Above 0. [m]

    Returns
    -------
    float
        1 at the limit; NaN when the bend was not read. [1]

    Raises
    ------
    ValueError
        If the radius is not above 0.
    """
    return bend / limit_angle(limit_radius, length)


def chance_over(bend: float, limit: float, error: float) -> float:
    """Chance that the true bend is over the limit: the normal integral of (bend - limit)/s.

    Parameters
    ----------
    bend, limit : float
        As read, and allowed, over the same length. [rad]
    error : float
        One standard deviation of the bend; 0 compares outright. [rad]

    Returns
    -------
    float
        Between 0 and 1; NaN when bend or error is unknown. [1]

    Raises
    ------
    ValueError
        If the error is negative.
    """
    if error < 0:
        raise ValueError(f"error must not be negative, got {error} rad")
    if math.isnan(bend) or math.isnan(error):
        return math.nan
    if error == 0:
        return 0.5 if bend == limit else float(bend > limit)
    return NormalDist().cdf((bend - limit) / error)


def over_verdict(
    bend: float, limit: float, error: float, cutoffs: OverCutoffs = USUAL_CUTOFFS
) -> Over | None:
    """Whether a bend was over its limit, in words that respect the error of reading.

    Parameters
    ----------
    bend, limit : float
        As read, and allowed, over the same length. [rad]
    error : float
        One standard deviation of the bend. [rad]
    cutoffs : OverCutoffs
        Least chance for each word.

    Returns
    -------
    {"over", "likely", "within_error", "no"} or None
        None when the bend was not read.

    Raises
    ------
    ValueError
        If the error is negative.

    Examples
    --------
    >>> over_verdict(0.10, 0.07, 0.0036), over_verdict(0.068, 0.07, 0.0036)
    ('over', 'within_error')
    """
    chance = chance_over(bend, limit, error)
    if math.isnan(chance):
        return None
    if chance >= cutoffs.over:
        return "over"
    if chance >= cutoffs.likely:
        return "likely"
    return "within_error" if chance >= cutoffs.within_error else "no"


def long_life_radius(tube_od: float, diameters: float = LONG_LIFE_DIAMETERS) -> float:
    """Radius of the long-life line, a price and no alarm: R = 1200 OD.

    Parameters
    ----------
    tube_od : float
        Outer diameter of the tube. [m]
    diameters : float
        Radius over diameter. [1]

    Returns
    -------
    float
        Radius. [m]

    References
    ----------
    .. [1] Najafi, Trenchless Technology Piping: Installation and Inspection, McGraw-Hill 2010,
       eq. 5.1 (about 100 ft per inch of rod OD).
    """
    return diameters * tube_od
