"""Chen, Lin and Cheatham (1990), buckling in a level hole, as quoted in course notes (Ghalambor
and Guo, eqs. 24 and 25, READ). The loads in kN and lbf were computed outside the product from
those forms: they check arithmetic."""

from __future__ import annotations

import math

import pytest

from rodhand.drillstring.buckling import helical_load, helix_bending, sinusoidal_load
from rodhand.steel.tube import ELASTIC_MODULUS, inertia
from rodhand.units import INCH, POUND_FORCE, PSI

LEVEL = math.pi / 2.0


def test_helix_over_snaking() -> None:
    found = helical_load(1.0, 1.0, 1.0, LEVEL) / sinusoidal_load(1.0, 1.0, 1.0, LEVEL)
    assert found == pytest.approx(2.828 / 2.0, abs=2.5e-4)  # 2.828 is printed


@pytest.mark.parametrize(
    ("od", "bore", "hole", "weight", "snakes", "winds", "stress"),
    [
        (60.3, 46.1, 100, 70, 35, 50, 35), (73.0, 54.6, 125, 100, 55, 78, 39),
        (88.9, 70.2, 165, 130, 73, 103, 46), (127.0, 108.6, 250, 200, 126, 178, 59),
    ],
)  # fmt: skip
def test_rods(
    od: float, bore: float, hole: float, weight: float, snakes: float, winds: float, stress: float
) -> None:
    """Tube and hole in mm, weight in N/m, loads in kN and MPa, printed without decimals."""
    stiffness = ELASTIC_MODULUS * inertia(od / 1e3, bore / 1e3)
    play = (hole - od) / 2e3
    assert sinusoidal_load(stiffness, weight, play, LEVEL) / 1e3 == pytest.approx(snakes, abs=1.0)
    load = helical_load(stiffness, weight, play, LEVEL)
    assert load / 1e3 == pytest.approx(winds, abs=1.0)
    bent = ELASTIC_MODULUS * od / 2e3 * helix_bending(load, play, stiffness) / 1e6
    assert bent == pytest.approx(stress, abs=1.0)


def test_small_rod_in_a_4_inch_hole() -> None:
    """0.4 lb/in, 2-3/8 in by 0.28 in wall, E 30e6 psi or our own: 7,797 lbf within that choice."""
    stiffness = ELASTIC_MODULUS * inertia(2.375 * INCH, 1.815 * INCH)
    weight = 0.4 * POUND_FORCE / INCH
    found = sinusoidal_load(stiffness, weight, (4.0 - 2.375) / 2.0 * INCH, LEVEL) / POUND_FORCE
    assert found == pytest.approx(7_797, rel=0.5 * abs(1 - 206e9 / (30e6 * PSI)) + 1e-3)
