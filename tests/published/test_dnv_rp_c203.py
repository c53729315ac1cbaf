"""DNV-RP-C203 (April 2016) tables 2-1, 2-2, 2-4, fatigue curves, as transcribed in a public
notebook (READ, second hand). High-strength base metal and scatter 0.20 from memory.
"""

from __future__ import annotations

import math

import pytest

from rodhand.book.work.tables import fatigue_curves
from rodhand.steel.curves import Curve
from rodhand.steel.mean_stress import MeanStressRule

LIMIT = 0.02
"""Ranges at 1e7 cycles printed to 0.01 MPa, from constants printed to 0.001."""
KNEE = 0.006
"""log10 a2 printed to 0.001 from a range printed to 0.01 MPa."""
CORROSION = 0.0015
"""log10 of three printed to 0.001 twice."""

TWO_DIGITS = 0.05
"""Turns printed to two digits: 1.0e4 stands for 0.95 to 1.05e4."""

LIMITS = {  # class: range at 1e7 cycles in air [MPa]
    "B1": 106.97, "B2": 93.59, "C": 73.10, "C1": 65.50, "C2": 58.48, "D": 52.63, "E": 46.78,
    "F": 41.52, "F1": 36.84, "F3": 32.75, "G": 29.24, "W1": 26.32, "W2": 23.39, "W3": 21.05,
}  # fmt: skip


def curve(table: str, name: str) -> Curve:
    return fatigue_curves()[f"dnv_rp_c203_{table}.{name}"]


@pytest.mark.parametrize("name", LIMITS)
def test_range_at_ten_million(name: str) -> None:
    air = curve("air", name)
    limit = 10 ** ((air.log_a - 7) / air.slope)
    assert limit == pytest.approx(LIMITS[name], abs=LIMIT)
    assert float(air.cycles(LIMITS[name] * 1e6)) == pytest.approx(1e7, rel=0.002)


@pytest.mark.parametrize("name", LIMITS)
def test_both_slopes_meet_at_the_knee(name: str) -> None:
    air = curve("air", name)
    at_knee = (air.log_a - 7) / air.slope
    assert air.second_log_a == pytest.approx(7 + 5 * at_knee, abs=KNEE)


@pytest.mark.parametrize("name", LIMITS)
def test_protected_and_corroding(name: str) -> None:
    shift = 0.2 if name in ("B1", "B2") else 0.4
    assert curve("protected", name).log_a == pytest.approx(
        curve("air", name).log_a - shift, abs=5e-4
    )
    corroding = curve("corroding", name)
    assert corroding.second_slope is None  # no knee in free corrosion
    if name not in ("B1", "B2"):
        assert corroding.log_a == pytest.approx(
            curve("air", name).log_a - math.log10(3), abs=CORROSION
        )


@pytest.mark.parametrize(("stress", "cycles"), [(90, 2.0011e6), (40, 3.9417e7)])
def test_class_d_in_air(stress: float, cycles: float) -> None:
    """By hand: 10^(12.164 - 3 log 90), 10^(15.606 - 5 log 40); one value on each slope."""
    assert float(curve("air", "D").cycles(stress * 1e6)) == pytest.approx(cycles, rel=1e-3)


def test_high_strength_base_metal() -> None:
    """17.446 - 4.70 log S gives two million at its 235 MPa (memory, self-check)."""
    base = curve("base_metal", "high_strength")
    assert float(base.cycles(235e6)) == pytest.approx(2e6, rel=0.01)
    assert base.rule is MeanStressRule.REVERSED_LOAD


def test_mean_curve_is_two_standard_deviations_up() -> None:
    base = curve("base_metal", "high_strength")
    ratio = float(base.cycles(200e6, "mean") / base.cycles(200e6))
    assert math.log10(ratio) == pytest.approx(0.40)  # DEFINITIONS: + 0.40
    with pytest.raises(ValueError, match="level"):
        base.cycles(200e6, "median")


def test_constants_of_definitions() -> None:
    c = curve("air", "C")
    assert (c.log_a, c.slope, c.second_log_a, c.second_slope) == (12.592, 3.0, 16.320, 5.0)
    assert curve("base_metal", "high_strength").log_a == 17.446
    assert fatigue_curves()["en_1993_1_9.category_50"].log_a == 11.398


