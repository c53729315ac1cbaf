"""Rod by rod back to a line in both planes, inside a limit, around what is in the way."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from rodhand.hole.plan_limits import DEPTH_ERROR, InWay
from rodhand.hole.way_back import DAMAGE_POWER, STEEPEST

Floats = NDArray[np.float64]
STEP = 1e-7
"""Step of the slopes taken by differences. [rad]"""
POINTS = 4
"""Places of a rod that are held against what is in the way."""
SPARE = 0.02
"""Kept beyond every clearance by the search, for what lies between those places. [m]"""
REACHED = (0.01, 0.01, 1e-3, 1e-3)
"""Depth, offset, pitch and heading missed that still count as reached. [m, m, rad, rad]"""
ALMOST = 1.0 - 1e-6
KNOTS = 7
"""Bends are searched at so many rods, those between follow evenly; all of them in a short way."""
BUMP = 0.6
"""Of the room, how much a start steers aside to try the other way round. [1]"""


@dataclass(frozen=True)
class Place:
    """Where a hole stands: level along the line, right of it, below the entry; its direction.

    Parameters
    ----------
    along, offset, depth : float
        [m]
    pitch, heading : float
        Up positive; right of the line positive. [rad]
    """

    along: float
    offset: float
    depth: float
    pitch: float
    heading: float


@dataclass(frozen=True, eq=False)
class WayAround:
    """Pitches and headings at the ends of the next rods.

    Parameters
    ----------
    pitch, heading : ndarray (n,)
        [rad]
    along, offset, depth : ndarray (n,)
        Where each rod ends. [m]
    bend : ndarray (n,)
        Change of direction in each rod, both planes together. [rad]
    cost : float
        Sum of (bend / room) to the power `DAMAGE_POWER`. [1]
    missed : tuple of float
        At the end: depth, offset [m], pitch and heading [rad] less those wanted.
    clearance : float
        Least distance beyond what is to be kept; infinite where nothing is in the way. [m]
    """

    pitch: Floats
    heading: Floats
    along: Floats
    offset: Floats
    depth: Floats
    bend: Floats
    cost: float
    missed: tuple[float, float, float, float]
    clearance: float

    @property
    def reached(self) -> bool:
        """Whether the end is met and every distance kept."""
        near = all(abs(m) <= most for m, most in zip(self.missed, REACHED, strict=True))
        return near and self.clearance >= 0.0


def way_around(
    start: Place,
    wanted: Place,
    rods: int,
    length: float,
    room: float,
    in_way: Sequence[InWay] = (),
    sideways: bool = True,
) -> WayAround | None:
    """The cheapest way found to a line some rods ahead, or the nearest.

    Parameters
    ----------
    start, wanted : Place
        Now and at the end; how far along the end lies follows from the rods.
    rods : int
        Rods to do it in, at least 1.
    length : float
        Of a rod. [m]
    room : float
        Largest change of direction in one rod, reading error taken off, above 0. [rad]
    in_way : sequence of InWay
        What is in the way, each with a depth; ground level with the entry.
    sideways : bool
        Whether headings may change; False holds the one there is.

    Returns
    -------
    WayAround or None
        No rod bends more than ``room`` and every distance is kept. None where the search found
        nothing that keeps its distance.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    Sequential quadratic programming in the pitches and headings: first the end is missed by as
    little as can be, then, where it is met, the cost is made least. Tried from a straight start
    and, where something is in the way, from starts that pass above, below, left and right of it.
    In a way longer than `KNOTS` rods the bends between the rods searched follow evenly, so it may
    cost a little more than the cheapest there is. A rod is taken as going the way half between
    its two directions, right to a part in a thousand at a tenth of a radian. One whose way is
    unknown runs across: no heading avoids it.
    """
    if rods < 1 or not (length > 0.0 and room > 0.0):
        raise ValueError("rods must be at least 1, length and room above 0")
    if not (abs(start.pitch) < STEEPEST and abs(wanted.pitch) < STEEPEST):
        raise ValueError("pitches must be under 80 degrees")
    case = _Case(start, wanted, rods, length, room, tuple(in_way), sideways)
    found = [way for first in case.starts() if (way := case.solved(first)) is not None]
    kept = [way for way in found if way.clearance >= 0.0]
    if not kept:
        return None
    return min(
        kept,
        key=lambda way: (not way.reached, way.cost if way.reached else case.far(way.missed)),
    )


@dataclass(frozen=True, eq=False)
class _Case:
    start: Place
    wanted: Place
    rods: int
    length: float
    room: float
    in_way: tuple[InWay, ...]
    sideways: bool

    def starts(self) -> list[Floats]:
        """Directions to begin from: evenly toward the end, and aside of what is in the way."""
        even = np.ones(self.knots) / self.rods
        pitch = self._toward(self.start.pitch, self.wanted.pitch) * even
        heading = self._toward(self.start.heading, self.wanted.heading) * even
        plain = np.concatenate((pitch, heading))
        found = [self._free(plain)]
        places = self._measure(found[0][None, :])[3]
        if self.in_way and self.least(places) < SPARE:
            along = np.linspace(0.0, 1.0, self.knots)
            hump = BUMP * self.room * np.cos(2.0 * np.pi * along)
            none = np.zeros(self.knots)
            aside = [(hump, none), (-hump, none)]
            runs_along = any(each.offset is not None for each in self.in_way)
            if self.sideways and runs_along:
                aside += [(none, hump), (none, -hump)]
            found += [self._free(plain + np.concatenate(each)) for each in aside]
        return found

    def _toward(self, now: float, then: float) -> float:
        most = self.rods * self.room
        return min(max(then - now, -most), most)

    def _free(self, both: Floats) -> Floats:
        return both if self.sideways else both[: self.knots]

    @property
    def knots(self) -> int:
        """Rods whose bend is searched."""
        return min(self.rods, KNOTS)

    @cached_property
    def _between(self) -> Floats:
        """Changes of direction of all rods from those searched, summed up to each rod's end."""
        at = np.linspace(0.0, 1.0, self.rods)
        of_knots = np.linspace(0.0, 1.0, self.knots)
        bends = np.stack([np.interp(at, of_knots, one) for one in np.eye(self.knots)], axis=1)
        return np.cumsum(bends, axis=0)

    def _measure(self, changes: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Directions and places of many ways at once, and their bends; (m, n) each, places x y z.

        Ways come as changes of pitch and heading in the rods searched.
        """
        k, start = self.knots, self.start
        steered = changes[:, :k] @ self._between.T
        turned = changes[:, k:] @ self._between.T if self.sideways else np.zeros_like(steered)
        first = np.zeros((len(changes), 1))
        pitch = start.pitch + np.concatenate((first, steered), axis=1)
        heading = start.heading + np.concatenate((first, turned), axis=1)
        level = (pitch[:, 1:] + pitch[:, :-1]) / 2.0
        toward = (heading[:, 1:] + heading[:, :-1]) / 2.0
        step = self.length * np.stack(
            (np.cos(level) * np.cos(toward), np.cos(level) * np.sin(toward), -np.sin(level))
        )
        ends = np.cumsum(step, axis=2) + np.array([start.along, start.offset, start.depth]).reshape(
            3, 1, 1
        )
        bend = np.hypot(np.diff(pitch, axis=1), np.cos(level) * np.diff(heading, axis=1))
        return pitch, heading, bend, np.concatenate((ends - step, ends[:, :, -1:]), axis=2)

    def _missed(self, pitch: Floats, heading: Floats, places: Floats) -> Floats:
        """Depth, offset, pitch and heading missed at the end, (m, 4)."""
        w = self.wanted
        columns = [places[2, :, -1] - w.depth, pitch[:, -1] - w.pitch]
        if self.sideways:
            columns[1:1] = [places[1, :, -1] - w.offset]
            columns.append(heading[:, -1] - w.heading)
        return np.stack(columns, axis=1)

    def _kept(self, places: Floats) -> Floats:
        """Distance beyond what is to be kept, (m, utilities). [m]"""
        share = np.linspace(0.0, 1.0, POINTS, endpoint=False)
        x, y, z = (
            np.concatenate(
                ((c[:, :-1, None] + share * np.diff(c, axis=1)[:, :, None]).reshape(len(c), -1),
                 c[:, -1:]), axis=1,
            )
            for c in places
        )  # fmt: skip
        found = []
        for each in self.in_way:
            off = np.maximum(np.maximum(each.at - x, x - each.to), 0.0)
            aside = 0.0 if each.offset is None else y - each.offset
            away = np.sqrt(off**2 + (z - (each.depth or 0.0)) ** 2 + aside**2)
            found.append(np.min(away - DEPTH_ERROR * np.maximum(z, 0.0), axis=1) - each.keep)
        return np.stack(found, axis=1) if found else np.zeros((len(x), 0))

    def least(self, places: Floats) -> float:
        """Least distance kept beyond what is to be kept. [m]"""
        return float(np.min(self._kept(places), initial=math.inf))

    def far(self, missed: Sequence[float]) -> float:
        """How far from the end, in rods and radians together. [1]"""
        scale = np.array([self.length, self.length, 1.0, 1.0])
        return float(np.sum((np.asarray(missed) / scale) ** 2))

    def _inside(self, ways: Floats) -> Floats:
        """At least 0 where bends are inside the room and distances are kept, (m, k)."""
        _, _, bend, places = self._measure(ways)
        kept = (self._kept(places) - SPARE) / self.length
        return np.concatenate((ALMOST - (bend / self.room) ** 2, kept), axis=1)

    def _off(self, ways: Floats) -> Floats:
        pitch, heading, _, places = self._measure(ways)
        missed = self._missed(pitch, heading, places)
        scale = [self.length, self.length, 1.0, 1.0] if self.sideways else [self.length, 1.0]
        return np.asarray(missed / np.array(scale))

    def solved(self, first: Floats) -> WayAround | None:
        """The nearest way to the end from one start, then the cheapest; None where it broke."""
        inside = {"type": "ineq", "fun": _one(self._inside), "jac": _slopes(self._inside)}

        def run(
            begin: Floats, goal: Callable[[Floats], Floats], also: list[dict[str, object]]
        ) -> Floats:
            result = minimize(
                lambda v: float(goal(v[None, :])[0]), begin,
                jac=lambda v: _slopes(lambda w: goal(w)[:, None])(v)[0], method="SLSQP",
                constraints=[inside, *also], options={"maxiter": 30, "ftol": 1e-7},
            )  # fmt: skip
            return np.asarray(result.x)

        near = run(first, lambda w: 100.0 * np.sum(self._off(w) ** 2, axis=1), [])
        way = self._way(near)
        if way is None or not way.reached:
            return way
        end = {"type": "eq", "fun": _one(self._off), "jac": _slopes(self._off)}

        def cost(ways: Floats) -> Floats:
            bend = self._measure(ways)[2] / self.room
            return np.asarray(np.sum(bend**DAMAGE_POWER, axis=1))

        cheap = self._way(run(near, cost, [end]))
        return cheap if cheap is not None and cheap.reached and cheap.cost < way.cost else way

    def _way(self, changes: Floats) -> WayAround | None:
        """A way as it lies, eased into its room; None where the search broke down."""
        if not np.all(np.isfinite(changes)):
            return None
        pitch, heading, bend, places = self._measure(changes[None, :])
        sharpest = float(np.max(bend))
        if sharpest > self.room:  # the search's own rounding
            return self._way(changes * (ALMOST * self.room / sharpest))
        missed = self._missed(pitch, heading, places)[0].tolist()
        if not self.sideways:
            missed = [missed[0], 0.0, missed[1], 0.0]
        x, y, z = places[:, 0, 1:]
        return WayAround(
            pitch[0, 1:], heading[0, 1:], x, y, z, bend[0],
            float(np.sum((bend[0] / self.room) ** DAMAGE_POWER)),
            (missed[0], missed[1], missed[2], missed[3]), self.least(places),
        )  # fmt: skip


def _one(batch: Callable[[Floats], Floats]) -> Callable[[Floats], Floats]:
    return lambda v: batch(v[None, :])[0]


def _slopes(batch: Callable[[Floats], Floats]) -> Callable[[Floats], Floats]:
    """Slopes by differences, all in one go: (values, variables)."""

    def found(at: Floats) -> Floats:
        values = batch(np.concatenate((at + STEP * np.eye(at.size), at[None, :])))
        return np.asarray((values[:-1] - values[-1]).T / STEP)

    return found
