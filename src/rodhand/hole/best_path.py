"""The best path of a hole from all its readings, with covariance.

Two planes, vertical and sideways, each fitted by `plane_fit` with sizes learnt by
`plane_learning`. Bends come out as a mean and a covariance in each plane; what no reading saw
has a wide one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np

from rodhand.hole.bends import SAME_PLACE, IntArray
from rodhand.hole.minimum_curvature import unwrapped_heading
from rodhand.hole.pilot_log import step_seen
from rodhand.hole.plane_fit import PlaneReadings, Scales
from rodhand.hole.plane_learning import LearntPlane, SizePrior, learnt_plane
from rodhand.hole.readings import BoolArray, FloatArray, PilotReadings, ReadingError

USUAL_VERTICAL = SizePrior(Scales(0.008, 0.008, 1.0), (0.7, 0.7, 0.3))
"""Usual sizes in the vertical: a wander of 1.4 % per 3 m rod, curves of R 125 m, the reading error
as assumed (ours)."""
SIDEWAYS_FACTORS = (0.4, 1.0, 0.3)
USUAL_SIDEWAYS_CURVE = 0.004
"""Sideways the wander is held to be like the vertical's, within a factor of 1.5 (ours)."""
SENSOR_PLACE_MOST = 2.5
"""A sensor whose place nobody wrote down stands up to so far behind the bit (ours). [m]"""
OFFSET_SD = 0.2
"""Error of an offset read over the head; common practice 0.1 to 0.3 m, no source. [m]"""
DEPTH_SHARE, DEPTH_SD = 0.05, 0.3
"""Error of a depth read: 5 % of it (common practice, no source) and what the ground's own level
may lie off the entry's, not known (ours). [1], [m]"""
SUSPECT_PITCH, SUSPECT_DEPTH, SUSPECT_FACTOR = math.atan(0.30), 4.5, 3.0
"""Above this pitch or depth a depth shown is a projected one (READ, a locator maker's manual);
its error is taken so many times larger (ours). [rad], [m], [1]"""
PITCH_BIAS, HEADING_BIAS, LINE_UNKNOWN = 0.002, math.radians(1.0), math.radians(20.0)
"""Errors all readings share: of pitch, of a heading relative to the line, of the line's own
direction where headings are magnetic, grid or true (ours). [rad]"""


class PathDoubt(StrEnum):
    """What makes the band of the bends less sure than it looks, or wide."""

    SENSOR_PLACE = "sensor_place_unknown"
    NO_HEADING = "heading_missing"
    COARSE_STEP = "pitch_step_coarse"
    GROSS = "gross_readings"
    ROUGH_READINGS = "readings_rougher_than_assumed"
    MISSING_ROWS = "rows_missing"
    INSIDE_UNSEEN = "inside_of_rod_not_seen"


COARSE_STEP = 0.005
"""A pitch shown in steps of so much or more is coarse, as a grade. [1]"""
ROUGHER = 1.3
"""Readings that look so many times rougher than assumed are told. [1]"""


@dataclass(frozen=True, eq=False)
class BestPath:
    """Directions and bends of the hole given all readings.

    Parameters
    ----------
    along : ndarray (n+1,)
        Nodes: start, every row's sensor position, and the end of the hole. [m]
    rod_nodes : ndarray of int
        Index of the nodes that bound the rods' intervals (full rows). [1]
    vertical, sideways : LearntPlane
        The planes.
    lift : ndarray (n,)
        Cosine of pitch in each stretch: sideways bend over change of heading. [1]
    has_heading : ndarray of bool (n,)
        Whether a heading stands at both ends of the stretch.
    sensor_most : float
        How far the sensor may stand from where it is taken to be; 0 where that is known. [m]
    straight_to : int
        Node up to which the hole is taken as straight by definition: before the first reading,
        the rig's direction not given. [1]
    doubts : tuple of PathDoubt
        What a reader must be told.
    """

    along: FloatArray
    rod_nodes: IntArray
    vertical: LearntPlane
    sideways: LearntPlane
    lift: FloatArray
    has_heading: BoolArray
    sensor_most: float
    straight_to: int
    doubts: tuple[PathDoubt, ...]

    @property
    def edges(self) -> FloatArray:
        """Ends of the rods' intervals, and of what lies ahead of the sensor. [m]"""
        return np.asarray(self.along[self.rod_nodes])

    @cached_property
    def two_planes(self) -> BoolArray:
        """Whether a rod's bend was read in both planes. (m,)"""
        flat = np.concatenate([[0], np.cumsum(~self.has_heading)])
        return np.asarray(np.diff(flat[self.rod_nodes]) == 0)


