"""Pull of product pipe: Najafi, Trenchless Technology Piping: Installation and Inspection
(McGraw-Hill 2010) chapter 5, eqs. 5.12 to 5.20 and the example on p. 226 (READ). The full form
against the short one and the long pipe: equations READ, figures computed twice outside this
program with different arrangement. Buoyancy factor: an overpull example, westendchronicle.com
(READ). Skin drag: 0.025 psi from memory (PRCI), computed. Pounds and feet.
"""

from __future__ import annotations

import math

import pytest

from rodhand.drillstring.product_pull import (
    ProductBore,
    buoyed,
    product_pull,
    short_bore_pull,
    skin_drag,
)
from rodhand.units import FOOT, INCH, POUND_FORCE, PSI

WA, WB = 4.714, 17.69


def test_small_bore_example() -> None:
    turns = 1 + 600.0 / 500.0
    pull = short_bore_pull(600.0, 7.8, turns)
    assert pull == pytest.approx(4387, abs=1)
    assert 7524 / pull == pytest.approx(1.72, abs=0.006)


def test_long_pipe_at_its_four_points() -> None:
    bore = ProductBore(
        100.0, 401.07, 201.55, 267.38, 35.0, math.radians(10), math.radians(15)
    )  # fmt: skip
    pull = product_pull(bore, WA, WB)
    found = (pull.a, pull.b, pull.c, pull.d)
    assert found == pytest.approx((2494.7708, 4437.2311, 4960.6197, 5447.2645), rel=2e-4)


@pytest.mark.parametrize(("depth", "ratio"), [(5.0, 1.008), (10.0, 1.016), (15.0, 1.024)])
def test_full_form_against_the_short_one(depth: float, ratio: float) -> None:
    angle = math.radians(20)
    curve = 2 * depth / angle
    bore = ProductBore(0.0, curve, 600.0 - 2 * curve, curve, depth, angle, angle)
    full = product_pull(bore, 2.35, 7.775)
    # published as "approximately 1" for L wb/3 alone; the third figure is the computed one
    assert full.d / short_bore_pull(600.0, 7.775, 0.0) == pytest.approx(ratio, abs=0.001)


def test_buoyancy_factor() -> None:
    assert buoyed(1.0, 20.0, 65.5) == pytest.approx(0.6947, abs=5e-5)


def test_skin_drag() -> None:
    drag = skin_drag(2.375 * INCH, 0.025 * PSI) * 600 * FOOT / POUND_FORCE
    assert drag == pytest.approx(1343.0309, rel=1e-6)
