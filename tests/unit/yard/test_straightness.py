"""Bow of a rod by hand arithmetic: sagittas of arcs, one beam, one column."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.steel.straightness import (
    NEW_PIPE_BOW,
    bow_by_line,
    bow_by_rolling,
    bow_by_three_gaps,
    column_share,
    own_sag,
)
from rodhand.steel.tube import yield_radius


def test_rolled_once_round_half_the_difference_is_the_bow() -> None:
    """11 mm and 5 mm over 3 m: 3 mm, which is 1 mm in a metre; error 0.5 / sqrt 2."""
    bow = bow_by_rolling(0.011, 0.005, 3.0, 0.0005)
    assert bow.height == pytest.approx(0.003)
    assert bow.share == pytest.approx(0.001)
    assert bow.error == pytest.approx(0.00035355, rel=1e-4)
    assert bow.told_from_straight


def test_an_even_arc_has_no_hook_and_its_radius() -> None:
    """Exact sagittas of an arc of 500 m: chord 4 m. h = R - sqrt(R^2 - 2^2) = 4.000 mm; at a
    quarter h - (R - sqrt(R^2 - 1)) = 3.000 mm."""
    radius = 500.0
    middle = radius - math.sqrt(radius**2 - 4.0)
    quarter = middle - (radius - math.sqrt(radius**2 - 1.0))
    bow = bow_by_three_gaps((quarter, middle, quarter), 4.0, 0.0005)
    assert bow.height == pytest.approx(0.004, rel=1e-4)
    assert bow.hook == pytest.approx(0.0, abs=1e-3)
    assert bow.radius == pytest.approx(500.0, rel=1e-4)


def test_a_hooked_end_is_told() -> None:
    """Straight, with a corner at one quarter: gaps 6, 4, 2 mm; (6 - 3) / 6 = 0.5."""
    bow = bow_by_three_gaps((0.006, 0.004, 0.002), 4.0, 0.0)
    assert (bow.height, bow.hook) == (0.006, pytest.approx(0.5))


def test_a_gap_smaller_than_its_error_is_not_told_from_straight() -> None:
    """Error of a line: sqrt(1.5) x 1 mm = 1.22 mm."""
    assert not bow_by_line(0.0012, 3.0, 0.001).told_from_straight
    assert bow_by_line(0.0013, 3.0, 0.001).told_from_straight


def test_published_new_pipe_bow_is_two_millimetres_in_a_metre() -> None:
    """API 5DP / ISO 11961, 0.2 % of the length (from memory)."""
    assert pytest.approx(2.0) == NEW_PIPE_BOW * 1000.0


def test_own_sag_by_hand() -> None:
    """5 x 60 x 81 / (384 x 33,000) = 24,300 / 12,672,000 = 1.918 mm."""
    assert own_sag(60.0, 33_000.0, 3.0) == pytest.approx(1.918e-3, rel=1e-3)


def test_yield_radius_by_hand() -> None:
    """206 GPa x 60.325 mm / (2 x 930.8 MPa) = 6.675 m (2-3/8 in, 135 ksi)."""
    assert yield_radius(0.060325, 930.8e6, 206e9) == pytest.approx(6.675, abs=1e-3)


def test_column_by_hand() -> None:
    """Yield equals Euler and eta = 1/2: (2.5 - sqrt(2.5^2 - 4)) / 2 = (2.5 - 1.5) / 2 = 1/2.

    eta = h (OD/2) / i^2 = 0.005 x 0.03 / 0.0003 with i^2 = 3e-4 m^2.
    """
    share = column_share(0.005, 0.06, math.sqrt(3e-4), 900e6, 900e6)
    assert share == pytest.approx(0.5)
    assert column_share(0.0, 0.06, 0.02, 900e6, 300e6) == pytest.approx(1.0)


@given(st.floats(0.0, 0.05), st.floats(0.0, 0.05))
def test_more_bow_never_takes_more_end_on(one: float, other: float) -> None:
    small, large = sorted((one, other))
    assert (
        column_share(large, 0.06, 0.02, 900e6, 300e6)
        <= column_share(small, 0.06, 0.02, 900e6, 300e6) + 1e-12
    )


@pytest.mark.parametrize("gaps", [(0.001, 0.002), (0.001, math.nan, 0.001)])
def test_what_is_no_reading_is_refused(gaps: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match=r"three gaps|finite"):
        bow_by_three_gaps(gaps, 3.0, 0.001)
