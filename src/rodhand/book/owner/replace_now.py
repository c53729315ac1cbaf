"""Risk against replacing now: what a break in a rod's next bore may cost."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.tasks.standings import all_standings
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import booked_work
from rodhand.book.work.box_places import places_now
from rodhand.book.work.prices import owner_prices
from rodhand.book.work.rod_history import RodHistory
from rodhand.book.yard.thing_page import chance_like_last
from rodhand.units import Figure, Standing

AT_MOST = 5
A, M = Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class ReplaceRow:
    """One rod; figures: chance_low, chance_high (one in so many bores), break_low, break_high
    (cost of a break of this rod where it lies in the box now; from the first place to the last
    where that is not known), risk_low, risk_high (that times its chance, which has no one value),
    price (of a new rod)."""

    name: str
    rig: str
    standing: str
    figures: Figures


@dataclass(frozen=True)
class ReplaceView:
    """state: ``no_price``, ``none`` (no chance is told of any rod) or ``rows``; worst first."""

    state: str
    currency: str
    rows: tuple[ReplaceRow, ...]


def replace_view(assessment: Assessment) -> ReplaceView:
    """The rods most likely to break in a bore like their last, in the owner's money.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    ReplaceView
        At most five rods in use and not set aside. A break costs what the owner gave for what the
        rig's next booked bore runs under, and what is lost with it where that has prices. A rod of
        which no chance is told is in no row.
    """
    prices, standings = owner_prices(assessment), all_standings(assessment)
    under: dict[str, str] = {}
    for bore in booked_work(assessment.book):
        under.setdefault(bore.rig, bore.under)
    found: list[tuple[float, ReplaceRow]] = []
    priced = False
    for key in sorted(in_use(assessment) & set(assessment.histories)):
        thing, history = assessment.book.things[key], assessment.histories[key]
        rig = where_of(assessment, thing)
        price = prices.rod(history.rod_type.name)
        cost = _break_ends(assessment, key, history, under.get(rig, ""))
        if cost is None or price is None or thing.what != "rod":
            continue
        priced = True
        chance = None if standings[key][0] == "set aside" else chance_like_last(assessment, key)
        if chance is None:
            continue
        own = f"replace.{key}"
        figures = {
            "chance_low": Figure(f"{own}.chance_low", float(chance.at_least), "one_in", A),
            "chance_high": Figure(f"{own}.chance_high", float(chance.at_most), "one_in", A),
            "break_low": Figure(f"{own}.break_low", cost[0], "money", A),
            "break_high": Figure(f"{own}.break_high", cost[1], "money", A),
            "risk_low": Figure(f"{own}.risk_low", cost[0] / chance.at_least, "money", A),
            "risk_high": Figure(f"{own}.risk_high", cost[1] / chance.at_most, "money", A),
            "price": Figure(f"{own}.price", price, "money", M),
        }
        row = ReplaceRow(thing.name, rig, standings[key][0], figures)
        found.append((chance.order * cost[1] / price if price > 0.0 else chance.order, row))
    found.sort(key=lambda each: (-each[0], each[1].name))
    rows = tuple(row for _, row in found[:AT_MOST])
    state = "rows" if rows else "none" if priced else "no_price"
    return ReplaceView(state, prices.currency, rows)


def _break_ends(
    assessment: Assessment, key: str, history: RodHistory, under: str
) -> tuple[float, float] | None:
    """Least and most a break of a rod costs by where it may stand; None without a price."""
    prices, rod_type = owner_prices(assessment), history.rod_type
    lies = places_now(assessment)
    if key in lies:
        first = last = lies[key][1]
    else:
        strings = [assessment.works[each.bore].rod_count for each in history.bores]
        first, last = 1, max(strings, default=1)
    ends = [prices.break_at(under, rod_type.name, at, rod_type.length) for at in (first, last)]
    return None if ends[0] is None or ends[1] is None else (ends[0], ends[1])
