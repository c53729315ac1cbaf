"""Trade rules for bend radius: what stress they leave (rules READ in web digests of handbooks).

The stresses follow by hand from s = E D / (2 R).
"""

from __future__ import annotations

import pytest

from rodhand.steel.rod_type import LONG_LIFE_RATIO
from rodhand.steel.tube import bending_stress_from_radius, yield_radius
from rodhand.units import FOOT, INCH, PSI


def test_hundred_feet_per_inch() -> None:
    """R = 100 ft per inch of diameter = 1200 D: E/2400 = 12,083 psi with E = 29e6 psi."""
    stress = bending_stress_from_radius(1 * INCH, 100 * FOOT, 29e6 * PSI)
    assert stress / PSI == pytest.approx(29e6 / 2400)
    radius_over_diameter = 100 * FOOT / INCH
    assert radius_over_diameter == pytest.approx(LONG_LIFE_RATIO)


def test_four_to_one_rule_leaves_a_quarter_of_yield() -> None:
    """R_ft = 4 E r / (12 S), "4:1 safety", with S the yield stress."""
    yield_psi, half = 100_000, 1.0
    radius = 4 * 29e6 * half / (12 * yield_psi) * FOOT
    stress = bending_stress_from_radius(2 * half * INCH, radius, 29e6 * PSI)
    assert stress / PSI == pytest.approx(yield_psi / 4)
    assert radius == pytest.approx(4 * yield_radius(2 * half * INCH, yield_psi * PSI, 29e6 * PSI))


@pytest.mark.parametrize(
    ("od_mm", "radius_m", "stress_mpa"),
    [(48.3, 25, 199), (60.3, 30, 207), (73.0, 50, 150), (88.9, 100, 92), (127.0, 150, 87)],
)
def test_stress_table(od_mm: float, radius_m: float, stress_mpa: float) -> None:
    """Reference page on fatigue, section 3, computed outside the product with E = 206 GPa."""
    stress = bending_stress_from_radius(od_mm / 1e3, radius_m) / 1e6
    assert stress == pytest.approx(stress_mpa, abs=0.5)


def test_trap_quarter_arc_taken_for_a_radius() -> None:
    """Crews quote the 90-degree bend length: 314 ft of pipe is a radius of 200 ft, not 314."""
    stress = bending_stress_from_radius(0.0603, 200 * FOOT)
    assert stress / bending_stress_from_radius(0.0603, 314 * FOOT) == pytest.approx(1.57, abs=0.01)


def test_yield_radius_is_far_below_makers_limits() -> None:
    """60.3 mm: 12.0 m at 517 MPa, 8.6 at 724, 6.7 at 931 (computed outside the product)."""
    for stress, radius in ((517e6, 12.0), (724e6, 8.6), (931e6, 6.7)):
        assert yield_radius(0.0603, stress) == pytest.approx(radius, abs=0.05)
    for refused in (lambda: yield_radius(0.06, 0.0), lambda: bending_stress_from_radius(0.06, 0.0)):
        with pytest.raises(ValueError, match="greater than 0"):
            refused()
