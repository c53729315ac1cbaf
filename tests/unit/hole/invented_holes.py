"""Invented holes with the truth known, and what a crew would have read in them.

Shares nothing with `rodhand.hole`: the hole is steered in steps of an eighth of a metre or so, its
directions are added up step by step, and the bend of a rod is the angle between two unit vectors.
All sizes are invented (the mix of careful, ordinary and hard bores).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEPS = 24
"""Steps inside one rod."""
RODS = ((3.048, 38.1), (4.572, 44.0), (9.45, 140.0))
"""Length and limit radius of three kinds of rod. [m]"""


@dataclass(frozen=True, eq=False)
class Truth:
    """A hole as it is.

    Parameters
    ----------
    rod, limit : float
        Rod length and limit radius. [m]
    pitch, heading : (n * STEPS + 1,) array
        True direction along the hole, first where the reading before rod 1 would stand. [rad]
    """

    rod: float
    limit: float
    pitch: Floats
    heading: Floats

    @property
    def rods(self) -> int:
        """Rods drilled."""
        return (len(self.pitch) - 1) // STEPS

    def bends(self) -> Floats:
        """True change of direction of each rod. [rad]"""
        p, h = self.pitch[::STEPS], self.heading[::STEPS]
        return between(p, h)

    def inside(self, exponent: float) -> Floats:
        """Mean over each rod of curvature to a power, for what no end reading sees. [1/m^m]"""
        small = between(self.pitch, self.heading) / (self.rod / STEPS)
        return np.asarray((small**exponent).reshape(self.rods, STEPS).mean(axis=1))


def between(pitch: Floats, heading: Floats) -> Floats:
    """Angle between directions that follow each other. [rad]"""
    unit = np.array(
        [np.cos(pitch) * np.cos(heading), np.cos(pitch) * np.sin(heading), np.sin(pitch)]
    )
    chord = np.sqrt((np.diff(unit, axis=1) ** 2).sum(axis=0))
    return np.asarray(2.0 * np.arcsin(chord / 2.0))


def draw_truth(rng: np.random.Generator, kind: str, kinked: bool = False) -> Truth:
    """One hole: ``straight`` or ``curved`` in plan, or ``wander`` (no planned curve at all)."""
    rod, limit = RODS[int(rng.choice(3, p=(0.6, 0.3, 0.1)))]
    share, wander, every = (
        (0.55, 0.010, 200.0), (0.75, 0.015, 60.0), (0.95, 0.025, 20.0)
    )[int(rng.choice(3, p=(0.4, 0.4, 0.2)))]  # fmt: skip
    rods = int(rng.integers(20, 56))
    bend = rod / limit
    planned, sideways = np.zeros(rods), np.zeros(rods)
    entry, leave = math.radians(rng.uniform(12, 16)), math.radians(rng.uniform(6, 12))
    if kind != "wander":
        need = max(1, math.ceil(entry / (share * bend)))
        planned[1 : 1 + need] += entry / need
        need = max(1, math.ceil(leave / (share * bend)))
        planned[rods - 1 - need : rods - 1] += leave / need
    if kind == "curved":
        turn = rng.choice((-1.0, 1.0)) * rng.uniform(0.25, 0.7) * bend
        first = int(rng.integers(1, rods // 2))
        sideways[first : first + int(rng.integers(4, 13))] += turn
    over = rng.random(rods) < 1.0 / every
    count = int(over.sum())
    planned[over] = rng.choice((-1.0, 1.0), count) * rng.uniform(1, 1.5, count) * bend
    pattern = np.ones((rods, STEPS)) / STEPS
    if kinked:  # the whole steered change within a third of the rod, anywhere in it
        for row in range(rods):
            start = int(rng.integers(0, STEPS - 8))
            pattern[row] = 0.0
            pattern[row, start : start + 8] = 1 / 8
    curves = []
    for plan in (planned, sideways):
        # wander of the head: a drift with a memory of a quarter to a whole rod
        memory = rng.uniform(0.25, 1.0) * STEPS
        keep = math.exp(-1.0 / memory)
        drift = np.empty(rods * STEPS)
        drift[0] = rng.normal()
        push = rng.normal(size=rods * STEPS) * math.sqrt(1 - keep**2)
        for k in range(1, rods * STEPS):
            drift[k] = keep * drift[k - 1] + push[k]
        weights = keep ** np.abs(np.subtract.outer(np.arange(STEPS), np.arange(STEPS)))
        drift *= wander / math.sqrt(weights.sum())
        curves.append((plan[:, None] * pattern).ravel() + drift)
    start = 0.0 if kind == "wander" else -entry
    pitch = start + np.concatenate([[0.0], np.cumsum(curves[0])])
    turned = curves[1] / np.cos(pitch[:-1])
    heading = rng.uniform(0, 2 * math.pi) + np.concatenate([[0.0], np.cumsum(turned)])
    return Truth(rod, limit, pitch, heading)


@dataclass(frozen=True, eq=False)
class Crew:
    """How a crew reads, and what may be wrong with it.

    Parameters
    ----------
    pitch, step : float
        Repeatability and step of pitch as a grade. [1]
    heading : float
        Repeatability of heading; NaN when it is not read. [rad]
    bias : float
        Standard deviation of a constant pitch error, as a grade. [1]
    roll : float
        Amplitude of a pitch error that goes with the clock position, as a grade. [1]
    gross : float
        Share of readings that are grossly wrong. [1]
    sensor : float
        Distance from the bit to the sensor that nobody wrote down. [m]
    dropped : str
        ``told``: one row is missing and its number with it; ``untold``: the numbers run on.
    """

    pitch: float = 0.0025
    step: float = 0.001
    heading: float = math.radians(0.5)
    bias: float = 0.001
    roll: float = 0.0
    gross: float = 0.0
    sensor: float = 0.0
    dropped: str = ""


@dataclass(frozen=True, eq=False)
class Read:
    """Rows as read, and the true bend of the rod each stands for. Station 0 is the first row."""

    truth: Truth
    station: Floats
    pitch: Floats
    heading: Floats
    bends: Floats
    doubled: int = -1
    """Row whose reading holds two rods' bend, where a row was lost and nobody knows."""


