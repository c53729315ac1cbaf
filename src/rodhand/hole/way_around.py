"""Rod by rod back to a line in both planes, inside a limit, around what is in the way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.clear_of import clear_of
from rodhand.hole.least_bending import Straightened, least_bending
from rodhand.hole.plan_limits import DEPTH_ERROR, InWay
from rodhand.hole.way_back import DAMAGE_POWER, STEEPEST

Floats = NDArray[np.float64]
STEP = 1e-6
"""Step of the slopes taken by differences, of the room. [1]"""
PIECES = 4
"""Straight pieces a rod is drawn in."""
SPARE = 0.02
"""Kept beyond every clearance by the search, for what the arc lies outside its pieces. [m]"""
BESIDE = 0.5
"""A rod this far before or past what is in the way cannot be steered nearer to it. [m]"""
REACHED = (0.01, 0.01, 1e-3, 1e-3)
"""Depth, offset, pitch and heading missed that still count as reached. [m, m, rad, rad]"""
ALMOST = 1.0 - 1e-6
ROUNDS = 12
"""A way is straightened anew so often, at most."""
SAME = 1e-4
"""Rods that change by less than this share of the room are the same way. [1]"""
MOST_STARTS = 16
"""Ways round what is in the way that are begun, at most."""
FIRST_ROUNDS, FOLLOWED = 3, 3
"""So often each is straightened at first; of the best, so many are followed to their end. [1]"""
SIDES = ((0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0))
"""Above, below, right and left of what is in the way: offset and depth. [1]"""


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
    About a way the end, the bends and the distances answer nearly in straight lines; the cheapest
    way of those lines is exact (`rodhand.hole.least_bending`), and about it all is straightened
    anew until nothing moves. Where the cheapest way of all comes too near something, it is begun
    above, below, right and left of that, at most `MOST_STARTS` ways in all, and the best of them
    are followed: each result is the cheapest near it, and the cheapest of them is told. One whose
    way is unknown runs across: no heading avoids it.
    """
    if rods < 1 or not (length > 0.0 and room > 0.0):
        raise ValueError("rods must be at least 1, length and room above 0")
    if not (abs(start.pitch) < STEEPEST and abs(wanted.pitch) < STEEPEST):
        raise ValueError("pitches must be under 80 degrees")
    case = _Case(start, wanted, rods, length, room, tuple(in_way), sideways)
    free = replace(case, in_way=()).settled(case.even(), {})
    if not case.in_way or case.least(free) >= 0.0:
        return case.way(free)
    begun = [case.settled(free, sides, FIRST_ROUNDS) for sides in case.ways_round(free)]
    begun.sort(key=case.worth)
    found = min((case.settled(each, {}) for each in begun[:FOLLOWED]), key=case.worth)
    return case.way(found) if case.least(found) >= 0.0 else None


