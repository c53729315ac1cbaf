"""The path of a planned bore: three candidates inside every limit, or none."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_search import searched
from rodhand.hole.plan_shape import Shapes, at_level, close_shapes, draw, draw_rods, margins
from rodhand.hole.way_back import DAMAGE_POWER

Floats = NDArray[np.float64]
KEPT = -1e-6
"""A margin above this counts as kept. [m]"""
MIDDLE = math.tan(0.10)
"""The straight part between the curves slopes no more than this, either way. [rad]"""
WIDEST = 20.0
"""Largest radius tried, over the least. [1]"""
GENTLEST_EXIT = 0.3
"""Gentlest exit tried, over the steepest allowed. [1]"""
SHARES = np.linspace(0.0, 1.0, 21)
AT_EXIT = 0.3
"""A path comes out within this of the exit: rods are whole, curves need not be. [m]"""
BOUNDS = (
    np.array([0.0, -1.0, GENTLEST_EXIT, 0.0, 0.0]),
    np.array([1.0, 1.0, 1.0, math.log(WIDEST), math.log(WIDEST)]),
)
"""Of a shape's five numbers; see `_grid`."""
BEST_SEARCH, ROOM_SEARCH = (40, 60), (80, 25)
"""Crowd and rounds of the search for the best shapes, and for any that keeps what is asked."""
BROKEN = 1e6
"""Worth of a shape that breaks what is asked, before how much it breaks it."""


@dataclass(frozen=True, eq=False)
class PlannedPath:
    """One path, rod by rod.

    Parameters
    ----------
    name : str
        "shortest", "easiest", "deepest" or "own".
    pitch : ndarray (rods+1,)
        At the rig, then at the end of each rod. [rad]
    across, height : ndarray
        Points of the hole, level from the entry and up from it. [m]
    pieces : int
        Points per rod.
    length : float
        Along the hole to where it comes out. [m]
    comes_out : float
        Level distance of that place from the entry. [m]
    margins : ndarray
        What is asked is kept by so much: cover where it begins and where it ends, then each
        utility. [m]
    """

    name: str
    pitch: Floats
    across: Floats
    height: Floats
    pieces: int
    length: float
    comes_out: float
    margins: Floats

    @property
    def rods(self) -> int:
        """Rods in the hole when it comes out."""
        return len(self.pitch) - 1

    @property
    def change(self) -> Floats:
        """Change of direction in each rod. [rad]"""
        return np.diff(self.pitch)


def plan_paths(ask: PlanAsk) -> tuple[PlannedPath, ...]:
    """The three candidates, best first of its kind; empty where none keeps what is asked.

    Parameters
    ----------
    ask : PlanAsk
        What is asked.

    Returns
    -------
    tuple of PlannedPath
        Shortest, easiest on the rods (least sum of turn times radius to the power
        1 - `DAMAGE_POWER`), deepest cover.

    Notes
    -----
    A grid over five numbers (length of the first straight part, slope of the middle one, exit
    pitch, two radii), then differential evolution from the best of it (`plan_search`), every
    shape held against everything on the rods as they will lie. All shapes have two curves; one
    that would wave around several utilities is not looked for.
    """
    start = most_room(ask)
    if start is None or start[1] < KEPT:
        return ()
    grid = _grid(ask, radii=(1.0, 1.3, 2.0, 3.5, 7.0))
    best, worth = searched(
        lambda rows: _worths(ask, rows), grid,
        _worth_by_goal(_measured(ask, grid)), BOUNDS, *BEST_SEARCH,
    )  # fmt: skip
    return tuple(
        _path(ask, name, shape if worth[number] < BROKEN else start[0])
        for number, (name, shape) in enumerate(zip(CANDIDATES, best, strict=True))
    )


CANDIDATES = ("shortest", "easiest", "deepest")


def _worth_by_goal(measured: _Measured) -> Floats:
    """Length, damage and (less) depth of shapes that keep all; what breaks it last, (3, n)."""
    kept = measured.least >= KEPT
    broken = BROKEN + np.clip(np.nan_to_num(-measured.least, posinf=1e3), 0.0, 1e3)
    goals = (measured.length, np.log(measured.cost), 1e-3 * measured.cost - measured.deep)
    return np.array([np.where(kept, goal, broken) for goal in goals])


def _worths(ask: PlanAsk, rows: Floats) -> Floats:
    """Of each goal's own rows, (3, n, 5) to (3, n)."""
    goals, size, numbers = rows.shape
    found = _worth_by_goal(_measured(ask, rows.reshape(-1, numbers))).reshape(goals, goals, size)
    return found[np.arange(goals), np.arange(goals)]


def most_room(
    ask: PlanAsk, upto: int | None = None, far: float = math.inf
) -> tuple[Floats, float] | None:
    """A shape that keeps all that is asked, or the one that breaks the tightest by least.

    Parameters
    ----------
    ask : PlanAsk
        What is asked.
    upto : int, optional
        Only the first so many of `margins` count; all when not given.
    far : float
        Where the best of the grid misses by more than this, it is told as it is. [m]

    Returns
    -------
    tuple of ndarray, float, or None
        The shape's five numbers and its least margin, at most 1 m: 0 or more as soon as all is
        kept. None where no shape closes.
    """
    grid = _grid(ask, radii=(1.0,))
    found = _measured(ask, grid, upto)
    if not np.isfinite(found.room).any() or float(np.max(found.room)) < 0.0:
        return None
    best = grid[int(np.argmax(found.least))]
    least = float(np.max(found.least))
    if not -far <= least < 0.0:
        return best, min(least, 1.0)

    def worth(rows: Floats) -> Floats:
        return _broken(_measured(ask, rows[0], upto))[None, :]

    raised, missed = searched(worth, grid, _broken(found)[None, :], BOUNDS, *ROOM_SEARCH, 0.0)
    return raised[0], -float(missed[0])


