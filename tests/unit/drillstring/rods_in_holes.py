"""Rods and holes for the tests of contact: the three invented rods and bent holes by seed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.string_beam import HoleLine, RodBeam, StringBeam, string_beam
from rodhand.steel.rod_type import RodType
from rodhand.units import FOOT, INCH

Floats = NDArray[np.float64]


def _rod(name: str, tube: float, wall: float, feet: float, joint: float, bore: float, end: float,
         limit: float) -> RodType:  # fmt: skip
    return RodType(
        name=name, tube_od=tube * INCH, wall=wall * INCH, length=feet * FOOT,
        joint_od=joint * INCH, joint_bore=bore * INCH, joint_length=end, yield_stress=931e6,
        build="one-piece", weld_flash="unknown", limit_radius=limit * FOOT,
    )  # fmt: skip


SMALL = _rod("small", 1.66, 0.2, 6, 1.9, 0.63, 0.15, 100)
MID = _rod("mid", 2.375, 0.28, 10, 2.75, 1.0, 0.18, 145)
LARGE = _rod("large", 3.5, 0.368, 15, 4.25, 1.75, 0.275, 215)


def bent_hole(
    rod: RodType, count: int, curvature: dict[int, float], diameter: float, planes: int = 1
) -> HoleLine:
    """A hole straight but for given rods' lengths. [1/m], [m]"""
    bends = np.zeros((count, planes))
    for k, kappa in curvature.items():
        bends[k, 0] = kappa
    return HoleLine(np.arange(count + 1) * rod.length, bends, diameter)


def wandering(
    rod: RodType, count: int, seed: int, planes: int, force: float, diameter: float, weight: float
) -> StringBeam:
    """A string in a hole that curves over four rods and wanders everywhere."""
    rng = np.random.default_rng(seed)
    bends = rng.normal(0.0, 0.015 / rod.length, (count, planes))
    bends[count // 3 : count // 3 + 4, 0] += 0.05 / rod.length
    hole = HoleLine(np.arange(count + 1) * rod.length, bends, diameter)
    tool = count * rod.length - rng.uniform(0.0, rod.length)
    return string_beam([RodBeam.of(rod)] * count, hole, tool, force, weight)
