"""API RP 7G appendix A.10, pull and torque together: names and forms from memory, re-derived.

Corner values for NC38 4-3/4 x 2-11/16 in were computed outside the product from the same forms.
Chen et al. 2015 (READ through notes in a public repository) give a finite-element line for NC35.
"""

from __future__ import annotations

import pytest

from rodhand.book.work.tables import connections
from rodhand.steel.envelope import Envelope
from rodhand.steel.joint import bending_strength_ratio, joint_strength
from rodhand.units import FOOT_POUND, INCH, POUND_FORCE

PRINTED = 1.0
TEN_POUNDS = 60.0
"""Pulls are printed to 100 lb."""

NC38 = Envelope(joint_strength(connections()["NC38"].dimensions, 4.75 * INCH, 2.6875 * INCH))
MAKEUP = 10_864 * FOOT_POUND


def test_corner_points() -> None:
    assert NC38.pin_tension / POUND_FORCE == pytest.approx(572_945, abs=PRINTED)
    assert NC38.box_torque / FOOT_POUND == pytest.approx(19_136, abs=PRINTED)
    assert NC38.pin_torque / FOOT_POUND == pytest.approx(18_071, abs=PRINTED)
    assert NC38.open_pin_torque / FOOT_POUND == pytest.approx(9_677, abs=PRINTED)
    assert NC38.best_makeup / FOOT_POUND == pytest.approx(9_294, abs=PRINTED)


def test_pull_after_make_up() -> None:
    assert NC38.opening_tension(MAKEUP) / POUND_FORCE == pytest.approx(669_700, abs=TEN_POUNDS)
    assert NC38.pin_yield_tension(MAKEUP) / POUND_FORCE == pytest.approx(470_500, abs=TEN_POUNDS)
    assert NC38.allowed_pull(MAKEUP) == NC38.pin_yield_tension(MAKEUP)
    assert NC38.opening_tension(0.0) == 0.0
    assert NC38.allowed_pull(0.0) == 0.0  # not made up: the shoulder opens at once


def test_the_two_limits_meet_at_the_best_make_up() -> None:
    best = NC38.best_makeup
    assert NC38.opening_tension(best) == pytest.approx(NC38.pin_tension)
    assert NC38.pin_yield_tension(best) == pytest.approx(NC38.pin_tension)
    for torque in (0.5 * best, 1.3 * best):
        assert NC38.allowed_pull(torque) < NC38.pin_tension


def test_tighter_is_not_stronger_in_pull() -> None:
    assert NC38.allowed_pull(1.2 * MAKEUP) < NC38.allowed_pull(MAKEUP) < NC38.pin_tension


def test_torque_line_between_its_ends() -> None:
    assert NC38.torque_limit(0.0) == pytest.approx(NC38.pin_torque)
    assert NC38.torque_limit(NC38.pin_tension) == pytest.approx(NC38.open_pin_torque)
    with pytest.raises(ValueError, match="pull"):
        NC38.torque_limit(1.1 * NC38.pin_tension)


@pytest.mark.parametrize(
    ("pull_kn", "element_knm", "line_knm"),
    [
        (0, 29.42, 28.90),
        (400, 29.26, 27.16),
        (800, 27.69, 25.41),
        (1600, 24.22, 21.92),
        (2800, 19.07, 16.69),
    ],
)
def test_line_against_finite_elements(pull_kn: float, element_knm: float, line_knm: float) -> None:
    """Uncapped seat radius, 841.8 MPa; the line stays 2-13 % on the low side of the elements."""
    yield_stress = 841.8e6
    strength = joint_strength(
        connections()["NC35"].dimensions, 0.12065, 0.0508, capped=False, yield_stress=yield_stress
    )
    torque = Envelope(strength, yield_stress).torque_limit(1e3 * pull_kn) / 1e3
    assert torque == pytest.approx(line_knm, rel=0.003)  # printed line used Rs to three digits
    assert 0.01 < 1.0 - torque / element_knm < 0.14


def test_last_point_of_the_elements_lies_past_the_pin() -> None:
    """3,200 kN, 15.81 kN m: beyond P1, 3,139 kN; the line ends there and is not stretched."""
    strength = joint_strength(
        connections()["NC35"].dimensions, 0.12065, 0.0508, capped=False, yield_stress=841.8e6
    )
    envelope = Envelope(strength, 841.8e6)
    assert envelope.pin_tension / 1e3 == pytest.approx(3_139, abs=1)
    with pytest.raises(ValueError, match="pull"):
        envelope.torque_limit(3.2e6)


def test_trap_sixth_instead_of_twelfth() -> None:
    """The notes print the yield torque with /6: twice their own 29.05 kN m."""
    strength = joint_strength(
        connections()["NC35"].dimensions, 0.12065, 0.0508, capped=False, yield_stress=841.8e6
    )
    assert strength.torsional_yield / 1e3 == pytest.approx(29.05, rel=0.007)
    assert abs(2 * strength.torsional_yield / 29.05e3 - 1) > 0.9


def test_bending_strength_ratio() -> None:
    """NC46-62 collar, 6-1/4 x 2-13/16 in: published example 2.64 (from memory)."""
    ratio = bending_strength_ratio(connections()["NC46"].dimensions, 6.25 * INCH, 2.8125 * INCH)
    assert ratio == pytest.approx(2.64, abs=0.005)
