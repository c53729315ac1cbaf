"""Lateral resonance: turning at a long rod's own bending frequency makes it whirl."""

from __future__ import annotations

import math

from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS

STEEL_DENSITY = 7850.0
"""[kg/m^3]"""
MUD_DENSITY = 1100.0
"""Of drilling mud where nobody measured it; assumed. [kg/m^3]"""
GRAVITY = 9.81
"""[m/s^2]"""
NEAR = 0.20
"""Share of the own frequency within which a speed counts as near (ours). [-]"""


def weight_in_mud(rod: RodType, mud_density: float = MUD_DENSITY) -> float:
    """Weight of a mud-filled rod in mud, per length: steel less the mud it displaces. [N/m]

    The rod's own mass where it is known, else the tube's; the steel's volume from its mass.
    """
    steel = rod.mass / rod.length if rod.mass is not None else STEEL_DENSITY * rod.tube_area
    return steel * (1.0 - mud_density / STEEL_DENSITY) * GRAVITY


def bending_frequency(
    rod: RodType, axial_force: float = 0.0, mud_density: float = MUD_DENSITY
) -> float:
    """First bending frequency of a rod pinned at its joints, full of mud and standing in it.

    Parameters
    ----------
    rod : RodType
        Tube and length.
    axial_force : float
        Pull positive; thrust lowers the frequency. [N]
    mud_density : float
        Inside and, as much as the tube displaces, moving with it outside. [kg/m^3]

    Returns
    -------
    float
        pi / (2 L^2) sqrt(EI/m) sqrt(1 + N L^2 / (pi^2 EI)); 0 at the pinned Euler load. [1/s]

    Notes
    -----
    Elementary beam theory (Rayleigh). Damping, torque and walls left out; the displaced mud as
    added mass holds for a wide hole, in a narrow one the frequency is lower.
    """
    stiffness = ELASTIC_MODULUS * rod.tube_inertia
    inside = math.pi / 4.0 * rod.tube_id**2
    outside = math.pi / 4.0 * rod.tube_od**2
    mass = STEEL_DENSITY * rod.tube_area + mud_density * (inside + outside)
    free = math.pi / (2.0 * rod.length**2) * math.sqrt(stiffness / mass)
    drawn = 1.0 + axial_force * rod.length**2 / (math.pi**2 * stiffness)
    return free * math.sqrt(max(drawn, 0.0))


def is_near_resonance(speed: float, frequency: float) -> bool:
    """Whether a rotation speed lies within 20 % of a bending frequency. [turns/s], [1/s]"""
    return abs(speed - frequency) <= NEAR * frequency
