"""The standard bore mix: invented bores on which the anchor figure stands.

Everything here is invented and printed with the figure; nothing is fitted. The mix fixes class
times severity together, so agreement with a trade figure would prove neither.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.rod_type import RodType

Floats = NDArray[np.float64]

LEAST_RODS, MOST_RODS = 20, 55
ENTRY_ANGLE = (math.radians(12.0), math.radians(16.0))
EXIT_ANGLE = (math.radians(6.0), math.radians(12.0))
OVER_STEER = (1.0, 1.5)
"""An over-steered rod's bend over the maker's limit, drawn evenly. [-]"""
PILOT_SPEED, PILOT_RATE = 100.0 / 60.0, 1.0 / 60.0
"""Rotation and advance of a pilot: 100 rpm at 1 m/min. [1/s], [m/s]"""
PULL_SPEED, PULL_RATE = 80.0 / 60.0, 0.5 / 60.0
"""Rotation and advance of a pullback or a pre-ream: 80 rpm at 0.5 m/min. [1/s], [m/s]"""
ROTATING_SHARE = 0.5
"""Rotating hours over rig hours. [-]"""


@dataclass(frozen=True)
class Severity:
    """One class of bores in the mix.

    Parameters
    ----------
    name : str
        Name of the class.
    share : float
        Share of all bores. [-]
    entry_share : float
        Bend of the entry and exit curves over the maker's limit. [-]
    wander : float
        Standard deviation of the change of direction per rod, in each of two planes. [rad]
    over_steer_every : int
        One over-steered rod in this many. [rods]
    pre_ream : bool
        Whether the hole is reamed once before the pullback.
    """

    name: str
    share: float
    entry_share: float
    wander: float
    over_steer_every: int
    pre_ream: bool


CAREFUL = Severity("careful", 0.40, 0.55, 0.010, 200, pre_ream=False)
ORDINARY = Severity("ordinary", 0.40, 0.75, 0.015, 60, pre_ream=False)
HARD = Severity("hard", 0.20, 0.95, 0.025, 20, pre_ream=True)
STANDARD_MIX = (CAREFUL, ORDINARY, HARD)


@dataclass(frozen=True, eq=False)
class MixBore:
    """One invented bore.

    Parameters
    ----------
    severity : Severity
        Its class.
    curvature : (n, 2) array of float
        Mean curvature of the hole in each rod's interval, vertical and sideways. [1/m]
    rod_length : float
        Length of an interval. [m]
    """

    severity: Severity
    curvature: Floats
    rod_length: float

    @property
    def bend(self) -> Floats:
        """Bend of each interval over both planes, (n,). [1/m]"""
        return np.asarray(np.hypot(self.curvature[:, 0], self.curvature[:, 1]))

    @property
    def rotating_time(self) -> float:
        """Time rotated on all passes. [s]"""
        length = len(self.bend) * self.rod_length
        pulls = 2 if self.severity.pre_ream else 1
        return length / PILOT_RATE + pulls * length / PULL_RATE

    @property
    def rig_time(self) -> float:
        """Rig time, rotating time over the rotating share. [s]"""
        return self.rotating_time / ROTATING_SHARE


def steered_curve(
    rod: RodType, severity: Severity, rods: int, angles: tuple[float, float]
) -> Floats:
    """Planned change of direction in each rod: one straight, entry curve, level, exit curve.

    Parameters
    ----------
    rod : RodType
        Length and limit.
    severity : Severity
        How tight the curves are.
    rods : int
        Length of the bore. [rods]
    angles : (float, float)
        Entry and exit angle. [rad]

    Returns
    -------
    (rods,) array of float
        Angles; the curves overlap in a bore too short for both. [rad]
    """
    planned = np.zeros(rods)
    step = severity.entry_share * rod.limit_angle()
    entry, leave = (max(1, math.ceil(angle / step)) for angle in angles)
    planned[1 : 1 + entry] += angles[0] / entry
    last = rods - 1  # the last rod goes straight out
    planned[max(last - leave, 0) : last] += angles[1] / leave
    return planned


def draw_bore(rng: np.random.Generator, rod: RodType, severity: Severity | None = None) -> MixBore:
    """One bore of the mix.

    Parameters
    ----------
    rng : numpy Generator
        Seeded by the caller.
    rod : RodType
        Rod it is drilled with.
    severity : Severity, optional
        Its class; drawn by share when left out.

    Returns
    -------
    MixBore
        Bends of every rod's interval.
    """
    if severity is None:
        shares = [s.share for s in STANDARD_MIX]
        severity = STANDARD_MIX[int(rng.choice(len(STANDARD_MIX), p=shares))]
    rods = int(rng.integers(LEAST_RODS, MOST_RODS + 1))
    angles = (float(rng.uniform(*ENTRY_ANGLE)), float(rng.uniform(*EXIT_ANGLE)))
    vertical = steered_curve(rod, severity, rods, angles) + rng.normal(0.0, severity.wander, rods)
    over = rng.random(rods) < 1.0 / severity.over_steer_every
    vertical[over] = rng.uniform(*OVER_STEER, int(over.sum())) * rod.limit_angle()
    sideways = rng.normal(0.0, severity.wander, rods)
    return MixBore(severity, np.stack((vertical, sideways), axis=1) / rod.length, rod.length)


def ordinary_bore(rod: RodType, rods: int) -> MixBore:
    """An ordinary bore without chance: middle angles, wander of its usual size, no over-steer.

    Parameters
    ----------
    rod : RodType
        Rod it is drilled with.
    rods : int
        Length. [rods]

    Returns
    -------
    MixBore
        Every rod wanders by the SD in each plane: the vertical wander is across the plan's
        tangent, so its square adds to the curve's. All of it is given as vertical.
    """
    angles = (sum(ENTRY_ANGLE) / 2.0, sum(EXIT_ANGLE) / 2.0)
    planned = steered_curve(rod, ORDINARY, rods, angles)
    bend = np.sqrt(planned**2 + 2.0 * ORDINARY.wander**2) / rod.length
    return MixBore(ORDINARY, np.stack((bend, np.zeros(rods)), axis=1), rod.length)
