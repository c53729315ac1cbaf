"""Mean stress: equivalent fully reversed amplitudes, and which curve takes which rule.

A mean-stress rule belongs to its curve. Detail classes were tested with high tension in the weld
or thread and take none; putting one on top counts the mean twice.
"""

from __future__ import annotations

import math
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray


class MeanStressRule(Enum):
    """Rule that is stored with a curve."""

    NONE = "none"
    REVERSED_LOAD = "reversed-load"
    SWT = "swt"
    WALKER = "walker"
    MORROW = "morrow"


def goodman(amplitude: float, mean: float, tensile_strength: float) -> float:
    """Equivalent amplitude, sa / (1 - sm/Su). [Pa]

    Often over-conservative (Dowling 4th ed. pp. 456-457, READ).
    """
    return amplitude / (1.0 - mean / tensile_strength)


def soderberg(amplitude: float, mean: float, yield_stress: float) -> float:
    """Equivalent amplitude, sa / (1 - sm/Sy). [Pa]"""
    return amplitude / (1.0 - mean / yield_stress)


def gerber(amplitude: float, mean: float, tensile_strength: float) -> float:
    """Equivalent amplitude, sa / (1 - (sm/Su)^2). [Pa]

    Often non-conservative (Dowling 4th ed. pp. 456-457, READ).
    """
    return amplitude / (1.0 - (mean / tensile_strength) ** 2)


def gerber_safety_factor(
    amplitude: float, mean: float, endurance: float, tensile_strength: float
) -> float:
    """Factor n on both stresses at which n sa/Se + (n sm/Su)^2 = 1.

    Parameters
    ----------
    amplitude, mean : float
        Stresses; the mean above zero. [Pa]
    endurance, tensile_strength : float
        Fully reversed strength and tensile strength. [Pa]

    Returns
    -------
    float
        Factor. [-]
    """
    ratio = mean / tensile_strength
    line = amplitude / endurance
    return (math.sqrt(line**2 + 4.0 * ratio**2) - line) / (2.0 * ratio**2)


def morrow(amplitude: float, mean: float, strength_coefficient: float) -> float:
    """Equivalent amplitude, sa / (1 - sm/sf'). [Pa]"""
    return amplitude / (1.0 - mean / strength_coefficient)


def walker(amplitude: float, mean: float, gamma: float) -> float:
    """Equivalent amplitude, smax^(1-gamma) sa^gamma; 0 when the highest stress is not tension.

    Parameters
    ----------
    amplitude, mean : float
        Stresses. [Pa]
    gamma : float
        Walker's exponent; 0.5 is Smith, Watson and Topper. [-]

    Returns
    -------
    float
        Amplitude. [Pa]
    """
    highest = mean + amplitude
    if highest <= 0.0:
        return 0.0
    return float(highest ** (1.0 - gamma) * amplitude**gamma)


def smith_watson_topper(amplitude: float, mean: float) -> float:
    """Equivalent amplitude, sqrt(smax sa). [Pa]"""
    return walker(amplitude, mean, 0.5)


def reversed_load_factor(amplitude: ArrayLike, mean: ArrayLike) -> NDArray[np.float64]:
    """Factor on the range of unwelded steel for its compressive part: (st + 0.6 sc)/(st + sc).

    Parameters
    ----------
    amplitude, mean : float or array of float
        Stresses; amplitudes above zero. [Pa]

    Returns
    -------
    array of float
        0.8 at zero mean, 1 when all is tension, 0.6 when all is compression. [-]

    References
    ----------
    .. [1] DNV-RP-C203 (2016) section 2.5, from memory. Life used takes what a mean changes from
       zero mean on: the fitted local factor 0.86 of the upset ends holds the 0.8 already.
    """
    size, middle = np.asarray(amplitude, dtype=float), np.asarray(mean, dtype=float)
    tension = np.clip(middle + size, 0.0, 2.0 * size)
    compression = np.clip(size - middle, 0.0, 2.0 * size)
    return np.asarray((tension + 0.6 * compression) / (tension + compression))
