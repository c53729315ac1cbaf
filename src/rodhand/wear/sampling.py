"""Damage of one bore in a thousand samples: bends, hole, turns and make-up as they may have been.

The bends come from their distribution given all readings; nothing is added to a bend as read.
All rods of a bore share its bends, its hole and the error of its turns, so the difference
between two rods is far surer than what either has used.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.curves import MPA, Curve
from rodhand.wear.sample_draws import (
    CHUNK,
    SAMPLES,
    seed_of,
    spread_evenly,
    standard_normal,
    stream,
)

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Booleans = NDArray[np.bool_]

TURNS_SEED = seed_of("turns")
"""One wrong habit is wrong in every bore: the error of a rung is shared by all bores."""
HOLE_SHARES = (0.05, 0.5, 0.95)
"""Probabilities that the three sizes of a hole nobody measured stand for. [-]"""


@dataclass(frozen=True, eq=False)
class Plane:
    """Curvature of the hole in one plane.

    Parameters
    ----------
    mean : (i,) array of float
        Signed mean of each interval. [1/m]
    root : (i, i) array of float
        A matrix whose product with its transpose is the covariance. [1/m]
    """

    mean: Floats
    root: Floats


@dataclass(frozen=True, eq=False)
class PassBelief:
    """One pass as it may have been.

    Parameters
    ----------
    turns : (r, 5, m) array of float
        Best turns of each section in each stretch. [turns]
    stiffness : (r, 5) array of float
        Stress range per curvature of the hole. [Pa m]
    curves : sequence of Curve
        Of the five sections.
    interval : (m,) array of int
        The interval of the hole that holds each stretch.
    rung : str
        Where the turns come from.
    turns_sigma : float
        Standard deviation of ln turns. [-]
    may_be_none : bool
        True for a pass nobody recorded: the low end counts none of it.
    share : (3, m) array of float
        Share of the hole's bend that the rod takes, in a narrow, a usual and a wide hole (see
        `HOLE_SHARES`); all three alike where the hole was measured. [-]
    least : (r, 5) array of float
        The least the stress may have been over what is taken, for joints nobody wrote a make-up
        torque of; 1 elsewhere. [-]
    share_measured : (3, m) array of float or None
        ``share`` had the hole been measured; None where it was. [-]
    """

    turns: Floats
    stiffness: Floats
    curves: Sequence[Curve]
    interval: Integers
    rung: str
    turns_sigma: float
    may_be_none: bool
    share: Floats
    least: Floats
    share_measured: Floats | None = None


@dataclass(frozen=True, eq=False)
class BoreBelief:
    """One bore as it may have been.

    Parameters
    ----------
    seed : int
        Stands for the bore and what was entered of it (see `seed_of`).
    vertical, sideways : Plane
        Curvature of the hole, the planes independent.
    passes : sequence of PassBelief
        In order of the work; one row for each member, the same in all of them.
    flat : (i,) array of bool
        Intervals whose sideways bend nobody read.
    length : (i,) array of float
        Length of each interval. [m]
    """

    seed: int
    vertical: Plane
    sideways: Plane
    passes: Sequence[PassBelief]
    flat: Booleans
    length: Floats


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
    curvature = drawn_curvature(bore, number)
    low: Floats = np.zeros(())
    high: Floats = np.zeros(())
    for each in bore.passes:
        damage = damage_at_best_turns(bore, each, curvature, number)
        damage *= turns_over_best(each, number)[:, None, None]
        damage *= make_up_over_taken(bore, each, number)
        high = high + damage
        low = low + (0.0 if each.may_be_none else damage)
    return Sampled(np.broadcast_to(low, high.shape).copy(), high)


def _part(number: int) -> slice:
    return slice(number * CHUNK, (number + 1) * CHUNK)


def damage_at_best_turns(
    bore: BoreBelief, each: PassBelief, curvature: Floats, number: int
) -> Floats:
    """Damage of one pass in the samples of one chunk, by bends and hole alone.

    Parameters
    ----------
    bore : BoreBelief
        The bore.
    each : PassBelief
        One of its passes.
    curvature : (CHUNK, i) array of float
        As `drawn_curvature` gives it. [1/m]
    number : int
        Number of the chunk.

    Returns
    -------
    (CHUNK, r, s) array of float
        On the mean curve, turns and make-up as taken. [-]
    """
    hole = spread_evenly(bore.seed, "hole")[_part(number)]
    return _damage(each, curvature[:, each.interval] * _share_taken(each.share, hole))


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


def drawn_curvature(bore: BoreBelief, number: int) -> Floats:
    """Curvature of each interval of the hole in the samples of one chunk. [1/m]"""
    planes = []
    for name, plane in (("vertical", bore.vertical), ("sideways", bore.sideways)):
        normal = stream(bore.seed, name, number).standard_normal((CHUNK, plane.mean.size))
        planes.append(plane.mean + normal @ plane.root.T)
    return np.asarray(np.hypot(*planes))


def _share_taken(share: Floats, hole: Floats) -> Floats:
    """Share of the hole's bend a rod takes in a hole of some probability, between three sizes."""
    if (share == share[0]).all():
        return share[:1]
    at = np.interp(hole, HOLE_SHARES, np.arange(3.0))
    under = np.minimum(at.astype(np.int64), 1)
    part = (at - under)[:, None]
    return np.asarray(share[under] * (1.0 - part) + share[under + 1] * part)


