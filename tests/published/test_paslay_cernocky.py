"""Paslay and Cernocky, SPE 22547 (1991): bending magnification in a uniform bend, three states.

The paper's structure is from memory and its algebra was re-derived. The figures were computed
outside the product from the re-derived equations and confirmed there by a finite-element beam
with one-sided contact; 5 in 19.50 lb/ft pipe, joint 6.375 in, half span 180 in, E 30e6 psi."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.drillstring.contact import solve_contact
from rodhand.drillstring.magnification import Touch, uniform_bend
from rodhand.drillstring.string_beam import HoleLine, RodBeam, string_beam
from rodhand.steel.tube import inertia
from rodhand.units import FOOT, INCH, POUND_FORCE, PSI

STIFFNESS = 30e6 * PSI * inertia(5.0 * INCH, 4.276 * INCH)
HALF, STAND_OFF = 180.0 * INCH, (6.375 - 5.0) / 2.0 * INCH
CASES = [
    (5, 50e3, 2.0265, Touch.NONE), (10, 100e3, 2.5435, Touch.POINT),
    (10, 200e3, 3.1022, Touch.POINT), (10, 300e3, 3.5740, Touch.WRAP),
    (20, 100e3, 2.0508, Touch.WRAP), (20, 300e3, 2.8201, Touch.WRAP),
    (5, -20e3, 1.3053, Touch.NONE), (5, -50e3, 2.0903, Touch.NONE),
    (5, -80e3, 2.1126, Touch.POINT), (10, -80e3, 1.5471, Touch.POINT),
    (10, -120e3, 1.6701, Touch.WRAP), (20, -80e3, 1.3545, Touch.WRAP),
]  # fmt: skip


def _curvature(degrees: float) -> float:
    return math.radians(degrees) / (100.0 * FOOT)


@pytest.mark.parametrize(("degrees", "pounds", "largest", "touch"), CASES)
def test_closed_forms(degrees: float, pounds: float, largest: float, touch: Touch) -> None:
    found = uniform_bend(_curvature(degrees), HALF, STAND_OFF, pounds * POUND_FORCE, STIFFNESS)
    assert found.largest == pytest.approx(largest, rel=1e-4)
    assert found.touch is touch


@pytest.mark.parametrize(("degrees", "pounds", "largest", "touch"), CASES)
def test_contact_solution(degrees: float, pounds: float, largest: float, touch: Touch) -> None:
    """One span, its ends along the hole; the tube may touch where its stand-off ends.

    A hole as wide as the joint keeps the ends on its axis, as the closed form has them.
    """
    rod = RodBeam(2.0 * HALF, 1e-3, 5.0 * INCH, 6.375 * INCH, STIFFNESS, STIFFNESS)
    hole = HoleLine(np.array([-1.0, 3.0 * HALF]), np.array([[_curvature(degrees)]]), 6.375 * INCH)
    solved = solve_contact(string_beam([rod], hole, 2 * HALF, pounds * POUND_FORCE, 0.0, 160))
    assert solved.is_settled
    assert solved.tube_bend.max() / _curvature(degrees) == pytest.approx(largest, rel=2e-3)


def test_thrust_at_the_euler_load_of_the_span_is_refused() -> None:
    """u = pi is pi^2 EI / L^2, the fixed-fixed Euler load of a span of 2 L."""
    with pytest.raises(ValueError, match="Euler"):
        uniform_bend(0.01, 1.0, 0.01, -(math.pi**2), 1.0)
