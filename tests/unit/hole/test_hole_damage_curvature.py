"""Curvature for damage: wander where heading is missing, relief only in low, noise off."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.bends import HoleBends, hole_bends, per_rod
from rodhand.hole.damage_curvature import (
    corrected_power,
    curvature_band,
    hole_clearance,
    is_told_from_straight,
    lone_bend_relief,
    relieved_share,
    vertical_wander,
)
from rodhand.hole.pilot_log import pilot_readings

ROD = 3.05
JOINT = 0.070


def bends_of(
    changes: list[float],
    heading: list[float | None] | None = None,
    push: list[float | None] | None = None,
) -> HoleBends:
    """Bends with given changes of pitch per rod, the first from a rig's pitch of 0."""
    pitch = np.concatenate([[0.0], np.cumsum(changes)])
    log = pilot_readings(
        range(len(changes) + 1),
        pitch,
        length=[None, *[ROD] * len(changes)],
        heading=heading,
        push_length=push,
    )
    return hole_bends(log)


def test_relief_check_value() -> None:
    """DEFINITIONS check: 8 % in 3.05 m with 30 mm to spare: 38 to 76 m."""
    assert pytest.approx(38, abs=0.2) == 3.05 / 0.08
    assert 3.05 / 0.08 / relieved_share(0.08, 3.05, 0.030) == pytest.approx(76, abs=0.5)


def test_relief_only_where_the_bend_is_lone() -> None:
    lone = lone_bend_relief(bends_of([0.0, 0.001, 0.08, 0.002, 0.0]), 0.030)
    assert lone[2] == pytest.approx(38.125 / 75.625, rel=1e-6)
    assert lone[[0, 4]] == pytest.approx([1, 1])
    long_curve = lone_bend_relief(bends_of([0.03, 0.05, 0.08, 0.05, 0.03]), 0.030)
    # 24 % over 15.25 m, no neighbours: R 63.5 m, relief 8 x 0.030 / 0.24^2 = 4.2 m only
    assert long_curve == pytest.approx([63.542 / (63.542 + 4.1667)] * 5, rel=1e-4)


def test_neighbour_of_a_third_or_more_is_company() -> None:
    """A bend back of 40 % of the bend next to it: neither is alone."""
    relief = lone_bend_relief(bends_of([0.0, 0.08, -0.032, 0.0]), 0.030)
    assert relief[1:3] == pytest.approx([1, 1])
    small = lone_bend_relief(bends_of([0.0, 0.08, -0.02, 0.0]), 0.030)
    assert small[1] < 0.6
    assert small[2] == 1.0


def test_a_neighbour_nobody_read_is_not_taken_for_straight() -> None:
    log = pilot_readings([0, 1, 2, 3, 4], [0.0, 0.0, 0.08, None, 0.08], length=[None, *[ROD] * 4])
    assert lone_bend_relief(hole_bends(log), 0.030) == pytest.approx([1.0] * 4)


def test_no_clearance_no_relief() -> None:
    assert lone_bend_relief(bends_of([0.0, 0.08, 0.0]), 0.0) == pytest.approx([1.0] * 3)


def test_a_bend_too_small_to_square_is_no_fault() -> None:
    assert lone_bend_relief(bends_of([1e-200, 0.0]), 0.0) == pytest.approx([1.0, 1.0])
    assert np.isfinite(curvature_band(bends_of([1e-200]), JOINT).low).all()


def test_clearance() -> None:
    assert hole_clearance(0.070, 0.100) == pytest.approx(0.030)
    assert hole_clearance(0.070) == pytest.approx(0.028)  # 1.4 x joint OD
    with pytest.raises(ValueError, match="narrower"):
        hole_clearance(0.070, 0.060)


def test_wander_by_hand() -> None:
    """Bends 0, 0, 5, 0, 0 units of 1 %: moving means 5/3, 5/4, 1, 5/4, 5/3 by hand."""
    residual = np.array([0 - 5 / 3, 0 - 5 / 4, 5 - 1, 0 - 5 / 4, 0 - 5 / 3]) * 0.01 / ROD
    by_hand = math.sqrt(np.mean(residual**2) - np.mean(residual) ** 2)
    assert vertical_wander(per_rod(bends_of([0, 0, 0.05, 0, 0]))) == pytest.approx(by_hand)


def test_an_even_curve_does_not_wander() -> None:
    assert vertical_wander(per_rod(bends_of([0.02] * 9))) == pytest.approx(0.0, abs=1e-12)
    assert vertical_wander(per_rod(bends_of([0.02]))) == 0.0


def test_heading_missing() -> None:
    changes = [0.02, -0.01, 0.03, 0.0, 0.02, -0.02]
    bends = bends_of(changes)
    wander = vertical_wander(per_rod(bends))
    assert wander > 0
    band = curvature_band(bends, JOINT, plan_curvature=1 / 200)
    vertical = np.abs(changes) / ROD
    assert band.best == pytest.approx(np.sqrt(vertical**2 + wander**2))
    assert band.high == pytest.approx(np.sqrt(vertical**2 + (wander + 0.005) ** 2))
    assert (band.low <= vertical + 1e-15).all()
    assert band.planes.tolist() == [1] * 6