def _broken(measured: _Measured) -> Floats:
    """By how much the tightest is missed, below 0 kept; worst 1 km. [m]"""
    return np.asarray(-np.clip(np.nan_to_num(measured.least, neginf=-1e3), -1e3, 1.0))


def fit_margin(ask: PlanAsk) -> float:
    """How much longer the longest first straight part that closes is than the shortest. [m]

    Parameters
    ----------
    ask : PlanAsk
        Entry, exit and radius.

    Returns
    -------
    float
        Below 0: the curves do not fit between entry and exit.
    """
    out = ask.steepest_exit * np.linspace(GENTLEST_EXIT, 1.0, 29)
    middles = np.linspace(-1.0, 1.0, 15)[:, None] * np.minimum(MIDDLE, 0.9 * ask.entry)
    middle, out = (each.ravel() for each in np.broadcast_arrays(middles, out[None, :]))
    good = out > middle + 1e-3
    radius = np.full(good.sum(), ask.radius)
    room = close_shapes(ask, np.zeros(good.sum()), middle[good], out[good], radius, radius)[1]
    return float(np.max(room))


def own_path(ask: PlanAsk, pitch: Floats, name: str = "own") -> PlannedPath:
    """A path given by the pitch at the end of each rod.

    Parameters
    ----------
    ask : PlanAsk
        What it is held against.
    pitch : ndarray (rods,)
        Up positive. [rad]
    name : str
        Its name.

    Returns
    -------
    PlannedPath
        Cut where it comes out; whole where it does not.
    """
    drawn = draw_rods(np.concatenate(([-ask.entry], pitch))[None, :], ask.rod_length)
    across, height = drawn.across[0], drawn.height[0]
    depth = across * (ask.exit_height / ask.distance) - height
    piece = ask.rod_length / drawn.pieces
    out = np.flatnonzero((depth[1:] <= 1e-9) & (depth[:-1] > 0.0))
    length, comes_out = piece * (len(across) - 1), float(across[-1])
    if out.size:
        last = int(out[0])
        share = float(depth[last] / (depth[last] - depth[last + 1]))
        length = piece * (last + share)
        comes_out = float(across[last] + share * (across[last + 1] - across[last]))
    rods = min(len(pitch), max(1, math.ceil(length / ask.rod_length - 1e-9)))
    points = rods * drawn.pieces + 1
    kept = margins(ask, drawn, math.inf)[0]
    return PlannedPath(
        name, drawn.pitch[0, : rods + 1], across[:points], height[:points], drawn.pieces,
        length, comes_out, kept,
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class _Measured:
    room: Floats
    least: Floats
    each: Floats
    length: Floats
    cost: Floats
    deep: Floats


def _grid(ask: PlanAsk, radii: tuple[float, ...]) -> Floats:
    """Shapes to begin from, (n, 5): share, middle and exit over their largest, radii over least."""
    middles = (0.0, -0.5, 0.5, -1.0, 1.0)
    axes = np.meshgrid(SHARES, middles, (1.0, 0.65, GENTLEST_EXIT), radii, indexing="ij")
    share, middle, out, radius = (each.ravel() for each in axes)
    return np.stack((share, middle, out, np.log(radius), np.log(radius)), axis=1)


def _shapes(ask: PlanAsk, numbers: Floats) -> tuple[Shapes, Floats]:
    share, middle, out, down, up = numbers.T
    down, up = np.exp(down), np.exp(up)
    out = out * ask.steepest_exit
    middle = middle * min(MIDDLE, 0.9 * ask.entry)
    middle = np.minimum(middle, out - 0.02)
    return close_shapes(ask, share, middle, out, down * ask.radius, up * ask.radius)


def _measured(ask: PlanAsk, numbers: Floats, upto: int | None = None) -> _Measured:
    shapes, room = _shapes(ask, numbers)
    closes = room >= 0.0
    size = len(numbers)
    each = np.full((size, 2 + len(ask.in_way)), -math.inf)
    deep, astray = np.full(size, -math.inf), np.full(size, -math.inf)
    length = np.where(closes, shapes.length, math.inf)
    if closes.any():
        some = shapes.where(closes)
        drawn = draw(some, ask.rod_length)
        kept = margins(ask, drawn)
        off = at_level(drawn.across, drawn.height, ask.distance) - ask.exit_height
        rise = np.tan(some.out) - ask.exit_height / ask.distance
        astray[closes] = AT_EXIT - np.abs(off) / rise
        each[closes] = kept
        below = drawn.across * (ask.exit_height / ask.distance) - drawn.height
        deep[closes] = below.max(axis=1) if ask.cover is None else kept[:, :2].min(axis=1)
    turn_down, turn_up = shapes.middle + shapes.entry, shapes.out - shapes.middle
    fall = 1.0 - DAMAGE_POWER
    cost = (
        turn_down * (shapes.radius_down / ask.radius) ** fall
        + turn_up * (shapes.radius_up / ask.radius) ** fall
    )
    least = np.minimum(np.min(each[:, :upto], axis=1), astray)
    return _Measured(room, least, each, length, cost, deep)


def _path(ask: PlanAsk, name: str, numbers: Floats) -> PlannedPath:
    shapes, _ = _shapes(ask, numbers[None, :])
    drawn = draw(shapes, ask.rod_length)
    pitch = drawn.pitch[0, 1:]
    # rods end on the shape's own pitch; a last one more where rounding leaves them under ground
    return own_path(ask, np.append(pitch, pitch[-1]), name)
