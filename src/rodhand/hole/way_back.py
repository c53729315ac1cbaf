"""Rod by rod back to a wanted depth and pitch, inside a limit on the bend, with least damage."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize

Floats = NDArray[np.float64]
DAMAGE_POWER = 4.7
"""Damage grows with the bend to this power: mid tube, DNV-RP-C203 high-strength base metal (from
memory)."""
STEEPEST = math.radians(80.0)
"""Pitch beyond which a way is not worked: up to here more pitch always means less depth. [rad]"""
ALMOST = 1.0 - 1e-7
"""Share of the room the search may use, so that its own rounding stays inside. [1]"""
DEPTH_TOLERANCE = 1e-6
"""Depth missed that still counts as reached. [m]"""


@dataclass(frozen=True, eq=False)
class WayBack:
    """Pitches at the ends of the next rods.

    Parameters
    ----------
    pitch : ndarray (n,)
        At the end of each rod, up positive. [rad]
    depth : ndarray (n,)
        Depth gained since the start at the end of each rod, down positive. [m]
    cost : float
        Sum over the rods of (change / room) to the power `DAMAGE_POWER`: what the curve costs next
        to a rod held at the limit. [1]
    missed : float
        Depth at the end less the wanted one; 0 when reached. [m]
    pitch_missed : float
        Pitch at the end less the wanted one; 0 when reached. [rad]
    """

    pitch: Floats
    depth: Floats
    cost: float
    missed: float
    pitch_missed: float

    @property
    def reached(self) -> bool:
        """Whether the wanted depth and pitch are met at the end."""
        return self.missed == 0.0 and self.pitch_missed == 0.0


def depth_gained(start: float, pitch: Floats, length: float) -> Floats:
    """Depth at the end of each rod when each bends evenly in the vertical.

    Parameters
    ----------
    start : float
        Pitch at the start, up positive. [rad]
    pitch : ndarray (n,)
        At the end of each rod. [rad]
    length : float
        Of a rod. [m]

    Returns
    -------
    ndarray (n,)
        Down positive, from the start. [m]

    Notes
    -----
    Exact for a circular arc: L sin(mean pitch) sin(half change) / (half change).
    """
    before = np.concatenate(([start], pitch[:-1]))
    half = (pitch - before) / 2.0
    climbed: Floats = length * np.sin((pitch + before) / 2.0) * np.sinc(half / np.pi)
    return -np.cumsum(climbed)


def way_back(
    start: float, wanted_pitch: float, wanted_depth: float, rods: int, length: float, room: float
) -> WayBack:
    """The cheapest way to a depth and a pitch a number of rods ahead, or the nearest.

    Parameters
    ----------
    start, wanted_pitch : float
        Pitch now and at the end, up positive, less than `STEEPEST` either way. [rad]
    wanted_depth : float
        Depth at the end less the depth now, down positive. [m]
    rods : int
        Rods to do it in, at least 1.
    length : float
        Of a rod, above 0. [m]
    room : float
        Largest change of pitch in one rod, reading error taken off, above 0. [rad]

    Returns
    -------
    WayBack
        No rod changes the pitch by more than ``room``. When the end cannot be reached, the pitch
        comes as near as it may, then the depth.

    Raises
    ------
    ValueError
        If an argument is out of its range.

    Notes
    -----
    With the end's pitch given, every pitch between has a highest and a lowest value the room
    allows, depth falls as any of them rises, and a mixture of two ways inside the room is inside
    the room. So the depths that can be reached are exactly those between the two outermost ways,
    and a mixture of them is a way to start from. It is then made cheap by sequential quadratic
    programming; what comes out is checked, and the mixture stays where it is not better.
    Change sideways is none: one made counts against the same room.
    """
    _check(start, wanted_pitch, rods, length, room)
    end = min(max(wanted_pitch, start - rods * room), start + rods * room)
    steps = np.arange(1, rods + 1)
    highest = np.minimum(np.minimum(start + steps * room, end + (rods - steps) * room), STEEPEST)
    lowest = np.maximum(np.maximum(start - steps * room, end - (rods - steps) * room), -STEEPEST)

    def mixed(share: float) -> Floats:
        between: Floats = lowest + share * (highest - lowest)
        return between

    def missed(share: float) -> float:
        return float(depth_gained(start, mixed(share), length)[-1]) - wanted_depth

    pitch = highest if missed(1.0) >= 0.0 else lowest
    if missed(1.0) < -DEPTH_TOLERANCE and missed(0.0) > DEPTH_TOLERANCE:
        first = mixed(float(brentq(missed, 0.0, 1.0, xtol=1e-14)))
        pitch = _cheaper(start, first, wanted_depth, length, room)
    depth = depth_gained(start, pitch, length)
    off = float(depth[-1]) - wanted_depth
    return WayBack(
        pitch, depth, cost_of(start, pitch, room),
        off if abs(off) > DEPTH_TOLERANCE else 0.0,
        end - wanted_pitch if abs(end - wanted_pitch) > 1e-12 else 0.0,
    )  # fmt: skip


def cost_of(start: float, pitch: Floats, room: float) -> float:
    """What a way costs next to one rod held at the limit. [1]"""
    change = np.diff(np.concatenate(([start], pitch)))
    return float(np.sum(np.abs(change / room) ** DAMAGE_POWER))


def _check(start: float, wanted_pitch: float, rods: int, length: float, room: float) -> None:
    if rods < 1:
        raise ValueError(f"rods must be at least 1, got {rods}")
    if not (length > 0.0 and room > 0.0):
        raise ValueError(f"length and room must be above 0, got {length} m and {room} rad")
    if not (abs(start) < STEEPEST and abs(wanted_pitch) < STEEPEST):
        raise ValueError(f"pitches must be under 80 degrees, got {start} and {wanted_pitch} rad")


def _cheaper(start: float, first: Floats, wanted: float, length: float, room: float) -> Floats:
    """The cheapest way with the same end, or the first where none better is found."""
    if first.size < 3:
        return first
    end = first[-1]
    scale = max(cost_of(start, first, room), 1e-9)  # so that stopping does not hang on the size

    def whole(free: Floats) -> Floats:
        return np.append(free, end)

    def shares(free: Floats) -> Floats:
        change: Floats = np.diff(np.concatenate(([start], free, [end]))) / room
        return change

    def slope(free: Floats) -> Floats:
        each = shares(free)
        rise = np.sign(each) * np.abs(each) ** (DAMAGE_POWER - 1.0) * DAMAGE_POWER / (room * scale)
        return rise[:-1] - rise[1:]

    def falls(free: Floats) -> Floats:
        # the exact slope for small changes in one rod, near enough to steer the search
        slopes: Floats = -length * np.cos(free)
        return slopes

    difference = np.eye(first.size)[:, :-1] - np.eye(first.size, k=-1)[:, :-1]
    inside = np.vstack((-difference, difference)) / room
    found = minimize(
        lambda free: float(np.sum(np.abs(shares(free)) ** DAMAGE_POWER)) / scale,
        first[:-1], jac=slope, method="SLSQP",
        bounds=[(-STEEPEST, STEEPEST)] * (first.size - 1),
        constraints=[
            {"type": "eq", "jac": falls,
             "fun": lambda f: depth_gained(start, whole(f), length)[-1] - wanted},
            {"type": "ineq", "jac": lambda f: inside,
             "fun": lambda f: np.concatenate((ALMOST - shares(f), ALMOST + shares(f)))},
        ],
        options={"maxiter": 60, "ftol": 1e-6},
    )  # fmt: skip
    best = whole(np.asarray(found.x))
    holds = (
        np.all(np.isfinite(best))
        and float(np.max(np.abs(shares(best[:-1])))) <= 1.0 + 1e-12
        and abs(float(depth_gained(start, best, length)[-1]) - wanted) <= DEPTH_TOLERANCE
    )
    return best if holds and cost_of(start, best, room) < cost_of(start, first, room) else first
