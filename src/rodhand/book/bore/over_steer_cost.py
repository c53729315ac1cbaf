"""What one over-steer cost: life of rods, rods to check, minutes; money at the owner's prices."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.taken_where import inside, taken_where
from rodhand.book.tasks.standings import recorded_sums
from rodhand.book.tasks.task_parts import minutes_for, not_looked_since
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.happenings import OverSteer, over_steers
from rodhand.book.work.over_limits import LimitedBend
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing

Floats = NDArray[np.float64]
A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
LOOK = "full-look"
"""The look every rod that turned through an over-steer is due."""


@dataclass(frozen=True)
class OverSteerCost:
    """One over-steer.

    figures: lives (rods' lives it took, low to high), share (of what the bore took), worst (share
    of its life from the rod that took most), rods (turned through it), left (of those still in use
    without a full look since), minutes (of those looks), past_line (rods it alone brought over the
    retire line), cost (lives at the price of a new rod), wait (the rig standing while the looks
    are made); the last two are None where the price lacks.
    """

    bore: str
    station: float
    what: str
    when: str
    lines: tuple[Sentence, ...]
    figures: Figures


def over_steer_cost(assessment: Assessment, over: OverSteer) -> OverSteerCost:
    """What one over-steer cost.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    over : OverSteer
        A bend over or likely over its limit.

    Returns
    -------
    OverSteerCost
        Life is what all passes took in this bend, in whole and not only what lies beyond the
        limit; each place counts with the section that is worst over the whole bore. A string lies
        stiffer than its hole and spreads a sharp bend over its neighbours, so a rod's length
        before and behind the bend counts with it (ours).
    """
    bend, work = over.bend, assessment.works[over.bore]
    own = f"over_cost.{over.bore}.{bend.station}.{bend.what.replace(' ', '_')}"
    taken = taken_where(assessment, over.bore)
    by_place = taken.between(*_spread(work, bend))
    low, best, high = (float(each) for each in by_place.sum(axis=1))
    whole = float(taken.lives(0.0, np.inf)[1])
    worst = by_place.max(axis=1) if by_place.size else np.zeros(3)
    left = len(not_looked_since(assessment, over.things, over.when))
    minutes = 60.0 * minutes_for(assessment, LOOK, left) if left else 0.0
    prices = owner_prices(assessment)
    price, hour = prices.rod(work.rod_type.name), prices.rig_hour
    cost = (None,) * 3 if price is None else (best * price, low * price, high * price)
    figures = {
        "lives": Figure(f"{own}.lives", best, "fine_rods_used", C, low, high),
        "share": Figure(f"{own}.share", best / whole if whole > 0.0 else None, "share", C),
        "worst": Figure(f"{own}.worst", float(worst[1]), "fine_share", C, float(worst[0]),
                        float(worst[2])),
        "rods": Figure(f"{own}.rods", float(len(over.things)), "count", C),
        "left": Figure(f"{own}.left", float(left), "count", C),
        "minutes": Figure(f"{own}.minutes", minutes, "minutes", A),
        "past_line": Figure(f"{own}.past_line", float(_brought_over(assessment, over)), "count", C),
        "cost": Figure(f"{own}.cost", cost[0], "money", A, *cost[1:]),
        "wait": Figure(f"{own}.wait", None if hour is None else minutes / 3600.0 * hour, "money",
                       A),
    }  # fmt: skip
    return OverSteerCost(
        over.bore, float(bend.station), bend.what, over.when, _told(figures, prices.currency),
        figures,
    )  # fmt: skip


def _spread(work: BoreWork, bend: LimitedBend) -> tuple[float, float]:
    """Where along the hole a bend is felt. [m]"""
    return bend.start - work.rod_type.length, bend.end + work.rod_type.length


def _told(figures: Figures, currency: str) -> tuple[Sentence, ...]:
    values: dict[str, str | Figure] = {**figures, "currency": currency}
    lines = [
        Sentence("over_cost.lives", values),
        Sentence("over_cost.no_price" if figures["cost"].value is None
                 else "over_cost.money" if currency else "over_cost.bare", values),
        Sentence("over_cost.looks" if figures["left"].value else "over_cost.looked", values),
    ]  # fmt: skip
    if figures["left"].value and figures["wait"].value is not None:
        lines.append(Sentence("over_cost.wait" if currency else "over_cost.wait_bare", values))
    if figures["past_line"].value:
        lines.append(Sentence("over_cost.past_line", values))
    return tuple(lines)


def _brought_over(assessment: Assessment, over: OverSteer) -> int:
    """Rods over the retire line by recorded work that lie under it without this bend."""
    who, found = assessment.who.get(over.bore), 0
    if who is None:
        return 0
    design = _design_by_place(assessment, over.bore, over.bend)
    for place, took in enumerate(design, 1):
        rods = next((group.rods for group in who.groups if place in group.places), ())
        history = assessment.histories.get(rods[0]) if len(rods) == 1 else None
        if history is None:
            continue
        factors = np.array([each.factor for each in history.classes])
        used = recorded_sums(history).design
        line = assessment.thresholds.retire
        found += bool(np.max(factors * used) >= line > np.max(factors * (used - took)))
    return found


def _design_by_place(assessment: Assessment, bore: str, bend: LimitedBend) -> list[Floats]:
    """Life used on the design curve in one bend, recorded passes alone, by place and section."""
    work = assessment.works[bore]
    found = [np.zeros(5) for _ in range(work.rod_count)]
    for each, powers, damage in zip(work.passes, work.powers, work.damages, strict=True):
        if not each.recorded:
            continue
        taken = damage.by_stretch @ inside(powers.edges, *_spread(work, bend))
        for row, member in enumerate(each.leg.order.members):
            if member.key.startswith("place "):
                found[int(member.key.removeprefix("place ")) - 1] += taken[row]
    return found


def over_steer_costs(assessment: Assessment) -> tuple[OverSteerCost, ...]:
    """Every over-steer of the book with what it cost, newest first."""
    newest = sorted(over_steers(assessment), key=lambda each: each.when, reverse=True)
    return tuple(over_steer_cost(assessment, over) for over in newest)
