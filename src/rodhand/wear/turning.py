"""What turning the rods over would give: invented seasons under five ways of ordering them.

A season is a set of rods drilled with, bore after bore, until half of it is used up. Every way of
ordering meets the same bores, the same errors of the figures and the same strength of every rod's
steel, so that ways differ by the order alone. Each season has its own random numbers by its
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
HALF = 0.5


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
    retire_metres : (n, 5) array of float
        Metres drilled when the first rod is used up; NaN where none was in the longest season. [m]
    break_hours : (n, 5) array of float
        Rotating hours to the first break; NaN likewise. [h]
    breaks : (n, 5) array of float
        Breaks by the time the first rod of the kept order is used up; each broken rod is replaced
        by a new one. [breaks]
    half_metres : (n, 5) array of float
        Metres when half of the rods are used up; NaN likewise, and for the order kept. [m]
    """

    retire_metres: Floats
    break_hours: Floats
    breaks: Floats
    half_metres: Floats

    @property
    def digest(self) -> str:
        """SHA-256 of all numbers."""
        parts = (self.retire_metres, self.break_hours, self.breaks, self.half_metres)
        return hashlib.sha256(
            b"".join(np.ascontiguousarray(p).tobytes() for p in parts)
        ).hexdigest()


def joined(parts: Sequence[Seasons]) -> Seasons:
    """Seasons one after the other."""
    return Seasons(
        np.concatenate([part.retire_metres for part in parts]),
        np.concatenate([part.break_hours for part in parts]),
        np.concatenate([part.breaks for part in parts]),
        np.concatenate([part.half_metres for part in parts]),
    )


def chunks(seasons: int) -> list[tuple[int, int]]:
    """Numbers of the first season and the one after the last of each chunk of some seasons."""
    return [(k, min(k + CHUNK, seasons)) for k in range(0, seasons, CHUNK)]


def run_chunk(work: tuple[TurningCase, int, tuple[int, int]]) -> Seasons:
    """Seasons of one chunk: the case, the seed of all seasons, and the numbers of the chunk."""
    case, seed, (first, last) = work
    draws = [_Draw.of(case, np.random.default_rng([seed, k])) for k in range(first, last)]
    padded = np.zeros((2, len(case.bores), case.rods, len(case.slopes)))
    for k, bore in enumerate(case.bores):
        places = min(len(bore.mean), case.rods)
        padded[0, k, :places], padded[1, k, :places] = bore.design[:places], bore.mean[:places]
    found = [_policy(case, name, draws, padded) for name in POLICIES]
    limit = found[0][0][:, None]
    breaks = [(at <= limit).sum(axis=1).astype(float) for _, _, at, _ in found]
    return Seasons(
        np.stack([each[0] for each in found], axis=1),
        np.stack([each[1] for each in found], axis=1),
        np.stack(breaks, axis=1),
        np.stack([each[3] for each in found], axis=1),
    )


@dataclass(frozen=True, eq=False)
class _Draw:
    """What one season meets: its bores, errors of the figures by bore, random orders, strengths."""

    which: NDArray[np.int64]
    wrong: Floats
    orders: NDArray[np.int64]
    strength: Floats

    @staticmethod
    def of(case: TurningCase, rng: np.random.Generator) -> _Draw:
        which = rng.integers(len(case.bores), size=MOST_BORES)
        # Turns and stress model are wrong all season, bends bore by bore.
        season = rng.normal() * case.turns_error + case.slopes * STRESS_MODEL_SIGMA * rng.normal()
        bend = rng.normal(size=MOST_BORES) * [case.bores[k].bend_error for k in which]
        orders = np.argsort(rng.random((MOST_BORES, case.rods)), axis=1)
        # Strengths of the first rods, then of those that replace them, taken round and round.
        drawn = rng.normal(size=(STRENGTHS * case.rods, len(case.slopes)))
        strength = CRITICAL_SUM_MEDIAN * np.exp(np.sqrt(scatter_variance()) * drawn)
        return _Draw(which, np.exp(season[None, :] + bend[:, None]), orders, strength)


def _policy(
    case: TurningCase, name: str, draws: Sequence[_Draw], padded: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """One way of ordering in every season of a chunk.

    Metres to the first used up, hours to the first break, metres at each break (infinite where
    there was none), metres to half used up. Used up is counted of rods that are never replaced,
    breaks of rods that are.
    """
    seasons, rods = len(draws), case.rods
    used, true, known, believed = np.zeros((4, seasons, rods, len(case.slopes)))
    strong = np.stack([draw.strength[:rods] for draw in draws])
    fresh = np.full(seasons, rods)
    metres, hours = np.zeros(seasons), np.zeros(seasons)
    retire, half, first_break = np.full((3, seasons), np.nan)
    broke: list[list[float]] = [[] for _ in draws]
    each = np.arange(seasons)[:, None]
    length = np.array([bore.metres for bore in case.bores])
    time = np.array([bore.hours for bore in case.bores])
    average = padded[1].mean(axis=0)
    for k in range(MOST_BORES):
        which = np.array([draw.which[k] for draw in draws])
        order = _orders(case, name, k, draws, known, average)
        used[each, order] += padded[0, which]
        known[each, order] += padded[1, which]
        # Planned apart: with rods never replaced, and, once one has broken, with rods that are.
        if name == PLANNED and any(broke):
            order = _orders(case, name, k, draws, believed, average)
        believed[each, order] += padded[1, which]
        wrong = np.stack([draw.wrong[k] for draw in draws])
        true[each, order] += padded[1, which] * wrong[:, None, :]
        metres, hours = metres + length[which], hours + time[which]
        gone = (used.max(axis=2) >= case.retire).mean(axis=1)
        retire = np.where(np.isnan(retire) & (gone > 0.0), metres, retire)
        half = np.where(np.isnan(half) & (gone >= HALF), metres, half)
        for season, rod in np.argwhere((true >= strong).any(axis=2)):
            broke[season].append(float(metres[season]))
            if np.isnan(first_break[season]):
                first_break[season] = hours[season]
            true[season, rod] = believed[season, rod] = 0.0
            drawn = draws[season].strength
            strong[season, rod] = drawn[fresh[season] % len(drawn)]
            fresh[season] += 1
        told = np.isfinite(retire) & np.isfinite(first_break)
        if (told & (np.isfinite(half) | (name == POLICIES[0]))).all():
            break
    most = max(map(len, broke), default=0)
    at = np.array([[*some, *[np.inf] * (most - len(some))] for some in broke])
    return retire, first_break, at.reshape(seasons, most), half


def _orders(
    case: TurningCase, name: str, bore: int, draws: Sequence[_Draw], believed: Floats,
    average: Floats,
) -> NDArray[np.int64]:  # fmt: skip
    """Rods in order of use, the lead first, of every season."""
    kept = np.arange(case.rods)
    if name == "random":
        return np.stack([draw.orders[bore] for draw in draws])
    if name == PLANNED:
        # On the mean of all bores: nobody knows the next one's bends beforehand. The rod nearest
        # to breaking goes where least is added, the next where a little more is.
        near = hazard(believed, case.slopes) @ average.mean(axis=0)
        places = np.argsort(-average.sum(axis=1), kind="stable")
        chosen = np.empty(near.shape, dtype=np.int64)
        chosen[:, places] = np.argsort(near, axis=1, kind="stable")
        return chosen
    step = {"lead_moved": 1, "rows_turned": case.row}.get(name, 0)
    return np.tile(np.roll(kept, -step * bore), (len(draws), 1))


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
