"""What was read while the pilot was drilled, as arrays: one row per station, NaN = not read."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class TieIn:
    """Where the path starts; the entry point unless a survey begins elsewhere.

    Parameters
    ----------
    north, east, depth : float
        Position; depth below the entry point, down positive. [m]
    measured_length : float
        Length along the hole at that position. [m]
    """

    north: float = 0.0
    east: float = 0.0
    depth: float = 0.0
    measured_length: float = 0.0


@dataclass(frozen=True)
class ReadingError:
    """How well a reading repeats (one standard deviation) and its printed step.

    The defaults are common practice, no source: 0.25 % grade repeatability, 0.1 % step,
    half a degree of heading.

    Parameters
    ----------
    pitch_repeat : float
        Repeatability of pitch as a grade (rise over run). [1]
    pitch_step : float
        Step of the pitch shown, as a grade; adds step/sqrt(12). [1]
    heading : float
        Repeatability of heading. [rad]
    """

    pitch_repeat: float = 0.0025
    pitch_step: float = 0.001
    heading: float = math.radians(0.5)

    def pitch_sd(self, pitch: FloatArray) -> FloatArray:
        """Standard deviation of the pitch angle; grade to angle by d atan(g) = cos^2 dg. [rad]"""
        grade_sd = math.hypot(self.pitch_repeat, self.pitch_step / math.sqrt(12.0))
        return grade_sd * np.cos(pitch) ** 2

    def sideways_sd(self, pitch: FloatArray) -> FloatArray:
        """Standard deviation of the direction sideways: heading error times cos pitch. [rad]"""
        return self.heading * np.cos(pitch)


@dataclass(frozen=True, eq=False)
class PilotReadings:
    """Readings of one pilot in drilling order; every array has one entry per row.

    Parameters
    ----------
    station : ndarray
        n when the n-th rod was in; 4.5 is a reading inside rod 5's interval. [1]
    measured_length : ndarray
        Bit position S along the hole, strictly increasing. [m]
    sensor_length : ndarray
        Where the reading stands: S minus the bit-to-sensor distance. [m]
    pitch : ndarray
        Up positive. [rad]
    heading : ndarray
        Clockwise from the reference. [rad]
    heading_reference : str
        magnetic, grid, true or relative.
    offset : ndarray
        Right of the line seen from the entry is positive. [m]
    depth : ndarray
        Depth as read, down positive; position only, never bend. [m]
    is_inside : ndarray of bool
        True for a row inside a rod (fractional station).
    push_from, push_to : ndarray
        Stretch pushed without turning to steer, bit positions along the hole. [m]
    push_is_assumed : ndarray of bool
        True where only the pushed length was recorded and the place was assumed.
    start_pitch, start_heading : float
        The rig's own direction, from a station 0 row; NaN when not given. [rad]
    tie_in : TieIn
        Start of the path.

    Raises
    ------
    ValueError
        If arrays differ in length, no row is given, or lengths do not increase.
    """

    station: FloatArray
    measured_length: FloatArray
    sensor_length: FloatArray
    pitch: FloatArray
    heading: FloatArray
    heading_reference: str
    offset: FloatArray
    depth: FloatArray
    is_inside: BoolArray
    push_from: FloatArray
    push_to: FloatArray
    push_is_assumed: BoolArray
    start_pitch: float = math.nan
    start_heading: float = math.nan
    tie_in: TieIn = TieIn()

    def __post_init__(self) -> None:
        """Refuse rows that cannot be put in order along the hole."""
        size = self.station.size
        columns = (
            self.measured_length, self.sensor_length, self.pitch, self.heading, self.offset,
            self.depth, self.is_inside, self.push_from, self.push_to, self.push_is_assumed,
        )  # fmt: skip
        if size == 0 or any(column.shape != (size,) for column in columns):
            raise ValueError("readings need at least one row and columns of one length")
        if not (np.diff(self.measured_length) > 0).all() or not (np.diff(self.station) > 0).all():
            raise ValueError("station and measured_length must increase from row to row")

    @property
    def has_heading(self) -> bool:
        """Whether any heading was read."""
        return bool(np.isfinite(self.heading).any())
