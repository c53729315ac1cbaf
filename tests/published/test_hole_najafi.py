"""Najafi, Trenchless Technology Piping: Installation and Inspection, McGraw-Hill 2010, ch. 5.

READ: least depth and setback (p. 210-213, figs 5.17-5.18, eqs 5.5-5.10; also Slavin, Florida
Water Resources Journal, Oct 2021, p. 13), radius from the change of angle (eq. 5.11, p. 215),
the two numbers called bend radius (p. 206; 314 ft: netwasgroup.us, fig. 4-2, R inferred).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole import geometry
from rodhand.hole.limits import long_life_radius, radius_from_percent
from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_shape import close_shapes, draw
from rodhand.units import FOOT, INCH, from_si

ENTRY = math.radians(15)
ROD, RADIUS = 10 * FOOT, 100 * FOOT
WHOLE_UNIT = 0.5  # the book prints whole inches and feet


def test_least_depth_at_level() -> None:
    depth = geometry.least_depth_at_level(ENTRY, ROD, RADIUS)
    assert depth / INCH == pytest.approx(72, abs=WHOLE_UNIT)


def test_straight_setback() -> None:
    setback = geometry.straight_setback(72 * INCH, ENTRY)
    assert setback / FOOT == pytest.approx(22, abs=WHOLE_UNIT)


def test_setback_to_level() -> None:
    """The book says at least 35 ft."""
    setback = geometry.setback_to_level(ENTRY, ROD, RADIUS)
    assert setback / FOOT == pytest.approx(35, abs=0.6)
    assert setback / FOOT >= 35


def test_the_arc_for_ninety_degrees_is_not_the_radius() -> None:
    assert geometry.quarter_turn_length(200 * FOOT) / FOOT == pytest.approx(314, abs=WHOLE_UNIT)
    # trap: taking the 314 ft for the radius would allow 1.57 times too little bend
    assert geometry.quarter_turn_length(1.0) == pytest.approx(1.5708, abs=1e-4)


def test_radius_from_change_of_angle() -> None:
    """Eq. 5.11: 0.1 rad in 10 ft is a radius of 100 ft; about 6 degrees."""
    assert radius_from_percent(10, ROD) / FOOT == pytest.approx(100, abs=1e-9)
    assert math.degrees(0.1) == pytest.approx(6, abs=0.3)


@pytest.mark.parametrize(("degrees", "percent"), [(5, 9), (10, 18), (15, 27), (20, 36), (30, 58)])
def test_legends_of_figures_5_17_and_5_18(degrees: float, percent: float) -> None:
    """One legend prints 13 degrees beside 58 %: it must be 30 (MISPRINT)."""
    assert from_si(math.radians(degrees), "slope", "pct") == pytest.approx(percent, abs=WHOLE_UNIT)


def test_misprinted_legend() -> None:
    assert abs(from_si(math.radians(13), "slope", "pct") - 58) > 30


def test_long_life_line() -> None:
    """Eq. 5.1: radius in ft about 100 times rod OD in inches."""
    assert long_life_radius(2.375 * INCH) / FOOT == pytest.approx(237.5, abs=1e-9)


def test_rise_on_arc_against_the_circle() -> None:
    """Eq. 5.8 against Pythagoras on the circle."""
    distance = geometry.rise_distance_on_arc(2.0, 30.0)
    assert distance == pytest.approx(math.sqrt(30.0**2 - 28.0**2), rel=1e-12)
    assert geometry.rise_distance_on_arc(30.0, 30.0) == pytest.approx(30.0)
    with pytest.raises(ValueError, match="radius"):
        geometry.rise_distance_on_arc(31.0, 30.0)


def test_arc_then_straight() -> None:
    """Eq. 5.9: where the arc just reaches the surface it is eq. 5.8; straight only is 5.10."""
    angle = math.radians(12)
    depth = 30.0 * (1 - math.cos(angle))
    joined = geometry.rise_distance_arc_then_straight(depth, 30.0, angle)
    assert joined == pytest.approx(geometry.rise_distance_on_arc(depth, 30.0), rel=1e-12)
    no_arc = geometry.rise_distance_arc_then_straight(2.0, 0.0, angle)
    assert no_arc == pytest.approx(2.0 / math.tan(angle))
    with pytest.raises(ValueError, match="above the surface"):
        geometry.rise_distance_arc_then_straight(depth / 2, 30.0, angle)


def test_setback_when_the_bore_goes_deeper() -> None:
    """Every further metre of depth costs 1/tan b of setback; less than the least is refused."""
    least = geometry.least_depth_at_level(ENTRY, ROD, RADIUS)
    deeper = geometry.setback_to_level(ENTRY, ROD, RADIUS, depth=least + 1.0)
    more = deeper - geometry.setback_to_level(ENTRY, ROD, RADIUS)
    assert more == pytest.approx(1.0 / math.tan(ENTRY))
    with pytest.raises(ValueError, match="depth"):
        geometry.setback_to_level(ENTRY, ROD, RADIUS, depth=least - 0.1)


def test_the_planner_levels_where_the_book_does() -> None:
    """First rod straight, then the least radius: level at about 72 in, at least 35 ft away."""
    ask = PlanAsk(200 * FOOT, ENTRY, math.radians(12), ROD, RADIUS)
    level, radius = np.zeros(1), np.full(1, RADIUS)
    shapes, room = close_shapes(
        ask, np.zeros(1), level, np.full(1, math.radians(12)), radius, radius
    )
    assert room[0] > 0
    assert shapes.first[0] == pytest.approx(ROD)
    drawn = draw(shapes, 0.01)  # near enough to the curve itself
    deepest = -float(drawn.height.min())
    assert deepest / INCH == pytest.approx(72, abs=WHOLE_UNIT)
    begins = float(drawn.across[0, np.flatnonzero(drawn.height[0] <= -deepest + 1e-4)[0]])
    assert begins / FOOT == pytest.approx(35, abs=0.6)
