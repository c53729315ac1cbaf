"""One section of one member on one pass, stretch by stretch: turns x (stress range)^m / a."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rodhand.steel.curves import MPA, Curve
from rodhand.steel.tube import ELASTIC_MODULUS


@dataclass(frozen=True)
class Line:
    """What one stretch of hole did to one section on one pass.

    Parameters
    ----------
    start, end : float
        Ends of the stretch along the hole. [m]
    turns : float
        Turns of the section in it. [turns]
    bend : float
        Bend of the steel that counts: the m-th root of the expected m-th power. [1/m]
    local : float
        Local factor of the section. [-]
    tube_od : float
        Outer diameter of the tube. [m]
    slope, log_a : float
        m and log10 a of the design curve, the line of it that holds. [-]
    """

    start: float
    end: float
    turns: float
    bend: float
    local: float
    tube_od: float
    slope: float
    log_a: float

    @property
    def stress_range(self) -> float:
        """2 E r b f. [Pa]"""
        return ELASTIC_MODULUS * self.tube_od * self.bend * self.local

    @property
    def cycles(self) -> float:
        """Cycles to failure on the design curve, a / S^m with S in MPa; infinite at no stress."""
        if self.stress_range <= 0.0:
            return math.inf
        return float(10.0 ** (self.log_a - self.slope * np.log10(self.stress_range / MPA)))

    @property
    def damage(self) -> float:
        """Turns over cycles. [-]"""
        return self.turns / self.cycles


def line_that_holds(curve: Curve, stress_range: float) -> tuple[float, float]:
    """m and log10 a of the line of a design curve that holds at a stress range.

    Parameters
    ----------
    curve : Curve
        One or two lines.
    stress_range : float
        Range at the bend itself, which decides between them. [Pa]

    Returns
    -------
    tuple of float
        m and log10 a.
    """
    if curve.second_slope is None or curve.second_log_a is None or curve.knee is None:
        return curve.slope, curve.log_a
    if stress_range > 0.0 and float(curve.cycles(stress_range)) <= curve.knee:
        return curve.slope, curve.log_a
    return curve.second_slope, curve.second_log_a
