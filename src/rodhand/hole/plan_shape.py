"""The shape of a planned bore: straight, curve, straight, curve, straight; drawn rod by rod.

Level distance counts from the entry, height from the entry up. The ground is a straight line from
entry to exit. Shapes are arrays: many are drawn and held against what is asked at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.plan_limits import DEPTH_ERROR, PlanAsk

Floats = NDArray[np.float64]
PIECE = 0.8
"""A rod is held against what is in the way in pieces no longer than this. [m]"""
NEAR_BY = 3.0
"""Beyond what is to keep, a hole is held against a utility within this, along the line. [m]"""


@dataclass(frozen=True, eq=False)
class Shapes:
    """Shapes that close between entry and exit, (n,) each.

    Parameters
    ----------
    first : ndarray
        Straight part behind the rig. [m]
    middle : ndarray
        Pitch of the straight part between the curves, up positive. [rad]
    out : ndarray
        Pitch at the exit, up positive. [rad]
    radius_down, radius_up : ndarray
        Of the first and the second curve. [m]
    level, last : ndarray
        Straight part between the curves, and before the exit; below 0 it does not close. [m]
    entry : float
        Slope at the rig, down positive. [rad]
    """

    first: Floats
    middle: Floats
    out: Floats
    radius_down: Floats
    radius_up: Floats
    level: Floats
    last: Floats
    entry: float

    def where(self, chosen: NDArray[np.bool_]) -> Shapes:
        """Some of the shapes."""
        return Shapes(
            self.first[chosen], self.middle[chosen], self.out[chosen], self.radius_down[chosen],
            self.radius_up[chosen], self.level[chosen], self.last[chosen], self.entry,
        )  # fmt: skip

    @property
    def length(self) -> Floats:
        """Along the hole, entry to exit. [m]"""
        return np.asarray(self._breaks()[-1])

    def _breaks(self) -> Floats:
        """Ends of the five parts along the hole, (6, n). [m]"""
        parts = [
            np.zeros_like(self.first), self.first, self.radius_down * (self.middle + self.entry),
            np.maximum(self.level, 0.0), self.radius_up * (self.out - self.middle),
            np.maximum(self.last, 0.0),
        ]  # fmt: skip
        return np.cumsum(np.array(parts), axis=0)

    def pitch_at(self, along: Floats) -> Floats:
        """Pitch at places along the hole, (n, places); straight on beyond the exit. [rad]"""
        breaks = self._breaks()[:, :, None]
        down = np.clip((along - breaks[1]) / self.radius_down[:, None], 0.0, None)
        down = np.minimum(down, (self.middle + self.entry)[:, None])
        up = np.clip((along - breaks[3]) / self.radius_up[:, None], 0.0, None)
        up = np.minimum(up, (self.out - self.middle)[:, None])
        return np.asarray(down + up - self.entry)


def close_shapes(
    ask: PlanAsk, share: Floats, middle: Floats, out: Floats, radius_down: Floats, radius_up: Floats
) -> tuple[Shapes, Floats]:
    """Shapes that end at the exit, the first straight part chosen between its ends.

    Parameters
    ----------
    ask : PlanAsk
        Entry and exit.
    share : ndarray (n,)
        Of the way from the shortest first straight part that closes to the longest. [1]
    middle, out, radius_down, radius_up : ndarray (n,)
        As in `Shapes`; ``out`` above ``middle``.

    Returns
    -------
    tuple of Shapes, ndarray
        The shapes, and how much longer the longest first part is than the shortest: below 0 none
        closes. [m]

    Notes
    -----
    The two other straight parts follow from two linear equations, level and upright. Both are
    linear in the first part's length, which gives its two ends.
    """
    a = ask.entry
    x = radius_down * (np.sin(middle) + math.sin(a)) + radius_up * (np.sin(out) - np.sin(middle))
    z = radius_down * (math.cos(a) - np.cos(middle)) + radius_up * (np.cos(middle) - np.cos(out))
    det = np.sin(out - middle)
    level0 = ((ask.distance - x) * np.sin(out) - (ask.exit_height - z) * np.cos(out)) / det
    last0 = (np.cos(middle) * (ask.exit_height - z) - np.sin(middle) * (ask.distance - x)) / det
    level_less = np.sin(out + a) / det  # level part lost for each metre of the first part
    last_more = np.sin(middle + a) / det
    longest = level0 / level_less
    shortest = np.maximum(ask.straight, -last0 / last_more)
    first = shortest + share * np.maximum(longest - shortest, 0.0)
    shapes = Shapes(
        first, middle, out, radius_down, radius_up,
        level0 - level_less * first, last0 + last_more * first, a,
    )  # fmt: skip
    return shapes, longest - shortest


@dataclass(frozen=True, eq=False)
class Drawn:
    """Shapes drawn with whole rods, each bent evenly from one target to the next.

    Parameters
    ----------
    pitch : ndarray (n, rods+1)
        At the rig and at the end of each rod. [rad]
    across, height : ndarray (n, points)
        Points of the hole. [m]
    pieces : int
        Points per rod.
    """

    pitch: Floats
    across: Floats
    height: Floats
    pieces: int


def draw(shapes: Shapes, rod_length: float) -> Drawn:
    """Draw shapes with rods whose ends take the shape's pitch there.

    Parameters
    ----------
    shapes : Shapes
        Shapes that close.
    rod_length : float
        Of a rod. [m]

    Returns
    -------
    Drawn
        As long as the longest shape; the others go straight on.
    """
    rods = max(1, math.ceil(float(np.max(shapes.length)) / rod_length - 1e-9))
    pitch = shapes.pitch_at(np.asarray(np.arange(rods + 1) * rod_length, dtype=np.float64))
    return draw_rods(pitch, rod_length)


def draw_rods(pitch: Floats, rod_length: float) -> Drawn:
    """Points of holes given by the pitch at the ends of their rods.

    Parameters
    ----------
    pitch : ndarray (n, rods+1)
        At the rig and at the end of each rod. [rad]
    rod_length : float
        Of a rod. [m]

    Returns
    -------
    Drawn
        Each piece an arc of its rod's own radius, exact.
    """
    pieces = max(2, math.ceil(rod_length / PIECE))
    piece = rod_length / pieces
    turn = np.repeat(np.diff(pitch, axis=1) / pieces, pieces, axis=1)
    steps = np.tile(np.arange(pieces) + 0.5, pitch.shape[1] - 1)
    mid = np.repeat(pitch[:, :-1], pieces, axis=1) + turn * steps
    chord = piece * (1.0 - turn**2 / 24.0 + turn**4 / 1920.0)  # 2 R sin(turn / 2)
    start = np.zeros((len(pitch), 1))
    across = np.concatenate((start, np.cumsum(chord * np.cos(mid), axis=1)), axis=1)
    height = np.concatenate((start, np.cumsum(chord * np.sin(mid), axis=1)), axis=1)
    return Drawn(pitch, across, height, pieces)


def at_level(across: Floats, values: Floats, place: float) -> Floats:
    """Values of each hole at one level distance from the entry, straight between points, (n,).

    Parameters
    ----------
    across, values : ndarray (n, points)
        Level distances, rising along each hole, and what is wanted there.
    place : float
        Level distance; the last value beyond a hole's end. [m]
    """
    rows = np.arange(len(across))
    after = np.minimum(np.maximum((across < place).sum(axis=1), 1), across.shape[1] - 1)
    before = after - 1
    x0, v0 = across[rows, before], values[rows, before]
    share = np.minimum((place - x0) / (across[rows, after] - x0), 1.0)
    return np.asarray(v0 + (values[rows, after] - v0) * share)


def margins(ask: PlanAsk, drawn: Drawn, near: float = NEAR_BY) -> Floats:
    """How much each thing asked is kept by, below 0: broken.

    Parameters
    ----------
    ask : PlanAsk
        Cover and what is in the way.
    drawn : Drawn
        Holes.
    near : float
        Clearances beyond this are not told apart. [m]

    Returns
    -------
    ndarray (n, 2 + utilities)
        Cover where it begins and where it ends, infinite where none is asked; then each utility
        in order. [m]

    Notes
    -----
    A hole that only ever turns up lies deeper between two places than the line between them, so
    cover kept at both ends is kept between.
    """
    ground = drawn.across * (ask.exit_height / ask.distance)
    depth = ground - drawn.height
    found = [np.full((len(depth), 2), math.inf)]
    if ask.cover is not None:
        places = (ask.cover_from, ask.cover_to)
        below = [at_level(drawn.across, depth, place) for place in places]
        found = [np.stack(below, axis=1) - ask.cover]
    found += [
        clearance(ask, drawn, depth, number, near)[:, None] for number in range(len(ask.in_way))
    ]
    return np.concatenate(found, axis=1)


def clearance(
    ask: PlanAsk, drawn: Drawn, depth: Floats, number: int, near: float = NEAR_BY
) -> Floats:
    """Distance from one utility beyond what is to be kept, (n,). [m]

    Parameters
    ----------
    ask : PlanAsk
        What is asked.
    drawn : Drawn
        Holes.
    depth : ndarray (n, points)
        Of the holes' points below the ground. [m]
    number : int
        Which utility.
    near : float
        Clearances beyond this are not told apart. [m]

    Returns
    -------
    ndarray
        Minus infinity where its depth is unknown; not told beyond ``near``.
    """
    each = ask.in_way[number]
    if each.depth is None:
        return np.full(len(depth), -math.inf)
    slope = ask.exit_height / ask.distance
    aside = each.offset or 0.0
    far = each.keep + near
    close = (drawn.across > each.at - far).any(axis=0) & (drawn.across < each.to + far).any(axis=0)
    columns = np.flatnonzero(close)
    if not columns.size:
        return np.full(len(depth), near)
    part = slice(max(int(columns[0]) - 1, 0), int(columns[-1]) + 2)
    x, z, depth = drawn.across[:, part], drawn.height[:, part], depth[:, part]
    off = np.maximum(np.maximum(each.at - x, x - each.to), 0.0)
    middle = slope * np.clip(x, each.at, each.to) - each.depth
    nearest = np.min(
        np.sqrt(off**2 + (z - middle) ** 2 + aside**2) - DEPTH_ERROR * np.maximum(depth, 0.0),
        axis=1,
    )
    step_x, step_z = np.diff(x, axis=1), np.diff(z, axis=1)
    for place in {each.at, each.to}:
        level = slope * place - each.depth
        along = (place - x[:, :-1]) * step_x + (level - z[:, :-1]) * step_z
        share = np.clip(along / (step_x**2 + step_z**2), 0.0, 1.0)
        dx, dz = x[:, :-1] + share * step_x - place, z[:, :-1] + share * step_z - level
        error = DEPTH_ERROR * np.maximum(depth[:, :-1] + share * np.diff(depth, axis=1), 0.0)
        nearest = np.minimum(nearest, np.min(np.sqrt(dx**2 + dz**2 + aside**2) - error, axis=1))
    return np.asarray(np.minimum(nearest - each.keep, near))
