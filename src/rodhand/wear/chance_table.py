"""Chance of a break of every rod at every place at once, and of one rod over several bores."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr

from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN, PRINTED_CLASSES, ClassFactor, variance_with

Floats = NDArray[np.float64]


def spread_of(slopes: Sequence[float], classes: Sequence[ClassFactor] = PRINTED_CLASSES) -> Floats:
    """Standard deviation of ln life of each section, error of the stress model in it. [-]"""
    return np.sqrt([variance_with(m, c) for m, c in zip(slopes, classes, strict=True)])


def log_unbroken(mean: Floats, spread: Floats) -> Floats:
    """Natural log of the chance that no section has broken by a damage.

    Parameters
    ----------
    mean : (..., 5) array of float
        Damage on the mean curve. [-]
    spread : (5,) array of float
        See `spread_of`. [-]

    Returns
    -------
    (...) array of float
        Sum over sections of ln(1 - F(D)); 0 where there is no damage. [-]
    """
    with np.errstate(divide="ignore"):
        z = (np.log(mean) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    return np.asarray(log_ndtr(-z).sum(axis=-1))


def chance_table(means: Floats, added: Floats, spread: Floats) -> Floats:
    """Chance that a rod breaks at a place of the next bore, given that it has not broken yet.

    Parameters
    ----------
    means : (r, 5) array of float
        Damage of each rod so far on the mean curve. [-]
    added : (p, 5) array of float
        What each place adds. [-]
    spread : (5,) array of float
        See `spread_of`. [-]

    Returns
    -------
    (r, p) array of float
        1 - product over sections of (1 - p), as `rodhand.wear.chance.rod_chance`. [-]
    """
    before = log_unbroken(means, spread)[:, None]
    after = log_unbroken(means[:, None, :] + added[None, :, :], spread)
    return np.asarray(-np.expm1(after - before))
