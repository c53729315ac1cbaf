"""Published rod tables in percent (READ unless said), each by its own formula.

Tables differ: one prints 100 tan(L/R), another's radii follow L/atan(p). Ours is
R = 100 l/p (angle p/100). Each is tested as itself, and the difference from ours is shown.
"""

from __future__ import annotations

import math

import pytest

from rodhand.hole.limits import limit_angle, radius_from_percent
from rodhand.units import from_si, to_si


@pytest.mark.parametrize(("length_ft", "printed"), [(30, 30.9), (20, 20.3)])
def test_table_by_tangent(length_ft: float, printed: float) -> None:
    """A rod table for R = 100 ft prints 30.9 and 20.3 %: 100 tan(L/R), not 100 L/R."""
    angle = limit_angle(100.0, length_ft)
    assert from_si(angle, "slope", "pct") == pytest.approx(printed, abs=0.05)
    assert abs(100 * angle - printed) > 0.2


def test_tangent_and_angle_agree_below_ten_percent() -> None:
    """The same page: both agree to 0.1 % below 10 %, but not above (20 %: 0.27 % apart)."""
    assert from_si(0.10, "slope", "pct") == pytest.approx(10, abs=0.1)
    assert abs(from_si(0.20, "slope", "pct") - 20) > 0.2


def test_radius_by_arctangent() -> None:
    """8 % per 10 ft: L/atan(p) 125.27 ft (closed form); ours 125."""
    assert 10 / to_si(8, "slope", "pct") == pytest.approx(125.27, abs=0.01)
    assert radius_from_percent(8, 10.0) == pytest.approx(125.0)


def test_percent_per_foot() -> None:
    """A rod maker's page: 7.5 % per 15 ft rod is 0.5 % per foot, spread evenly: R 200 ft."""
    assert radius_from_percent(7.5, 15.0) == pytest.approx(radius_from_percent(0.5, 1.0))
    assert radius_from_percent(7.5, 15.0) == pytest.approx(200.0)


def test_seven_percent_and_seventy_feet() -> None:
    """A maker's 7 % per rod at 70 ft radius belongs to a rod of about 4.9 ft (derived)."""
    assert radius_from_percent(7, 4.9) == pytest.approx(70.0)


def test_one_hundred_kip_rod() -> None:
    """A maker's 207 ft radius on a 20 ft rod is 9.7 % per rod (derived)."""
    assert 100 * limit_angle(207.0, 20.0) == pytest.approx(9.7, abs=0.05)


def test_trap_ten_percent_is_not_ten_degrees() -> None:
    """10 % per 10 ft is R 100 ft; 10 degrees per 10 ft is 57 ft. A bystander printed 90 ft."""
    assert radius_from_percent(10, 10.0) == pytest.approx(100.0)
    assert 10 / math.radians(10) == pytest.approx(57, abs=0.5)


def test_severity_to_radius() -> None:
    """R = 18000/(pi DLS) ft: 10 deg per 100 ft is 572.958 ft (closed form)."""
    percent = 100 * math.radians(10)
    assert radius_from_percent(percent, 100.0) == pytest.approx(18000 / math.pi / 10, abs=1e-9)
    assert radius_from_percent(percent, 100.0) == pytest.approx(572.958, abs=0.001)
