"""Wear by ground, and what to order before sizes cross their limits."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import in_name_order
from rodhand.book.work.wear_sizes import SizeHistory
from rodhand.record.book_things import Thing
from rodhand.units import Figure, Standing
from rodhand.wear.ground_rates import EndReadings, ground_rates

ORDER_WITHIN = 180
"""What crosses within so many days is ordered now (ours). [d]"""
Crossing = tuple[Thing, str, str, bool, str, str]
"""Thing, item, end, whether it is past its limit, the day it crosses, the earliest day."""


@dataclass(frozen=True)
class GroundRow:
    """Wear of a set's size in one ground; figures: rate."""

    set: str
    item: str
    ground: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class OrderRow:
    """What to order for one set.

    Parameters
    ----------
    set, item : str
        Which size of which set.
    names : tuple of str
        Things past their limit, or that cross it within the time.
    may : tuple of str
        Things that may cross it by then, by the far edge of their band.
    by_day : str
        ISO day the first of them crosses; empty for one that is past.
    line : Sentence
        What to order.
    """

    set: str
    item: str
    names: tuple[str, ...]
    may: tuple[str, ...]
    by_day: str
    line: Sentence


def ground_rows(histories: Sequence[SizeHistory]) -> tuple[GroundRow, ...]:
    """Wear by ground of every set, where its readings tell the ground apart."""
    groups: dict[tuple[str, str], list[SizeHistory]] = {}
    for each in histories:
        groups.setdefault((each.thing.set, each.item), []).append(each)
    rows = []
    for (rod_set, item), members in groups.items():
        grounds = sorted({name for each in members for r in each.readings for name in r.by_ground})
        rates = ground_rates([_end(each, grounds) for each in members], len(grounds))
        for ground, rate in zip(grounds, rates, strict=True):
            if not math.isnan(rate.rate):
                figure = Figure(
                    f"wear.{rod_set}.{item}.{ground}.rate", rate.rate, "wear_per_distance",
                    Standing.COMPUTED, rate.low, rate.high,
                )  # fmt: skip
                rows.append(GroundRow(rod_set, item, ground, {"rate": figure}))
    return tuple(rows)


def _end(history: SizeHistory, grounds: Sequence[str]) -> EndReadings:
    sizes = np.array([each.size for each in history.readings])
    worn = sizes - sizes[0] if history.grows else sizes[0] - sizes
    done = [[each.by_ground.get(name, 0.0) for name in grounds] for each in history.readings]
    error = np.array([each.read_with.error for each in history.readings])
    return EndReadings(worn, error, np.array(done).reshape(len(sizes), len(grounds)))


def order_rows(crossings: Sequence[Crossing], today: str) -> tuple[OrderRow, ...]:
    """What to order now: what is past its limit or crosses it within the time.

    Parameters
    ----------
    crossings : sequence of Crossing
        Sizes with the days they cross.
    today : str
        ISO day.

    Returns
    -------
    tuple of OrderRow
        A swelled box asks for a re-cut, any other size for a new rod.
    """
    last = (date.fromisoformat(today[:10]) + timedelta(days=ORDER_WITHIN)).isoformat()
    groups: dict[tuple[str, str], list[Crossing]] = {}
    for each in crossings:
        if each[3] or (each[4] and each[4] <= last) or (each[5] and each[5] <= last):
            groups.setdefault((each[0].set, each[1]), []).append(each)
    rows = []
    for (rod_set, item), members in sorted(groups.items()):
        sure = [each for each in members if each[3] or (each[4] and each[4] <= last)]
        names = in_name_order({each[0].name for each in sure})
        may = in_name_order({each[0].name for each in members} - set(names))
        days = ["" if each[3] else each[4] for each in sure]
        rows.append(
            OrderRow(rod_set, item, names, may, min(days, default=""), _line(item, rod_set, names))
        )
    return tuple(rows)


def _line(item: str, rod_set: str, names: tuple[str, ...]) -> Sentence:
    kind = "none" if not names else "recut" if item == "box-swell" else "rods"
    count = Figure(f"wear.order.{rod_set}.{item}", float(len(names)), "count", Standing.COMPUTED)
    return Sentence(f"wear.order.{kind}", {"count": count, "set": rod_set})
