"""A rod-by-rod log or a plain survey put into arrays, rows nobody wrote filled as not read."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from rodhand.hole.readings import BoolArray, FloatArray, PilotReadings, TieIn


def _column(values: Sequence[float | None] | FloatArray | None, size: int) -> FloatArray:
    """A float column; None, or a column not given, is NaN."""
    if values is None:
        return np.full(size, np.nan)
    return np.array([math.nan if v is None else float(v) for v in values], dtype=np.float64)


def _bit_positions(station: FloatArray, length: FloatArray, start: float) -> FloatArray:
    """S_n = sum of the first n lengths; a fractional row lies that share into the next rod.

    A rod nobody wrote a length for takes the median of the others.
    """
    is_full = station == np.floor(station)
    typical = float(np.nanmedian(length)) if np.isfinite(length).any() else math.nan
    if not (typical > 0 and (length[np.isfinite(length)] > 0).all()):
        raise ValueError("at least one length is needed and every length must be above 0 m")
    rods = math.ceil(station[-1])
    rod_length = np.full(rods + 1, typical)
    rod_length[0] = 0.0
    # An unfinished last rod has no full row; then its own fractional row may carry the length.
    for numbers, rows in ((np.ceil(station), ~is_full), (station, is_full)):
        known = rows & np.isfinite(length)
        rod_length[numbers[known].astype(int)] = length[known]
    total = start + np.cumsum(rod_length)
    whole = np.floor(station).astype(int)
    share = station - whole
    return np.asarray(total[whole] + share * rod_length[np.minimum(whole + 1, rods)])


def pilot_readings(
    station: Sequence[float],
    pitch: Sequence[float | None],
    *,
    length: Sequence[float | None] | None = None,
    measured_length: Sequence[float] | None = None,
    heading: Sequence[float | None] | None = None,
    heading_reference: str = "relative",
    offset: Sequence[float | None] | None = None,
    depth: Sequence[float | None] | None = None,
    push_length: Sequence[float | None] | None = None,
    push_from: Sequence[float | None] | None = None,
    push_to: Sequence[float | None] | None = None,
    bit_to_sensor: float = 0.0,
    tie_in: TieIn | None = None,
) -> PilotReadings:
    """Put a rod-by-rod log into arrays.

    Parameters
    ----------
    station : sequence of float
        Increasing; a row with station 0 gives the rig's own direction and is taken out. [1]
    pitch : sequence of float or None
        Up positive; None = not read. [rad]
    length, measured_length : sequence of float
        Either the length of each rod (a fractional row needs none) or bit positions. [m]
    heading, offset, depth : sequence of float or None
        As in `PilotReadings`. [rad, m, m]
    heading_reference : str
        magnetic, grid, true or relative.
    push_length : sequence of float or None
        Length pushed in each full row; laid at the end of the row's interval, assumed. [m]
    push_from, push_to : sequence of float or None
        Where it was pushed, bit positions; goes before `push_length`. [m]
    bit_to_sensor : float
        Distance from the bit back to the sensor. [m]
    tie_in : TieIn, optional
        Start of the path; the entry point when not given.

    Returns
    -------
    PilotReadings
        One row per station, station numbers nobody wrote filled with rows not read.

    Raises
    ------
    ValueError
        If neither or both of length and measured_length are given, or the rows are unusable.

    Examples
    --------
    >>> log = pilot_readings([1, 2, 2.5, 3], [0, 0, 0, 0], length=[3, 3, None, 3])
    >>> log.measured_length.tolist()
    [3.0, 6.0, 7.5, 9.0]
    """
    if (length is None) == (measured_length is None):
        raise ValueError("give either length or measured_length")
    tie_in = tie_in or TieIn()
    number = np.asarray(station, dtype=np.float64)
    size = number.size
    table = {
        name: _column(values, size)
        for name, values in {
            "pitch": pitch, "heading": heading, "offset": offset, "depth": depth,
            "length": length if measured_length is None else measured_length,
            "push_length": push_length, "push_from": push_from, "push_to": push_to,
        }.items()
    }  # fmt: skip
    if any(column.size != size for column in table.values()):
        raise ValueError("readings need at least one row and columns of one length")
    if not (np.diff(number) > 0).all():
        raise ValueError("station must increase from row to row")
    at_rig = number == 0
    start_pitch, start_heading = (
        float(table[name][at_rig][0]) if at_rig.any() else math.nan for name in ("pitch", "heading")
    )
    number, table = _with_missing_rows(
        number[~at_rig], {name: column[~at_rig] for name, column in table.items()}
    )
    if number.size == 0:
        raise ValueError("readings need at least one row and columns of one length")
    if measured_length is None:
        bit = _bit_positions(number, table["length"], tie_in.measured_length)
    else:
        bit = _filled_positions(number, table["length"], tie_in.measured_length)
    push_start, push_end, is_assumed = _pushed(bit, table)
    return PilotReadings(
        station=number,
        measured_length=bit,
        sensor_length=bit - bit_to_sensor,
        pitch=table["pitch"],
        heading=table["heading"],
        heading_reference=heading_reference,
        offset=table["offset"],
        depth=table["depth"],
        is_inside=number != np.floor(number),
        push_from=push_start,
        push_to=push_end,
        push_is_assumed=is_assumed,
        start_pitch=start_pitch,
        start_heading=start_heading,
        tie_in=tie_in,
    )


def _with_missing_rows(
    station: FloatArray, table: dict[str, FloatArray]
) -> tuple[FloatArray, dict[str, FloatArray]]:
    """Add a row not read for every station number between 1 and the last that nobody wrote."""
    if station.size == 0:
        return station, table
    missing = np.setdiff1d(np.arange(1.0, math.floor(station[-1]) + 1.0), station)
    order = np.argsort(np.concatenate([station, missing]), kind="stable")
    blank = np.full(missing.size, np.nan)
    return (
        np.concatenate([station, missing])[order],
        {name: np.concatenate([column, blank])[order] for name, column in table.items()},
    )


def _filled_positions(station: FloatArray, measured_length: FloatArray, start: float) -> FloatArray:
    """Bit positions with rows nobody wrote laid between their neighbours by station number."""
    known = np.isfinite(measured_length)
    if not known.any() or not known[-1]:
        raise ValueError("measured_length is needed for the last row")
    return np.interp(station, np.r_[0.0, station[known]], np.r_[start, measured_length[known]])


def _pushed(
    bit: FloatArray, table: dict[str, FloatArray]
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Pushed stretch of each row; a length alone is laid at the row's end, assumed."""
    has_place = np.isfinite(table["push_from"]) & np.isfinite(table["push_to"])
    has_length = ~has_place & (table["push_length"] > 0)
    start = np.where(
        has_place, table["push_from"], np.where(has_length, bit - table["push_length"], np.nan)
    )
    end = np.where(has_place, table["push_to"], np.where(has_length, bit, np.nan))
    return start, end, has_length


