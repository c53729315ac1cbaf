"""What a bore to come is expected to take of each place, from this rig's past bores."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.planned_wear import PlannedWear, planned_wear
from rodhand.book.tasks.set_tasks import bores_of_rig
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.moments import places_alone
from rodhand.record.plan_checks import LONGEST_BORE
from rodhand.wear.life_used import NINETY_PERCENT, Contribution
from rodhand.wear.sections import SECTIONS

OF_THE_GROUND = 2
"""Past bores in the same ground from which only those count (ours). [-]"""
KINDS = ("design", "low", "best", "high")
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Expected:
    """What a bore to come takes of each place from the tool.

    Parameters
    ----------
    places : tuple of Contribution
        One a place; best and design: mean of the past bores, low and high: least and most of them.
    hard : tuple of Contribution
        As the hardest past bore would take of each place, design too.
    past : tuple of str
        The past bores it rests on.
    same_ground : bool
        Whether they were all drilled in the ground that is booked.
    by_plan : bool
        Whether it rests on the bore's own plan instead.
    """

    places: tuple[Contribution, ...]
    hard: tuple[Contribution, ...]
    past: tuple[str, ...]
    same_ground: bool
    by_plan: bool = False


@lru_cache(maxsize=256)
def taken_by_place(assessment: Assessment, name: str) -> Floats:
    """What a past bore took of each place: place by (design, low, best, high) by section. [-]"""
    work = assessment.works[name]
    alone = places_alone(work, "")
    found = np.zeros((work.rod_count, len(KINDS), len(SECTIONS)))
    for place in range(work.rod_count):
        did = alone.get(place_key(place + 1))
        for part in did.contributions if did else ():
            found[place] += np.array([getattr(part, kind) for kind in KINDS])
    return found


def expected_wear(assessment: Assessment, bore: BoreToCome, rods: int) -> Expected | None:
    """What a bore to come is expected to take of each place.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    bore : BoreToCome
        With a length.
    rods : int
        How many stand in its hole.

    Returns
    -------
    Expected or None
        By the bore's own plan where it has one a path of which is possible. Else a place takes
        what the place as far along the string took in each past bore, times the new length over
        the old; None where the rig has no past bore or the length is unknown.
    """
    if bore.plan is not None and rods >= 1:
        wear = planned_wear(assessment, bore.plan)
        if wear is not None:
            return _by_plan(bore.name, wear, rods)
    done = [n for n in bores_of_rig(assessment, bore.rig) if assessment.works[n].hole.length > 0.0]
    same = [name for name in done if assessment.works[name].bore.ground == bore.ground]
    past = same if bore.ground != "unknown" and len(same) >= OF_THE_GROUND else done
    if not past or bore.length is None or rods < 1:
        return None
    each = np.stack([
        stretched(taken_by_place(assessment, name), rods)
        * (bore.length / assessment.works[name].hole.length)
        for name in past
    ])  # fmt: skip
    mean, least, most = each.mean(axis=0), each.min(axis=0), each.max(axis=0)
    return Expected(
        tuple(_part(bore.name, mean[p], mean[p], least[p], most[p]) for p in range(rods)),
        tuple(_part(bore.name, most[p], most[p], least[p], most[p]) for p in range(rods)),
        tuple(past),
        len(past) == len([name for name in same if name in past]) and bore.ground != "unknown",
    )  # fmt: skip


def _by_plan(name: str, wear: PlannedWear, rods: int) -> Expected:
    """As planned; hard with turns and steering at the upper end of their 90 % band."""
    taken = stretched(np.stack([wear.summed(kind) for kind in KINDS], axis=1), rods)
    sigma = np.array(
        [max((np.hypot(c.turns_sigma, c.bend_error.max()) for c in p), default=0.0)
         for p in wear.parts]
    )  # fmt: skip
    worse = stretched(np.exp(NINETY_PERCENT * sigma)[:, None], rods)[:, 0]
    return Expected(
        tuple(_part(name, t, t, t, t) for t in taken),
        tuple(_part(name, w * t, w * t, t, w * t) for t, w in zip(taken, worse, strict=True)),
        (), same_ground=True, by_plan=True,
    )  # fmt: skip


def stretched(taken: Floats, rods: int) -> Floats:
    """Values by place put on a string of so many rods, by share of the string."""
    old = (np.arange(len(taken)) + 0.5) / len(taken)
    new = (np.arange(rods) + 0.5) / rods
    flat = taken.reshape(len(taken), -1)
    columns = [np.interp(new, old, column) for column in flat.T]
    return np.stack(columns, axis=1).reshape(rods, *taken.shape[1:])


def anywhere(parts: Sequence[Contribution], rods: int) -> Contribution:
    """What one of so many rods takes where nobody knows its place: mean, none to the worst."""
    whole = [np.sum([getattr(each, kind) for each in parts], axis=0) for kind in ("design", "best")]
    share = 1.0 / max(rods, len(parts))
    worst = np.max([each.high for each in parts], axis=0)
    none = np.zeros(len(SECTIONS))
    low = np.min([each.low for each in parts], axis=0) if rods <= len(parts) else none
    return _made(parts[0].source, whole[0] * share, whole[1] * share, low, worst)


def _part(source: str, design: Floats, best: Floats, least: Floats, most: Floats) -> Contribution:
    rows = [KINDS.index(kind) for kind in KINDS]
    return _made(source, design[rows[0]], best[rows[2]], least[rows[1]], most[rows[3]])


def _made(source: str, design: Floats, best: Floats, low: Floats, high: Floats) -> Contribution:
    return Contribution(
        source=source, design=design, low=low, best=best, high=high,
        bend_error=np.zeros(len(SECTIONS)), turns_rung="expected", turns_sigma=0.0, assumed=1.0,
    )  # fmt: skip


def rods_needed(bore: BoreToCome, rod_length: float | None) -> int | None:
    """Rods a bore to come takes, none in spare; None where a length is unknown or no bore's."""
    if bore.length is None or bore.length > LONGEST_BORE or not rod_length:
        return None
    return math.ceil(bore.length / rod_length - 1e-9)
