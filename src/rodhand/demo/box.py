"""The order of the rods in each rig's box, and the entries by which a crew tells it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from rodhand.demo.diary import Diary, day, marks_text
from rodhand.demo.kit import RIG_STARTS, YARD, marks_of
from rodhand.demo.plan import (
    BREAK_DAY,
    FIRST_MONDAY,
    M2_JOINS,
    WEEKS,
    PlannedBore,
)

BROKEN = "M1-22"


@dataclass(frozen=True)
class BoxOrder:
    """Rods of one rig's box from one moment on, first used first."""

    since: datetime
    rig: str
    marks: tuple[str, ...]
    how: str
    bore: str = ""
    told: bool = True


def _turned(marks: Sequence[str], by: int) -> tuple[str, ...]:
    """The same rods with some moved from the front to the back."""
    by %= len(marks)
    return (*marks[by:], *marks[:by])


def _fridays() -> list[datetime]:
    return [FIRST_MONDAY + timedelta(weeks=week, days=4, hours=15) for week in range(WEEKS)]


def _mid_rods(when: datetime, planted: bool) -> tuple[str, ...]:
    """Rods in the box of Rig-40 in the order of their marks."""
    rods = marks_of("SET-M1")
    if planted and when > BREAK_DAY:
        rods.remove(BROKEN)
    return (*rods, *(marks_of("SET-M2") if when > M2_JOINS else ()))


def box_orders(bores: Sequence[PlannedBore], planted: bool) -> tuple[BoxOrder, ...]:
    """Every order of every box over the season, oldest first.

    Parameters
    ----------
    bores : sequence of PlannedBore
        The bores of the season.
    planted : bool
        Whether the box of Rig-40 is never turned over.

    Returns
    -------
    tuple of BoxOrder
        Rig-12 turned every Friday, Rig-100 before each bore.
    """
    small, large = tuple(marks_of("SET-S1")), tuple(marks_of("SET-L1"))
    orders = [BoxOrder(RIG_STARTS["Rig-12"] + timedelta(hours=2), "Rig-12", small, "by row")]
    orders.append(
        BoxOrder(
            RIG_STARTS["Rig-40"] + timedelta(hours=2),
            "Rig-40",
            _mid_rods(RIG_STARTS["Rig-40"], planted),
            "by row",
        )
    )
    for week, friday in enumerate(_fridays(), start=1):
        orders.append(BoxOrder(friday, "Rig-12", _turned(small, 15 * week), "by row"))
        mid = _mid_rods(friday, planted)
        if not planted:
            orders.append(BoxOrder(friday, "Rig-40", _turned(mid, 15 * week), "by row"))
        elif week % 4 == 0 or len(mid) != len(_mid_rods(friday - timedelta(weeks=1), planted)):
            orders.append(BoxOrder(friday, "Rig-40", mid, "by row"))
    turns = 0
    for bore in bores:
        morning = bore.day + timedelta(hours=7)
        if bore.rig == "Rig-100":
            orders.append(
                BoxOrder(morning, "Rig-100", _turned(large, 20 * turns), "marked", bore.name)
            )
            turns += 1
        elif bore.how_loaded == "set only":
            orders.append(
                BoxOrder(morning, bore.rig, tuple(marks_of("SET-S2")), "set only", bore.name)
            )
    orders.sort(key=lambda order: order.since)
    marked = [
        BoxOrder(
            bore.day + timedelta(hours=7), bore.rig, order_before(orders, bore), "marked", bore.name
        )
        for bore in bores
        if bore.rig == "Rig-12" and bore.how_loaded == "marked"
    ]
    return tuple(sorted([*orders, *marked], key=lambda order: order.since))


def order_before(orders: Sequence[BoxOrder], bore: PlannedBore) -> tuple[str, ...]:
    """The rods in the box of a bore's rig when the bore began, first used first."""
    start = bore.day + timedelta(hours=7, minutes=30)
    return [order for order in orders if order.rig == bore.rig and order.since <= start][-1].marks


def write_orders(diary: Diary, orders: Sequence[BoxOrder]) -> None:
    """Enter each order of each box."""
    for order in orders:
        diary.add(
            "load",
            {
                "rig": order.rig,
                "bore": order.bore,
                "things": marks_text(order.marks),
                "how": order.how,
            },
            order.since,
            YARD,
            "yard-hand-1",
            happened=day(order.since),
        )
