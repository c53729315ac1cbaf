"""The bend of the hole, stretch by stretch, from the readings of the pilot.

Bend is computed from pitch and heading, never from depth. The hole between two readings is one
stretch; a reading inside a rod, or a recorded pushed length, divides the rod's interval.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

import numpy as np
import numpy.typing as npt

from rodhand.hole.minimum_curvature import dogleg, tangent, unwrapped_heading, wrapped
from rodhand.hole.readings import BoolArray, FloatArray, PilotReadings, ReadingError

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

    @cached_property
    def unread(self) -> BoolArray:
        """Whether no reading stands behind the stretch's own bend."""
        return np.asarray(
            (self.source == BendSource.ACROSS_GAP) | (self.source == BendSource.AHEAD_OF_SENSOR)
        )


SAME_PLACE = 1e-9
"""Positions closer than this are one position. [m]"""


@dataclass(frozen=True, eq=False)
class _Knots:
    """Places of known direction along the hole, and where the bend up to the next comes from.

    The first and the last stand at the ends of the path; their pitch is NaN when unknown.
    """

    position: FloatArray
    pitch: FloatArray
    heading: FloatArray
    source: IntArray

    def directions_sd(self, error: ReadingError) -> FloatArray:
        """Standard deviation of the direction, vertical and sideways; NaN if not read. [rad]"""
        sideways = np.where(np.isfinite(self.heading), error.sideways_sd(self.pitch), np.nan)
        return np.stack([error.pitch_sd(self.pitch), sideways], axis=-1)


def hole_bends(
    readings: PilotReadings,
    reading_error: ReadingError | None = None,
    inside_rods: bool = True,
) -> HoleBends:
    """Bend of the hole between the readings.

    Parameters
    ----------
    readings : PilotReadings
        Rows of one pilot; NaN = not read.
    reading_error : ReadingError, optional
        Noise and step of the readings; the usual ones when not given.
    inside_rods : bool
        Whether readings inside a rod and pushed lengths divide the rod's interval; without
        them each interval has its mean bend.

    Returns
    -------
    HoleBends
        From the start of the path to the last bit position.

    Notes
    -----
    Row n owns the stretch from the sensor position of row n-1 to its own. The direction before
    the first reading is the first reading, unless the rig's own is given: then the difference
    is a bend of its own between the entry and the first reading, and readings taken with the
    sensor not yet past the entry are left out. A pushed stretch is moved back by the
    bit-to-sensor distance, like the reading that saw it, and used only where it lies wholly
    between two readings: a reading inside it says more than a pushed length does. Across
    missing rows the bend is the mean, marked as not read, one stretch for each row.
    """
    error = reading_error or ReadingError()
    unread = _unread_rows(readings)
    knots = _knots(readings, unread, inside_rods)
    if inside_rods:
        knots = _with_pushes(knots, readings)
    far = np.abs(unread[:, np.newaxis] - knots.position).min(axis=1, initial=np.inf) > SAME_PLACE
    between = far & (unread > knots.position[0]) & (unread < knots.position[-1])
    edges = np.sort(np.concatenate([knots.position, unread[between]]))
    knot = np.searchsorted(knots.position, edges[:-1], side="right") - 1
    share = np.diff(edges) / np.diff(knots.position)[knot]
    sd = knots.directions_sd(error)
    vertical, horizontal = _bend_between_knots(knots)
    bend_sd = bend_error(vertical, horizontal, sd[:-1], sd[1:])
    # outside a pushed stretch the direction is held to be the same reading's: no bend, no error
    bend_sd = np.where((vertical == 0) & np.isin(knots.source[:-1], PUSH_SOURCES), 0.0, bend_sd)
    station = _owning_station(edges, readings)
    source = np.where(
        edges[:-1] > readings.sensor_length[-1] - SAME_PLACE,
        BendSource.AHEAD_OF_SENSOR,
        knots.source[knot],
    )
    edge_error = np.full((edges.size, 2), np.nan)
    edge_error[np.searchsorted(edges, knots.position)] = sd
    is_ahead = source == BendSource.AHEAD_OF_SENSOR
    in_rod = np.bincount(station[~is_ahead], minlength=int(station.max()) + 1)
    return HoleBends(
        edges=edges,
        angle=combined_bend(vertical, horizontal)[knot] * share,
        vertical=vertical[knot] * share,
        horizontal=horizontal[knot] * share,
        error=bend_sd[knot] * share,
        in_two_planes=np.isfinite(horizontal[knot]),
        station=station,
        inside=(in_rod[station] > 1) & ~is_ahead,
        source=source.astype(np.int64),
        edge_error=edge_error,
    )


