"""Closed forms at the edges of double precision: tiny bends, repeated stations, north.

No publication: each expected value is exact (hand arithmetic).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole.minimum_curvature import (
    SMALL_ANGLE,
    average_angle_step,
    dogleg,
    mean_heading,
    minimum_curvature_step,
    radius_of_curvature_step,
    ratio_factor,
    tangent_from_inclination,
    unwrapped_heading,
)


def bend_deg(start: tuple[float, float], end: tuple[float, float]) -> float:
    one, other = (tangent_from_inclination(*np.radians(pair)) for pair in (start, end))
    return float(dogleg(one, other))


def test_tiny_bend() -> None:
    assert bend_deg((90, 0), (90.002, 0)) == pytest.approx(3.4906585e-05, abs=1e-12)


def test_repeated_station() -> None:
    assert bend_deg((45, 130), (45, 130)) == 0.0


def test_across_north() -> None:
    assert bend_deg((90, 359.5), (90, 0.5)) == pytest.approx(math.radians(1), abs=1e-12)


def test_the_arccos_form_leaves_its_domain_and_ours_does_not() -> None:
    inclination = np.random.default_rng(1).uniform(0.0, math.pi, 9000)
    cosine = np.cos(inclination) * np.cos(inclination) + np.sin(inclination) * np.sin(inclination)
    assert (cosine > 1.0).any()  # arccos of these is NaN
    directions = tangent_from_inclination(inclination, np.full(9000, 2.2))
    assert (dogleg(directions, directions) == 0.0).all()


def test_arccos_form_loses_what_a_tiny_bend_is() -> None:
    """1e-8 rad: its cosine is 1 in double precision, so the arccos says straight."""
    tiny = 1e-8
    start = np.array([1.0, 0.0, 0.0])
    end = np.array([math.cos(tiny), math.sin(tiny), 0.0])
    assert float(dogleg(start, end)) == pytest.approx(tiny, rel=1e-12)
    assert math.acos(math.cos(tiny)) == 0.0


def test_ratio_factor_series_meets_the_formula() -> None:
    below, above = ratio_factor(np.array([SMALL_ANGLE * (1 - 1e-9), SMALL_ANGLE * (1 + 1e-9)]))
    assert below == pytest.approx(above, abs=1e-12)
    assert float(ratio_factor(np.float64(0.0))) == 1.0


def test_mean_heading_across_north_is_not_south() -> None:
    mean = math.degrees(mean_heading(np.radians([359.5, 0.5])))
    assert min(mean, 360 - mean) == pytest.approx(0.0, abs=1e-9)
    assert math.degrees(mean_heading(np.radians([10, np.nan, 30]))) == pytest.approx(20)
    assert math.isnan(mean_heading(np.array([np.nan])))


def test_unwrapped_heading_keeps_unread_rows() -> None:
    heading = np.degrees(unwrapped_heading(np.radians([358.0, np.nan, 1.0, 5.0])))
    assert heading[[0, 2, 3]] == pytest.approx([358, 361, 365])
    assert np.isnan(heading[1])


@pytest.mark.parametrize("method", [average_angle_step, radius_of_curvature_step])
def test_older_methods_across_north_and_with_equal_angles(method: object) -> None:
    """359 to 1 degree at level averages to north, not south; a straight stretch stays straight."""
    level = np.radians(90.0)
    north = method(  # type: ignore[operator]
        np.float64(10), (level, level), (np.radians(359.0), np.radians(1.0))
    )
    assert north == pytest.approx([10, 0, 0], abs=1e-3)
    straight = method(  # type: ignore[operator]
        np.float64(10), (level, level), (np.radians(30.0), np.radians(30.0))
    )
    assert straight == pytest.approx([10 * math.cos(math.radians(30)), 5, 0], abs=1e-12)


def test_minimum_curvature_on_a_quarter_circle() -> None:
    """From straight down to level on R 100: north 100, depth 100 (the circle itself)."""
    down = tangent_from_inclination(np.float64(0), np.float64(0))
    level = tangent_from_inclination(np.radians(90.0), np.float64(0))
    step = minimum_curvature_step(np.float64(50 * math.pi), down, level)
    assert step == pytest.approx([100, 0, 100], abs=1e-9)