@pytest.mark.parametrize(
    ("amplitude", "b1", "c", "c_corroding", "d", "f1_corroding", "base", "thread"),
    [
        (75, 2.6e6, 1.2e6, 3.9e5, 4.3e5, 4.9e4, 1.65e7, 7.4e4),
        (100, 8.2e5, 4.9e5, 1.6e5, 1.8e5, 2.1e4, 4.3e6, 3.1e4),
        (150, 1.6e5, 1.45e5, 4.8e4, 5.4e4, 6.2e3, 6.4e5, 9.3e3),
        (200, 5.1e4, 6.1e4, 2.0e4, 2.3e4, 2.6e3, 1.65e5, 3.9e3),
        (250, 2.1e4, 3.1e4, 1.0e4, 1.2e4, 1.3e3, 5.8e4, 2.0e3),
    ],
)
def test_turns_to_failure(
    amplitude: float,
    b1: float,
    c: float,
    c_corroding: float,
    d: float,
    f1_corroding: float,
    base: float,
    thread: float,
) -> None:
    """Reference page on fatigue, section 3: turns at a bending amplitude (printed to two digits,
    computed outside the product); one turn is a range of twice the amplitude."""
    expected = {
        "dnv_rp_c203_air.B1": b1,
        "dnv_rp_c203_air.C": c,
        "dnv_rp_c203_corroding.C": c_corroding,
        "dnv_rp_c203_air.D": d,
        "dnv_rp_c203_corroding.F1": f1_corroding,
        "dnv_rp_c203_base_metal.high_strength": base,
        "en_1993_1_9.category_50": thread,
    }
    for name, turns in expected.items():
        found = float(fatigue_curves()[name].cycles(2e6 * amplitude))
        assert found == pytest.approx(turns, rel=TWO_DIGITS), name


def test_trap_b1_and_b2_of_a_public_repository() -> None:
    """One repository carries B1 under a mistyped intercept and B2 with the slope 3.5."""
    assert (curve("air", "B1").slope, curve("air", "B1").log_a) == (4.0, 15.117)
    assert (curve("air", "B2").slope, curve("air", "B2").log_a) == (4.0, 14.885)
    with_wrong_slope = 10 ** ((14.885 - 7) / 3.5)
    assert abs(with_wrong_slope / LIMITS["B2"] - 1) > 0.5


def test_trap_mean_stress_on_a_detail_class() -> None:
    """Detail classes hold high tension already: no SWT, Walker or reversed-load factor on top."""
    detail = curve("air", "C")
    for rule in (MeanStressRule.SWT, MeanStressRule.WALKER, MeanStressRule.REVERSED_LOAD):
        with pytest.raises(ValueError, match="twice"):
            detail.range_with_mean(200e6, 100e6, rule)
    with pytest.raises(ValueError, match="twice"):
        curve("base_metal", "high_strength").range_with_mean(200e6, 0.0, MeanStressRule.SWT)
    assert detail.range_with_mean(200e6, 100e6) == 200e6


def test_reversed_load_factor_of_the_base_metal() -> None:
    """(st + 0.6 sc)/(st + sc) (memory): 0.8 at zero mean, which is 2.85 times the life."""
    base = curve("base_metal", "high_strength")
    assert base.range_with_mean(200e6, 0.0) == pytest.approx(160e6)
    assert base.range_with_mean(200e6, 150e6) == pytest.approx(200e6)  # all tension
    assert base.range_with_mean(200e6, -150e6) == pytest.approx(120e6)  # all compression
    life = float(base.cycles(160e6) / base.cycles(200e6))
    assert life == pytest.approx(2.85, abs=0.01)


@pytest.mark.parametrize("name", sorted(fatigue_curves()))
def test_no_endurance_limit_anywhere(name: str) -> None:
    """Every range above zero uses up life, however small."""
    cycles = fatigue_curves()[name].cycles([0.1e6, 1e6, 10e6])
    assert all(cycle < math.inf for cycle in cycles)
    assert cycles[0] > cycles[1] > cycles[2] > 0
    with pytest.raises(ValueError, match="negative"):
        fatigue_curves()[name].cycles(-1.0)
