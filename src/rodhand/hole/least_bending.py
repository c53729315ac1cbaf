"""The least damage of a run of rods whose ends answer to their bends along straight lines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.way_back import DAMAGE_POWER

Floats = NDArray[np.float64]
END = 1e5
"""Weight of the end missed, next to the damage of one rod held at its room. [1]"""
KEEP = 1e6
"""Weight of a distance not kept: it goes before the end. [1]"""
SHARPNESS = tuple(10.0**n for n in range(7))
"""Weights of all that against the walls, one after the other: at the last they are thin. [1]"""
STEPS = 12
"""Newton's steps at each weight, at most."""
FROM_WALL = 0.99
"""A step goes so far toward a wall, at most; a start stands inside by the same. [1]"""
DONE = 1e-9
"""Newton's decrement below which a weight is done with. [1]"""


@dataclass(frozen=True, eq=False)
class Straightened:
    """How end and distances answer to the bends about one way.

    Parameters
    ----------
    at : ndarray (planes, n)
        Bends of the way in shares of the room, up or right positive. [1]
    off : ndarray (e,)
        The end missed there, in rod lengths and radians. [1]
    off_slope : ndarray (e, planes n)
        Its change for each share.
    kept : ndarray (k,)
        Distances beyond what is to be kept, in rod lengths. [1]
    kept_slope : ndarray (k, planes n)
        Their change for each share.
    """

    at: Floats
    off: Floats
    off_slope: Floats
    kept: Floats
    kept_slope: Floats


def least_bending(line: Straightened) -> Floats:
    """Shares of the room in every rod: distances kept, the end met or nearest, the least damage.

    Parameters
    ----------
    line : Straightened
        What is asked, about one way.

    Returns
    -------
    ndarray (planes, n)
        Bends in shares of the room; both planes together are below 1 in every rod. [1]

    Notes
    -----
    Damage is the sum of the shares to the power `DAMAGE_POWER`; the end missed counts by its
    square and a distance not kept by itself. All three are convex and so are the walls (a rod's
    room), so there is one least and no start hides it. Interior point method with logarithmic
    walls and Newton's steps (Boyd and Vandenberghe 2004, chapter 11, from memory). A distance is
    let go by a slack of its own, so any way inside the room is a start.
    """
    sharpest = float(np.max(np.sum(line.at**2, axis=0)))
    bends: Floats = line.at * min(1.0, FROM_WALL / max(np.sqrt(sharpest), 1e-12))
    slack = np.maximum(-_kept(line, bends), 0.0) + 0.1
    for weight in SHARPNESS:
        for _ in range(STEPS):
            bends, slack, left = _step(line, bends, slack, weight)
            if left < DONE:
                break
    return bends


def _off(line: Straightened, bends: Floats) -> Floats:
    return np.asarray(line.off + line.off_slope @ (bends - line.at).ravel())


def _kept(line: Straightened, bends: Floats) -> Floats:
    return np.asarray(line.kept + line.kept_slope @ (bends - line.at).ravel())


def _worth(line: Straightened, bends: Floats, slack: Floats, weight: float) -> float:
    """What is made least; infinite past a wall."""
    share = np.sum(bends**2, axis=0)
    room = _kept(line, bends) + slack
    if np.any(share >= 1.0) or np.any(room <= 0.0) or np.any(slack <= 0.0):
        return np.inf
    asked = np.sum(share ** (DAMAGE_POWER / 2.0)) + END * np.sum(_off(line, bends) ** 2)
    walls = np.sum(np.log(1.0 - share)) + np.sum(np.log(room)) + np.sum(np.log(slack))
    return float(weight * (asked + KEEP * np.sum(slack)) - walls)


def _step(
    line: Straightened, bends: Floats, slack: Floats, weight: float
) -> tuple[Floats, Floats, float]:
    """One step of Newton's, as far as it goes down; and the decrement left."""
    slope, curve = _damage(bends, weight)
    off = _off(line, bends)
    slope += 2.0 * weight * END * line.off_slope.T @ off
    curve += 2.0 * weight * END * line.off_slope.T @ line.off_slope
    room = _kept(line, bends) + slack
    slope -= line.kept_slope.T @ (1.0 / room)
    of_slack = weight * KEEP - 1.0 / slack - 1.0 / room
    # every slack stands in one row of its own: it is worked out of the equations by hand
    both = 1.0 / slack**2 + 1.0 / room**2
    reduced = slope - line.kept_slope.T @ (of_slack / (room**2 * both))
    stiff = curve + (line.kept_slope.T / (slack**2 * room**2 * both)) @ line.kept_slope
    step = -np.linalg.solve(stiff, reduced)
    step_slack = -(of_slack + (line.kept_slope @ step) / room**2) / both
    down = float(slope @ step + of_slack @ step_slack)
    begin, far, by = _worth(line, bends, slack, weight), 1.0, step.reshape(bends.shape)
    while far > 1e-10:
        then = (bends + far * by, slack + far * step_slack)
        if _worth(line, *then, weight) <= begin + 0.1 * far * down:
            return (*then, -down)
        far /= 2.0
    return bends, slack, 0.0


def _damage(bends: Floats, weight: float) -> tuple[Floats, Floats]:
    """Slope and curvature of damage and rooms: each rod's planes stand together."""
    share = np.sum(bends**2, axis=0)
    half = DAMAGE_POWER / 2.0
    even = weight * DAMAGE_POWER * share ** (half - 1.0) + 2.0 / (1.0 - share)
    along = weight * DAMAGE_POWER * (DAMAGE_POWER - 2.0) * share ** (half - 2.0)
    along += 4.0 / (1.0 - share) ** 2
    planes, rods = bends.shape
    curve = np.zeros((planes, rods, planes, rods))
    each = np.arange(rods)
    for one in range(planes):
        curve[one, each, one, each] = even
        for other in range(planes):
            curve[one, each, other, each] += along * bends[one] * bends[other]
    return (even * bends).ravel(), curve.reshape(planes * rods, planes * rods)