def _damage(each: PassBelief, bend: Floats) -> Floats:
    """Damage of every member and section in every sample, turns and make-up at their best."""
    members = each.turns.shape[0]
    found = np.zeros((bend.shape[0], members, each.turns.shape[1]))
    powers: dict[float, Floats] = {}
    for j, curve in enumerate(each.curves):
        kinds, kind_of = np.unique(each.stiffness[:, j], return_inverse=True)
        for k, stiffness in enumerate(kinds):
            who = np.flatnonzero(kind_of == k)
            rate = _rate(float(stiffness), bend, curve, powers)
            found[:, who, j] = rate @ each.turns[who, j].T
    return found


def _rate(stiffness: float, bend: Floats, curve: Curve, powers: dict[float, Floats]) -> Floats:
    """Damage of one turn on the mean curve. [-]"""

    def line(slope: float, log_a: float) -> Floats:
        if slope not in powers:
            powers[slope] = bend**slope
        scale = (stiffness / MPA) ** slope / 10.0 ** (log_a + curve.shift("mean"))
        return np.asarray(powers[slope] * scale)

    first = line(curve.slope, curve.log_a)
    if curve.second_slope is None or curve.second_log_a is None or curve.knee is None:
        return first
    beyond = curve.cycles(stiffness * bend) > curve.knee
    return np.where(beyond, line(curve.second_slope, curve.second_log_a), first)


def mixture_point(damage: Floats, sigma: Floats, probability: float) -> Floats:
    """A point of the distribution of damage times a lognormal, over all samples.

    Parameters
    ----------
    damage : (n, ...) array of float
        Samples, zero or above. [-]
    sigma : (...) array of float
        Standard deviation of ln of the lognormal, median 1. [-]
    probability : float
        Probability of the point, between 0 and 1. [-]

    Returns
    -------
    (...) array of float
        Damage that the product stays under with that probability; 0 where more than that share
        of the samples is 0. [-]

    Notes
    -----
    Solved by halving, to 1e-6 of ln damage: the samples carry bends and turns, and what every
    section has of its own is taken exactly. The point lies between those of the least and the
    largest sample.
    """
    from scipy.special import ndtr, ndtri

    with np.errstate(divide="ignore"):
        ln = np.log(damage)
    known = np.isfinite(ln)
    none = (~known).mean(axis=0)
    nothing = none >= probability
    rest = np.where(nothing, 0.5, (probability - none) / np.maximum(1.0 - none, 1e-9))
    depth = sigma * ndtri(rest)
    low = np.where(nothing, 0.0, np.where(known, ln, np.inf).min(axis=0) + depth)
    high = np.where(nothing, 0.0, np.where(known, ln, -np.inf).max(axis=0) + depth)
    scaled = np.where(known, ln, -1e9) / sigma
    while (high - low).max(initial=0.0) > 1e-6:
        middle = (low + high) / 2.0
        under = ndtr(middle / sigma - scaled).mean(axis=0) < probability
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.where(nothing, 0.0, np.exp((low + high) / 2.0))


def share_above(one: Floats, other: Floats) -> float:
    """Share of the samples in which one is above the other; a tie counts half.

    Parameters
    ----------
    one, other : (n,) array of float
        Samples that belong together.

    Returns
    -------
    float
        From 0 to 1. [-]
    """
    return float(((one > other) + 0.5 * (one == other)).mean())