PUSH_SOURCES = (BendSource.PUSHED, BendSource.PUSH_ASSUMED)


def combined_bend(vertical: FloatArray, horizontal: FloatArray) -> FloatArray:
    """Size of a bend: both planes where the horizontal is known, else the vertical. [rad]"""
    return np.asarray(np.hypot(vertical, np.where(np.isfinite(horizontal), horizontal, 0.0)))


def bend_error(
    vertical: FloatArray, horizontal: FloatArray, start_sd: FloatArray, end_sd: FloatArray
) -> FloatArray:
    """Standard deviation of a bend from those of the directions at its two ends.

    Parameters
    ----------
    vertical, horizontal : ndarray (m,)
        The bend; horizontal NaN where unknown. [rad]
    start_sd, end_sd : ndarray (m, 2)
        Standard deviation of the direction, vertical and sideways. [rad]

    Returns
    -------
    ndarray (m,)
        First order in the errors; the mean of both planes where the bend is nothing. [rad]
    """
    variance = start_sd**2 + end_sd**2
    is_flat = ~np.isfinite(horizontal)
    sideways = np.where(is_flat, 0.0, horizontal)
    size = vertical**2 + sideways**2
    upright = np.where(size > 0, vertical**2 / np.where(size > 0, size, 1.0), 0.5)
    weight = np.where(is_flat, 1.0, upright)
    level = np.where(is_flat, 0.0, variance[:, 1])
    return np.asarray(np.sqrt(weight * variance[:, 0] + (1.0 - weight) * level))


def _unread_rows(readings: PilotReadings) -> FloatArray:
    """Sensor positions of the full rows whose pitch was not read. [m]"""
    return readings.sensor_length[~readings.is_inside & ~np.isfinite(readings.pitch)]


def _knots(readings: PilotReadings, unread: FloatArray, inside_rods: bool) -> _Knots:
    """Directions read, with a knot at each end of the path."""
    start = readings.tie_in.measured_length
    has_start = math.isfinite(readings.start_pitch)
    use = np.isfinite(readings.pitch)
    if not inside_rods:
        use &= ~readings.is_inside
    if has_start:
        use &= readings.sensor_length > start + SAME_PLACE
    position, pitch = readings.sensor_length[use], readings.pitch[use]
    heading = _filled_inside(readings)[use]
    if has_start or position.size == 0 or position[0] > start + SAME_PLACE:
        first_is_read = position.size > 0 and not (unread < position[0]).any()
        assumed = (pitch[0], heading[0]) if first_is_read else (math.nan, math.nan)
        given = (readings.start_pitch, readings.start_heading) if has_start else assumed
        position = np.concatenate([[start], position])
        pitch = np.concatenate([[given[0]], pitch])
        heading = np.concatenate([[given[1]], heading])
        first_source = BendSource.ENTRY if has_start else BendSource.START_ASSUMED
    else:
        first_source = BendSource.READ
    end = readings.measured_length[-1]
    if position[-1] < end - SAME_PLACE:
        position = np.append(position, end)
        pitch, heading = np.append(pitch, math.nan), np.append(heading, math.nan)
    source = np.full(position.size, BendSource.READ, dtype=np.int64)
    source[0] = first_source
    missing = np.histogram(unread, bins=position)[0] > 0
    source[:-1][missing | ~np.isfinite(np.diff(pitch))] = BendSource.ACROSS_GAP
    return _Knots(position, pitch, heading, source)


def _filled_inside(readings: PilotReadings) -> FloatArray:
    """Headings; inside a rod whose both ends have one, a missing heading lies between them."""
    heading = unwrapped_heading(readings.heading)
    full = ~readings.is_inside
    blank = readings.is_inside & ~np.isfinite(heading)
    if blank.any() and full.any():
        where = readings.sensor_length
        heading[blank] = np.interp(
            where[blank], where[full], heading[full], left=math.nan, right=math.nan
        )
    return heading


def _bend_between_knots(knots: _Knots) -> tuple[FloatArray, FloatArray]:
    """Vertical and horizontal bend between neighbouring knots.

    The horizontal one is what the three-dimensional angle holds beside the vertical.
    """
    vertical = np.diff(knots.pitch)
    directions = tangent(knots.pitch, knots.heading)
    angle = dogleg(directions[:-1], directions[1:])
    sideways = np.sqrt(np.maximum(angle**2 - vertical**2, 0.0))
    return vertical, np.sign(wrapped(np.diff(knots.heading))) * sideways


