"""Standard Handbook of Petroleum and Natural Gas Engineering, table 4-79 (READ, scanned text):
metal area and polar section modulus of drill pipe. Shape factors from textbooks (memory)."""

from __future__ import annotations

import math

import pytest

from rodhand.steel import tube
from rodhand.units import INCH

AREA = 0.0002
"""Areas printed to 0.0001 in2."""
MODULUS = 0.002
"""Moduli printed to 0.001 in3, some cut off instead of rounded."""


@pytest.mark.parametrize(
    ("od", "inner", "area", "polar"),
    [
        (2.375, 1.815, 1.8429, 1.733),
        (2.875, 2.151, 2.8579, 3.204),
        (3.5, 2.764, 3.6209, 5.144),
        (4.5, 3.826, 4.4074, 8.543),
        (5.0, 4.276, 5.2746, 11.415),
        (5.5, 4.778, 5.8282, 14.062),
    ],
)
def test_drill_pipe(od: float, inner: float, area: float, polar: float) -> None:
    assert tube.area(od * INCH, inner * INCH) / INCH**2 == pytest.approx(area, abs=AREA)
    modulus = tube.polar_modulus(od * INCH, inner * INCH) / INCH**3
    assert modulus == pytest.approx(polar, abs=MODULUS)


def test_plastic_shape_factors() -> None:
    assert tube.plastic_shape_factor(1.0, 0.0) == pytest.approx(16 / (3 * math.pi))  # 1.698
    assert tube.plastic_shape_factor(1.0, 0.999) == pytest.approx(4 / math.pi, rel=0.002)  # 1.273


def test_a_tube_without_metal_is_refused() -> None:
    for inner in (1.0, 1.1, -0.1):
        with pytest.raises(ValueError, match="inner"):
            tube.area(1.0, inner)
