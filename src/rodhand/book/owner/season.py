"""The season on one page: what was drilled, what it took of the rods, its cost, what is next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_cost import spent
from rodhand.book.bore.over_steer_cost import over_steer_costs
from rodhand.book.owner.forecast import RigAhead, forecast_view
from rodhand.book.owner.season_money import (
    added,
    break_not_told,
    in_season,
    rods_cost,
    season_lacking,
    season_money,
)
from rodhand.book.tasks.standings import all_standings, recorded_design
from rodhand.book.tasks.task_parts import in_use
from rodhand.book.tasks.week import this_week
from rodhand.book.views import Figures, WeekLine
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.lacking import Lacking
from rodhand.book.work.prices import others_told, owner_prices
from rodhand.book.work.rods_of_bore import rotating_time
from rodhand.record.choices import GONE
from rodhand.units import Figure, Standing

SEASON_DAYS = 365
NEXT = 3
A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class GroundRow:
    """Wear in one ground, bends over the limit or none; figures: bores, length, rods_used (whole
    rods' lives spent), per_rod (metres a rod's life lasts), and cost (per metre, at the price of a
    new rod) where every type has one."""

    ground: str
    over: bool
    figures: Figures


@dataclass(frozen=True)
class SeasonView:
    """The page.

    figures: bores, length, hours (string turned), rig_days (days with a row of a pilot), over,
    rods_used (low to high), past_line, aside, gone, broken, bought. money: rods, breaks, work,
    whole (of these three), per_metre, at_least (of what has a price, where not all has), rig (its
    days, beside them), each only where it happened and has a price. over: what its over-steers
    cost together. sets: why a set wears unlike the others. lacking: prices nobody gave. unknown:
    what was left out and why.
    """

    invented: bool
    since: str
    day: str
    currency: str
    figures: Figures
    money: Figures
    rows: tuple[GroundRow, ...]
    orders: tuple[Sentence, ...]
    lines: tuple[WeekLine, ...]
    lacking: tuple[Lacking, ...]
    unknown: tuple[Sentence, ...]
    sets: tuple[Sentence, ...] = ()
    over: Sentence | None = None


@lru_cache(maxsize=4)
def season_view(assessment: Assessment) -> SeasonView:
    """The last year of a book on one page.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    SeasonView
        Life spent is best with its low and high, summed over the places of each bore; a life spent
        costs a new rod. A figure of money stands only on prices the owner gave.
    """
    day = assessment.today[:10]
    since = (date.fromisoformat(day) - timedelta(days=SEASON_DAYS)).isoformat() if day else ""
    names = [
        name for name, work in assessment.works.items()
        if since < day_of(work.bore.origin.happened.start) <= day
    ]  # fmt: skip
    prices = owner_prices(assessment)
    figures = _figures(assessment, names, since)
    bare: dict[str, str | Figure] = {**figures}
    no_price = Sentence("season.no_prices", bare) if names else Sentence("season.no_prices_yet")
    unknown = [] if prices.any else [no_price]
    unknown += [*break_not_told(assessment, since), *others_told(prices)]
    undated = [n for n, b in assessment.book.bores.items() if not day_of(b.origin.happened.start)]
    if undated:
        unknown.append(Sentence("season.undated", {"bores": ", ".join(undated)}))
    ahead = forecast_view(assessment)
    week = this_week(assessment)
    return SeasonView(
        assessment.invented, since, day, prices.currency, figures,
        season_money(assessment, names, since, _rig_days(assessment, names)),
        _rows(assessment, names), tuple(s for each in ahead.rigs for s in _next(each)),
        week.lines[:NEXT], season_lacking(assessment, names, since), tuple(unknown),
        tuple(each.line for each in ahead.sets if each.line.key != "against.like"),
        _over(assessment, since),
    )  # fmt: skip


def _next(rig: RigAhead) -> tuple[Sentence, ...]:
    """What to order for a rig, and when its rods run down where that can be told."""
    running_down = any(each.key.startswith("forecast.falls") for each in rig.outlook)
    return (rig.order, *(rig.outlook if running_down else ()))


def _figures(assessment: Assessment, names: list[str], since: str) -> Figures:
    book, works = assessment.book, [assessment.works[name] for name in names]
    standings, here = all_standings(assessment), in_use(assessment)
    rods = [key for key, thing in book.things.items() if thing.what == "rod"]
    low, best, high = _sums(_spent(assessment, names))
    counts = {
        "bores": float(len(names)),
        "over": float(sum(work.held.worst == "over" for work in works)),
        "past_line": float(sum(
            key in assessment.histories
            and recorded_design(assessment.histories[key]) >= assessment.thresholds.retire
            for key in rods if key in here
        )),
        "aside": float(sum(standings[key][0] == "set aside" for key in rods if key in here)),
        "gone": float(len({
            key for each in book.whereabouts if each.where in GONE and in_season(each.origin, since)
            for key in each.things if key in rods
        })),
        "broken": float(sum(e.thing in rods and in_season(e.origin, since) for e in book.breaks)),
        "bought": float(sum(
            len(each.things) for each in book.sets.values() if each.bought and each.bought > since
        )),
    }  # fmt: skip
    turned = sum(
        rotating_time(one, one.turns.best) for work in works for one, _ in work.in_every_hole
    )
    length = sum(work.hole.length for work in works)
    found = {name: Figure(f"season.{name}", value, "count", C) for name, value in counts.items()}
    return {
        "bores": found.pop("bores"),
        "length": Figure("season.length", length, "distance", M),
        "hours": Figure("season.hours", turned, "hours", C),
        "rig_days": Figure("season.rig_days", float(_rig_days(assessment, names)), "count", M),
        "rods_used": Figure("season.rods_used", best, "rods_used", C, low, high),
        **found,
    }


def _rig_days(assessment: Assessment, names: list[str]) -> int:
    """Days on which a rig wrote a row of a pilot, each rig's by itself."""
    return len({
        (work.bore.rig, day_of(row.origin.happened.start))
        for work in (assessment.works[name] for name in names) for each in work.bore.passes
        if each.what == "pilot" for row in each.readings if row.origin.happened.start
    })  # fmt: skip


