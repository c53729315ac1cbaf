"""What turning the rods over would give: invented seasons under five ways of ordering them.

A season is a set of rods drilled with, bore after bore, until three quarters are used up. Every
way of ordering meets the same bores, the same errors of the figures and the same strength of every
rod's steel, so that ways differ by the order alone. Each season has its own random numbers by its
number, so any division among processes gives the same result.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr

from rodhand.wear.life_used import (
    CRITICAL_SUM_MEDIAN,
    STRESS_MODEL_SIGMA,
    scatter_variance,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
POLICIES = ("as_it_lies", "lead_moved", "rows_turned", "random", "planned")
"""Same order every time; the lead rod to the back after each bore; one row to the back; drawn
anew; planned by rank before each bore, the rod nearest to breaking where least is added."""
PLANNED = POLICIES[-1]
MOST_BORES = 250
"""Bores a season has at most. [bores]"""
CHUNK = 50
"""Seasons worked out together; fixed, so that numbers do not hang on the number of processes."""
STRENGTHS = 3
"""Strengths drawn for each rod of the set: its own and those of rods that replace broken ones."""
SHARES = np.array([0.0, 0.1, 0.25, 0.5, 0.75])
"""Shares of a set told of when they are used up; nought is the first rod. [-]"""
WINDOW = 0.25
"""Metres after the first rod in which what comes due is counted, as a share of those to it. [-]"""
LOOKED_EVERY = 8
"""Bores after which it is looked which seasons have ended. [bores]"""


@dataclass(frozen=True, eq=False)
class BoreToDrill:
    """A bore seasons are drawn from.

    Parameters
    ----------
    design, mean : (p, 5) array of float
        What it takes of each place on the design and on the mean curve. [-]
    bend_error : float
        Standard deviation of ln damage from reading its bends. [-]
    metres, hours : float
        Drilled, and rotated on all passes. [m], [h]
    """

    design: Floats
    mean: Floats
    bend_error: float
    metres: float
    hours: float


@dataclass(frozen=True, eq=False)
class TurningCase:
    """A set, the bores it may meet, and how surely its damage is known.

    Parameters
    ----------
    bores : sequence of BoreToDrill
        Drawn from evenly, with replacement.
    rods, row : int
        Rods of the set, and how many a row holds.
    slopes : (5,) array of float
        m of each section. [-]
    turns_error : float
        Standard deviation of ln turns, the same for all bores of a season. [-]
    retire : float
        Life used on the design curve from which a rod is retired. [-]
    """

    bores: Sequence[BoreToDrill]
    rods: int
    row: int
    slopes: Floats
    turns_error: float
    retire: float = 1.0


@dataclass(frozen=True, eq=False)
class Seasons:
    """What came of seasons; rows are seasons, columns `POLICIES`.

    Parameters
    ----------
    used_metres : (n, 5, shares) array of float
        Metres drilled when each of `SHARES` of the rods is used up, the first at once; NaN where
        it was not in the longest season; of the order kept only the first is waited for. [m]
    soon : (n, 5) array of float
        Share of the rods used up within `WINDOW` after the first; NaN likewise. [-]
    break_hours : (n, 5) array of float
        Rotating hours to the first break; NaN likewise. [h]
    breaks : (n, 5) array of float
        Breaks by the time the first rod of the kept order is used up; each broken rod is replaced
        by a new one. [breaks]
    """

    used_metres: Floats
    soon: Floats
    break_hours: Floats
    breaks: Floats

    @property
    def retire_metres(self) -> Floats:
        """Metres drilled when the first rod is used up; NaN where none was. (n, 5) [m]"""
        return self.used_metres[:, :, 0]

    @property
    def digest(self) -> str:
        """SHA-256 of all numbers."""
        parts = (self.used_metres, self.soon, self.break_hours, self.breaks)
        return hashlib.sha256(
            b"".join(np.ascontiguousarray(p).tobytes() for p in parts)
        ).hexdigest()


def joined(parts: Sequence[Seasons]) -> Seasons:
    """Seasons one after the other."""
    return Seasons(
        np.concatenate([part.used_metres for part in parts]),
        np.concatenate([part.soon for part in parts]),
        np.concatenate([part.break_hours for part in parts]),
        np.concatenate([part.breaks for part in parts]),
    )


def chunks(seasons: int) -> list[tuple[int, int]]:
    """Numbers of the first season and the one after the last of each chunk of some seasons."""
    return [(k, min(k + CHUNK, seasons)) for k in range(0, seasons, CHUNK)]


def run_chunk(work: tuple[TurningCase, int, tuple[int, int]]) -> Seasons:
    """Seasons of one chunk: the case, the seed of all seasons, and the numbers of the chunk."""
    case, seed, (first, last) = work
    rngs = [np.random.default_rng([seed, k]) for k in range(first, last)]
    chunk = _Chunk.of(case, _Draws.of(case, rngs))
    used = [_used_up(chunk, name) for name in POLICIES]
    broken = [_broken(chunk, name, used[0][0][:, 0]) for name in POLICIES]
    return Seasons(
        np.stack([metres for metres, _ in used], axis=1),
        np.stack([soon for _, soon in used], axis=1),
        np.stack([hours for hours, _ in broken], axis=1),
        np.stack([breaks for _, breaks in broken], axis=1),
    )


@dataclass(frozen=True, eq=False)
class _Draws:
    """What seasons meet: bores, errors of the figures by bore, random orders, strengths."""

    which: NDArray[np.int64]
    wrong: Floats
    orders: NDArray[np.int64]
    strength: Floats

    @staticmethod
    def of(case: TurningCase, rngs: Sequence[np.random.Generator]) -> _Draws:
        bend_error = np.array([bore.bend_error for bore in case.bores])
        which, wrong, orders, strength = [], [], [], []
        for rng in rngs:
            which.append(rng.integers(len(case.bores), size=MOST_BORES))
            # Turns and stress model are wrong all season, bends bore by bore.
            turns = rng.normal() * case.turns_error
            season = turns + case.slopes * STRESS_MODEL_SIGMA * rng.normal()
            bend = rng.normal(size=MOST_BORES) * bend_error[which[-1]]
            wrong.append(np.exp(season[None, :] + bend[:, None]))
            orders.append(np.argsort(rng.random((MOST_BORES, case.rods)), axis=1))
            # Strengths of the first rods, then of those that replace them, taken round and round.
            drawn = rng.normal(size=(STRENGTHS * case.rods, len(case.slopes)))
            strength.append(CRITICAL_SUM_MEDIAN * np.exp(np.sqrt(scatter_variance()) * drawn))
        return _Draws(np.stack(which), np.stack(wrong), np.stack(orders), np.stack(strength))


@dataclass(frozen=True, eq=False)
class _Chunk:
    """Seasons of a chunk: what they meet, damage by bore and place, metres and hours so far."""

    case: TurningCase
    draws: _Draws
    design: Floats
    mean: Floats
    metres: Floats
    hours: Floats

    @staticmethod
    def of(case: TurningCase, draws: _Draws) -> _Chunk:
        design, mean = np.zeros((2, len(case.bores), case.rods, len(case.slopes)))
        for k, bore in enumerate(case.bores):
            places = min(len(bore.mean), case.rods)
            design[k, :places], mean[k, :places] = bore.design[:places], bore.mean[:places]
        metres = np.array([bore.metres for bore in case.bores])[draws.which].cumsum(axis=1)
        hours = np.array([bore.hours for bore in case.bores])[draws.which].cumsum(axis=1)
        return _Chunk(case, draws, design, mean, metres, hours)

    def places(self, name: str, bore: int, live: Ints, believed: Floats) -> Ints:
        """Place of every rod in the seasons that go on, or the same in all of them."""
        rods = np.arange(self.case.rods)
        if name == "random":
            return np.argsort(self.draws.orders[live, bore], axis=1)
        if name == PLANNED:
            # On the mean of all bores: nobody knows the next one's bends beforehand. The rod
            # nearest to breaking goes where least is added, the next where a little more is.
            average = self.mean.mean(axis=0)
            near = hazard(believed, self.case.slopes) @ average.mean(axis=0)
            from_least = np.argsort(-average.sum(axis=1), kind="stable")
            at = np.empty(near.shape, dtype=np.int64)
            np.put_along_axis(at, np.argsort(near, axis=1, kind="stable"), from_least[None], axis=1)
            return at
        step = {"lead_moved": 1, "rows_turned": self.case.row}.get(name, 0)
        return ((rods - step * bore) % self.case.rods)[None]


def _used_up(chunk: _Chunk, name: str) -> tuple[Floats, Floats]:
    """Metres to each share of the rods used up, and the share used up soon after the first.

    Rods are never replaced. Of the order kept only the first and that share are waited for: its
    last rods hardly wear. (seasons, shares) [m], (seasons,) [-]
    """
    case, live = chunk.case, np.arange(len(chunk.metres))
    used, known = np.zeros((2, len(live), case.rods, len(case.slopes)))
    found = np.full((len(live), len(SHARES)), np.nan)
    soon = np.full(len(live), np.nan)
    needed = 1 if name == POLICIES[0] else len(SHARES)
    for k in range(MOST_BORES):
        which = chunk.draws.which[live, k][:, None]
        at = chunk.places(name, k, live, known)
        used += chunk.design[which, at]
        if name == PLANNED:
            known += chunk.mean[which, at]
        gone = (used.max(axis=2) >= case.retire).mean(axis=1)
        now = (gone[:, None] > 0.0) & (gone[:, None] >= SHARES) & np.isnan(found[live])
        season, share = np.nonzero(now)
        found[live[season], share] = chunk.metres[live[season], k]
        inside = chunk.metres[live, k] <= (1.0 + WINDOW) * found[live, 0]
        soon[live[inside]] = gone[inside]
        if k % LOOKED_EVERY == LOOKED_EVERY - 1:
            goes_on = np.isnan(found[live, :needed]).any(axis=1) | inside
            live, used, known = live[goes_on], used[goes_on], known[goes_on]
    return found, soon


def _broken(chunk: _Chunk, name: str, limit: Floats) -> tuple[Floats, Floats]:
    """Hours to the first break, and breaks by some metres; a broken rod is replaced. [h], [-]"""
    case, draws, live = chunk.case, chunk.draws, np.arange(len(chunk.metres))
    true, believed = np.zeros((2, len(live), case.rods, len(case.slopes)))
    strong, fresh = draws.strength[:, : case.rods].copy(), np.full(len(live), case.rods)
    first, breaks = np.full(len(live), np.nan), np.zeros(len(live))
    for k in range(MOST_BORES):
        which = draws.which[live, k][:, None]
        mean = chunk.mean[which, chunk.places(name, k, live, believed)]
        if name == PLANNED:
            believed += mean
        true += mean * draws.wrong[live, k][:, None, :]
        for row, rod in np.argwhere((true >= strong).any(axis=2)):
            season = live[row]
            breaks[season] += chunk.metres[season, k] <= limit[season]
            if np.isnan(first[season]):
                first[season] = chunk.hours[season, k]
            true[row, rod] = believed[row, rod] = 0.0
            strong[row, rod] = draws.strength[season, fresh[row] % draws.strength.shape[1]]
            fresh[row] += 1
        if k % LOOKED_EVERY == LOOKED_EVERY - 1:
            # A limit that is not known counts no breaks.
            goes_on = np.isnan(first[live]) | (chunk.metres[live, k] < limit[live])
            live, true, believed, strong, fresh = (
                each[goes_on] for each in (live, true, believed, strong, fresh))  # fmt: skip
    return first, breaks


def hazard(damage: Floats, slopes: Floats) -> Floats:
    """Chance to break for each further bit of damage, given that it has not broken. [-]

    Parameters
    ----------
    damage : (r, 5) array of float
        Damage so far on the mean curve. [-]
    slopes : (5,) array of float
        m of each section. [-]
    """
    spread = np.sqrt(scatter_variance() + (slopes * STRESS_MODEL_SIGMA) ** 2)
    there = np.maximum(damage, 1e-4)
    z = (np.log(there) - np.log(CRITICAL_SUM_MEDIAN)) / spread
    density = np.exp(-0.5 * z**2) / np.sqrt(2.0 * np.pi) / (there * spread)
    return np.asarray(density / np.exp(log_ndtr(-z)))
