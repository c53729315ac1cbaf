"""Thrust that buckles rods: in the hole, and in the free span between rig and ground.

A string in a hole first snakes along its low side (sinusoidal), then winds into a helix. Rotation,
torque, joints and friction are left out; joints hold the tube off the wall and make the true load
somewhat higher. Long string, several waves long.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from rodhand.steel.column import perry_stress, span_euler_load
from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS

HELICAL_OVER_SINUSOIDAL = math.sqrt(2.0)
"""2 sqrt(2) against 2 sqrt(EI w / r) (Chen, Lin and Cheatham, as quoted in course notes, READ);
others give 3.66 and 5.66 for the helix (from memory): the lowest is used. [-]"""

MOST_OF_EULER = 0.6
"""Share of the fixed-fixed Euler load of a span up to which the bend of rods is given. [-]"""


def sinusoidal_load(stiffness: float, weight: float, clearance: float, incline: float) -> float:
    """Thrust at which a string in a straight hole starts to snake.

    Parameters
    ----------
    stiffness : float
        EI of the tube. [N m^2]
    weight : float
        Weight in mud per length. [N/m]
    clearance : float
        Radial play: half of hole less joint, above zero. [m]
    incline : float
        Angle from the vertical; pi/2 is level. [rad]

    Returns
    -------
    float
        2 sqrt(EI w sin(incline) / r); 0 in a vertical hole, where the form does not hold. [N]

    Raises
    ------
    ValueError
        If the clearance is not above zero.

    References
    ----------
    .. [1] Dawson and Paslay, Drillpipe buckling in inclined holes, JPT (1984), from memory; level
       form by Chen, Lin and Cheatham as quoted in course notes (Ghalambor and Guo, eq. 24, READ).
    """
    if clearance <= 0.0:
        raise ValueError("clearance must be greater than 0")
    return 2.0 * math.sqrt(stiffness * weight * abs(math.sin(incline)) / clearance)


def helical_load(stiffness: float, weight: float, clearance: float, incline: float) -> float:
    """Thrust at which a string in a straight hole winds into a helix, sqrt(2) the sinusoidal. [N]

    Parameters and errors as `sinusoidal_load`; eq. 25 of the same notes (READ).
    """
    return HELICAL_OVER_SINUSOIDAL * sinusoidal_load(stiffness, weight, clearance, incline)


def curved_hole_load(
    stiffness: float, weight: float, clearance: float, incline: float, curvature: float
) -> float:
    """Thrust at which a string in a bend snakes; the wall it is pushed against holds it longer.

    Parameters
    ----------
    stiffness, weight, clearance, incline
        As `sinusoidal_load`.
    curvature : float
        Of the hole in the vertical plane, upward positive. [1/m]

    Returns
    -------
    float
        2 EI k / r + sqrt((2 EI k / r)^2 + 4 EI w sin(incline) / r). [N]

    Notes
    -----
    From memory for an upward bend (written there (2 EI k / r)(1 + sqrt(1 + w r sin / (EI k^2)))),
    where thrust and weight press to the same side. Over a crest thrust lifts the string off the
    low side; the same form with k below zero follows from the contact force w - F k and gives less
    than the straight hole.
    """
    straight = sinusoidal_load(stiffness, weight, clearance, incline)
    bent = 2.0 * stiffness * curvature / clearance
    return bent + math.sqrt(bent**2 + straight**2)


def helix_bending(thrust: float, clearance: float, stiffness: float) -> float:
    """Curvature of a rod wound into a helix, F r / (2 EI); turning adds it as a full cycle. [1/m]

    From memory: stress D r F / (4 I).
    """
    return thrust * clearance / (2.0 * stiffness)


def yield_thrust(
    stiffness: float,
    area: float,
    radius: float,
    free_length: float,
    bow: float,
    yield_stress: float,
) -> float:
    """Thrust at which a free, pinned rod with a bow first yields: rig's guide to ground.

    Parameters
    ----------
    stiffness : float
        EI of the tube. [N m^2]
    area, radius : float
        Metal area and outer radius of the tube. [m^2], [m]
    free_length : float
        Length nobody holds, above zero. [m]
    bow : float
        Bow of that length at its middle, zero or above. [m]
    yield_stress : float
        Of the tube. [Pa]

    Returns
    -------
    float
        Ayrton-Perry load; Euler's or the yield load without bow, the smaller. [N]

    Raises
    ------
    ValueError
        If the free length is not above zero.

    References
    ----------
    .. [1] Ayrton and Perry (1886), as in `rodhand.steel.column.perry_stress`.
    """
    if free_length <= 0.0:
        raise ValueError("free length must be greater than 0")
    euler = math.pi**2 * stiffness / free_length**2
    inertia = stiffness / ELASTIC_MODULUS
    eccentricity = bow * radius * area / inertia
    return area * perry_stress(yield_stress, euler / area, eccentricity)


class Governs(StrEnum):
    """What limits the thrust at a place."""

    FREE_SPAN = "free span"
    SNAKING = "snaking in the hole"
    SPAN = "span between joints"


@dataclass(frozen=True)
class ThrustLimit:
    """How much thrust one place takes, and what sets it.

    Parameters
    ----------
    force : float
        Thrust. [N]
    governs : Governs
        What sets it.
    """

    force: float
    governs: Governs


def thrust_limit_in_hole(
    rod: RodType, weight: float, hole_diameter: float, incline: float, curvature: float = 0.0
) -> ThrustLimit:
    """Thrust one rod takes in the hole before it snakes or its span between joints gives.

    Parameters
    ----------
    rod : RodType
        Tube, joint, length.
    weight : float
        Weight in mud per length. [N/m]
    hole_diameter : float
        On this pass. [m]
    incline, curvature : float
        As `curved_hole_load`; see there. [rad], [1/m]

    Returns
    -------
    ThrustLimit
        The smaller of `curved_hole_load`, with the tube's own play in the hole, and
        `MOST_OF_EULER` of the fixed-fixed load between joints.

    Raises
    ------
    ValueError
        If the hole is not wider than the tube.
    """
    stiffness = ELASTIC_MODULUS * rod.tube_inertia
    play = (hole_diameter - rod.tube_od) / 2.0
    snaking = curved_hole_load(stiffness, weight, play, incline, curvature)
    span = MOST_OF_EULER * span_euler_load(stiffness, rod.length)
    if snaking < span:
        return ThrustLimit(snaking, Governs.SNAKING)
    return ThrustLimit(span, Governs.SPAN)


def snaking_wave(rod: RodType, weight: float, hole_diameter: float) -> float:
    """Length of one wave of a snaking string in a level, straight hole: 2 pi (EI r / w)^(1/4).

    The bend of a hole counts over about such a length. Follows from the least load of the same
    beam, where EI (2 pi / wave)^4 = w / r.

    Parameters
    ----------
    rod : RodType
        Tube.
    weight : float
        Weight in mud per length, above zero. [N/m]
    hole_diameter : float
        Wider than the tube. [m]

    Returns
    -------
    float
        Length. [m]
    """
    play = (hole_diameter - rod.tube_od) / 2.0
    return 2.0 * math.pi * math.sqrt(math.sqrt(ELASTIC_MODULUS * rod.tube_inertia * play / weight))


def thrust_limit_at_rig(rod: RodType, free_length: float, bow: float) -> ThrustLimit:
    """Thrust a rod takes in the free span between the rig's guide and the ground.

    Parameters
    ----------
    rod : RodType
        Tube.
    free_length, bow : float
        As `yield_thrust`. [m]
    """
    force = yield_thrust(
        ELASTIC_MODULUS * rod.tube_inertia, rod.tube_area, rod.tube_od / 2.0, free_length, bow,
        rod.yield_stress,
    )  # fmt: skip
    return ThrustLimit(force, Governs.FREE_SPAN)