def _over(assessment: Assessment, since: str) -> Sentence | None:
    """What the over-steers of the season cost together; nothing without one."""
    costs = [each for each in over_steer_costs(assessment) if each.when > since]
    if not costs:
        return None
    values: dict[str, str | Figure] = {
        "count": Figure("season.over_steers", float(len(costs)), "count", C),
        "currency": owner_prices(assessment).currency,
    }
    for name, quantity, standing in (("lives", "fine_rods_used", C), ("cost", "money", A)):
        parts = [each.figures[name] for each in costs]
        ends = [added([getattr(p, end) for p in parts]) for end in ("value", "low", "high")]
        values[name] = Figure(f"season.over_steers.{name}", ends[0], quantity, standing, *ends[1:])
    priced = isinstance(cost := values["cost"], Figure) and cost.value is not None
    code = "lives" if not priced else "money" if values["currency"] else "bare"
    return Sentence(f"season.over_{code}", values)


def _spent(assessment: Assessment, names: list[str]) -> list[tuple[float, float, float]]:
    return [spent(assessment, name) for name in names]


def _sums(parts: list[tuple[float, float, float]]) -> tuple[float, float, float]:
    return sum(p[0] for p in parts), sum(p[1] for p in parts), sum(p[2] for p in parts)


def _rows(assessment: Assessment, names: list[str]) -> tuple[GroundRow, ...]:
    groups: dict[tuple[str, bool], list[str]] = {}
    for name in names:
        work = assessment.works[name]
        groups.setdefault((work.bore.ground, work.held.worst == "over"), []).append(name)
    rows = []
    for (ground, over), own in sorted(groups.items()):
        key = f"season.{ground}.{'over' if over else 'within'}"
        length = sum(assessment.works[name].hole.length for name in own)
        low, best, high = _sums(_spent(assessment, own))
        cost = added(rods_cost(assessment, own))
        figures = {
            "bores": Figure(f"{key}.bores", float(len(own)), "count", M),
            "length": Figure(f"{key}.length", length, "distance", M),
            "rods_used": Figure(f"{key}.rods_used", best, "rods_used", C, low, high),
            "per_rod": Figure(f"{key}.per_rod", length / best if best > 0 else None, "distance", C),
        }
        if cost is not None and length > 0.0:
            figures["cost"] = Figure(f"{key}.cost", cost / length, "money_per_metre", A)
        rows.append(GroundRow(ground, over, figures))
    return tuple(rows)
