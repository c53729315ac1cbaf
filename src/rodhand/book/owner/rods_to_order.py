"""What to order for the booked work and by when; rods a declared past puts over the line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.owner.on_the_way import OnTheWay
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome
from rodhand.book.work.lacking import Lacking, lacking, lacking_rods
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing

A, M = Standing.ASSUMED, Standing.MEASURED


def rods_to_order(
    assessment: Assessment, rig: str, rod_type: str, bores: Sequence[BoreToCome],
    short_of: Sequence[Figure], told: bool,
) -> tuple[Sentence, list[Sentence], list[Lacking]]:  # fmt: skip
    """What to order and by when; nothing is guessed where day or lead time is unknown.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig, rod_type : str
        The rig and the type of its rods.
    bores : sequence of BoreToCome
        Its booked bores.
    short_of : sequence of Figure
        Rods short of each, to the most.
    told : bool
        Whether the wear of all of them is told.

    Returns
    -------
    tuple
        The order; what cannot be told of it; the price and the days to come nobody gave.
    """
    if not bores:
        return Sentence("forecast.none_booked", {"rig": rig}), [], []
    short = [
        (bore, each) for bore, each in zip(bores, short_of, strict=True) if (each.high or 0.0) > 0.0
    ]
    unknown: list[Sentence] = []
    lacked = list(lacking_rods(assessment, {rod_type}))
    if not short:
        return Sentence("forecast.enough" if told else "forecast.not_told", {"rig": rig}), [], []
    first = short[0][0]
    sure = max(each.value or 0.0 for _, each in short)
    most = max(each.high or 0.0 for _, each in short)
    own, prices = f"forecast.{rig}.order", owner_prices(assessment)
    price = prices.rod(rod_type)
    values: dict[str, str | Figure] = {
        "rig": rig, "rod_type": rod_type, "bore": first.name,
        "count": Figure(f"{own}.count", sure, "count", A),
        "most": Figure(f"{own}.most", most, "count", A),
    }  # fmt: skip
    if price is not None:
        values["cost"] = Figure(f"{own}.cost", most * price, "money", A)
        values["currency"] = prices.currency
        unknown.append(Sentence("forecast.cost", values))
    lead = prices.lead(rod_type)
    if lead is None:
        lacked.append(lacking(prices, "lead", rod_type))
    if not first.day:
        unknown.append(Sentence("forecast.no_day", {"bore": first.name}))
    if lead is None or not first.day:
        return Sentence("forecast.order", values), unknown, lacked
    by = (date.fromisoformat(first.day) - timedelta(days=lead)).isoformat()
    values |= {"day": by, "lead": Figure(f"{own}.lead", float(lead), "count", M)}
    late = by < assessment.today[:10]
    return Sentence("forecast.order_late" if late else "forecast.order_by", values), unknown, lacked


def declared_past(
    assessment: Assessment, rig: str, rods: Iterable[OnTheWay], needs: Iterable[float]
) -> list[Sentence]:
    """How many rods counted as under the line lie over it with the past declared for them.

    And how many would be short for the bore that needs most if they were left out.
    """
    line = assessment.thresholds.retire
    taken = [rod for rod in rods if rod.taken]
    count = sum(
        not rod.crosses(line)
        and float(np.max([c.factor for c in rod.history.classes] * rod.used.design)) >= line
        for rod in taken
    )  # fmt: skip
    if not count:
        return []
    under = sum(not rod.crosses(line) for rod in taken) - count
    short = max((need - under for need in needs), default=0.0)
    values: dict[str, str | Figure] = {
        "count": Figure(f"forecast.{rig}.declared", float(count), "count", A),
        "short": Figure(f"forecast.{rig}.declared_short", max(short, 0.0), "count", A),
    }
    return [Sentence("forecast.declared_short" if short > 0.0 else "forecast.declared", values)]
