"""From a bore's recorded rows to the hole: readings, path and bends."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from rodhand.hole.bend_posterior import BendPosterior, bend_posterior
from rodhand.hole.bends import HoleBends, hole_bends, per_rod
from rodhand.hole.best_path import BestPath, best_path
from rodhand.hole.path import HolePath, hole_path
from rodhand.hole.pilot_log import pilot_readings
from rodhand.hole.readings import PilotReadings
from rodhand.record.book_bores import BorePass, Reading

PLACES = 6
"""Decimals of a metre by which two ends of intervals are one. [1]"""


@dataclass(frozen=True, eq=False)
class Hole:
    """The hole of one bore as its pilot's readings show it.

    Parameters
    ----------
    rows : tuple of Reading
        Pilot rows in station order, one value picked where two were given.
    readings : PilotReadings
        The same as arrays.
    front_length, bit_to_sensor : float
        In force; assumed 0 where not given, which ``assumed`` then names. [m]
    has_positions : bool
        Whether lengths or measured depth came from the log; else rod lengths are the rod type's.
    """

    rows: tuple[Reading, ...]
    readings: PilotReadings
    front_length: float
    bit_to_sensor: float
    assumed: tuple[str, ...]

    @cached_property
    def path(self) -> HolePath | None:
        """Minimum-curvature path; None when no pitch was read."""
        return hole_path(self.readings)

    @cached_property
    def bends(self) -> HoleBends:
        """Bends with readings inside rods and pushed stretches."""
        return hole_bends(self.readings)

    @cached_property
    def rods(self) -> HoleBends:
        """Mean bend of each rod's interval."""
        return per_rod(self.bends)

    @cached_property
    def best(self) -> BestPath | None:
        """Best path from all readings; None when no pitch was read."""
        return best_path(self.readings, sensor_known="bit_to_sensor" not in self.assumed)

    @cached_property
    def posterior(self) -> BendPosterior | None:
        """Bends of the rods' intervals given all readings; None when no pitch was read."""
        return None if self.best is None else bend_posterior(self.best)

    @cached_property
    def best_bands(self) -> Mapping[tuple[float, float], tuple[float, float, float]]:
        """Bend of each rod's interval on the best path: its ends [m] -> 5, 50, 95 % points [rad].

        Empty when no pitch was read.
        """
        posterior = self.posterior
        if posterior is None:
            return {}
        low, high = posterior.band()
        middle = posterior.band(0.5, 0.5)[0]
        edges = np.round(posterior.edges, PLACES).tolist()
        points = zip(low.tolist(), middle.tolist(), high.tolist(), strict=True)
        return dict(zip(pairwise(edges), points, strict=True))

    def best_bend(self, start: float, end: float) -> tuple[float, float, float] | None:
        """5, 50 and 95 % points of a rod's bend on the best path; None for no rod's. [rad]

        Parameters
        ----------
        start, end : float
            Ends of the rod's interval along the hole. [m]
        """
        return self.best_bands.get((round(start, PLACES), round(end, PLACES)))

    @cached_property
    def stations(self) -> tuple[float, ...]:
        """Bit position at station 0 and after each full row. [m]"""
        full = ~self.readings.is_inside
        return (self.readings.tie_in.measured_length, *self.readings.measured_length[full].tolist())

    @property
    def length(self) -> float:
        """Length drilled. [m]"""
        return float(self.readings.measured_length[-1])


DAMAGE_POWER = 4.0
"""Power of a bend by which values nobody picked between are weighed; the curves of the steel lie
between 3 and 5. [1]"""


def _bend(one: Reading | None, other: Reading) -> float:
    """Angle between two readings for each rod between them; 0 where one was not read. [rad]"""
    if one is None or one.pitch is None or other.pitch is None:
        return 0.0
    rods = max(abs(other.station - one.station), 0.5)
    across = 0.0
    if one.heading is not None and other.heading is not None:
        turned = math.remainder(other.heading - one.heading, math.tau)
        across = turned * math.cos(0.5 * (one.pitch + other.pitch))
    return math.hypot(other.pitch - one.pitch, across) / rods


