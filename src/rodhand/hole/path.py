"""Where the hole runs: positions along the path drawn through the readings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rodhand.hole.minimum_curvature import (
    SMALL_ANGLE,
    dogleg,
    minimum_curvature_positions,
    minimum_curvature_step,
    tangent,
    unwrapped_heading,
)
from rodhand.hole.readings import FloatArray, PilotReadings


@dataclass(frozen=True, eq=False)
class HolePath:
    """A chain of circular arcs from the start of the path to the last sensor position.

    Parameters
    ----------
    edges : ndarray (k,)
        Ends of the arcs along the hole. [m]
    tangents : ndarray (k, 3)
        Directions there: north, east, depth. [1]
    positions : ndarray (k, 3)
        North, east, depth; depth below the entry point, down positive. [m]
    has_heading : bool
        False: drawn straight in plan along the line from the entry, sideways unknown.
    """

    edges: FloatArray
    tangents: FloatArray
    positions: FloatArray
    has_heading: bool


def hole_path(readings: PilotReadings) -> HolePath | None:
    """The path through the readings by minimum curvature from the tie-in.

    Parameters
    ----------
    readings : PilotReadings
        Rows of one pilot; NaN = not read.

    Returns
    -------
    HolePath or None
        None when no pitch was read.

    Notes
    -----
    Before the first reading the hole follows the rig's own direction if given, else the first
    reading. A heading that was not read lies between its neighbours (the path only; the bend
    stays unknown). Depth readings are not used: the pitch is much the better source of shape.
    """
    start = readings.tie_in.measured_length
    has_start = bool(np.isfinite(readings.start_pitch))
    use = np.isfinite(readings.pitch)
    if has_start:
        use &= readings.sensor_length > start
    edges, pitch = readings.sensor_length[use], readings.pitch[use]
    heading = readings.heading[use]
    if has_start or (edges.size and edges[0] > start):
        first = (readings.start_pitch, readings.start_heading)
        given = first if has_start else (pitch[0], heading[0])
        edges, pitch = np.insert(edges, 0, start), np.insert(pitch, 0, given[0])
        heading = np.insert(heading, 0, given[1])
    if edges.size == 0:
        return None
    directions = tangent(pitch, _filled_heading(edges, heading))
    path = HolePath(
        edges=edges,
        tangents=directions,
        positions=minimum_curvature_positions(edges, directions, readings.tie_in),
        has_heading=bool(np.isfinite(heading).any()),
    )
    if edges[0] >= start:
        return path
    # first read with the sensor still short of the entry: the tie-in is where it passed it
    moved = path.positions[0] - positions_at(replace(path, has_heading=True), np.array([start]))[0]
    return replace(path, positions=path.positions + moved)


def _filled_heading(edges: FloatArray, heading: FloatArray) -> FloatArray:
    """Headings with unread ones between their neighbours; straight ahead when none was read."""
    is_read = np.isfinite(heading)
    if not is_read.any():
        return np.zeros(edges.size)
    return np.interp(edges, edges[is_read], unwrapped_heading(heading)[is_read])


def positions_at(path: HolePath, along: FloatArray) -> FloatArray:
    """Positions at any lengths along the hole.

    Parameters
    ----------
    path : HolePath
        As `hole_path` gives it.
    along : ndarray (n,)
        Lengths along the hole; beyond the last sensor position straight on. [m]

    Returns
    -------
    ndarray (n, 3)
        North, east, depth; east is NaN when no heading was read. [m]
    """
    along = np.asarray(along, dtype=np.float64)
    last = path.edges.size - 1
    k = np.clip(np.searchsorted(path.edges, along, side="right") - 1, 0, last)
    after = np.minimum(k + 1, last)
    rest = along - path.edges[k]
    span = np.where(after > k, path.edges[after] - path.edges[k], 1.0)
    direction = _direction_on_arc(path.tangents[k], path.tangents[after], rest / span)
    points = path.positions[k] + minimum_curvature_step(rest, path.tangents[k], direction)
    if not path.has_heading:
        points[:, 1] = np.nan
    return points


def _direction_on_arc(start: FloatArray, end: FloatArray, share: FloatArray) -> FloatArray:
    """Direction a share of the way along an arc: turned evenly from start to end."""
    angle = dogleg(start, end)
    is_small = angle < SMALL_ANGLE
    size = np.where(is_small, 1.0, np.sin(angle))
    first = np.where(is_small, 1.0 - share, np.sin((1.0 - share) * angle) / size)
    second = np.where(is_small, share, np.sin(share * angle) / size)
    mixed = first[:, np.newaxis] * start + second[:, np.newaxis] * end
    return np.asarray(mixed / np.linalg.norm(mixed, axis=-1, keepdims=True))