def test_heading_read() -> None:
    bends = bends_of([0.03, 0.0], heading=[0.0, 0.04, 0.04])
    band = curvature_band(bends, JOINT, plan_curvature=1 / 200)
    assert band.planes.tolist() == [2, 2]
    assert band.best == pytest.approx(bends.curvature)
    assert band.high == pytest.approx(bends.curvature)
    assert band.error == pytest.approx(bends.error / ROD)


def test_readings_never_taken_widen_the_band() -> None:
    pitch = [0.0, 0.06, 0.06, None, 0.08, 0.08]
    log = pilot_readings(
        range(6), pitch, length=[None, *[ROD] * 5], heading=[0.0] * 6, bit_to_sensor=0.5
    )
    band = curvature_band(hole_bends(log), JOINT)
    assert band.unread.tolist() == [False, False, True, True, False, True]
    sharpest = 0.06 / (ROD - 0.5)
    assert band.high[[2, 3, 5]] == pytest.approx([sharpest] * 3)
    assert band.best[2:4] == pytest.approx([0.01 / ROD] * 2)
    assert band.low[5] == 0.0
    # the mean of the stretches read: 6 % over three of them, the first short by the sensor
    assert band.best[5] == pytest.approx(0.06 / (3 * ROD - 0.5))


def test_nothing_read_is_unknown() -> None:
    band = curvature_band(hole_bends(pilot_readings([1, 2], [None] * 2, length=[ROD] * 2)), JOINT)
    assert np.isnan(np.stack([band.low, band.best, band.high])).all()
    assert band.unread.all()


def test_bend_inside_a_rod_counts_as_sharp_as_it_was() -> None:
    bends = bends_of([0.0, 0.08, 0.0], heading=[0.0] * 4, push=[None, None, 1.0, None])
    band = curvature_band(bends, JOINT)
    assert band.best.max() == pytest.approx(0.08)
    assert band.low.max() == pytest.approx(1 / (12.5 + 8 * 0.4 * JOINT / 0.08**2))


@given(
    st.lists(st.floats(-0.12, 0.12), min_size=1, max_size=15),
    st.booleans(),
    st.floats(1.0, 2.5),
    st.floats(0.0, 0.02),
    st.data(),
)
def test_low_best_high_in_order(
    changes: list[float], has_heading: bool, ratio: float, plan: float, data: st.DataObject
) -> None:
    pitch: list[float | None] = [0.0, *np.cumsum(changes)]
    for row in data.draw(st.sets(st.integers(1, len(changes)), max_size=3)):
        pitch[row] = None
    log = pilot_readings(
        range(len(pitch)),
        pitch,
        length=[None, *[ROD] * len(changes)],
        heading=list(np.sin(np.arange(len(pitch)))) if has_heading else None,
        bit_to_sensor=data.draw(st.sampled_from([0.0, 0.9])),
    )
    band = curvature_band(hole_bends(log), JOINT, ratio * JOINT, plan)
    known = np.isfinite(band.best)
    assert (band.low[known] >= 0).all()
    assert (band.low[known] <= band.best[known] * (1 + 1e-12)).all()
    assert (band.best[known] <= band.high[known] * (1 + 1e-12)).all()
    assert (np.isfinite(band.low) == known).all()
    assert (np.isfinite(band.high) == known).all()


@pytest.mark.parametrize(("planes", "exponent"), [(1, 3.0), (1, 4.7), (2, 3.0), (2, 4.7)])
def test_noise_correction_against_drawn_noise(planes: int, exponent: float) -> None:
    """Second method: the mean of noisy bends' corrected powers comes back to the true power."""
    rng = np.random.default_rng(11)
    true, noise = 0.03, 0.003
    drawn = rng.normal(0, noise, (planes, 400_000))
    drawn[0] += true
    read = np.sqrt((drawn**2).sum(axis=0))
    corrected = corrected_power(read, np.full(read.size, noise), exponent, planes)
    assert corrected.mean() == pytest.approx(true**exponent, rel=0.01)
    assert (read**exponent).mean() > 1.02 * true**exponent  # without it, too big


def test_below_the_noise_nothing_is_told_from_straight() -> None:
    """m 4, one plane: c = 6, so the edge is at sqrt(6) s = 2.449 s."""
    bend = np.array([2.44, 2.46, 0.0])
    one = np.ones(3)
    assert is_told_from_straight(bend, one, 4.0, 1).tolist() == [False, True, False]
    power = corrected_power(bend, one, 4.0, 1)
    assert power[[0, 2]] == pytest.approx([0, 0])
    assert power[1] == pytest.approx(2.46**4 * (1 - 6 / 2.46**2))
    assert corrected_power(bend, one, 4.0, np.array([2, 2, 2])) == pytest.approx([0, 0, 0])


def test_unknown_error_takes_nothing_off() -> None:
    power = corrected_power(np.array([0.03]), np.array([math.nan]), 3.0, 1)
    assert power == pytest.approx([0.03**3])
    with pytest.raises(ValueError, match="exponent"):
        corrected_power(np.array([0.03]), np.array([0.0]), 1.0, 1)
