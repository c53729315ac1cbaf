"""Lubinski, Maximum permissible dog-legs in rotary boreholes, SPE 1543-G (1961): first page READ,
the form u / tanh u from memory; RP 7G's permissible dogleg is its inverse."""

from __future__ import annotations

import pytest

from rodhand.drillstring.magnification import uniform_bend
from rodhand.steel.dogleg import permissible_curvature


def test_permissible_dogleg_is_the_inverse_of_the_free_magnification() -> None:
    """KL = 2.7511: straight limit over limit under pull is the bend beside the joint."""
    pull, stiffness, half = 2.7511**2, 1.0, 1.0
    straight = permissible_curvature(1.0, 1.0, half, 0.0, stiffness, 1.0)
    pulled = permissible_curvature(1.0, 1.0, half, pull, stiffness, 1.0)
    found = uniform_bend(1e-3, half, 1.0, pull, stiffness)
    assert found.largest == pytest.approx(straight / pulled, rel=1e-12)