def _with_pushes(knots: _Knots, readings: PilotReadings) -> _Knots:
    """Add a knot at both ends of every pushed stretch that lies between two readings."""
    back = readings.measured_length - readings.sensor_length
    begin, end = readings.push_from - back, readings.push_to - back
    is_full = ~readings.is_inside & (end > begin + SAME_PLACE)
    for row in np.flatnonzero(is_full):
        k = int(np.searchsorted(knots.position, begin[row] + SAME_PLACE, side="right")) - 1
        if not 0 <= k < knots.position.size - 1 or knots.source[k] != BendSource.READ:
            continue
        low = max(begin[row], knots.position[k])
        high = min(end[row], knots.position[k + 1])
        if end[row] - high > SAME_PLACE or high - low > np.diff(knots.position)[k] - SAME_PLACE:
            continue
        knots = _split(knots, k, low, high, bool(readings.push_is_assumed[row]))
    return knots


def _split(knots: _Knots, k: int, low: float, high: float, is_assumed: bool) -> _Knots:
    """Put the whole bend of interval k between low and high."""
    source = BendSource.PUSH_ASSUMED if is_assumed else BendSource.PUSHED
    place, read = knots.position[k : k + 2]
    added = [(low, k)] if low > place + SAME_PLACE else []
    if high < read - SAME_PLACE:
        added.append((high, k + 1))
    like = [row for _, row in added]
    sources = knots.source.copy()
    sources[k] = source
    return _Knots(
        np.insert(knots.position, k + 1, [where for where, _ in added]),
        np.insert(knots.pitch, k + 1, knots.pitch[like]),
        np.insert(knots.heading, k + 1, knots.heading[like]),
        np.insert(sources, k + 1, [source] * len(added)),
    )


def _owning_station(edges: FloatArray, readings: PilotReadings) -> IntArray:
    """Number of the full row whose interval holds each stretch; past the last, the next row."""
    full = ~readings.is_inside
    numbers = readings.station[full].astype(np.int64)
    last = int(math.ceil(readings.station[-1]))  # noqa: RUF046  ceil of a numpy float is a float
    row = np.searchsorted(readings.sensor_length[full], edges[1:] - SAME_PLACE)
    return np.append(numbers, last)[row]


def per_rod(bends: HoleBends) -> HoleBends:
    """Bend of each rod's whole interval, from the reading before it to its own.

    Parameters
    ----------
    bends : HoleBends
        As `hole_bends` gives them.

    Returns
    -------
    HoleBends
        One stretch for each station, in order, without what lies ahead of the sensor.

    Notes
    -----
    Bends inside a rod are summed with their signs, so a rod bent up and back shows the change
    between its ends only. A rod with a stretch that was not read counts as not read.
    """
    kept = bends.source != BendSource.AHEAD_OF_SENSOR
    station = bends.station[kept]
    first = np.flatnonzero(np.diff(station, prepend=-1))
    after = np.append(first[1:], station.size)
    vertical, horizontal = (
        np.add.reduceat(values[kept], first) for values in (bends.vertical, bends.horizontal)
    )
    edge_error = bends.edge_error[np.append(first, after[-1])]
    sources = bends.source[kept]
    is_whole = after - first == 1
    error = bend_error(vertical, horizontal, edge_error[:-1], edge_error[1:])
    summed = np.sqrt(np.add.reduceat(bends.error[kept] ** 2, first))
    return HoleBends(
        edges=bends.edges[np.append(first, after[-1])],
        angle=combined_bend(vertical, horizontal),
        vertical=vertical,
        horizontal=horizontal,
        error=np.where(is_whole | ~np.isfinite(error), summed, error),
        in_two_planes=np.isfinite(horizontal),
        station=station[first],
        inside=np.zeros(first.size, dtype=np.bool_),
        source=_merged_source(sources, first, is_whole),
        edge_error=edge_error,
    )


def _merged_source(sources: IntArray, first: IntArray, is_whole: BoolArray) -> IntArray:
    """A rod's own source if it is one stretch; else a gap or entry counts before a reading."""
    has_gap, has_entry = (
        np.logical_or.reduceat(sources == kind, first)
        for kind in (BendSource.ACROSS_GAP, BendSource.ENTRY)
    )
    merged = np.where(has_entry, BendSource.ENTRY, BendSource.READ)
    merged = np.where(has_gap, BendSource.ACROSS_GAP, merged)
    return np.where(is_whole, sources[first], merged).astype(np.int64)
