"""The oilfield rule for the smallest OD a worn joint may have. On request only, never a verdict.

HDD has no such published limit; the rule would reject some new small rods.
"""

from __future__ import annotations

import math

from rodhand.steel import tube
from rodhand.steel.joint import YIELD_STRESS, joint_strength
from rodhand.steel.thread import JointDimensions
from rodhand.units import INCH

TORSION_SHARE = 0.8
"""Joint yield torque over worn pipe yield torque (READ, trade page of 2017). [-]"""
STEP = INCH / 32.0
SHEAR_YIELD = 0.577
"""Shear over tensile yield as rounded in the RP 7G constant 0.096167. [-]"""


def worn_pipe_torsional_yield(
    od: float, inner_diameter: float, wall_left: float, yield_stress: float
) -> float:
    """Torque that yields a tube worn on the outside.

    Parameters
    ----------
    od, inner_diameter : float
        Diameters when new. [m]
    wall_left : float
        Share of the wall left: 0.8 premium, 0.7 class 2. [-]
    yield_stress : float
        Yield stress of the tube. [Pa]

    Returns
    -------
    float
        Torque. [N m]
    """
    worn_od = inner_diameter + wall_left * (od - inner_diameter)
    return SHEAR_YIELD * yield_stress * tube.polar_modulus(worn_od, inner_diameter)


def minimum_od(
    dimensions: JointDimensions,
    bore: float,
    pipe_torsional_yield: float,
    share: float = TORSION_SHARE,
    yield_stress: float = YIELD_STRESS,
) -> float | None:
    """Smallest OD in steps of 1/32 in whose joint yields at a share of the pipe's torque.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    bore : float
        Bore of the pin. [m]
    pipe_torsional_yield : float
        Yield torque of the worn tube. [N m]
    share : float
        Share wanted. [-]
    yield_stress : float
        Yield stress of the joint. [Pa]

    Returns
    -------
    float or None
        OD; None when the pin is too weak at any OD. [m]

    Notes
    -----
    Method derived; reproduces recalled RP 7G table 10 premium values.
    """
    od = math.ceil(dimensions.counterbore / STEP) * STEP
    last = -1.0
    while True:
        od += STEP
        torque = joint_strength(dimensions, od, bore, yield_stress=yield_stress).torsional_yield
        if torque >= share * pipe_torsional_yield:
            return od
        if torque <= last:  # the pin governs and the seat radius is capped: no more to gain
            return None
        last = torque
