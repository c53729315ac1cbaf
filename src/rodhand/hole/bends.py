"""The bend of the hole, stretch by stretch, from the readings of the pilot.

Bend is computed from pitch and heading, never from depth. The hole between two readings is one
stretch; a reading inside a rod, or a recorded pushed length, divides the rod's interval.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from rodhand.hole.readings import BoolArray, FloatArray

IntArray = npt.NDArray[np.int64]


class BendSource(IntEnum):
    """Where the bend of a stretch comes from."""

    READ = 0
    """Between two readings."""
    ENTRY = 1
    """Between the rig's own direction and the first reading: entry misalignment."""
    START_ASSUMED = 2
    """Before the first reading, rig's direction not given: taken straight."""
    ACROSS_GAP = 3
    """Readings are missing: the mean bend between the readings either side. Not read."""
    AHEAD_OF_SENSOR = 4
    """From the last sensor position to the bit. Not read, no value."""
    PUSHED = 5
    """Inside a rod, by the recorded pushed stretch."""
    PUSH_ASSUMED = 6
    """Inside a rod, by the pushed length laid at the end of the rod: assumed."""


@dataclass(frozen=True, eq=False)
class HoleBends:
    """Bend of the hole in m stretches that follow each other.

    Parameters
    ----------
    edges : ndarray (m+1,)
        Ends of the stretches along the hole, at sensor positions. [m]
    angle : ndarray (m,)
        Change of direction, in three dimensions where heading is known at both ends, vertical
        only otherwise; NaN where unknown. [rad]
    vertical : ndarray (m,)
        Signed change of pitch, up positive. [rad]
    horizontal : ndarray (m,)
        Signed sideways bend, right positive; NaN where unknown. [rad]
    error : ndarray (m,)
        One standard deviation of `angle` from reading noise and step. [rad]
    in_two_planes : ndarray of bool (m,)
        Heading known at both ends.
    station : ndarray of int (m,)
        Number of the full row whose interval holds the stretch. [1]
    inside : ndarray of bool (m,)
        Stretch lies inside a rod's interval.
    source : ndarray of int (m,)
        A `BendSource` for each stretch.
    edge_error : ndarray (m+1, 2)
        One standard deviation of the direction at each edge, vertical and sideways; NaN where
        no reading stands there. Two stretches that meet share it, so their errors are
        correlated; `bend_between` takes that into account. [rad]
    """

    edges: FloatArray
    angle: FloatArray
    vertical: FloatArray
    horizontal: FloatArray
    error: FloatArray
    in_two_planes: BoolArray
    station: IntArray
    inside: BoolArray
    source: IntArray
    edge_error: FloatArray

    @property
    def length(self) -> FloatArray:
        """Length of each stretch. [m]"""
        return np.diff(self.edges)

    @property
    def curvature(self) -> FloatArray:
        """Mean curvature of each stretch: angle over length. [1/m]"""
        return self.angle / self.length

    @property
    def unread(self) -> BoolArray:
        """Whether no reading stands behind the stretch's own bend."""
        return np.isin(self.source, (BendSource.ACROSS_GAP, BendSource.AHEAD_OF_SENSOR))
