"""The way back of a bore worked: in the vertical, or in both planes and around utilities."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.plan_limits import InWay
from rodhand.hole.way_around import REACHED, Place, way_around
from rodhand.hole.way_back import way_back

Floats = NDArray[np.float64]
MOST_SIDEWAYS = 40
"""Rods a way in both planes may take: more would keep the driller waiting."""


@dataclass(frozen=True, eq=False)
class Worked:
    """A way back, rod by rod.

    Parameters
    ----------
    pitch, depth : ndarray (n,)
        At the end of each rod, up positive; below the entry. [rad], [m]
    heading, offset : ndarray (n,) or None
        None where sideways is not known. [rad], [m]
    bend : ndarray (n,)
        Change of direction in each rod, both planes together. [rad]
    cost : float
        Next to one rod held at the limit. [1]
    depth_missed, pitch_missed, offset_missed, heading_missed : float
        0 when reached. [m], [rad]
    """

    pitch: Floats
    depth: Floats
    heading: Floats | None
    offset: Floats | None
    bend: Floats
    cost: float
    depth_missed: float
    pitch_missed: float
    offset_missed: float = 0.0
    heading_missed: float = 0.0

    @property
    def reached(self) -> bool:
        """Whether the end is met."""
        return not (
            self.depth_missed or self.pitch_missed or self.offset_missed or self.heading_missed
        )


def worked_way(
    start: Place, wanted: Place, rods: int, length: float, room: float,
    in_way: tuple[InWay, ...], sideways: bool,
) -> Worked | None:  # fmt: skip
    """The least costly way found that keeps every distance, or the nearest; None where none does.

    Parameters
    ----------
    start, wanted, rods, length, room
        As for `rodhand.hole.way_around.way_around`.
    in_way : tuple of InWay
        Utilities of known depth.
    sideways : bool
        Whether heading and offset are known. Where they are not, one that runs along lies at
        every offset, and the way keeps the heading it has.
    """
    if not sideways:
        in_way = tuple(replace(each, offset=None) for each in in_way)
        if not in_way:
            return _upright(start, wanted, rods, length, room)
    found = way_around(start, wanted, rods, length, room, in_way, sideways)
    if found is None:
        return None
    missed = [m if abs(m) > most else 0.0 for m, most in zip(found.missed, REACHED, strict=True)]
    return Worked(
        found.pitch, found.depth, found.heading if sideways else None,
        found.offset if sideways else None, found.bend, found.cost, missed[0], missed[2],
        missed[1], missed[3],
    )  # fmt: skip


def _upright(start: Place, wanted: Place, rods: int, length: float, room: float) -> Worked:
    way = way_back(start.pitch, wanted.pitch, wanted.depth - start.depth, rods, length, room)
    bend = np.abs(np.diff(np.concatenate(([start.pitch], way.pitch))))
    return Worked(
        way.pitch, start.depth + way.depth, None, None, bend, way.cost, way.missed, way.pitch_missed
    )
