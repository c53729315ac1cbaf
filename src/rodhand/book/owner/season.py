"""The season on one page: what was drilled, what it took of the rods, its cost, what is next."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_cost import spent
from rodhand.book.bore.over_steer_cost import over_steer_costs
from rodhand.book.owner.forecast import forecast_view
from rodhand.book.tasks.standings import all_standings, recorded_design
from rodhand.book.tasks.task_parts import in_use
from rodhand.book.tasks.week import this_week
from rodhand.book.views import Figures, WeekLine
from rodhand.book.work.assess import Assessment, day_of
from rodhand.book.work.lives import rotating_time
from rodhand.book.work.prices import others_told, owner_prices
from rodhand.record.book_looks import Break
from rodhand.record.choices import GONE
from rodhand.record.origin import Origin
from rodhand.units import Figure, Standing

SEASON_DAYS = 365
NEXT = 3
A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class GroundRow:
    """Wear in one ground, bends over the limit or none; figures: bores, length, rods_used (whole
    rods' lives spent), per_rod (metres a rod's life lasts), cost (per metre, at the price of a new
    rod)."""

    ground: str
    over: bool
    figures: Figures


@dataclass(frozen=True)
class SeasonView:
    """The page.

    figures: bores, length, hours (string turned), rig_days (days with a row of a pilot), over,
    rods_used (low to high), past_line, aside, gone, broken, bought. money: rods, breaks, work,
    whole (of these three), per_metre, rig (its days, beside them); None where a price lacks.
    over: what its over-steers cost together. sets: why a set wears as it does. unknown: what was
    left out and why.
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
    unknown: tuple[Sentence, ...]
    sets: tuple[Sentence, ...] = ()
    over: Sentence | None = None


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
    figures = _figures(assessment, names, since)
    prices, unknown = owner_prices(assessment), []
    money = _money(assessment, names, since)
    if not prices.any:
        unknown.append(Sentence("season.no_prices"))
    else:
        unknown += [
            Sentence(f"season.no_{name}")
            for name in ("rods", "breaks", "work") if money[name].value is None
        ]  # fmt: skip
    unknown += others_told(prices)
    undated = [n for n, b in assessment.book.bores.items() if not day_of(b.origin.happened.start)]
    if undated:
        unknown.append(Sentence("season.undated", {"bores": ", ".join(undated)}))
    ahead = forecast_view(assessment)
    week = this_week(assessment)
    return SeasonView(
        assessment.invented, since, day, prices.currency, figures, money,
        _rows(assessment, names), tuple(each.order for each in ahead.rigs), week.lines[:NEXT],
        tuple(unknown), tuple(each.line for each in ahead.sets),
        _over(assessment, since),
    )  # fmt: skip


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
            key for each in book.whereabouts if each.where in GONE and _in(each.origin, since)
            for key in each.things if key in rods
        })),
        "broken": float(sum(e.thing in rods and _in(e.origin, since) for e in book.breaks)),
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
        ends = [_added([getattr(p, end) for p in parts]) for end in ("value", "low", "high")]
        values[name] = Figure(f"season.over_steers.{name}", ends[0], quantity, standing, *ends[1:])
    priced = isinstance(cost := values["cost"], Figure) and cost.value is not None
    return Sentence("season.over_money" if priced else "season.over_lives", values)


def _in(origin: Origin, since: str) -> bool:
    return day_of(origin.happened.start) > since


def _spent(assessment: Assessment, names: list[str]) -> list[tuple[float, float, float]]:
    return [spent(assessment, name) for name in names]


def _sums(parts: list[tuple[float, float, float]]) -> tuple[float, float, float]:
    return sum(p[0] for p in parts), sum(p[1] for p in parts), sum(p[2] for p in parts)


def _money(assessment: Assessment, names: list[str], since: str) -> Figures:
    prices, book = owner_prices(assessment), assessment.book
    rods = _added([
        None if (price := prices.rod(assessment.works[name].rod_type.name)) is None
        else spent(assessment, name)[1] * price
        for name in names
    ])  # fmt: skip
    broke = [each for each in book.breaks if _in(each.origin, since)]
    breaks = _added([
        _break_cost(assessment, each) for each in broke
    ])  # fmt: skip
    work = _added([
        None if (price := prices.work.get(each.what)) is None else price * len(each.things)
        for each in book.dressings if _in(each.origin, since)
    ])  # fmt: skip
    whole = _added([rods, breaks, work])
    length = sum(assessment.works[name].hole.length for name in names)
    rig = None if prices.rig_day is None else prices.rig_day * _rig_days(assessment, names)
    told = {"rods": rods, "breaks": breaks, "work": work, "whole": whole}
    per_metre = None if whole is None or length <= 0.0 else whole / length
    return {
        **{name: Figure(f"season.cost.{name}", value, "money", A) for name, value in told.items()},
        "per_metre": Figure("season.cost.per_metre", per_metre, "money_per_metre", A),
        "rig": Figure("season.cost.rig", rig, "money", A),
    }


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


def _added(parts: list[float | None]) -> float | None:
    """Sum of parts; None where one is unknown."""
    known = [each for each in parts if each is not None]
    return math.fsum(known) if len(known) == len(parts) else None


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
        cost = _added([
            None if (price := owner_prices(assessment).rod(assessment.works[n].rod_type.name))
            is None else spent(assessment, n)[1] * price
            for n in own
        ])  # fmt: skip
        figures = {
            "bores": Figure(f"{key}.bores", float(len(own)), "count", M),
            "length": Figure(f"{key}.length", length, "distance", M),
            "rods_used": Figure(f"{key}.rods_used", best, "rods_used", C, low, high),
            "per_rod": Figure(f"{key}.per_rod", length / best if best > 0 else None, "distance", C),
            "cost": Figure(
                f"{key}.cost", None if cost is None or length <= 0.0 else cost / length,
                "money_per_metre", A,
            ),
        }  # fmt: skip
        rows.append(GroundRow(ground, over, figures))
    return tuple(rows)