@dataclass(frozen=True, eq=False)
class _Case:
    start: Place
    wanted: Place
    rods: int
    length: float
    room: float
    in_way: tuple[InWay, ...]
    sideways: bool

    def even(self) -> Floats:
        """Bends in shares of the room, (planes, n), that turn evenly toward the end."""
        turns = [self.wanted.pitch - self.start.pitch, self.wanted.heading - self.start.heading]
        each = np.array(turns[: 2 if self.sideways else 1]) / (self.rods * self.room)
        return np.repeat(np.clip(each, -0.7, 0.7)[:, None], self.rods, axis=1)

    def ways_round(self, bends: Floats) -> list[dict[int, tuple[float, float]]]:
        """On which sides to pass what a way comes too near: by number of it, offset and depth."""
        near = np.flatnonzero(np.min(self._kept(bends[None])[0], axis=0) < SPARE).tolist()
        sides = [
            SIDES if self.sideways and self.in_way[one].offset is not None else SIDES[:2]
            for one in near
        ]
        every = [dict(zip(near, each, strict=True)) for each in product(*sides)]
        return [{}, *every[: MOST_STARTS - 1]]

    def settled(
        self, bends: Floats, sides: dict[int, tuple[float, float]], rounds: int = ROUNDS
    ) -> Floats:
        """The cheapest way near one, begun on the given sides; eased into its room."""
        found = []
        for _ in range(rounds):
            then = self.eased(least_bending(self._straightened(bends, sides)))
            found.append(then)
            moved = float(np.max(np.abs(then - bends)))
            bends, sides = then, {}
            if moved < SAME:
                break
        return min(found, key=self.worth)

    def worth(self, bends: Floats) -> tuple[float, bool, float]:
        """Least for the best way: distances first, then the end, then the cost."""
        way = self.way(bends)
        by = way.cost if way.reached else self.far(way.missed)
        return max(-way.clearance, 0.0), not way.reached, by

    def _straightened(self, at: Floats, sides: dict[int, tuple[float, float]]) -> Straightened:
        changed = at + STEP * np.eye(at.size).reshape(at.size, *at.shape)
        ways = np.concatenate((changed, at[None]))
        off, kept = self._off(ways), self._kept(ways)
        near = self._beside(ways[-1:])[0]
        for one, side in sides.items():
            kept[:, :, one] = self._on_side(ways, self.in_way[one], side)
        flat = (kept[:, near] - SPARE) / self.length
        return Straightened(
            at, off[-1], (off[:-1] - off[-1]).T / STEP, flat[-1], (flat[:-1] - flat[-1]).T / STEP
        )

    def _drawn(self, ways: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Directions at the ends of rods, and bends, of many ways; places of pieces (3, m, k)."""
        m, start = len(ways), self.start
        pieces = np.repeat(ways * self.room / PIECES, PIECES, axis=2)
        steered = np.concatenate((np.zeros((m, 1)), np.cumsum(pieces[:, 0], axis=1)), axis=1)
        pitch = start.pitch + steered
        level = (pitch[:, 1:] + pitch[:, :-1]) / 2.0
        turned = np.zeros_like(steered)
        if self.sideways:  # the steeper, the more heading for the same bend
            turned[:, 1:] = np.cumsum(pieces[:, 1] / self._cosine(pitch), axis=1)
        heading = start.heading + turned
        toward = (heading[:, 1:] + heading[:, :-1]) / 2.0
        step = self.length / PIECES * np.stack(
            (np.cos(level) * np.cos(toward), np.cos(level) * np.sin(toward), -np.sin(level))
        )  # fmt: skip
        first = np.array([start.along, start.offset, start.depth]).reshape(3, 1, 1)
        places = first + np.concatenate((np.zeros((3, m, 1)), np.cumsum(step, axis=2)), axis=2)
        bend = self.room * np.sqrt(np.sum(ways**2, axis=1))
        return pitch[:, ::PIECES], heading[:, ::PIECES], bend, places

    def _cosine(self, pitch: Floats) -> Floats:
        """Of the pitch half way along each rod, for each of its pieces."""
        ends = pitch[:, ::PIECES]
        return np.repeat(np.cos((ends[:, 1:] + ends[:, :-1]) / 2.0), PIECES, axis=1)

    def _off(self, ways: Floats) -> Floats:
        pitch, heading, _, places = self._drawn(ways)
        w = self.wanted
        columns = [(places[2, :, -1] - w.depth) / self.length, pitch[:, -1] - w.pitch]
        if self.sideways:
            columns[1:1] = [(places[1, :, -1] - w.offset) / self.length]
            columns.append(heading[:, -1] - w.heading)
        return np.stack(columns, axis=1)

    def _kept(self, ways: Floats) -> Floats:
        """Distance beyond what is to be kept, (m, pieces, in the way). [m]"""
        return clear_of(self._drawn(ways)[3], self.in_way)

    def _beside(self, ways: Floats) -> NDArray[np.bool_]:
        """Which pieces lie beside what is in the way, (m, pieces, in the way)."""
        x = self._drawn(ways)[3][0]
        found = [
            (x[:, 1:] > each.at - each.keep - BESIDE) & (x[:, :-1] < each.to + each.keep + BESIDE)
            for each in self.in_way
        ]
        none = np.zeros((len(x), x.shape[1] - 1, 0), dtype=bool)
        return np.stack(found, axis=2) if found else none

    def _on_side(self, ways: Floats, each: InWay, side: tuple[float, float]) -> Floats:
        """Distance kept on one side of something in the way where it lies, (m, pieces). [m]"""
        x, y, z = self._drawn(ways)[3][:, :, 1:]
        right, down = side
        past = right * (y - (each.offset or 0.0)) + down * (z - (each.depth or 0.0))
        beside = (x > each.at - each.keep) & (x < each.to + each.keep)
        return np.where(beside, past - DEPTH_ERROR * np.maximum(z, 0.0) - each.keep, self.length)

    def least(self, bends: Floats) -> float:
        """Least distance kept beyond what is to be kept. [m]"""
        return float(np.min(self._kept(bends[None]), initial=math.inf))

    def far(self, missed: Sequence[float]) -> float:
        """How far from the end, in rods and radians together. [1]"""
        scale = np.array([self.length, self.length, 1.0, 1.0])
        return float(np.sum((np.asarray(missed) / scale) ** 2))

    def eased(self, bends: Floats) -> Floats:
        """Bends inside the room: rounding of the search taken off."""
        return np.asarray(bends * min(1.0, ALMOST / max(float(np.max(_both(bends))), 1e-12)))

    def way(self, bends: Floats) -> WayAround:
        """A way as it lies."""
        pitch, heading, bend, places = self._drawn(bends[None])
        missed = (self._off(bends[None])[0] * self._scale).tolist()
        if not self.sideways:
            missed = [missed[0], 0.0, missed[1], 0.0]
        x, y, z = places[:, 0, PIECES::PIECES]
        return WayAround(
            pitch[0, 1:], heading[0, 1:], x, y, z, bend[0],
            float(np.sum((bend[0] / self.room) ** DAMAGE_POWER)),
            (missed[0], missed[1], missed[2], missed[3]), self.least(bends),
        )  # fmt: skip

    @property
    def _scale(self) -> Floats:
        long = [self.length, self.length] if self.sideways else [self.length]
        return np.array([*long, *([1.0] * len(long))])


def _both(bends: Floats) -> Floats:
    """Bends of both planes together, in shares of the room. [1]"""
    return np.asarray(np.sqrt(np.sum(bends**2, axis=0)))
