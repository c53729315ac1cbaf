"""When a rig's rods run down: how many more bores like its past ones until too few are left."""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.expected_wear import Expected, anywhere, expected_wear, rods_needed
from rodhand.book.owner.on_the_way import OnTheWay
from rodhand.book.tasks.set_tasks import bores_of_rig
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome
from rodhand.book.work.days import day_of
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing

YEAR = 365
LATEST = 10.0
"""Years after which no day is told any more (ours)."""
A, C = Standing.ASSUMED, Standing.COMPUTED


def runs_down(
    assessment: Assessment, rig: str, rod_type: str, rod_length: float | None,
    rods: Iterable[OnTheWay],
) -> tuple[Sentence, ...]:  # fmt: skip
    """When fewer rods lie under the retire line than a bore like the rig's past ones needs.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig, rod_type : str
        The rig and the type of its rods.
    rod_length : float or None
        Of one rod. [m]
    rods : iterable of OnTheWay
        Its rods after the booked bores.

    Returns
    -------
    tuple of Sentence
        Bores are as long as the rig's past ones on average and take of each place what those took
        (at the earliest: what the hardest took); nobody turns the rows. The day goes by the bores
        of the last year. Nothing without a past bore.
    """
    past = [assessment.works[each] for each in bores_of_rig(assessment, rig)]
    if not past or rod_length is None:
        return ()
    like = BoreToCome("", rig, sum(work.hole.length for work in past) / len(past))
    need = rods_needed(like, rod_length)
    expected = None if need is None else expected_wear(assessment, like, need)
    if need is None or expected is None:
        return ()
    every, line = list(rods), assessment.thresholds.retire
    ends = [
        falls_after(
            [_bores_left(r, expected, len(every), line, hard) for r in every if r.taken], need
        )
        for hard in (False, True)
    ]
    own, today = f"forecast.{rig}.falls", date.fromisoformat(assessment.today[:10])
    since = (today - timedelta(days=YEAR)).isoformat()
    a_year = sum(day_of(work.bore.origin.happened.start) > since for work in past)
    values: dict[str, str | Figure] = {
        "rig": rig,
        "rod_type": rod_type,
        "past": Figure(f"{own}.past", float(len(past)), "count", C),
        "need": Figure(f"{own}.need", float(need), "count", C),
        "pace": Figure(f"{own}.pace", float(a_year), "count", C),
        "bores": Figure(f"{own}.bores", ends[0], "count", A),
        "least": Figure(f"{own}.least", ends[1], "count", A),
    }
    if ends[0] is None or (a_year and ends[0] / a_year > LATEST):
        return (Sentence("forecast.holds", {**values, "years": f"{LATEST:g}"}),)
    if not a_year:
        return (Sentence("forecast.falls", values),)
    day = today + timedelta(days=YEAR * ends[0] / a_year)
    told = [Sentence("forecast.falls_by", {**values, "month": day.isoformat()[:7]})]
    lead = owner_prices(assessment).lead(rod_type)
    if lead is not None:
        by = (day - timedelta(days=lead)).isoformat()[:7]
        days = Figure(f"{own}.lead", float(lead), "count", Standing.MEASURED)
        told.append(Sentence("forecast.falls_order", {**values, "month": by, "lead": days}))
    return tuple(told)


def falls_after(lefts: Iterable[float], need: int) -> float | None:
    """After how many bores fewer than ``need`` rods are left; None where that never comes.

    Parameters
    ----------
    lefts : iterable of float
        Of each rod, after how many bores it reaches its line; infinite where it never does.
    need : int
        Rods a bore needs.

    Examples
    --------
    >>> falls_after([1.0, 4.2, 10.0], 2)
    5.0
    """
    longest = sorted(lefts, reverse=True)
    if len(longest) < need:
        return 0.0
    left = longest[need - 1]
    return None if math.isinf(left) else float(math.ceil(max(left, 0.0) - 1e-9))


def _bores_left(rod: OnTheWay, expected: Expected, rods: int, line: float, hard: bool) -> float:
    """After how many such bores a rod's worst section reaches its line. [-]"""
    places = expected.hard if hard else expected.places
    if rod.place is not None and rod.place > len(places):
        return math.inf
    part = anywhere(places, rods) if rod.place is None else places[rod.place - 1]
    factors = np.array([each.factor for each in rod.history.classes])
    room = line / factors - (rod.hard if hard else rod.recorded)
    with np.errstate(divide="ignore", invalid="ignore"):
        lefts = np.where(room <= 0.0, 0.0, np.where(part.design > 0.0, room / part.design, np.inf))
    return float(lefts.min())
