"""Damage of one bore in a thousand samples: bends, hole, turns and make-up as they may have been.

The bends come from their distribution given all readings, laid through the string (model 2);
nothing is added to a bend as read. All rods of a bore share its bends, its hole and the error of
its turns, so the difference between two rods is far surer than what either has used.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.wear.belief import LAID, THREE, BoreBelief, HeadingRead, PassBelief
from rodhand.wear.damage import damage_per_turn
from rodhand.wear.sample_draws import (
    CHUNK,
    SAMPLES,
    seed_of,
    spread_evenly,
    standard_normal,
    stream,
)

Floats = NDArray[np.float64]

TURNS_SEED = seed_of("turns")
"""One wrong habit is wrong in every bore: the error of a rung is shared by all bores."""
TINY = 1e-60
"""Least power that is divided by. [1/m^slope]"""


@dataclass(frozen=True, eq=False)
class Sampled:
    """Damage on the mean curves, sample by sample.

    Parameters
    ----------
    low : (n, r, 5) array of float
        Without passes that may not have happened. [-]
    high : (n, r, 5) array of float
        With all passes. [-]
    """

    low: Floats
    high: Floats

    @property
    def digest(self) -> str:
        """SHA-256 over every bit of the samples."""
        whole = hashlib.sha256(np.ascontiguousarray(self.low).tobytes())
        whole.update(np.ascontiguousarray(self.high).tobytes())
        return whole.hexdigest()


Chunk = tuple[BoreBelief, int]
"""A bore and the number of one of its chunks."""


def sample_bore(
    bore: BoreBelief,
    count: int = SAMPLES,
    run: Callable[[Callable[[Chunk], Sampled], list[Chunk]], Iterable[Sampled]] = map,
) -> Sampled:
    """Damage of a bore's members in every sample.

    Parameters
    ----------
    bore : BoreBelief
        The bore.
    count : int
        Samples: `CHUNK`, or as many of `SAMPLES` as make whole chunks. [1]
    run : callable
        How chunks are worked: `map`, or the ``map`` of a pool of processes.

    Returns
    -------
    Sampled
        The same to the last bit whichever way the chunks were worked.

    Raises
    ------
    ValueError
        If the count is no whole number of chunks, or more than `SAMPLES`.
    """
    if count % CHUNK or not 0 < count <= SAMPLES:
        raise ValueError(f"samples come in chunks of {CHUNK} up to {SAMPLES}, not {count}")
    found = list(run(sample_chunk, [(bore, number) for number in range(count // CHUNK)]))
    return Sampled(
        np.concatenate([each.low for each in found]), np.concatenate([each.high for each in found])
    )


def sample_chunk(work: Chunk) -> Sampled:
    """Damage of a bore's members in the samples of one chunk.

    Parameters
    ----------
    work : tuple of BoreBelief and int
        The bore, and the number of the chunk.

    Returns
    -------
    Sampled
        `CHUNK` samples.
    """
    bore, number = work
    low: Floats = np.zeros(())
    high: Floats = np.zeros(())
    for each in bore.passes:
        damage = damage_at_best_turns(bore, each, number)
        damage *= turns_over_best(each, number)[:, None, None]
        damage *= make_up_over_taken(bore, each, number)
        high = high + damage
        low = low + (0.0 if each.may_be_none else damage)
    return Sampled(np.broadcast_to(low, high.shape).copy(), high)


def _part(number: int) -> slice:
    return slice(number * CHUNK, (number + 1) * CHUNK)


def damage_at_best_turns(
    bore: BoreBelief, each: PassBelief, number: int, heading: HeadingRead | None = None
) -> Floats:
    """Damage of one pass in the samples of one chunk; turns and make-up as taken.

    Parameters
    ----------
    bore : BoreBelief
        The bore.
    each : PassBelief
        One of its passes.
    number : int
        Number of the chunk.
    heading : HeadingRead, optional
        Had heading been read at every rod.

    Returns
    -------
    (CHUNK, r, s) array of float
        On the mean curve, turns and make-up as taken. [-]
    """
    powers = _powers(bore, each, number, heading)
    harder = spread_evenly(bore.seed, "ground")[_part(number)]
    found = np.empty((CHUNK, *each.stiffness.shape))
    for j in range(found.shape[2]):
        rates = _rates(each, j)
        ends = [
            np.sum([powers[m][:, j] @ (turns[:, j] * rate).T for m, rate in rates.items()], axis=0)
            for turns in _apart(each.turns)
        ]
        found[:, :, j] = ends[0] if len(ends) == 1 else _between(np.stack(ends), harder)
    return found


def _apart(turns: Floats) -> list[Floats]:
    """The three sets of turns, or the one they all are."""
    return [turns[1]] if (turns == turns[1]).all() else list(turns)


def _rates(each: PassBelief, section: int) -> dict[float, Floats]:
    """What one turn costs at a bend of 1/m, (r, m), by exponent: 0 where the other slope holds."""
    curve, m = each.curves[section], each.size.shape[1]
    slopes = [curve.slope] if curve.second_slope is None else [curve.slope, curve.second_slope]
    return {
        slope: damage_per_turn(
            each.stiffness[:, section],
            {other: np.full(m, float(other == slope)) for other in slopes},
            each.size[section],
            curve,
            "mean",
        )
        for slope in slopes
    }


def _powers(
    bore: BoreBelief, each: PassBelief, number: int, heading: HeadingRead | None
) -> dict[float, Floats]:
    """Powers of the bend of every section in every sample, (CHUNK, s, m). [1/m^slope]"""
    bend, factors = each.scatter.bend, each.scatter.factors
    normal = drawn_factors(bore, each, number, heading)
    flat = factors.reshape(-1, factors.shape[-1])
    moved = bend + (normal @ flat.T).reshape(CHUNK, *bend.shape)
    size = np.sqrt((moved**2).sum(axis=-1))
    hole = spread_evenly(bore.seed, "hole")[_part(number)]
    force = spread_evenly(bore.seed, "force")[_part(number)]
    found = {}
    for slope, rows in each.powers.items():
        middle = each.scatter.expected(slope)
        power = size**slope / np.maximum(middle, TINY)
        wide = np.broadcast_to(rows[:, None], (3, CHUNK, *rows.shape[1:]))
        power *= rows[1] if (rows == rows[0]).all() else _between(wide, hole)
        if each.by_force:
            usual = np.maximum(each.by_force[slope], TINY) / np.maximum(rows[1], TINY)
            power *= np.exp(force[:, None, None] * np.log(usual))
        found[slope] = power
    return found


def _between(rows: Floats, at: Floats) -> Floats:
    """Between low, usual and high of each sample, by straight lines of their ln; see `THREE`."""
    place = np.interp(at, THREE, np.arange(3.0))
    under = np.minimum(place.astype(np.int64), 1)
    part = (place - under).reshape(-1, *(1,) * (rows.ndim - 2))
    index = np.arange(len(at))
    return np.asarray(rows[under, index] ** (1.0 - part) * rows[under + 1, index] ** part)


def drawn_factors(
    bore: BoreBelief, each: PassBelief, number: int, heading: HeadingRead | None = None
) -> Floats:
    """Factors of the hole in the samples of one chunk. (CHUNK, q) [-]"""
    count = each.scatter.factors.shape[-1]
    normal = stream(bore.seed, each.factors, number).standard_normal((CHUNK, count))
    if heading is None or each.factors != LAID:
        return normal
    return heading.told + normal @ heading.left.T


def turns_over_best(each: PassBelief, number: int) -> Floats:
    """Turns over the best turns in the samples of one chunk. (CHUNK,) [-]"""
    normal = standard_normal(TURNS_SEED, each.rung)[_part(number)]
    return np.asarray(np.exp(each.turns_sigma * normal))


def make_up_over_taken(bore: BoreBelief, each: PassBelief, number: int) -> Floats:
    """Damage over that at the make-up taken, in the samples of one chunk. (CHUNK or 1, r, s)"""
    if (each.least >= 1.0).all():
        return np.ones((1, *each.least.shape))
    less = spread_evenly(bore.seed, "make-up")[_part(number)]
    slopes = np.array([curve.slope for curve in each.curves])
    return np.asarray(np.exp(less[:, None, None] * slopes * np.log(each.least)))
