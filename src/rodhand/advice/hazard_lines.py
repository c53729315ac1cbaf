"""Cumulative hazard of a section, and straight lines below it and below chances of a break.

A lognormal's hazard rises with damage and then falls: its cumulative hazard is convex and then
concave.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr

from rodhand.advice.order_case import Floats
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN

LEAST_DAMAGE = 1e-12
"""Stands for no damage where a logarithm is taken. [-]"""
POINTS, MARGIN = 33, 1.02
"""Points at which the largest hazard is read, and what it is raised by."""
FURTHER = 1.001
"""Damage a little further on, as a share, where it is asked whether hazard still rises."""


def hazard(damage: Floats, spread: Floats) -> Floats:
    """Cumulative hazard by section: minus ln of the chance to be whole. [-]"""
    z = (np.log(np.maximum(damage, LEAST_DAMAGE)) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    return np.asarray(-log_ndtr(-z))


def rate(damage: Floats, spread: Floats) -> Floats:
    """Hazard: what a further bit of damage adds to `hazard`, for each bit. [-]"""
    there = np.maximum(damage, LEAST_DAMAGE)
    z = (np.log(there) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    density = np.exp(-0.5 * z**2 - log_ndtr(-z)) / np.sqrt(2.0 * np.pi)
    return np.asarray(density / (there * spread))


def _rises(damage: Floats, spread: Floats) -> NDArray[np.bool_]:
    return np.asarray(rate(damage * FURTHER + LEAST_DAMAGE, spread) >= rate(damage, spread))


def line_below(means: Floats, spread: Floats, total: Floats, most: Floats) -> tuple[Floats, Floats]:
    """A straight line below what each rod's cumulative hazard rises by. [-]

    Parameters
    ----------
    means : (r, 5) array of float
        Damage of every rod so far. [-]
    spread : (5,) array of float
        Of ln life by section. [-]
    total : (r, 5) array of float
        Damage added where the line touches, if hazard still rises there. [-]
    most : (5,) array of float
        Most that can be added; the line holds up to there. [-]

    Returns
    -------
    level, slope : (r, 5) array of float
        Its height with nothing added, and what it rises by. Where hazard falls from the start it
        is the chord to ``most``; where it falls from somewhere before ``total`` it is nought.
    """
    begun = hazard(means, spread)
    end = hazard(means + most, spread) - begun
    falls, rising = ~_rises(means, spread), _rises(means + total, spread)
    touched = np.where(rising, rate(means + total, spread), 0.0)
    slope = np.where(falls, end / np.maximum(most, LEAST_DAMAGE), touched)
    level = np.where(rising, hazard(means + total, spread) - begun - touched * total, 0.0)
    over = np.maximum(level + touched * most - end, 0.0)
    return np.where(falls, 0.0, level - over), slope


def least_chance(means: Floats, spread: Floats, before: Floats, added: Floats) -> Floats:
    """Least chance of a break at every place of a bore, whatever the rods did in those before it.

    What a bore adds to the cumulative hazard is least with the least or the most damage before.

    Parameters
    ----------
    means, spread
        As of `line_below`.
    before : (5,) array of float
        Most that earlier bores can add. [-]
    added : (p, 5) array of float
        What this one adds at each place. [-]

    Returns
    -------
    (r, p) array of float
        [-]
    """
    least = np.minimum(
        hazard(means[:, None] + added, spread) - hazard(means[:, None], spread),
        hazard(means[:, None] + before + added, spread) - hazard(means[:, None] + before, spread),
    )
    return np.asarray(-np.expm1(-least.sum(axis=2)))


def most_over_chance(means: Floats, spread: Floats, most: Floats, added: Floats) -> Floats:
    """How far a hazard can stand above the chance of a break it makes, h - (1 - exp(-h)). [-]

    By the largest hazard on the way of each rod to ``most``, read at some points and raised by a
    margin.

    Parameters
    ----------
    means, spread, most, added
        As of `line_below` and `least_chance`.

    Returns
    -------
    (r, p) array of float
        For every rod at every place. [-]
    """
    least = np.maximum(means, LEAST_DAMAGE)
    steps = np.linspace(0.0, 1.0, POINTS)[:, None, None]
    largest = MARGIN * rate(least * ((least + most) / least) ** steps, spread).max(axis=0)
    taken = largest @ added.T
    return np.asarray(taken + np.expm1(-taken))
