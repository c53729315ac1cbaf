"""What a bore's gauges showed, ready for the fit: readings of a pass, errors, how it moved."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.pass_work import PassWork
from rodhand.drillstring.gauge_fit import GaugeError, GaugeReading
from rodhand.drillstring.soft_string import Motion, rotating, sliding
from rodhand.record.book_bores import BorePass, FreeReading, Reading
from rodhand.record.book_looks import Comparison
from rodhand.record.marks import fold

REPEAT = 0.05
"""A reading's own error: a needle that swings, read at a glance (ours). [1]"""
COMPARED, NOT_COMPARED = 0.03, 0.10
"""Error common to all readings of a gauge held against a reference, and of one that was not
(ours). [1]"""
FLOOR_SHARE = 0.02
"""Least division that counts, as a share of the largest reading of the pass (ours). [1]"""
SPEED_AWAY, SPEED_TOWARD = 1.0 / 60.0, 0.5 / 60.0
"""Travel where nobody timed it (assumed): pilot 1 m/min, toward the rig half of it. [m/s]"""
FREE_MOTIONS = {
    "pick-up": sliding(1),
    "slack-off": sliding(-1),
    "turning off bottom": Motion(0, 0.0, 1.0),
}


@dataclass(frozen=True)
class PassGauges:
    """Gauge readings of one pass.

    Parameters
    ----------
    readings : tuple of GaugeReading
        Free and working.
    force_error, torque_error : GaugeError
        Of the gauges.
    moving : Motion
        How the string travels while it turns; sliding where no turning speed is known.
    speed_assumed : bool
        Whether nobody timed the travel.
    torque_true : float or None
        True over shown of the torque gauge's last comparison; already applied. [1]
    """

    readings: tuple[GaugeReading, ...]
    force_error: GaugeError
    torque_error: GaugeError
    moving: Motion
    speed_assumed: bool
    torque_true: float | None


def _speed(rows: Sequence[Reading], length: float, away: bool) -> tuple[float, bool]:
    """Travel while turning: rods timed, else as assumed. [m/s]"""
    times = [
        row.rotating_time / max((row.length or length) - (row.push or 0.0), 1e-3)
        for row in rows
        if row.rotating_time and (row.length or length) > (row.push or 0.0)
    ]
    if not times:
        return (SPEED_AWAY if away else SPEED_TOWARD), True
    return 1.0 / sorted(times)[len(times) // 2], False


def tension(thrust: float | None, pull: float | None, away: bool) -> float | None:
    """Tension at the rig from what was written; of two, the one the pass works with. [N]"""
    pushed = None if thrust is None else -thrust
    first, second = (pushed, pull) if away else (pull, pushed)
    return first if first is not None else second


def last_comparison(comparisons: Iterable[Comparison], rig: str, day: str) -> Comparison | None:
    """The last comparison of a rig's torque gauge up to an ISO day."""
    known = [
        each
        for each in comparisons
        if fold(each.rig) == fold(rig) and each.origin.happened.start[:10] <= day and each.shown > 0
    ]
    return known[-1] if known else None


def _error(scale: float, values: Iterable[float | None]) -> GaugeError:
    largest = max((abs(value) for value in values if value is not None), default=1.0)
    return GaugeError(scale, REPEAT, FLOOR_SHARE * max(largest, 1.0))


def said_of(work: BoreWork, number: int) -> BorePass | None:
    """A pass of a bore as recorded; None where nobody recorded it."""
    name = work.passes[number].name
    return next((each for each in work.bore.passes if each.name == name), None)


def free_of(work: BoreWork, number: int) -> tuple[FreeReading, ...]:
    """Free readings of a pass of a bore."""
    name = fold(work.passes[number].name)
    return tuple(
        each for each in work.bore.free_readings if fold(each.pass_name or "pilot") == name
    )


def comparison_of(work: BoreWork, comparisons: Iterable[Comparison]) -> Comparison | None:
    """The last comparison of the torque gauge up to a bore's first day."""
    return last_comparison(comparisons, work.bore.rig, work.bore.origin.happened.start[:10])


def pass_gauges(work: BoreWork, number: int, comparisons: Iterable[Comparison]) -> PassGauges:
    """Everything the gauges showed in one pass of a bore; see `gauges_of`.

    Parameters
    ----------
    work : BoreWork
        The bore.
    number : int
        Which of its passes.
    comparisons : iterable of Comparison
        Of the whole book.
    """
    return gauges_of(
        work, work.passes[number], said_of(work, number), free_of(work, number),
        comparison_of(work, comparisons),
    )  # fmt: skip


def gauges_of(
    work: BoreWork,
    each: PassWork,
    said: BorePass | None,
    free: Sequence[FreeReading],
    comparison: Comparison | None,
) -> PassGauges:
    """The gauge readings of one pass.

    Parameters
    ----------
    work : BoreWork
        The bore.
    each, said : PassWork, BorePass or None
        The pass, worked and as recorded; None where nobody recorded it.
    free : sequence of FreeReading
        Free readings of the pass.
    comparison : Comparison or None
        The rig's last one.

    Returns
    -------
    PassGauges
        With the torque gauge's scale put right by the comparison.

    Notes
    -----
    A row's reading counts at the row's station. A row that was turned, whole or in part, is taken
    as read while turning; one that was only pushed, as read while pushing.
    """
    stations = work.hole.stations
    away = each.leg.kind.away_from_rig
    direction = -1 if away else 1
    rows = [
        row
        for row in (said.readings if said else ())
        if row.station == int(row.station) and 0 < row.station < len(stations)
    ]
    speed, assumed = _speed(rows, work.rod_type.length, away)
    turning = each.mean_speed
    radius = work.rod_type.joint_od / 2.0
    moving = rotating(direction, speed, turning, radius) if turning else sliding(direction)
    true = None if comparison is None else comparison.reference / comparison.shown
    readings = []
    for row in rows:
        force = tension(row.thrust, row.pull, away)
        if force is None and row.torque is None:
            continue
        pushed = row.push_time and not row.rotating_time and not row.turns
        motion = sliding(direction) if pushed else moving
        torque = None if row.torque is None else row.torque * (true or 1.0)
        readings.append(GaugeReading(stations[int(row.station)], motion, force, torque, free=False))
    for one in free:
        if one.station == int(one.station) and 0 < one.station < len(stations):
            motion = FREE_MOTIONS[one.motion]
            force = tension(one.thrust, one.pull, one.motion == "slack-off")
            torque = None if one.torque is None else one.torque * (true or 1.0)
            place = stations[int(one.station)]
            readings.append(GaugeReading(place, motion, force, torque, free=True))
    compared = true is not None and math.isfinite(true)
    return PassGauges(
        tuple(readings),
        _error(NOT_COMPARED, (reading.force for reading in readings)),
        _error(COMPARED if compared else NOT_COMPARED, (r.torque for r in readings)),
        moving,
        assumed,
        true,
    )
