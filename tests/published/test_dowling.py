"""Dowling, Mechanical Behavior of Materials, 4th ed. (2013): example 9.1, tables E9.1 and 9.1
(pp. 424-425), mean-stress equations pp. 456-457 (all READ)."""

from __future__ import annotations

import pytest

from rodhand.book.work.tables import strength_coefficient_curves
from rodhand.steel import mean_stress
from rodhand.steel.curves import PowerLine, StrengthCoefficientCurve
from rodhand.steel.mean_stress import MeanStressRule

AMPLITUDES = [948, 834, 703, 631, 579, 524]
CYCLES = [222, 992, 6004, 14130, 43860, 132150]


def test_two_point_exponent() -> None:
    found = PowerLine.through((222, 948), (132150, 524))
    assert found.exponent == pytest.approx(-0.0928, abs=5e-5)


def test_regression() -> None:
    found = PowerLine.fitted(AMPLITUDES, CYCLES)
    assert found.exponent == pytest.approx(-0.0945, abs=1e-4)
    assert found.intercept == pytest.approx(1587, abs=2)
    assert found.intercept / 2**found.exponent == pytest.approx(1695, abs=3)


def test_trap_regression_the_other_way_round() -> None:
    """Stress on cycles instead of cycles on stress gives another line."""
    import numpy as np

    slope = np.polyfit(np.log10(CYCLES), np.log10(AMPLITUDES), 1)[0]
    assert abs(slope + 0.0945) > 2e-4


@pytest.mark.parametrize(
    ("steel", "intercept"),
    [("1015", 927), ("ManTen", 1006), ("RQC100", 897), ("4142_450HB", 1837), ("4340", 1643)],
)
def test_intercept_from_strength_coefficient(steel: str, intercept: float) -> None:
    curve = strength_coefficient_curves()[steel]
    assert curve.coefficient * 2**curve.exponent / 1e6 == pytest.approx(intercept, abs=1.0)
    assert curve.cycles(intercept * 1e6) == pytest.approx(1.0, rel=0.02)  # A is the amplitude at 1


def test_mean_stress_rules_agree_where_they_must() -> None:
    """At zero mean every rule gives the amplitude; Walker at 0.5 is Smith-Watson-Topper."""
    for rule in (
        mean_stress.goodman,
        mean_stress.soderberg,
        mean_stress.gerber,
        mean_stress.morrow,
    ):
        assert rule(200.0, 0.0, 900.0) == 200.0
    assert mean_stress.smith_watson_topper(200.0, 0.0) == pytest.approx(200.0)
    swt = mean_stress.smith_watson_topper(200.0, 100.0)
    assert swt == pytest.approx((300.0 * 200.0) ** 0.5)
    assert mean_stress.walker(200.0, 100.0, 1.0) == pytest.approx(200.0)
    assert mean_stress.smith_watson_topper(100.0, -150.0) == 0.0


def test_order_of_the_rules() -> None:
    """Goodman over-conservative, Gerber non-conservative (pp. 456-457), on one example."""
    goodman = mean_stress.goodman(200.0, 300.0, 900.0)
    gerber = mean_stress.gerber(200.0, 300.0, 900.0)
    assert gerber < mean_stress.morrow(200.0, 300.0, 1400.0) < goodman


def test_pull_shortens_life_by_swt() -> None:
    """sqrt(smax sa) by hand: 100 about 50 MPa is 122.5 MPa; life falls by 1.2247^(1/b)."""
    curve = strength_coefficient_curves()["4340"]
    ratio = curve.cycles(100e6, 50e6) / curve.cycles(100e6)
    assert ratio == pytest.approx(1.5 ** (0.5 / -0.0977), rel=1e-9)
    morrow = StrengthCoefficientCurve("4340", 1758e6, -0.0977, MeanStressRule.MORROW)
    assert morrow.cycles(100e6, 50e6) > curve.cycles(100e6, 50e6)


def test_strength_coefficient_curves_take_only_their_own_rules() -> None:
    with pytest.raises(ValueError, match="SWT, Walker or Morrow"):
        StrengthCoefficientCurve("4340", 1758e6, -0.0977, MeanStressRule.REVERSED_LOAD)
