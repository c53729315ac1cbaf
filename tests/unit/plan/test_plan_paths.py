"""Planned paths keep every limit; impossible plans are refused for their first reason and mended.

The checks walk the rods by themselves: small chords of each rod's arc, no function of the planner.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from rodhand.hole.plan_limits import DEPTH_ERROR, InWay, PlanAsk, allowance
from rodhand.hole.plan_refusal import Change, is_possible, why_refused
from rodhand.hole.planned_path import PlannedPath, plan_paths

ROD, RADIUS = 3.05, 42.0
ASK = PlanAsk(60.0, math.atan(0.25), math.atan(0.20), ROD, RADIUS)
COVER = replace(ASK, cover=2.0, cover_from=20.0, cover_to=40.0)


def walked(pitch: NDArray[np.float64], length: float) -> NDArray[np.float64]:
    """Points of a hole in chords of 1 cm. [m]"""
    steps = round(length / 0.01)
    shares = (np.arange(steps) + 0.5) / steps
    at = (pitch[:-1, None] + np.diff(pitch)[:, None] * shares).ravel()
    each = length / steps * np.stack((np.cos(at), np.sin(at)), axis=1)
    return np.vstack(([0.0, 0.0], np.cumsum(each, axis=0)))


def assert_keeps(ask: PlanAsk, path: PlannedPath) -> None:
    points = walked(path.pitch, ask.rod_length)
    ground = points[:, 0] * ask.exit_height / ask.distance
    depth = ground - points[:, 1]
    assert path.pitch[1] == pytest.approx(-ask.entry)  # the first rod is straight
    assert float(np.max(np.abs(np.diff(path.pitch)))) <= ask.rod_length / ask.radius + 1e-9
    assert float(path.pitch.max()) <= ask.steepest_exit + 1e-9
    assert abs(path.comes_out - ask.distance) < 0.35
    if ask.cover is not None:
        there = np.interp(np.linspace(ask.cover_from, ask.cover_to, 999), points[:, 0], depth)
        assert float(there.min()) >= ask.cover - 2e-3
    for each in ask.in_way:
        assert each.depth is not None
        middle = ask.exit_height / ask.distance * np.clip(points[:, 0], each.at, each.to)
        aside = np.clip(points[:, 0], each.at, each.to) - points[:, 0]
        apart = np.sqrt(
            aside**2 + (points[:, 1] - middle + each.depth) ** 2 + (each.offset or 0.0) ** 2
        )
        assert float((apart - DEPTH_ERROR * np.maximum(depth, 0.0)).min()) >= each.keep - 3e-3


POSSIBLE = [
    ASK,
    COVER,
    replace(COVER, exit_height=3.0),
    replace(COVER, exit_height=-2.0, distance=75.0),
    replace(COVER, in_way=(InWay("gas", 15.0, 15.0, 1.2, 0.8),)),
    replace(
        COVER,
        in_way=(InWay("gas", 30.0, 30.0, 1.0, 0.7), InWay("sewer", 34.0, 34.0, 4.5, 0.9)),
    ),
    replace(COVER, in_way=(InWay("duct", 20.0, 45.0, 1.4, 0.8, offset=0.6),)),
    PlanAsk(250.0, math.radians(14), math.radians(10), 9.6, 320.0, 0.0, 6.0, 90.0, 150.0),
]


@pytest.mark.parametrize("ask", POSSIBLE)
def test_three_candidates_keep_all_and_each_is_best_of_its_kind(ask: PlanAsk) -> None:
    shortest, easiest, deepest = plan_paths(ask)
    for path in (shortest, easiest, deepest):
        assert_keeps(ask, path)
    assert shortest.length <= min(easiest.length, deepest.length) + 0.05

    def cost(path: PlannedPath) -> float:
        return float(np.sum(np.abs(np.diff(path.pitch)) ** 4.7))

    assert cost(easiest) <= 1.02 * min(cost(shortest), cost(deepest))

    def cover(path: PlannedPath) -> float:
        points = walked(path.pitch, ask.rod_length)
        depth = points[:, 0] * ask.exit_height / ask.distance - points[:, 1]
        if ask.cover is None:
            return float(depth.max())
        places = np.linspace(ask.cover_from, ask.cover_to, 99)
        return float(np.interp(places, points[:, 0], depth).min())

    assert cover(deepest) >= max(cover(shortest), cover(easiest)) - 0.02


def test_the_deepest_is_what_plain_geometry_gives() -> None:
    # straight down at a, one arc of the least radius, straight out at b: the deepest point of the
    # arc in the corner of two straight lines, by hand
    a, b, distance = ASK.entry, ASK.steepest_exit, ASK.distance
    corner = distance * math.tan(a) * math.tan(b) / (math.tan(a) + math.tan(b))
    x = corner / math.tan(a)
    tangent = RADIUS * math.tan((a + b) / 2)
    start = (x - tangent * math.cos(a)) * math.tan(a)
    by_hand = start + RADIUS * (1 - math.cos(a))
    deepest = plan_paths(ASK)[2]
    assert float(-deepest.height.min()) == pytest.approx(by_hand, abs=0.06)


def refused(**changes: object) -> PlanAsk:
    return replace(COVER, **changes)  # type: ignore[arg-type]


GAS = InWay("gas", 12.0, 12.0, 1.5, 1.2)
IMPOSSIBLE = [
    ("fit", "", replace(ASK, distance=18.0)),
    ("fit", "", replace(ASK, distance=24.0, radius=90.0)),
    ("fit", "", replace(ASK, distance=20.0, exit_height=-4.0)),
    ("fit", "", PlanAsk(60.0, math.radians(14), math.radians(10), 9.6, 320.0)),
    ("fit", "", replace(ASK, distance=30.0, entry=math.radians(24.0), radius=60.0)),
    ("cover_from", "", refused(cover_from=6.0)),
    ("cover_from", "", refused(cover=4.0, cover_from=12.0)),
    ("cover_from", "", refused(cover_from=12.0, entry=math.atan(0.12))),
    ("cover_from", "", refused(cover_from=6.0, cover_to=58.0)),
    ("cover_to", "", refused(cover_to=55.0)),
    ("cover_to", "", refused(cover_to=52.0, exit_height=-1.5)),
    ("cover_to", "", refused(steepest_exit=math.atan(0.08))),
    ("cover_to", "", refused(cover=4.0, cover_from=29.0, cover_to=45.0)),
    # the curves leave 4.5 m straight: at 10 m the hole is 10 tan a - 5.6^2 / 2R = 2.34 m deep
    ("cover_from", "", refused(cover=2.4, cover_from=10.0, cover_to=47.0, radius=102.0)),
    ("utility", "gas", refused(in_way=(replace(GAS, at=3.0, to=3.0, depth=0.8, keep=0.7),))),
    ("utility", "sewer", refused(
        in_way=(GAS, InWay("sewer", 12.5, 12.5, 4.5, 1.9, None, 0.6)))),
    ("utility", "bank", refused(in_way=(InWay("bank", 30.0, 30.0, 3.5, 3.4, None, 1.0),))),
    ("utility", "sewer", refused(
        in_way=(InWay("sewer", 50.0, 50.0, 1.6, 1.9), InWay("rain", 55.0, 55.0, 1.0, 0.7)))),
    ("utility", "duct", refused(in_way=(InWay("duct", 10.0, 50.0, 3.0, 2.2, 0.3, 0.7),))),
    ("not_found", "main", refused(in_way=(InWay("main", 30.0, 30.0, None, 0.8),))),
]  # fmt: skip


def smaller(change: Change, ask: PlanAsk) -> PlanAsk:
    """The same change, 3 % less of it, made here by hand."""
    by = 0.97 * change.by
    if change.what == "back":
        return replace(
            ask, distance=ask.distance + by, cover_from=ask.cover_from + by,
            cover_to=ask.cover_to + by,
            in_way=tuple(replace(w, at=w.at + by, to=w.to + by) for w in ask.in_way),
        )  # fmt: skip
    simple = {
        "beyond": {"distance": ask.distance + by},
        "steeper": {"entry": ask.entry + by},
        "gentler": {"entry": ask.entry - by},
        "exit": {"steepest_exit": ask.steepest_exit + by},
        "cover": {"cover": (ask.cover or 0.0) - by},
        "radius": {"radius": ask.radius - by},
    }
    if change.what in simple:
        return replace(ask, **simple[change.what])  # type: ignore[arg-type]
    changed = {w.name: w for w in change.ask.in_way}
    return replace(ask, in_way=tuple(
        w if w == changed[w.name] else replace(w, keep=w.keep - by) for w in ask.in_way
    ))  # fmt: skip


@pytest.mark.parametrize(("reason", "name", "ask"), IMPOSSIBLE)
def test_an_impossible_plan_is_refused_for_its_first_reason_and_mended(
    reason: str, name: str, ask: PlanAsk
) -> None:
    assert plan_paths(ask) == ()
    found = why_refused(ask)
    assert found is not None
    assert (found.reason, found.utility) == (reason, name)
    assert found.changes
    for path in plan_paths(found.changes[0].ask):
        assert_keeps(found.changes[0].ask, path)
    for change in found.changes:
        assert is_possible(change.ask)
        if change.what != "no_deeper":
            assert not is_possible(smaller(change, ask))


def test_setback_and_cover_by_hand() -> None:
    # 6 m from the entry at 25 % the hole is 1.5 m deep; for 2 m it takes 8 m, or 33.3 %
    found = why_refused(refused(cover_from=6.0))
    assert found is not None
    by = {each.what: each for each in found.changes}
    assert found.missing == pytest.approx(0.5, abs=0.01)
    assert by["back"].by == pytest.approx(2.0, rel=0.015)
    assert math.tan(by["steeper"].value) == pytest.approx(2.0 / 6.0, rel=0.01)
    assert by["cover"].value == pytest.approx(1.5, rel=0.01)


def test_a_plan_that_is_possible_is_not_refused() -> None:
    assert why_refused(COVER) is None


def test_what_is_to_keep_grows_with_how_little_is_known() -> None:
    kept = [allowance(how, None, 2.0) for how in ("potholed seen", "located", "drawing", "unknown")]
    assert kept == pytest.approx([0.4572, 0.6572, 3.0, 3.0])  # 18 in, 18 in + 10 %, 3 m
    assert allowance("located", 1.2, 2.0) == 1.2
    assert allowance("drawing", 0.5, 2.0) == 3.0  # nobody has found it: no smaller wish counts
