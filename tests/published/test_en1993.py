"""EN 1993-1-1:2005 6.3.1.2 (formula and imperfection factors READ, tabulated chi from memory) and
EN 1993-1-9:2005 section 7 (memory); Shigley p. 184 for short columns (READ)."""

from __future__ import annotations

import math

import pytest

from rodhand.book.work.tables import fatigue_curves
from rodhand.steel import column

FOUR_DIGITS = 0.0001
"""chi tabulated to 0.0001, computed and table rounded once each."""


@pytest.mark.parametrize(
    ("curve", "slenderness", "chi"),
    [
        ("a0", 1.0, 0.7253), ("a", 1.0, 0.6656), ("b", 1.0, 0.5970), ("c", 1.0, 0.5399),
        ("d", 1.0, 0.4671), ("a", 0.5, 0.9243), ("b", 0.5, 0.8842), ("c", 0.5, 0.8430),
        ("a", 1.5, 0.3724), ("b", 1.5, 0.3422), ("c", 1.5, 0.3145), ("a", 2.0, 0.2229),
        ("b", 2.0, 0.2095), ("c", 2.0, 0.1962),
    ],
)  # fmt: skip
def test_reduction_factor(curve: str, slenderness: float, chi: float) -> None:
    found = column.buckling_reduction(slenderness, column.IMPERFECTION[curve])
    assert found == pytest.approx(chi, abs=FOUR_DIGITS)


def test_trap_chi_of_080() -> None:
    """A web page lists "about 0.80" for curve a at slenderness 1: wrong by its own formula."""
    assert abs(column.buckling_reduction(1.0, column.IMPERFECTION["a"]) - 0.80) > 0.1


def test_short_columns_are_not_reduced() -> None:
    assert column.buckling_reduction(0.2, 0.49) == 1.0
    with pytest.raises(ValueError, match="negative"):
        column.buckling_reduction(-0.1, 0.21)


def test_perry_is_the_same_curve() -> None:
    """With eccentricity a (l - 0.2) the Perry formula is chi times yield, at any slenderness."""
    for slenderness in (0.4, 1.0, 1.7):
        stress = column.perry_stress(400e6, 400e6 / slenderness**2, 0.21 * (slenderness - 0.2))
        chi = column.buckling_reduction(slenderness, 0.21)
        assert stress == pytest.approx(400e6 * chi, rel=1e-12)


def test_johnson_meets_euler_at_half_yield() -> None:
    """Shigley 9th ed. p. 184, Sy 50 ksi, E 30e6 psi: 25 ksi where they meet."""
    joining = math.sqrt(2 * math.pi**2 * 30e6 / 50e3)
    for ratio in (joining * 0.9999999, joining * 1.0000001):
        assert column.johnson_euler_stress(50e3, ratio, 30e6) == pytest.approx(25e3, abs=0.1)
    assert column.johnson_euler_stress(50e3, 0.0, 30e6) == 50e3


@pytest.mark.parametrize(
    ("length", "load_kn"), [(0.5, 1017), (1.0, 754), (1.5, 386), (2.0, 217), (3.0, 97)]
)
def test_free_length_of_a_rod(length: float, load_kn: float) -> None:
    """60.3 x 46.1 mm, 931 MPa, pinned (reference page on fatigue, section 5, rounded sizes)."""
    from rodhand.steel import tube

    area, inertia = tube.area(0.0603, 0.0461), tube.inertia(0.0603, 0.0461)
    gyration = math.sqrt(inertia / area)
    stress = column.johnson_euler_stress(931e6, length / gyration, 206e9)
    assert stress * area / 1e3 == pytest.approx(load_kn, rel=0.006)


def test_span_between_joints() -> None:
    """KL = pi with L half the span is 4 pi^2 EI / span^2: EI 1, half-span 1 gives 9.8696."""
    assert column.span_euler_load(1.0, 2.0) == pytest.approx(9.8696, abs=1e-4)
    with pytest.raises(ValueError, match="span"):
        column.span_euler_load(1.0, 0.0)


def test_fatigue_category_50_is_its_range_at_two_million() -> None:
    """EN 1993-1-9: the category is the range at 2e6 cycles; limits .737 and .549 (memory)."""
    thread = fatigue_curves()["en_1993_1_9.category_50"]
    assert float(thread.cycles(50e6)) == pytest.approx(2e6, rel=0.001)
    at_five_million = 10 ** ((thread.log_a - math.log10(5e6)) / thread.slope)
    assert at_five_million / 50 == pytest.approx(0.737, abs=5e-4)
    # We keep the slope of 3 beyond 5e6 cycles, the standard goes to 5: on the safe side.
    standard = 5e6 * (0.737 * 50 / 20) ** 5
    assert float(thread.cycles(20e6)) < standard
