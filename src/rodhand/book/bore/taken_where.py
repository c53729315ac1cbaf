"""Where along its hole a bore took what it took of its rods."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.wear.damage import damage_by_stretch

KINDS = ("low", "best", "high")
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class TakenWhere:
    """What a bore took of each place of its string, stretch by stretch, pass by pass.

    Parameters
    ----------
    parts : tuple of (edges, taken)
        Of each pass: ends of the stretches along the hole [m], and life taken in them as
        (low, best, high) by place by stretch, each of the section worst over the whole bore. [-]
    """

    parts: tuple[tuple[Floats, Floats], ...]

    def between(self, start: float, end: float) -> Floats:
        """Life taken from each place between two points of the hole, (low, best, high) by place.

        A stretch that lies there in part counts by its share. [-]
        """
        return np.asarray(sum(taken @ inside(edges, start, end) for edges, taken in self.parts))

    def lives(self, start: float, end: float) -> Floats:
        """Rods' lives taken between two points, all places added up: low, best, high. [-]"""
        return np.asarray(self.between(start, end).sum(axis=1))


def inside(edges: Floats, start: float, end: float) -> Floats:
    """Share of each stretch between two points. [-]"""
    common = np.minimum(edges[1:], end) - np.maximum(edges[:-1], start)
    return np.asarray(np.clip(common, 0.0, None) / np.diff(edges))


@lru_cache(maxsize=256)
def taken_where(assessment: Assessment, name: str) -> TakenWhere:
    """Where a bore took what it took; over all of its hole it is what `taken_by_place` tells.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        A bore that was worked through.
    """
    work = assessment.works[name]
    parts = [_of_pass(assessment, work, number) for number in range(len(work.passes))]
    whole = np.asarray(sum(taken.sum(axis=3) for _, taken in parts))
    worst = np.nan_to_num(whole).argmax(axis=2)[:, :, None, None]
    return TakenWhere(tuple(
        (edges, np.take_along_axis(taken, worst, axis=2)[:, :, 0]) for edges, taken in parts
    ))  # fmt: skip


def _of_pass(assessment: Assessment, work: BoreWork, number: int) -> tuple[Floats, Floats]:
    """Stretches of a pass, and (low, best, high) by place by section by stretch."""
    each, powers = work.passes[number], work.powers[number]
    condition_of, members = assessment.conditions[work.bore.name], each.leg.order.members
    cost = damage_by_stretch(
        each.leg, powers, [work.rod_type] * len(members), [condition_of(m.key) for m in members],
        assessment.curves, work.pin_toward, work.factors[number],
    )  # fmt: skip
    found = np.zeros((len(KINDS), work.rod_count, *cost.best.shape[1:]))
    for row, member in enumerate(members):
        if member.key.startswith("place "):
            place = int(member.key.removeprefix("place "))
            found[:, place - 1] += [getattr(cost, kind)[row] for kind in KINDS]
    return powers.edges, found
