"""Wear of every rod that was gauged: how fast, when it crosses its limit, what to order."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

from rodhand.advice.verdict import Sentence
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.verdicts import source_of
from rodhand.book.work.wear_sizes import (
    DRIVERS,
    ReadingThen,
    SizeHistory,
    done_by,
    size_histories,
)
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.book.yard.wear_orders import GroundRow, OrderRow, ground_rows, order_rows
from rodhand.units import Figure, Standing
from rodhand.wear.trend import SizeRead, Trend, wear_trend
from rodhand.words import say

M, C, A = Standing.MEASURED, Standing.COMPUTED, Standing.ASSUMED
QUANTITY_OF = {"metres": "distance", "hours": "hours", "makeups": "count"}
RATE_OF = {"metres": "wear_per_distance", "hours": "wear_per_time", "makeups": "wear_per_makeup"}
PACE_DAYS = 180
"""Days back from today whose work tells how fast a rod goes on working (ours). [d]"""
FAR = 3650
"""A day further off than this is not named. [d]"""


@dataclass(frozen=True)
class ReadingRow:
    """One reading; figures: size, error, metres, hours, makeups."""

    day: str
    entry: str
    gauge: str
    state: str
    marked: bool
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class WearRow:
    """One size of one end.

    Parameters
    ----------
    name, item, end, where : str
        Which, and where it lies.
    why : str
        Why nothing is told yet: ``few``, ``gauge``, ``no wear``; empty where it is told.
    driver : str
        What it is counted against: ``metres``, ``hours`` or ``makeups``.
    passed : bool
        Whether the last reading is past the limit already.
    by_day, early_day : str
        ISO days: when it crosses at the rod's own pace, and when at the earliest by the band;
        empty where not known or further off than ten years.
    again : Sentence
        When to measure again.
    marked : int
        Readings taken with a gauge that was not in date.
    source : str
        Where the limit comes from.
    readings : tuple of ReadingRow
        Oldest first.
    figures : mapping
        size, limit, left, rate_metres, rate_hours, rate_makeups; where told to_go and crosses,
        counted from now and from the first day, with the band.
    """

    name: str
    item: str
    end: str
    where: str
    why: str
    driver: str
    passed: bool
    by_day: str
    early_day: str
    again: Sentence
    marked: int
    source: str
    readings: tuple[ReadingRow, ...]
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class WearView:
    """Wear of all rods that were gauged.

    Parameters
    ----------
    told, open : tuple of WearRow
        Sizes with a trend, those that cross first first; sizes that cannot be told yet.
    grounds : tuple of GroundRow
        Wear by ground, where the readings tell it apart.
    orders : tuple of OrderRow
        What to order.
    """

    invented: bool
    told: tuple[WearRow, ...]
    open: tuple[WearRow, ...]
    grounds: tuple[GroundRow, ...]
    orders: tuple[OrderRow, ...]
    caution: Sentence
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class WearOfView:
    """Wear of one thing's sizes, with the caution."""

    name: str
    invented: bool
    rows: tuple[WearRow, ...]
    caution: Sentence


def wear_of(assessment: Assessment, name: str) -> WearOfView:
    """Wear of one thing's sizes.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key.
    """
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    histories = size_histories(assessment)
    usual = _usual_rates(histories)
    rows = tuple(_row(assessment, each, usual) for each in histories
                 if each.thing.key == thing.key)  # fmt: skip
    return WearOfView(thing.name, assessment.invented, rows, Sentence("wear.caution"))


def wear_view(assessment: Assessment) -> WearView:
    """Wear of every rod in use that was ever gauged.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    WearView
        A standing is never made better or worse by it: it says when to look and what to order.
    """
    usable = in_use(assessment)
    histories = [each for each in size_histories(assessment) if each.thing.key in usable]
    usual = _usual_rates(histories)
    rows = [(each, _row(assessment, each, usual)) for each in histories]
    told = [row for _, row in rows if not row.why or row.passed]
    told.sort(key=lambda row: (not row.passed, row.by_day or "~", row.name))
    not_told = [row for _, row in rows if row.why and not row.passed]
    counts = {"told": len(told), "open": len(not_told)}
    return WearView(
        assessment.invented,
        tuple(told),
        tuple(not_told),
        ground_rows(histories),
        order_rows(
            [(h.thing, h.item, h.end, r.passed, r.by_day, r.early_day) for h, r in rows],
            assessment.today,
        ),
        Sentence("wear.caution"),
        {name: Figure(f"wear.{name}", float(n), "count", C) for name, n in counts.items()},
    )


def _reads(history: SizeHistory, against: str) -> list[SizeRead] | None:
    """Readings against one kind of work; None where some of it is not known."""
    reads = []
    for each in history.readings:
        done = each.done[against]
        if done is None:
            return None
        reads.append(SizeRead(done, each.size, each.read_with.error))
    return reads


def _driver(history: SizeHistory) -> str:
    drivers = DRIVERS[history.item]
    return next((each for each in drivers if _reads(history, each) is not None), drivers[-1])


