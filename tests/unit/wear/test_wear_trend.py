"""Wear trends: a line by hand, bands that hold as often as they say, and what is not told."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize

from rodhand.wear.ground_rates import EndReadings, ground_rates
from rodhand.wear.trend import SizeRead, wear_trend

MM = 1e-3


def of(pairs: list[tuple[float, float]], error: float = 0.1 * MM) -> list[SizeRead]:
    return [SizeRead(done, size * MM, error) for done, size in pairs]


def test_a_line_by_hand() -> None:
    """70.0, 69.0, 68.0 mm at 0, 1000, 2000 m: 1 mm per 1,000 m; 63 mm is reached at 7,000 m."""
    trend = wear_trend(of([(0, 70.0), (2000, 68.0), (1000, 69.0)]), 63.0 * MM)
    assert trend.why == ""
    assert trend.rate == pytest.approx(1e-6)
    assert trend.crosses == pytest.approx(7000.0)
    # deviation 0.1/1.96 mm; rate's variance = s^2 / sum (x - 1000)^2 = s^2 / 2e6
    half = 1.6449 * 0.1 * MM / 1.96 / math.sqrt(2e6)
    assert trend.rate_low == pytest.approx(1e-6 - half, rel=1e-4)
    assert trend.rate_high == pytest.approx(1e-6 + half, rel=1e-4)
    assert trend.crosses_low < 7000.0 < trend.crosses_high


def test_a_bore_that_grows_is_worn_the_other_way() -> None:
    """A counterbore of 50 mm that grows 0.2 mm in 100 make-ups reaches 50.8 mm at 400."""
    trend = wear_trend(of([(0, 50.0), (50, 50.1), (100, 50.2)], 0.05 * MM), 50.8 * MM, grows=True)
    assert trend.rate == pytest.approx(0.002 * MM)
    assert trend.crosses == pytest.approx(400.0)


def test_the_line_is_that_of_another_solver() -> None:
    done = np.array([0.0, 300.0, 700.0, 1500.0, 1600.0])
    size = np.array([70.02, 69.9, 69.71, 69.2, 69.22])
    error = np.array([0.1, 0.05, 0.1, 0.05, 0.2])
    trend = wear_trend(
        [SizeRead(x, y * MM, e * MM) for x, y, e in zip(done, size, error, strict=True)], 66.0 * MM
    )
    (start, rate), _ = optimize.curve_fit(
        lambda x, a, b: a - b * x, done, size, sigma=error / 1.96, absolute_sigma=True
    )
    assert trend.rate == pytest.approx(rate * MM, rel=1e-6)
    assert trend.crosses == pytest.approx((start - 66.0) / rate, rel=1e-6)


@pytest.mark.parametrize("count", [3, 6])
def test_nine_of_ten_bands_hold_the_truth(count: int) -> None:
    """2,000 invented ends that wear 0.6 mm per 1,000 m, read with an error of 0.1 mm."""
    draw = np.random.default_rng(17)
    done = np.linspace(0.0, 3000.0, count)
    held_rate = held_crossing = told = 0
    for _ in range(2000):
        size = 70.0 * MM - 0.6e-6 * done + draw.normal(0.0, 0.1 * MM / 1.96, count)
        trend = wear_trend(
            [SizeRead(x, y, 0.1 * MM) for x, y in zip(done, size, strict=True)], 66.0 * MM
        )
        truth = 4.0 * MM / 0.6e-6
        told += trend.why == ""
        held_rate += trend.rate_low <= 0.6e-6 <= trend.rate_high
        held_crossing += trend.crosses_low <= truth <= trend.crosses_high
    assert told == 2000
    # Never less than nine of ten; more, because the wider of two distributions is taken.
    assert 1780 <= held_rate <= 1980
    assert 1780 <= held_crossing <= 1980


def test_two_readings_tell_nothing_yet() -> None:
    trend = wear_trend(of([(0, 70.0), (1000, 69.0)]), 63.0 * MM)
    assert trend.why == "few"
    assert math.isnan(trend.rate)
    assert math.isnan(trend.again)


def test_measure_again_where_the_change_passes_the_gauge() -> None:
    """Two readings of error 0.1 mm tell 0.1414 mm apart; at 0.5 mm per 1,000 m that is 283 m."""
    trend = wear_trend(of([(100, 70.0), (200, 69.98)]), 63.0 * MM, usual_rate=0.5e-6)
    assert trend.again == pytest.approx(100 + 0.1414214 / 0.5 * 1000, rel=1e-6)


def test_a_change_within_the_gauge_is_not_told() -> None:
    trend = wear_trend(of([(0, 70.0), (500, 69.95), (1000, 69.9)]), 63.0 * MM)
    assert trend.why == "gauge"
    assert trend.again == pytest.approx(0.1414214 / 0.1 * 1000, rel=1e-6)


def test_an_end_that_seems_to_grow_back_is_not_told() -> None:
    assert wear_trend(of([(0, 70.0), (500, 70.3), (1000, 70.6)]), 63.0 * MM).why == "no wear"


def test_more_scatter_than_the_gauge_explains_widens_the_band() -> None:
    calm = wear_trend(of([(0, 70.0), (1000, 69.0), (2000, 68.0), (3000, 67.0)]), 63.0 * MM)
    wild = wear_trend(of([(0, 70.4), (1000, 68.4), (2000, 68.8), (3000, 67.0)]), 63.0 * MM)
    assert wild.rate_high - wild.rate_low > 3.0 * (calm.rate_high - calm.rate_low)


def test_a_band_without_an_end_is_infinite() -> None:
    """A rate whose band reaches 0: the limit may be near, or never be reached."""
    trend = wear_trend(of([(0, 70.0), (1000, 69.0), (2000, 69.8)]), 63.0 * MM)
    assert trend.why in ("", "gauge")
    wide = wear_trend(of([(0, 70.0), (1000, 68.5), (2000, 69.0), (3000, 68.7)]), 63.0 * MM)
    assert wide.why == ""
    assert wide.rate_low < 0.0
    assert math.isinf(wide.crosses_high)
    assert 3000.0 <= wide.crosses_low < wide.crosses


def test_a_reading_without_an_error_is_refused() -> None:
    with pytest.raises(ValueError, match="error above 0"):
        wear_trend([SizeRead(0.0, 0.07, 0.0)], 0.06)


def test_rates_by_ground_by_hand() -> None:
    """Sand 1.0, clay 0.2 mm per 1,000 m, in three ends with different shares, without noise."""
    sand_clay = np.array([1.0e-6, 0.2e-6])
    ends = []
    for last in ([2000.0, 0.0], [0.0, 2000.0], [1000.0, 1000.0]):
        done = np.array([[0.0, 0.0], [last[0] / 2, last[1] / 2], last])
        ends.append(EndReadings(done @ sand_clay, np.full(3, 0.1 * MM), done))
    sand, clay = ground_rates(ends, 2)
    assert sand.rate == pytest.approx(1.0e-6)
    assert clay.rate == pytest.approx(0.2e-6)
    assert sand.low < sand.rate < sand.high


def test_grounds_that_always_came_together_are_not_told_apart() -> None:
    done = np.array([[0.0, 0.0], [500.0, 500.0], [1000.0, 1000.0], [2000.0, 2000.0]])
    rates = ground_rates([EndReadings(done[:, 0] * 1e-6, np.full(4, 0.1 * MM), done)], 2)
    assert all(math.isnan(each.rate) for each in rates)
