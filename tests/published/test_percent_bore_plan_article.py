"""A proposed bore plan article, trenchlesstechnology.com (READ): first rod at -25 % over 10 ft
gives 2.5 ft; a rod of 9.8 % per 10 ft."""

from __future__ import annotations

import math

import pytest

from rodhand.hole.geometry import (
    rod_depth_by_field_rule,
    rod_depth_on_arc,
    rod_depth_on_slope,
)
from rodhand.hole.limits import radius_from_percent
from rodhand.units import FOOT


def test_field_rule_for_the_first_rod() -> None:
    assert rod_depth_by_field_rule(10 * FOOT, 0.25) / FOOT == pytest.approx(2.5, abs=0.001)


def test_true_sine_is_less() -> None:
    """10 sin(atan 0.25) = 10 / sqrt(17) = 2.4254 ft (hand arithmetic)."""
    assert rod_depth_on_slope(10 * FOOT, 0.25) / FOOT == pytest.approx(10 / math.sqrt(17))


def test_arc_reduces_to_the_slope_and_is_symmetric() -> None:
    angle = math.atan(0.25)
    assert rod_depth_on_arc(3.0, angle, angle) == pytest.approx(rod_depth_on_slope(3.0, 0.25))
    # 15 degrees to level on 10 ft: 10 (1 - cos 15)/(15 in rad), by hand 1.30152 ft
    by_hand = 10 * (1 - math.cos(math.radians(15))) / math.radians(15)
    assert rod_depth_on_arc(10.0, math.radians(15), 0.0) == pytest.approx(by_hand)
    assert rod_depth_on_arc(10.0, 0.0, math.radians(15)) == pytest.approx(by_hand)


def test_nine_point_eight_percent_per_ten_feet() -> None:
    """By our definition 1000/9.8 = 102.04 ft; by the other formula l/atan(p) 102.37 ft."""
    assert radius_from_percent(9.8, 10.0) == pytest.approx(1000 / 9.8)
    assert 10 / math.atan(0.098) == pytest.approx(102.37, abs=0.01)