def _trend(history: SizeHistory, against: str, usual: float | None = None) -> Trend | None:
    reads = _reads(history, against)
    return None if reads is None else wear_trend(reads, history.limit, usual, history.grows)


def _usual_rates(histories: Sequence[SizeHistory]) -> dict[tuple[str, str, str], float]:
    """Middle rate by set, size and kind of work, of the ends whose trend is told."""
    rates: dict[tuple[str, str, str], list[float]] = {}
    for each in histories:
        driver = _driver(each)
        trend = _trend(each, driver)
        if trend is not None and not trend.why:
            rates.setdefault((each.thing.set, each.item, driver), []).append(trend.rate)
    return {key: median(found) for key, found in rates.items()}


def _row(
    assessment: Assessment, history: SizeHistory, usual: Mapping[tuple[str, str, str], float]
) -> WearRow:
    driver = _driver(history)
    trend = _trend(history, driver, usual.get((history.thing.set, history.item, driver)))
    trend = trend or Trend("few")
    last = history.readings[-1]
    own = f"wear.{history.thing.name}.{history.item}.{history.end or 'any'}"
    left = (history.limit - last.size) if history.grows else (last.size - history.limit)
    now = history.now[driver]
    pace = _pace(assessment, history, driver)
    figures = {
        "size": Figure(f"{own}.size", last.size, "fine_size", M),
        "limit": Figure(f"{own}.limit", history.limit, "fine_size", C),
        "left": Figure(f"{own}.left", left, "fine_size", C),
        **_rates(history, own),
    }
    early = by = ""
    if not trend.why and now is not None:
        crosses = (trend.crosses, trend.crosses_low, trend.crosses_high)
        figures["crosses"] = Figure(f"{own}.crosses", crosses[0], QUANTITY_OF[driver], C,
                                    *crosses[1:])  # fmt: skip
        to_go = [max(each - now, 0.0) for each in crosses]
        figures["to_go"] = Figure(f"{own}.to_go", to_go[0], QUANTITY_OF[driver], C, *to_go[1:])
        by, early = (_day(assessment.today, each, pace) for each in to_go[:2])
    more = None if math.isnan(trend.again) or now is None else max(trend.again - now, 0.0)
    return WearRow(
        history.thing.name, history.item, history.end, where_of(assessment, history.thing),
        trend.why, driver, left <= 0.0, by, early,
        _again(f"{own}.again", more, driver, _day(assessment.today, more, pace)),
        sum(each.read_with.state.marks_readings for each in history.readings),
        source_of(history.rule, "owner"),
        tuple(_reading_row(each, own, n) for n, each in enumerate(history.readings, 1)), figures,
    )  # fmt: skip


def _rates(history: SizeHistory, own: str) -> dict[str, Figure]:
    """Rates against metres, hours and make-ups, where told."""
    found = {}
    for against, quantity in RATE_OF.items():
        trend = _trend(history, against)
        if trend is not None and not trend.why:
            name = f"rate_{against}"
            found[name] = Figure(
                f"{own}.{name}", trend.rate, quantity, C, trend.rate_low, trend.rate_high
            )
    return found


def _reading_row(each: ReadingThen, own: str, number: int) -> ReadingRow:
    key = f"{own}.reading_{number}"
    figures = {
        "size": Figure(f"{key}.size", each.size, "fine_size", M),
        "error": Figure(
            f"{key}.error", each.read_with.error, "fine_size",
            M if each.read_with.error_known else A,
        ),
    }  # fmt: skip
    for name, quantity in QUANTITY_OF.items():
        figures[name] = Figure(f"{key}.{name}", each.done[name], quantity, C)
    state = each.read_with.state
    return ReadingRow(each.day, each.entry, each.gauge, state.code, state.marks_readings, figures)


def _pace(assessment: Assessment, history: SizeHistory, driver: str) -> float | None:
    """What the rod did a day of late; None where it did nothing or it is not known. [1/d]"""
    since = date.fromisoformat(assessment.today[:10]) - timedelta(days=PACE_DAYS)
    before = done_by(assessment, history.thing.key, history.end, since.isoformat())[0][driver]
    now = history.now[driver]
    return None if now is None or before is None else (now - before) / PACE_DAYS


def _again(key: str, more: float | None, driver: str, day: str) -> Sentence:
    """When to measure again: after so much work, about a day, or at the next look."""
    if not more:
        return Sentence("wear.again_next")
    figure = Figure(key, more, QUANTITY_OF[driver], C)
    unit = f"wear.again_{driver}"
    return Sentence(unit, {"more": figure, "day": day or say("number.unknown")})


def _day(today: str, to_go: float | None, pace: float | None) -> str:
    """ISO day on which so much work is done at a pace; empty when not known or far off."""
    if to_go is None or pace is None or pace <= 0.0 or not math.isfinite(to_go):
        return ""
    days = max(to_go, 0.0) / pace
    if days > FAR:
        return ""
    return (date.fromisoformat(today[:10]) + timedelta(days=days)).isoformat()
