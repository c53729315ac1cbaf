"""The path of a planned bore: three candidates inside every limit, or none."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import differential_evolution

from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_shape import Shapes, close_shapes, draw, draw_rods, margins
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
CROWD = 40
"""Shapes the search keeps at once."""
AT_EXIT = 0.3
"""A path comes out within this of the exit: rods are whole, curves need not be. [m]"""
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
    pitch, two radii), then sequential quadratic programming from the best of it; what comes out is
    held against everything again on the rods as they will lie, and the grid's stays where it is
    not better. All shapes have two curves; one that would wave around several utilities is not
    looked for.
    """
    start = most_room(ask)
    if start is None or start[1] < KEPT:
        return ()
    grid = _grid(ask, radii=(1.0, 1.3, 2.0, 3.5, 7.0))
    found = _measured(ask, grid)
    goals: dict[str, Callable[[_Measured], Floats]] = {
        "shortest": lambda m: m.length,
        "easiest": lambda m: np.log(m.cost),
        "deepest": lambda m: 1e-3 * m.cost - m.deep,
    }
    return tuple(_path(ask, name, _best(ask, grid, found, goals[name], start[0])) for name in goals)


def _best(
    ask: PlanAsk, grid: Floats, found: _Measured, goal: Callable[[_Measured], Floats], sure: Floats
) -> Floats:
    """The best shape by a goal that keeps everything; one that surely does where none is found."""

    def worth(measured: _Measured) -> Floats:
        kept = measured.least >= KEPT
        broken = BROKEN - np.clip(np.nan_to_num(measured.least, neginf=-1e3), -1e3, 0.0)
        return np.where(kept, goal(measured), np.where(np.isfinite(broken), broken, 2 * BROKEN))

    best = _searched(ask, grid, worth(found), lambda rows: worth(_measured(ask, rows)))
    return best if _measured(ask, best[None, :]).least[0] >= KEPT else sure


def most_room(ask: PlanAsk, upto: int | None = None) -> tuple[Floats, float] | None:
    """A shape that keeps all that is asked, or the one that breaks the tightest by least.

    Parameters
    ----------
    ask : PlanAsk
        What is asked.
    upto : int, optional
        Only the first so many of `margins` count; all when not given.

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
    if not math.isfinite(least) or least >= 0.0:
        return best, min(least, 1.0)

    def worth(rows: Floats) -> Floats:
        least = np.nan_to_num(_measured(ask, rows, upto).least, neginf=-1e3)
        return np.asarray(-np.clip(least, -1e3, 1.0))

    values = -np.clip(np.nan_to_num(found.least, neginf=-1e3), -1e3, 1.0)
    raised = _searched(ask, grid, values, worth, enough=0.0, rounds=25)
    return raised, -float(worth(raised[None, :])[0])


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
        off = [
            np.interp(ask.distance, x, z) - ask.exit_height
            for x, z in zip(drawn.across, drawn.height, strict=True)
        ]
        astray[closes] = AT_EXIT - np.abs(off) / np.tan(some.out)
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


LOWEST = np.array([0.0, -1.0, GENTLEST_EXIT, 0.0, 0.0])
HIGHEST = np.array([1.0, 1.0, 1.0, math.log(WIDEST), math.log(WIDEST)])


def _searched(
    ask: PlanAsk, grid: Floats, worth: Floats, goal: Callable[[Floats], Floats],
    enough: float = -math.inf, rounds: int = 60,
) -> Floats:  # fmt: skip
    """The shape of least worth, from the best of a grid; the grid's own where none is better."""
    order = np.argsort(worth, kind="stable")[: CROWD // 2]
    first, least = np.asarray(grid[order[0]]), float(worth[order[0]])
    if least <= enough:
        return first
    drawn = np.random.default_rng(7)
    crowd = np.vstack((grid[order], grid[order]))
    crowd[len(order) :] += 0.1 * (HIGHEST - LOWEST) * drawn.standard_normal(grid[order].shape)
    found = differential_evolution(
        lambda columns: goal(np.atleast_2d(columns.T)), list(zip(LOWEST, HIGHEST, strict=True)),
        init=np.clip(crowd, LOWEST, HIGHEST), vectorized=True, updating="deferred",
        maxiter=rounds, tol=1e-6, atol=1e-5, mutation=(0.3, 0.9), recombination=0.8, polish=False,
        rng=drawn,
        callback=lambda intermediate_result: bool(intermediate_result.fun <= enough),
    )  # fmt: skip
    return np.asarray(found.x) if float(found.fun) < least else first


def _path(ask: PlanAsk, name: str, numbers: Floats) -> PlannedPath:
    shapes, _ = _shapes(ask, numbers[None, :])
    drawn = draw(shapes, ask.rod_length)
    pitch = drawn.pitch[0, 1:]
    # rods end on the shape's own pitch; a last one more where rounding leaves them under ground
    return own_path(ask, np.append(pitch, pitch[-1]), name)
