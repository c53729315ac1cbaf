"""The ways to order the rods compared."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.advice.box_hands import make_list
from rodhand.advice.order_case import Arranged
from rodhand.advice.rod_order import cheapest
from rodhand.book.order.order_case import (
    RigCase,
    any_breaks,
)
from rodhand.book.order.order_rows import WayRow
from rodhand.book.order.place_work import PlaceWork
from rodhand.book.work.assess import Assessment
from rodhand.units import Figure, Standing
from rodhand.wear.chance import CLASS_ERROR, MOST_ASSUMED, one_in

C, A = Standing.COMPUTED, Standing.ASSUMED


def mostly_assumed(assessment: Assessment, keys: Sequence[str]) -> bool:
    """Whether more than half of the history of any of some rods is assumed or not known."""
    shares = [assessment.histories[key].known_share for key in keys]
    return any(share is None or 1.0 - share > MOST_ASSUMED for share in shares)


def best_of_each(turned: Sequence[Arranged]) -> list[Arranged]:
    """The cheapest of each kind of turning."""
    hows = dict.fromkeys(way.how for way in turned)
    return [cheapest([way for way in turned if way.how == how]) for how in hows]


def ways_of(
    rig: str, of: RigCase, work: PlaceWork, ways: Sequence[Arranged], chosen: Arranged,
    priced: bool, assumed: bool,
) -> tuple[WayRow, ...]:  # fmt: skip
    """Ways compared, breaks over those of the first, chances left out where much is assumed."""
    rows = []
    stand = A if assumed or work.standing is A else C
    for way in ways:
        own = f"order.{rig}.{way.how}"
        whole = make_list(of.case.kind, of.lies, way.box, way.todo.rows)
        over = way.breaks / ways[0].breaks if ways[0].breaks > 0.0 else 1.0
        figures = {
            "breaks_over": Figure(f"{own}.breaks_over", over, "ratio", stand),
            "lifted": Figure(f"{own}.lifted", float(whole.lifted), "count", C),
        }
        if priced:
            figures["cost"] = Figure(f"{own}.cost", way.cost, "money", stand)
        if not assumed:
            for name, factor in (("low", 1.0 / CLASS_ERROR), ("high", CLASS_ERROR)):
                chance = any_breaks(of, work.added, way.todo.order, factor)
                figures[f"chance_{name}"] = Figure(
                    f"{own}.chance_{name}", float(one_in(chance)), "one_in", A
                )
        rows.append(WayRow(way.how, way.how == chosen.how, figures))
    return tuple(rows)
