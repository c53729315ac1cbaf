"""What would narrow the band of life used most: one input measured, all others as they are.

An input measured takes its place with the error it is measured with; the band is worked out again
with the same random numbers. What heading would have shown is not known, so the mean over bends
it may show is taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.turns import SIGMA_LN_TURNS, TurnRung
from rodhand.hole.bend_posterior import root_of
from rodhand.wear.belief import BoreBelief, HeadingRead, PassBelief
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN
from rodhand.wear.sample_draws import CHUNK, standard_normal, stream
from rodhand.wear.sampled_points import mixture_point
from rodhand.wear.sampling import TINY, damage_at_best_turns, make_up_over_taken, turns_over_best

Floats = NDArray[np.float64]

HEADING_SD = math.radians(0.5)
"""Error of one heading read (common practice, no source). [rad]"""
PAST_SIGMA = SIGMA_LN_TURNS[TurnRung.OWN_PAST]
"""Standard deviation of ln damage of work before the book once its hours were read off a meter: as
turns per metre of the rig's own past (ours). [-]"""
SIGNS = (1.0, -1.0)
"""One set of bends a measured heading may show, and its opposite, stand for all. [1]"""
LOW, HIGH = 0.05, 0.95


@dataclass(frozen=True)
class Known:
    """What would have been measured.

    Parameters
    ----------
    turns : TurnRung or None
        Every recorded pass at least as well as on this rung.
    passes, hole, make_up, place, heading, past, force : bool
        The passes nobody recorded, size of the hole, make-up torque, the rod's place by its mark,
        heading at every rod, hours of the work before the book, thrust and pull.
    """

    turns: TurnRung | None = None
    passes: bool = False
    hole: bool = False
    make_up: bool = False
    place: bool = False
    heading: bool = False
    past: bool = False
    force: bool = False


NOTHING_MORE = Known()


@dataclass(frozen=True, eq=False)
class RodBelief:
    """One section of one rod in all its bores.

    Parameters
    ----------
    bores : sequence of BoreBelief
        Each with one row for every place the rod may have stood in, and one section.
    past : sequence of (float, float)
        Work no bore of the book holds: damage on the mean curve and standard deviation of its ln.
    sigma : float
        Standard deviation of ln life used from curve, critical sum and stress model. [-]
    """

    bores: Sequence[BoreBelief]
    past: Sequence[tuple[float, float]]
    sigma: float

    @cached_property
    def samples(self) -> tuple[_BoreSamples, ...]:
        """The bores with what was worked of them."""
        return tuple(_BoreSamples(bore) for bore in self.bores)


@dataclass(frozen=True)
class Band:
    """Life used between its 5 and 95 % points. [-]"""

    low: float
    high: float

    @property
    def width(self) -> float:
        """ln(high / low); infinite where low is nothing, 0 where both are. [-]"""
        if self.high <= 0.0:
            return 0.0
        return math.log(self.high / self.low) if self.low > 0.0 else math.inf


def band_of(rod: RodBelief, known: Known = NOTHING_MORE, sign: float = 1.0) -> Band:
    """Life used of a rod's section between its 5 and 95 % points, of `CHUNK` samples.

    Parameters
    ----------
    rod : RodBelief
        The rod.
    known : Known
        What would have been measured besides.
    sign : float
        Which of `SIGNS` a heading shows.

    Returns
    -------
    Band
        Low with the rod in the place that took least and without passes that may not have
        happened, high in the place that took most.
    """
    low, high = damage_of(rod, known, sign)
    sigma = np.array(rod.sigma)
    ends = mixture_point(low, sigma, LOW), mixture_point(high, sigma, HIGH)
    return Band(*(float(each) / CRITICAL_SUM_MEDIAN for each in ends))


def width_of(rod: RodBelief, known: Known) -> float:
    """Width of the band had something been measured; with heading the mean of what it may show."""
    signs = SIGNS if known.heading else SIGNS[:1]
    return sum(band_of(rod, known, sign).width for sign in signs) / len(signs)


def damage_of(
    rod: RodBelief, known: Known = NOTHING_MORE, sign: float = 1.0
) -> tuple[Floats, Floats]:
    """Damage of a rod's section in `CHUNK` samples: least and most by where it may have stood.

    Returns
    -------
    low, high : (CHUNK,) array of float
        On the mean curve. [-]
    """
    low, high = np.zeros(CHUNK), np.zeros(CHUNK)
    for bore in rod.samples:
        least, most = bore.together(known, sign)
        low += least
        high += most
    normal = standard_normal(0, "past", CHUNK)
    for damage, sigma in rod.past:
        # One memory: what is wrong with it is wrong with all of it.
        more = damage * np.exp((min(sigma, PAST_SIGMA) if known.past else sigma) * normal)
        low += more
        high += more
    return low, high