def survey_readings(
    measured_length: Sequence[float],
    inclination: Sequence[float],
    azimuth: Sequence[float],
    *,
    heading_reference: str = "grid",
    tie_in: TieIn | None = None,
) -> PilotReadings:
    """Put a plain survey (no rods) into arrays; the first row is the tie-in, station 0.

    Parameters
    ----------
    measured_length : sequence of float
        Increasing. [m]
    inclination : sequence of float
        From the vertical: straight down is 0, level is pi/2. [rad]
    azimuth : sequence of float
        Clockwise from north. [rad]
    heading_reference : str
        magnetic, grid, true or relative.
    tie_in : TieIn, optional
        Position of the first row; the origin at its measured length when not given.

    Returns
    -------
    PilotReadings
        Stations 0, 1, 2 ... ; pitch = inclination - pi/2.

    Raises
    ------
    ValueError
        If the rows cannot be put in order along the hole.
    """
    along = np.asarray(measured_length, dtype=np.float64)
    unknown = np.full(along.size, np.nan)
    nowhere = np.zeros(along.size, dtype=np.bool_)
    return PilotReadings(
        station=np.arange(along.size, dtype=np.float64),
        measured_length=along,
        sensor_length=along,
        pitch=np.asarray(inclination, dtype=np.float64) - math.pi / 2,
        heading=np.asarray(azimuth, dtype=np.float64),
        heading_reference=heading_reference,
        offset=unknown,
        depth=unknown,
        is_inside=nowhere,
        push_from=unknown,
        push_to=unknown,
        push_is_assumed=nowhere,
        tie_in=tie_in or TieIn(measured_length=float(along[0])),
    )


STEPS = (1.0, 0.5, 0.1, 0.05, 0.01)


def step_seen(typed: Sequence[float]) -> float | None:
    """The coarsest usual step that every typed value is a multiple of.

    Parameters
    ----------
    typed : sequence of float
        Values as typed, in their own unit; NaN is left out. [typed unit]

    Returns
    -------
    float or None
        Step in the typed unit; None when the values are finer than 0.01 or fewer than 5
        (a few round values say nothing about the display). [typed unit]

    Examples
    --------
    >>> step_seen([-20.0, -15.4, -10.4, -5.0, 0.2])
    0.1
    """
    values = np.asarray([v for v in typed if math.isfinite(v)])
    if values.size < 5:
        return None
    for step in STEPS:
        count = values / step
        if np.allclose(count, np.round(count), atol=1e-6, rtol=0):
            return step
    return None
