"""API RP 7G, 16th ed., section 8.1, permissible dogleg: forms from memory, unit factor re-derived.

The degrees for 5 in 19.50 pipe were computed outside the product from the same forms: they check
arithmetic only and are no outside evidence."""

from __future__ import annotations

import math

import pytest

from rodhand.steel import dogleg, tube
from rodhand.units import FOOT, INCH, POUND_FORCE, PSI

MODULUS = 30e6 * PSI
OD, ID, HALF = 5.0 * INCH, 4.276 * INCH, 180 * INCH
DEGREES_PER_100_FT = math.radians(1.0) / (100 * FOOT)


@pytest.mark.parametrize(("tension", "stress"), [(0, 18_000), (33_500, 14_500), (67_000, 8_000)])
def test_grade_e(tension: float, stress: float) -> None:
    found = dogleg.permissible_stress_grade_e(tension * PSI) / PSI
    assert found == pytest.approx(stress, abs=1)


@pytest.mark.parametrize(("tension", "stress"), [(0, 20_000), (72_500, 10_000), (133_400, 1_600)])
def test_s135(tension: float, stress: float) -> None:
    assert dogleg.permissible_stress_s135(tension * PSI) / PSI == pytest.approx(stress, abs=1)


def test_outside_their_range_the_forms_are_refused() -> None:
    with pytest.raises(ValueError, match="67,000"):
        dogleg.permissible_stress_grade_e(68_000 * PSI)
    with pytest.raises(ValueError, match="133,400"):
        dogleg.permissible_stress_s135(-1.0)


def test_unit_factor() -> None:
    """432000/pi deg per 100 ft is 2 x 1200 x 180/pi."""
    found = dogleg.permissible_curvature(1.0, INCH, HALF, 0.0, 1.0, 1.0)
    assert found / DEGREES_PER_100_FT == pytest.approx(432_000 / math.pi)


@pytest.mark.parametrize(
    ("grade", "pull", "degrees"),
    [
        ("E", 0, 16.501), ("S", 0, 18.335), ("E", 50_000, 7.832), ("S", 50_000, 8.456),
        ("E", 100_000, 5.416), ("S", 100_000, 5.746), ("E", 200_000, 3.252), ("S", 200_000, 3.477),
    ],
)  # fmt: skip
def test_5_inch_range_2(grade: str, pull: float, degrees: float) -> None:
    tension = pull * POUND_FORCE
    rule = dogleg.permissible_stress_grade_e if grade == "E" else dogleg.permissible_stress_s135
    stress = rule(tension / tube.area(OD, ID))
    stiffness = MODULUS * tube.inertia(OD, ID)
    found = dogleg.permissible_curvature(stress, OD, HALF, tension, stiffness, MODULUS)
    assert found / DEGREES_PER_100_FT == pytest.approx(degrees, abs=0.005)


def test_force_on_a_tool_joint() -> None:
    """c = 108000 F/(pi T L): 2,000 lbf at 100,000 lbf and 180 in is 3.8197 deg/100 ft."""
    force, pull = 2_000 * POUND_FORCE, 1e5 * POUND_FORCE
    found = dogleg.curvature_for_joint_force(force, pull, HALF)
    assert found / DEGREES_PER_100_FT == pytest.approx(3.8197, abs=1e-3)