class _BoreSamples:
    """One bore's damage by bends and hole, worked once for each of the ways it is asked for."""

    def __init__(self, bore: BoreBelief) -> None:
        self._bore = bore
        self._worked: dict[tuple[bool, bool, float], list[Floats]] = {}

    def together(self, known: Known, sign: float) -> tuple[Floats, Floats]:
        """Least and most damage over the rod's places, all passes together."""
        bore = self._bore
        low, high = np.zeros((CHUNK, 1)), np.zeros((CHUNK, 1))
        for each, damage in zip(bore.passes, self._by_bends(known, sign), strict=True):
            now = _known_better(each, known)
            make_up = make_up_over_taken(bore, now, 0)[:, :, 0]
            if known.make_up:
                make_up = make_up**0.0 * now.least[:, 0] ** (0.5 * now.curves[0].slope)
            made = damage * make_up * turns_over_best(now, 0)[:, None]
            if known.place:
                middle = made.shape[1] // 2
                made = made[:, middle : middle + 1]
            high = high + made
            low = low + (0.0 if now.may_be_none else made)
        return low.min(axis=1), high.max(axis=1)

    def _by_bends(self, known: Known, sign: float) -> list[Floats]:
        bore = self._bore
        heading = sign if known.heading and bore.flat.any() else 0.0
        key = (known.hole, known.force, heading)
        if key not in self._worked:
            read = self._heading_read(heading)
            self._worked[key] = [
                damage_at_best_turns(bore, _bends_known(each, known), 0, read)[:, :, 0]
                for each in bore.passes
            ]
        return self._worked[key]

    def _heading_read(self, sign: float) -> HeadingRead | None:
        if sign == 0.0:
            return None
        learnt, left = self._with_heading
        normal = stream(self._bore.seed, "may show").standard_normal(len(learnt))
        return HeadingRead(sign * (learnt @ normal), left)

    @cached_property
    def _with_heading(self) -> tuple[Floats, Floats]:
        return heading_read(self._bore)


def _known_better(each: PassBelief, known: Known) -> PassBelief:
    """A pass as it would be known."""
    rung = known.turns
    if each.may_be_none:
        if not known.passes:
            return each
        each = replace(each, may_be_none=False)
        rung = rung or TurnRung.RPM_MINUTES
    if rung is not None and SIGMA_LN_TURNS[rung] < each.turns_sigma:
        return replace(each, turns_sigma=SIGMA_LN_TURNS[rung], rung=str(rung))
    return each


def _bends_known(each: PassBelief, known: Known) -> PassBelief:
    """With the usual size of hole as the measured one, and the force between none and usual."""
    if known.hole and not each.hole_measured:
        one = {m: np.broadcast_to(rows[1], rows.shape) for m, rows in each.powers.items()}
        each = replace(each, powers=one)
    if known.force and each.by_force:
        middle = {m: np.sqrt(rows[1] * each.by_force[m]) for m, rows in each.powers.items()}
        over = {m: middle[m] / np.maximum(rows[1], TINY) for m, rows in each.powers.items()}
        each = replace(
            each, powers={m: rows * over[m] for m, rows in each.powers.items()}, by_force={}
        )
    return each


def heading_read(bore: BoreBelief) -> tuple[Floats, Floats]:
    """What heading at every rod would tell of the factors of a hole, and what it would leave open.

    Parameters
    ----------
    bore : BoreBelief
        The bore.

    Returns
    -------
    learnt, left : (q, q) array of float
        Roots of two covariances that add up to the unit matrix: of the mean the readings would
        show, and of the factors given them. [-]

    Notes
    -----
    Readings are of the running sum of the sideways bends, each with `HEADING_SD`. Exact for
    normal distributions, so on average nothing read widens.
    """
    count = bore.length.size
    running = np.tril(np.ones((count, count))) * bore.length @ bore.sideways
    told = running @ running.T + HEADING_SD**2 * np.eye(count)
    learnt = running.T @ np.linalg.solve(told, running)
    return root_of(learnt), root_of(np.eye(len(learnt)) - learnt)
