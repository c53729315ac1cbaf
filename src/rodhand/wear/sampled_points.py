"""Points and order of sampled damage: where its distribution stays under a share, which is more."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def mixture_point(damage: Floats, sigma: Floats, probability: float) -> Floats:
    """A point of the distribution of damage times a lognormal, over all samples.

    Parameters
    ----------
    damage : (n, ...) array of float
        Samples, zero or above. [-]
    sigma : (...) array of float
        Standard deviation of ln of the lognormal, median 1. [-]
    probability : float
        Probability of the point, between 0 and 1. [-]

    Returns
    -------
    (...) array of float
        Damage that the product stays under with that probability; 0 where more than that share
        of the samples is 0. [-]

    Notes
    -----
    Solved by halving, to 1e-6 of ln damage: the samples carry bends and turns, and what every
    section has of its own is taken exactly. The point lies between those of the least and the
    largest sample.
    """
    from scipy.special import ndtr, ndtri

    with np.errstate(divide="ignore"):
        ln = np.log(damage)
    known = np.isfinite(ln)
    none = (~known).mean(axis=0)
    nothing = none >= probability
    rest = np.where(nothing, 0.5, (probability - none) / np.maximum(1.0 - none, 1e-9))
    depth = sigma * ndtri(rest)
    low = np.where(nothing, 0.0, np.where(known, ln, np.inf).min(axis=0) + depth)
    high = np.where(nothing, 0.0, np.where(known, ln, -np.inf).max(axis=0) + depth)
    scaled = np.where(known, ln, -1e9) / sigma
    while (high - low).max(initial=0.0) > 1e-6:
        middle = (low + high) / 2.0
        under = ndtr(middle / sigma - scaled).mean(axis=0) < probability
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.where(nothing, 0.0, np.exp((low + high) / 2.0))


def share_above(one: Floats, other: Floats) -> float:
    """Share of the samples in which one is above the other; a tie counts half.

    Parameters
    ----------
    one, other : (n,) array of float
        Samples that belong together.

    Returns
    -------
    float
        From 0 to 1. [-]
    """
    return float(((one > other) + 0.5 * (one == other)).mean())
