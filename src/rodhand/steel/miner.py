"""Damage by the linear rule of Palmgren and Miner.

The rule is often not on the safe side (READ, Manson and Halford 1986); its critical sum is
lognormal with mean 1 and coefficient of variation 0.3 (JCSS Probabilistic Model Code part 3,
READ).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rodhand.steel.curves import Curve


def damage(
    cycles: ArrayLike, stress_range: ArrayLike, curve: Curve, level: str = "design"
) -> NDArray[np.float64]:
    """Share of life that cycles at stress ranges use, n/N, term by term.

    Parameters
    ----------
    cycles : array_like
        Numbers of cycles; one turn in a bend is one cycle. [-]
    stress_range : array_like
        Stress range of each, twice the bending amplitude. [Pa]
    curve : Curve
        The curve.
    level : {"design", "mean"}
        Which of its two levels.

    Returns
    -------
    ndarray
        Shares; sum them for the damage. [-]
    """
    shares: NDArray[np.float64] = np.asarray(cycles, dtype=float) / curve.cycles(
        stress_range, level
    )
    return shares


def cycles_left(
    done: ArrayLike, lives: ArrayLike, next_life: float, critical: float = 1.0
) -> float:
    """Cycles left at one more level after others, by the linear rule.

    Parameters
    ----------
    done, lives : array_like
        Cycles done at each level and the life there. [-]
    next_life : float
        Life at the level that follows. [-]
    critical : float
        Sum at failure. [-]

    Returns
    -------
    float
        Cycles, never below zero. [-]
    """
    used = float(np.sum(np.asarray(done, dtype=float) / np.asarray(lives, dtype=float)))
    return max(0.0, (critical - used) * next_life)
