"""Forecast over the booked work: life used of each rod, rods short, what to order and when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.expected_wear import Expected, expected_wear, rods_needed
from rodhand.book.owner.on_the_way import OnTheWay, on_the_way, take_bore
from rodhand.book.owner.replace_now import ReplaceView, replace_view
from rodhand.book.owner.retirement import RetireView, retire_view
from rodhand.book.owner.rods_to_order import declared_past, rods_to_order
from rodhand.book.owner.runs_down import runs_down
from rodhand.book.owner.set_against import SetAgainst, sets_against
from rodhand.book.tasks.standings import STRICT_UNDER, all_standings
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.telling import in_name_order
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome, booked_of_begun, booked_work
from rodhand.book.work.box_places import places_now
from rodhand.book.work.lacking import Lacking, lacking, lacking_rods
from rodhand.book.work.prices import ALL, others_told, owner_prices
from rodhand.book.work.rod_types import rod_type_named
from rodhand.units import Figure, Standing

Floats = NDArray[np.float64]
A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class BookedRow:
    """One booked bore.

    figures: length, past (bores the wear rests on), need (rods), usable (rods under the owner's
    line before it, low: if all goes as the hardest past bore), short (rods that lack).
    """

    name: str
    day: str
    ground: str
    under: str
    same_ground: bool
    by_plan: bool
    figures: Figures


@dataclass(frozen=True)
class RodAhead:
    """One rod; figures: now, after_1, after_2 ... life used. past_line: bore it crosses in."""

    name: str
    standing: str
    past_line: str
    figures: Figures


@dataclass(frozen=True)
class RigAhead:
    """Booked work of one rig; order: what to order and when; unknown: what could not be told,
    bookings of bores already begun first;
    lacking: the price and the days to come that nobody gave; outlook: when its rods run down."""

    rig: str
    rod_type: str
    order_known: bool
    bores: tuple[BookedRow, ...]
    rods: tuple[RodAhead, ...]
    order: Sentence
    unknown: tuple[Sentence, ...]
    lacking: tuple[Lacking, ...]
    outlook: tuple[Sentence, ...]


@dataclass(frozen=True)
class ForecastView:
    """The page; lacking: prices risk and retire age lack; others: prices that are not used."""

    invented: bool
    day: str
    currency: str
    rigs: tuple[RigAhead, ...]
    replace: ReplaceView
    retire: RetireView
    sets: tuple[SetAgainst, ...]
    lacking: tuple[Lacking, ...] = ()
    others: tuple[Sentence, ...] = ()


@lru_cache(maxsize=4)
def forecast_view(assessment: Assessment) -> ForecastView:
    """What the booked work will take of each rod, by what this rig's past bores took.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    ForecastView
        Rods stay in the order of their box, so it is what comes if nobody turns the rows. No
        standing is changed by it. Every rig with a bore booked or drilled is told.
    """
    drilled = (each.bore.rig for each in assessment.works.values())
    work: dict[str, list[BoreToCome]] = {rig: [] for rig in drilled}
    for bore in booked_work(assessment.book):
        work.setdefault(bore.rig, []).append(bore)
    return ForecastView(
        assessment.invented, assessment.today, owner_prices(assessment).currency,
        tuple(_rig(assessment, rig, bores) for rig, bores in sorted(work.items())),
        replace_view(assessment), retire_view(assessment), sets_against(assessment),
        _lacking(assessment), others_told(owner_prices(assessment)),
    )  # fmt: skip


def _lacking(assessment: Assessment) -> tuple[Lacking, ...]:
    types = {history.rod_type.name for history in assessment.histories.values()}
    prices = owner_prices(assessment)
    a_break = [lacking(prices, "break")] if prices.a_break() is None else []
    return (*lacking_rods(assessment, types or {ALL}), *a_break)


def _rig(assessment: Assessment, rig: str, bores: Sequence[BoreToCome]) -> RigAhead:
    here = in_use(assessment)
    keys = [
        key for key, thing in assessment.book.things.items()
        if thing.what == "rod" and key in here and key in assessment.histories
        and where_of(assessment, thing) == rig
    ]  # fmt: skip
    standings = all_standings(assessment)
    rod_type = _type_of(assessment, rig, keys)
    length = found.length if (found := rod_type_named(assessment.book, rod_type)) else None
    place_of = {key: at for key, (of, at) in places_now(assessment).items() if of == rig}
    rods = {
        key: on_the_way(assessment.histories[key], standings[key][0], place_of.get(key))
        for key in keys
    }
    figures = {key: {"now": rod.life(f"forecast.{rig}.{key}.now", C)} for key, rod in rods.items()}
    rows, unknown, told = [], [], True
    for number, bore in enumerate(bores, 1):
        need = rods_needed(bore, length)
        line = _line(assessment, bore)
        expected = None if need is None else expected_wear(assessment, bore, need)
        taken = [rod for rod in rods.values() if rod.taken]
        rows.append(_row(rig, bore, taken if told else None, need, line, expected))
        told = told and expected is not None
        if expected is None or need is None:
            code = "length" if need is None else "past"
            unknown.append(Sentence(f"forecast.unknown_{code}", {"bore": bore.name}))
        for key, rod in rods.items():
            own = f"forecast.{rig}.{key}.after_{number}"
            if expected is None or need is None:
                figures[key][f"after_{number}"] = Figure(own, None, "life", Standing.UNKNOWN)
                continue
            was_over = rod.crosses(line)
            take_bore(rod, expected, need, len(rods))
            if not rod.past_line and not was_over and rod.crosses(line):
                rod.past_line = bore.name
            figures[key][f"after_{number}"] = rod.life(own, A)
    needs = [row.figures["need"].value or 0.0 for row in rows]
    unknown += declared_past(assessment, rig, rods.values(), needs)
    short_of = [row.figures["short"] for row in rows]
    order, more, lacked = rods_to_order(assessment, rig, rod_type, bores, short_of, told)
    ahead = {
        name: RodAhead(name, standings[key][0], rod.past_line, figures[key])
        for key, rod in rods.items()
        for name in (assessment.book.things[key].name,)
    }
    return RigAhead(
        rig, rod_type, bool(place_of), tuple(rows),
        tuple(ahead[name] for name in in_name_order(ahead)), order,
        (*booked_of_begun(assessment.book, rig), *unknown, *more),
        tuple(lacked), runs_down(assessment, rig, rod_type, length, rods.values()),
    )  # fmt: skip


def _type_of(assessment: Assessment, rig: str, keys: Sequence[str]) -> str:
    """Rod type of a rig, or the one type of the rods on it; empty where nobody said."""
    said = assessment.book.rigs[rig].rod_type if rig in assessment.book.rigs else ""
    types = {assessment.histories[key].rod_type.name for key in keys}
    return said or (types.pop() if len(types) == 1 else "")


def _line(assessment: Assessment, bore: BoreToCome) -> float:
    lines = assessment.thresholds
    return lines.retire_under if bore.under in STRICT_UNDER else lines.retire


def _row(
    rig: str, bore: BoreToCome, taken: Sequence[OnTheWay] | None, need: int | None, line: float,
    expected: Expected | None,
) -> BookedRow:  # fmt: skip
    """A booked bore; without ``taken`` an earlier one's wear is unknown, and so what is left."""
    own = f"forecast.{rig}.bore.{bore.name}"
    usable = least = short = most = None
    if taken is not None:
        usable = float(sum(not rod.crosses(line) for rod in taken))
        least = float(sum(not rod.crosses(line, hard=True) for rod in taken))
        if need is not None:
            short, most = max(need - usable, 0.0), max(need - least, 0.0)
    figures = {
        "length": Figure(f"{own}.length", bore.length, "distance", M),
        "past": Figure(f"{own}.past", float(len(expected.past)) if expected else 0.0, "count", M),
        "need": Figure(f"{own}.need", None if need is None else float(need), "count", C),
        "usable": Figure(f"{own}.usable", usable, "count", A, least, usable),
        "short": Figure(f"{own}.short", short, "count", A, short, most),
    }
    return BookedRow(
        bore.name, bore.day, bore.ground, bore.under,
        bool(expected and expected.same_ground), bool(expected and expected.by_plan), figures,
    )  # fmt: skip
