"""What the season cost at the owner's prices, and which prices it lacks."""

from __future__ import annotations

import math

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_cost import spent
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.lacking import Lacking, lacking, lacking_rods
from rodhand.book.work.prices import ALL, owner_prices
from rodhand.record.book import Book
from rodhand.record.book_looks import Break, Dressing
from rodhand.record.origin import Origin
from rodhand.units import Figure, Standing

PARTS = ("rods", "breaks", "work", "whole", "per_metre", "at_least", "rig")
"""Of the money, in the order they are told."""
A = Standing.ASSUMED


def in_season(origin: Origin, since: str) -> bool:
    """Whether something happened after an ISO day."""
    return day_of(origin.happened.start) > since


def added(parts: list[float | None]) -> float | None:
    """Sum of parts; None where one is unknown."""
    known = [each for each in parts if each is not None]
    return math.fsum(known) if len(known) == len(parts) else None


def season_money(assessment: Assessment, names: list[str], since: str, rig_days: int) -> Figures:
    """What the season cost, part by part, of bores and since an ISO day.

    A part that did not happen or has no price is left out; at_least is what has one, added up
    where not all has.
    """
    prices, book = owner_prices(assessment), assessment.book
    parts = {
        "rods": rods_cost(assessment, names),
        "breaks": [_break_cost(assessment, e) for e in book.breaks if in_season(e.origin, since)],
        "work": [
            None if (price := prices.work.get(each.what)) is None else price * len(each.things)
            for each in _dressed(book, since)
        ],
    }  # fmt: skip
    happened = {name: added(each) for name, each in parts.items() if each}
    length = sum(assessment.works[name].hole.length for name in names)
    whole = added(list(happened.values())) if happened else None
    known = [each for part in parts.values() for each in part if each is not None]
    told = {
        **happened,
        "whole": whole,
        "at_least": None if whole is not None or not known else math.fsum(known),
        "rig": prices.rig_day * rig_days if prices.rig_day is not None and rig_days else None,
    }
    money = {name: Figure(f"season.cost.{name}", value, "money", A) for name, value in told.items()}
    if whole is not None and length > 0.0:
        per_metre = Figure("season.cost.per_metre", whole / length, "money_per_metre", A)
        money["per_metre"] = per_metre
    return {name: money[name] for name in PARTS if name in money and money[name].value is not None}


def rods_cost(assessment: Assessment, names: list[str]) -> list[float | None]:
    """Lives spent in each bore at the price of a new rod of its type; None without that price."""
    prices = owner_prices(assessment)
    found = [(name, prices.rod(assessment.works[name].rod_type.name)) for name in names]
    return [None if price is None else spent(assessment, n)[1] * price for n, price in found]


def _dressed(book: Book, since: str) -> list[Dressing]:
    return [each for each in book.dressings if in_season(each.origin, since)]


def season_lacking(assessment: Assessment, names: list[str], since: str) -> tuple[Lacking, ...]:
    """Prices the season's money lacks: of its rods, breaks, works of the yard, days of the rig."""
    prices, book = owner_prices(assessment), assessment.book
    bores = book.bores
    broke = {
        bores[each.bore].under if each.bore in bores else ""
        for each in book.breaks if in_season(each.origin, since)
    }  # fmt: skip
    works = {each.what for each in _dressed(book, since)} - set(prices.work)
    types = {assessment.works[name].rod_type.name for name in names}
    types = types or {each.rod_type for each in book.sets.values()} or {ALL}
    return (
        *lacking_rods(assessment, types),
        *(lacking(prices, "break", each) for each in sorted(broke) if prices.a_break(each) is None),
        *(lacking(prices, each) for each in sorted(works)),
        *([lacking(prices, "rig day")] if names and prices.rig_day is None else []),
    )


def break_not_told(assessment: Assessment, since: str) -> tuple[Sentence, ...]:
    """That a break has a price, but nobody knows where its rod stood."""
    prices, bores = owner_prices(assessment), assessment.book.bores
    unplaced = [
        each.bore for each in assessment.book.breaks
        if in_season(each.origin, since) and _break_cost(assessment, each) is None
        and prices.a_break(bores[each.bore].under if each.bore in bores else "") is not None
    ]  # fmt: skip
    said = {"bores": ", ".join(dict.fromkeys(unplaced))}
    return (Sentence("season.break_place", said),) if unplaced else ()


def _break_cost(assessment: Assessment, broke: Break) -> float | None:
    """What a break of the season cost: of the place the rod is known to have stood in."""
    prices, work = owner_prices(assessment), assessment.works.get(broke.bore)
    bore = assessment.book.bores.get(broke.bore)
    under = bore.under if bore else ""
    if not prices.lost:
        return prices.a_break(under)
    who = assessment.who.get(broke.bore)
    groups = [g for g in who.groups if g.rods == (broke.thing,)] if who else []
    if work is None or not groups or len(groups[0].places) != 1:
        return None
    return prices.break_at(under, work.rod_type.name, groups[0].places[0], work.rod_type.length)