def read(rng: np.random.Generator, truth: Truth, crew: Crew) -> Read:
    """What the crew reads at every rod's end."""
    n = truth.rods
    at = np.arange(n + 1) * STEPS - round(crew.sensor / truth.rod * STEPS)
    whole = np.arange(len(truth.pitch))
    p = np.interp(at, whole, truth.pitch)  # before the start it runs straight
    h = np.interp(at, whole, truth.heading)
    grade = np.tan(p) + rng.normal(0, crew.pitch, n + 1) + rng.normal(0, crew.bias)
    grade += crew.roll * np.sin(rng.uniform(0, 2 * math.pi, n + 1))
    h = h + rng.normal(0, crew.heading if math.isfinite(crew.heading) else 0, n + 1)
    wrong = rng.random(n + 1) < crew.gross
    wrong[0] = False
    count = int(wrong.sum())
    grade[wrong] += rng.choice((-1, 1), count) * rng.uniform(0.03, 0.15, count)
    if math.isnan(crew.heading):
        h = np.full(n + 1, np.nan)
    else:
        wrong = rng.random(n + 1) < crew.gross
        h[wrong] += rng.choice((-1, 1), int(wrong.sum())) * rng.uniform(0.05, 0.5, int(wrong.sum()))
    grade = np.round(grade / crew.step) * crew.step
    made = Read(truth, np.arange(n + 1.0), np.arctan(grade), h, truth.bends())
    if not crew.dropped:
        return made
    row = int(rng.integers(2, n - 1))
    keep = np.arange(n + 1) != row
    if crew.dropped == "told":
        return replace(
            made, station=made.station[keep], pitch=made.pitch[keep], heading=made.heading[keep]
        )
    return replace(
        made, station=np.arange(n + 0.0), pitch=made.pitch[keep], heading=made.heading[keep],
        bends=np.delete(made.bends, row - 1), doubled=row - 1,
    )  # fmt: skip
