"""Ayrton and Perry (1886), bowed pinned column. Loads computed outside the product: arithmetic."""

from __future__ import annotations

import math

import pytest

from rodhand.drillstring.buckling import yield_thrust
from rodhand.steel.tube import ELASTIC_MODULUS, area, inertia

OD, BORE, YIELD = 60.3e-3, 46.1e-3, 931e6
STIFFNESS, METAL = ELASTIC_MODULUS * inertia(OD, BORE), area(OD, BORE)


@pytest.mark.parametrize(
    ("free", "kilonewtons"), [(0.5, 901), (1.0, 565), (1.5, 310), (2.0, 187), (3.0, 88)]
)
def test_mid_rod_with_a_bow_of_length_over_250(free: float, kilonewtons: float) -> None:
    found = yield_thrust(STIFFNESS, METAL, OD / 2.0, free, free / 250.0, YIELD)
    assert found / 1e3 == pytest.approx(kilonewtons, abs=1.0)


def test_without_bow_it_is_the_lower_of_euler_and_yield() -> None:
    euler = math.pi**2 * STIFFNESS / 9.0
    long, short = (yield_thrust(STIFFNESS, METAL, OD / 2.0, x, 0.0, YIELD) for x in (3.0, 0.3))
    assert long == pytest.approx(euler, rel=1e-9)
    assert short == pytest.approx(METAL * YIELD, rel=1e-9)
    with pytest.raises(ValueError, match="free length"):
        yield_thrust(STIFFNESS, METAL, OD / 2.0, 0.0, 0.0, YIELD)