def best_path(
    readings: PilotReadings,
    error: ReadingError | None = None,
    sensor_known: bool = True,
) -> BestPath | None:
    """Fit the best path.

    Parameters
    ----------
    readings : PilotReadings
        Rows of one pilot; NaN = not read.
    error : ReadingError, optional
        How well readings repeat; the usual when left out. A coarser step seen in the readings
        goes before the step given.
    sensor_known : bool
        Whether the distance from bit to sensor was written down.

    Returns
    -------
    BestPath or None
        None when no pitch was read, or fewer than two places along the hole are known.

    Notes
    -----
    Vertical first: its pitch decides how much of a heading is a bend (cos pitch), and its
    wander is what is expected sideways. An offset says where the hole is, so over some rods how
    it curves; depth is used for position and for the bias of pitch.
    """
    usual = error or ReadingError()
    nodes, pitch, heading, offset, depth = _nodes(readings)
    if nodes.size < 2 or not np.isfinite(pitch).any():
        return None
    step = _step(readings, usual.pitch_step)
    usual = ReadingError(usual.pitch_repeat, step, usual.heading)
    straight_to = 0
    if not math.isfinite(readings.start_pitch) and not np.isfinite(pitch[0]):
        straight_to = int(np.flatnonzero(np.isfinite(pitch))[0])
    read = np.isfinite(pitch)
    smooth = np.interp(nodes, nodes[read], pitch[read])
    length = np.diff(nodes)
    middle = (smooth[1:] + smooth[:-1]) / 2.0
    lift = np.cos(middle)
    suspect = (np.abs(smooth) > SUSPECT_PITCH) | (depth > SUSPECT_DEPTH)
    depth_sd = np.hypot(DEPTH_SHARE * depth, DEPTH_SD) * np.where(suspect, SUSPECT_FACTOR, 1.0)
    vertical = learnt_plane(
        PlaneReadings(
            along=nodes, lift=np.ones(length.size), direction=pitch,
            direction_sd=usual.pitch_sd(smooth), position=-depth,
            position_sd=depth_sd, rise=length * lift,
            at_level=length * (np.sin(middle) - middle * lift), bias_sd=PITCH_BIAS,
        ),
        USUAL_VERTICAL,
    )  # fmt: skip
    is_relative = readings.heading_reference == "relative"
    wander = vertical.scales.wander
    sideways = learnt_plane(
        PlaneReadings(
            along=nodes, lift=lift, direction=heading,
            direction_sd=np.full(nodes.size, usual.heading), position=offset,
            position_sd=np.full(nodes.size, OFFSET_SD), rise=length * lift,
            at_level=np.zeros(length.size), bias_sd=HEADING_BIAS if is_relative else LINE_UNKNOWN,
        ),
        SizePrior(Scales(wander, USUAL_SIDEWAYS_CURVE, 1.0), SIDEWAYS_FACTORS),
    )  # fmt: skip
    has = np.isfinite(heading)
    rod_nodes = _rod_nodes(readings, nodes)
    coarse = step >= COARSE_STEP
    return BestPath(
        along=nodes, rod_nodes=rod_nodes, vertical=vertical, sideways=sideways, lift=lift,
        has_heading=has[1:] & has[:-1], sensor_most=0.0 if sensor_known else SENSOR_PLACE_MOST,
        straight_to=straight_to,
        doubts=_doubts(readings, vertical, sideways, sensor_known, coarse),
    )  # fmt: skip


def _nodes(
    readings: PilotReadings,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Nodes along the hole and what was read there: pitch, heading, offset, depth."""
    start, end = readings.tie_in.measured_length, float(readings.measured_length[-1])
    rows = readings.sensor_length > start + SAME_PLACE
    at_start = np.flatnonzero(np.abs(readings.sensor_length - start) <= SAME_PLACE)
    first = (readings.start_pitch, readings.start_heading)
    if at_start.size and not math.isfinite(readings.start_pitch):
        first = (float(readings.pitch[at_start[0]]), float(readings.heading[at_start[0]]))
    along = np.concatenate([[start], readings.sensor_length[rows]])
    columns = [
        np.concatenate([[given], values[rows]])
        for given, values in (
            (first[0], readings.pitch), (first[1], readings.heading),
            (math.nan, readings.offset), (math.nan, readings.depth),
        )
    ]  # fmt: skip
    if end > along[-1] + SAME_PLACE:
        along = np.append(along, end)
        columns = [np.append(values, math.nan) for values in columns]
    pitch, heading, offset, depth = columns
    return along, pitch, unwrapped_heading(heading), offset, depth


def _step(readings: PilotReadings, assumed: float) -> float:
    """Step of pitch as a grade: the one seen in the readings where it is coarser than assumed."""
    grades = 100.0 * np.tan(readings.pitch[np.isfinite(readings.pitch)])
    seen = step_seen([round(float(each), 6) for each in grades])
    return max(assumed, seen / 100.0) if seen is not None else assumed


def _rod_nodes(readings: PilotReadings, nodes: FloatArray) -> IntArray:
    """Nodes that bound the rods' intervals: the start, the full rows and the end."""
    full = readings.sensor_length[~readings.is_inside]
    wanted = np.concatenate([[nodes[0]], full[full > nodes[0] + SAME_PLACE], [nodes[-1]]])
    return np.unique(np.searchsorted(nodes, wanted - SAME_PLACE))


def _doubts(
    readings: PilotReadings, vertical: LearntPlane, sideways: LearntPlane, sensor_known: bool,
    coarse: bool,
) -> tuple[PathDoubt, ...]:  # fmt: skip
    """What a reader of the bands must be told."""
    full = ~readings.is_inside
    unread = not np.isfinite(readings.pitch[full]).all()
    rough = max(vertical.scales.noise, sideways.scales.noise) > ROUGHER
    told = {
        PathDoubt.SENSOR_PLACE: not sensor_known,
        PathDoubt.NO_HEADING: not np.isfinite(readings.heading[full]).all(),
        PathDoubt.COARSE_STEP: coarse,
        PathDoubt.GROSS: bool(vertical.gross or sideways.gross),
        PathDoubt.ROUGH_READINGS: rough,
        PathDoubt.MISSING_ROWS: unread,
        PathDoubt.INSIDE_UNSEEN: not readings.is_inside.any(),
    }
    return tuple(doubt for doubt, holds in told.items() if holds)
