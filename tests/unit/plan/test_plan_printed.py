"""What a refusal prints is enough: 20 impossible plans, planned with exactly the printed digits."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import pytest
from test_plan_paths import IMPOSSIBLE

from rodhand.book.plan.plan_told import change_told
from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_refusal import Change, is_possible, why_refused
from rodhand.units import FOOT, Figure

UNITS = {"m": 1.0, "ft": FOOT, "°": math.radians(1.0)}


def read(figure: Figure | str, system: Literal["metric", "us"]) -> float:
    """The printed digits and unit as a reader has them. [SI]"""
    assert isinstance(figure, Figure)
    number, unit = figure.shown(system).split("\u00a0")
    typed = float(number.replace(",", ""))
    return math.atan(typed / 100.0) if unit == "%" else typed * UNITS[unit]


def typed_anew(ask: PlanAsk, change: Change, by: float, value: float) -> PlanAsk:
    """The plan with the printed change typed in."""
    if change.what == "back":
        return replace(
            ask, distance=ask.distance + by, cover_from=ask.cover_from + by,
            cover_to=ask.cover_to + by,
            in_way=tuple(replace(w, at=w.at + by, to=w.to + by) for w in ask.in_way),
        )  # fmt: skip
    simple = {
        "beyond": {"distance": ask.distance + by}, "steeper": {"entry": value},
        "gentler": {"entry": value}, "exit": {"steepest_exit": value}, "cover": {"cover": value},
        "radius": {"radius": value},
    }  # fmt: skip
    if change.what in simple:
        return replace(ask, **simple[change.what])  # type: ignore[arg-type]
    field = "depth" if change.what == "no_deeper" else "keep"
    changed = {w.name: w for w in change.ask.in_way}
    return replace(ask, in_way=tuple(
        w if w == changed[w.name] else replace(w, **{field: value}) for w in ask.in_way  # type: ignore[arg-type]
    ))  # fmt: skip


@pytest.mark.parametrize(("reason", "name", "ask"), IMPOSSIBLE)
def test_printed_changes_are_enough_in_both_systems(reason: str, name: str, ask: PlanAsk) -> None:
    refusal = why_refused(ask)
    assert refusal is not None
    for change in refusal.changes:
        said = change_told(change, refusal, "plan.X").values
        for system in ("metric", "us"):
            by, value = read(said["by"], system), read(said["value"], system)
            assert is_possible(typed_anew(ask, change, by, value)), (change.what, system)