def picked(rows: Sequence[Reading], rig_pitch: float | None = None) -> tuple[Reading, ...]:
    """Rows in station order, with the stricter value where several were given.

    Of all choices of one value a row, the one whose bends do the most damage together counts:
    the largest sum of bend to the power `DAMAGE_POWER`, each over the rods it spans.

    Parameters
    ----------
    rows : sequence of Reading
        Rows of a pilot, with the other values said of each as its alternatives.
    rig_pitch : float or None
        The rig's own pitch at station 0, where it was entered. [rad]

    Returns
    -------
    tuple of Reading
        One for each row; a row without other values is as it was.
    """
    ordered = sorted(rows, key=lambda each: each.station)
    if not any(row.alternatives for row in ordered):
        return tuple(ordered)
    start = None
    if rig_pitch is not None and ordered[0].station > 0:
        start = replace(ordered[0], station=0.0, pitch=rig_pitch, heading=None)
    ends: list[_Choice] = [_Choice(0.0, start, ())]
    for row in ordered:
        going_on = [end.then(value) for end in ends for value in (row, *row.alternatives)]
        best: dict[int, _Choice] = {}  # what follows hangs on the last pitch alone
        for end in going_on:
            known = best.get(id(end.last))
            if known is None or end.damage > known.damage:
                best[id(end.last)] = end
        ends = list(best.values())
    return max(ends, key=lambda each: each.damage).rows


@dataclass(frozen=True)
class _Choice:
    """One value for each row so far, the last one with a pitch, and the damage of their bends."""

    damage: float
    last: Reading | None
    rows: tuple[Reading, ...]

    def then(self, row: Reading) -> _Choice:
        rods = abs(row.station - self.last.station) if self.last else 0.0
        more = rods * _bend(self.last, row) ** DAMAGE_POWER
        last = row if row.pitch is not None else self.last
        return _Choice(self.damage + more, last, (*self.rows, row))


def hole_of(
    pilot: BorePass,
    rod_length: float,
    front_length: float | None,
    bit_to_sensor: float | None,
    rig_pitch: float | None = None,
) -> Hole | None:
    """The hole from a pilot's rows.

    Parameters
    ----------
    pilot : BorePass
        The pilot with its rows.
    rod_length : float
        Length of a rod where the row gives none. [m]
    front_length, bit_to_sensor : float or None
        Of the front assembly; None is taken as 0 and named in ``assumed``. [m]
    rig_pitch : float or None
        The rig's own pitch, where it was entered. [rad]

    Returns
    -------
    Hole or None
        None when the pilot has no full row.
    """
    rows = picked(pilot.readings, rig_pitch)
    numbered = [row for row in rows if row.station > 0]
    if not any(row.station == math.floor(row.station) for row in numbered):
        return None
    if rig_pitch is not None and not any(row.station == 0 for row in rows):
        rows = (replace(rows[0], station=0.0, pitch=rig_pitch, heading=None, typed={}), *rows)
    assumed = [
        name
        for name, value in (("front_length", front_length), ("bit_to_sensor", bit_to_sensor))
        if value is None
    ]
    with_md = all(row.md is not None for row in numbered)
    reference = next((row.heading_ref for row in rows if row.heading_ref), "relative")
    readings = pilot_readings(
        [row.station for row in rows],
        [row.pitch for row in rows],
        length=None if with_md else [_length(row, rod_length) for row in rows],
        measured_length=[row.md or 0.0 for row in rows] if with_md else None,
        heading=[row.heading for row in rows],
        heading_reference=reference,
        offset=[row.offset for row in rows],
        depth=[row.depth for row in rows],
        push_length=[row.push for row in rows],
        push_from=[row.push_from for row in rows],
        push_to=[row.push_to for row in rows],
        bit_to_sensor=bit_to_sensor or 0.0,
    )
    return Hole(rows, readings, front_length or 0.0, bit_to_sensor or 0.0, tuple(assumed))


def _length(row: Reading, rod_length: float) -> float | None:
    """Length of the row's rod; a reading inside a rod has none of its own."""
    if row.station != math.floor(row.station):
        return None
    return row.length if row.length is not None else rod_length
