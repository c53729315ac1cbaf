"""Set against set: how fast each wears, and whether ground, turning or bends are the reason."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.units import Figure, Standing

C, M = Standing.COMPUTED, Standing.MEASURED
LIKE = 1.1
"""A set within this factor of all sets together wears like them (ours). [-]"""


@dataclass(frozen=True)
class Work:
    """What rods did in one ground: rod-metres travelled, turns, life used. [m], [turns], [-]"""

    metres: float = 0.0
    turns: float = 0.0
    wear: float = 0.0

    def plus(self, other: Work) -> Work:
        """Both together."""
        return Work(
            self.metres + other.metres, self.turns + other.turns, self.wear + other.wear
        )  # fmt: skip


@dataclass(frozen=True)
class Apart:
    """A set's wear per metre over that of all sets, and its three factors. [-]"""

    whole: float
    ground: float
    turning: float
    bends: float


@dataclass(frozen=True)
class SetAgainst:
    """One set; figures: metres (rod-metres), wear (life used per 1,000 m), whole, ground, turning,
    bends (times that of all sets)."""

    name: str
    line: Sentence
    figures: Figures


def apart(own: dict[str, Work], everyone: dict[str, Work]) -> Apart | None:
    """Take a set's wear per metre apart.

    Parameters
    ----------
    own, everyone : dict of str to Work
        By ground; ``everyone`` holds ``own``.

    Returns
    -------
    Apart or None
        ``whole`` = ``ground`` x ``turning`` x ``bends``. ``ground``: what all sets' rates would
        give on this set's grounds; ``turning``: its turns over those rates' turns; ``bends``: what
        is left, life used a turn in the same ground. None where something is 0.
    """
    mine, all_ = (sum_of(list(each.values())) for each in (own, everyone))
    rate = {g: (w.wear / w.metres, w.turns / w.metres) for g, w in everyone.items() if w.metres > 0}
    wear = sum(work.metres * rate[ground][0] for ground, work in own.items() if ground in rate)
    turns = sum(work.metres * rate[ground][1] for ground, work in own.items() if ground in rate)
    if min(mine.metres, mine.turns, mine.wear, all_.wear, wear, turns) <= 0.0:
        return None
    usual = all_.wear / all_.metres
    turning = mine.turns / turns
    return Apart(
        mine.wear / mine.metres / usual, wear / mine.metres / usual, turning,
        mine.wear / wear / turning,
    )  # fmt: skip


def sum_of(works: list[Work]) -> Work:
    """All of them together."""
    whole = Work()
    for each in works:
        whole = whole.plus(each)
    return whole


def sets_against(assessment: Assessment) -> tuple[SetAgainst, ...]:
    """Every set with work on record against all of them together.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    tuple of SetAgainst
        Empty with fewer than two such sets of one rod type. Wear is best, of each rod's worst
        section. Work before the book is in none of it.
    """
    by_type: dict[str, dict[str, dict[str, Work]]] = defaultdict(dict)
    for name, each in assessment.book.sets.items():
        done = _by_ground(assessment, each.things)
        if done:
            by_type[each.rod_type][name] = done
    rows = []
    for sets in by_type.values():
        everyone: dict[str, Work] = {}
        for done in sets.values():
            for ground, work in done.items():
                everyone[ground] = everyone.get(ground, Work()).plus(work)
        for name, done in sets.items() if len(sets) > 1 else ():
            rows.append(_row(name, sum_of(list(done.values())), apart(done, everyone)))
    return tuple(rows)


def _by_ground(assessment: Assessment, keys: tuple[str, ...]) -> dict[str, Work]:
    found: dict[str, Work] = {}
    for key in keys:
        history = assessment.histories.get(key)
        if history is None or not history.bores:
            continue
        parts = [c.best for bore in history.bores for c in bore.contributions]
        section = int(np.argmax(np.sum(parts, axis=0)))
        for bore in history.bores:
            wear = sum(float(each.best[section]) for each in bore.contributions)
            if all(map(math.isfinite, (bore.metres, bore.turns, wear))):
                ground = assessment.works[bore.bore].bore.ground
                did = Work(bore.metres, bore.turns, wear)
                found[ground] = found.get(ground, Work()).plus(did)
    return found


def _row(name: str, done: Work, parts: Apart | None) -> SetAgainst:
    own = f"against.{name}"
    rate = done.wear / done.metres * 1000.0 if done.metres > 0.0 else None
    figures = {
        "metres": Figure(f"{own}.metres", done.metres, "distance", C),
        "wear": Figure(f"{own}.wear", rate, "fine_rods_used", C),
    }
    for each in ("whole", "ground", "turning", "bends"):
        value = getattr(parts, each) if parts else None
        figures[each] = Figure(f"{own}.{each}", value, "fine_factor", C)
    values: dict[str, str | Figure] = {"set": name, **figures}
    return SetAgainst(name, Sentence(f"against.{_why(parts)}", values), figures)


def _why(parts: Apart | None) -> str:
    """What sets it apart most, in the direction it is apart."""
    if parts is None:
        return "unknown"
    if 1.0 / LIKE <= parts.whole <= LIKE:
        return "like"
    more = parts.whole > 1.0
    named = {each: getattr(parts, each) for each in ("ground", "turning", "bends")}
    reason = max(named, key=lambda each: named[each] if more else -named[each])
    return f"{'more' if more else 'less'}_{reason}"
