"""Thrust limits by place and the lateral frequency of long rods."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from rods_in_holes import LARGE, MID

from rodhand.drillstring.buckling import (
    Governs,
    curved_hole_load,
    sinusoidal_load,
    thrust_limit_at_rig,
    thrust_limit_in_hole,
)
from rodhand.drillstring.lateral import bending_frequency, is_near_resonance, weight_in_mud
from rodhand.steel.column import span_euler_load
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.units import INCH

LEVEL = math.pi / 2.0


def test_a_bend_upward_holds_and_a_crest_gives() -> None:
    straight = sinusoidal_load(88e3, 70.0, 0.02, LEVEL)
    loads = [curved_hole_load(88e3, 70.0, 0.02, LEVEL, k) for k in (-1e-3, 0.0, 1e-3)]
    assert loads[0] < loads[1] < loads[2]
    assert loads[1] == pytest.approx(straight)


def test_upward_bend_as_printed_elsewhere() -> None:
    """(2 EI k / r)(1 + sqrt(1 + w r / (EI k^2))), the printed form, from memory."""
    ei, w, r, k = 88e3, 70.0, 0.02, 1 / 200
    printed = 2 * ei * k / r * (1 + math.sqrt(1 + w * r / (ei * k**2)))
    assert curved_hole_load(ei, w, r, LEVEL, k) == pytest.approx(printed)


def test_what_governs_in_the_hole() -> None:
    wide = thrust_limit_in_hole(MID, 70.0, 0.100, LEVEL)
    assert wide.governs is Governs.SNAKING
    assert wide.force == pytest.approx(35e3, abs=1e3)
    tight = thrust_limit_in_hole(MID, 70.0, 0.100, LEVEL, 1 / 20)
    assert tight.governs is Governs.SPAN
    euler = span_euler_load(ELASTIC_MODULUS * MID.tube_inertia, MID.length)
    assert tight.force == pytest.approx(0.6 * euler)
    with pytest.raises(ValueError, match="clearance"):
        thrust_limit_in_hole(MID, 70.0, MID.tube_od, LEVEL)


def test_free_span_falls_with_length_and_bow() -> None:
    """Mid rod, 931 MPa: 187 kN over 2 m with a bow of 8 mm (see the published test)."""
    bowed = thrust_limit_at_rig(MID, 2.0, 0.008)
    assert bowed.force == pytest.approx(187e3, rel=0.01)
    assert bowed.governs is Governs.FREE_SPAN
    assert bowed.force < thrust_limit_at_rig(MID, 2.0, 0.0).force


def test_own_frequency_of_long_rods() -> None:
    """About 300 a minute for 3-1/2 in by 20 ft and 160 for 127 mm by 31 ft, full of mud and
    standing in it, pinned, no thrust: computed outside the product, printed to two digits."""
    long = replace(LARGE, tube_od=0.0889, wall=0.00935, length=6.096)
    oilfield = replace(LARGE, tube_od=0.127, wall=0.0092, length=31 * 12 * INCH)
    assert 60 * bending_frequency(long) == pytest.approx(300, rel=0.05)
    assert 60 * bending_frequency(oilfield) == pytest.approx(160, rel=0.05)
    assert 60 * bending_frequency(MID) > 500


def test_thrust_lowers_and_pull_raises_it() -> None:
    free = bending_frequency(LARGE)
    assert bending_frequency(LARGE, -50e3) < free < bending_frequency(LARGE, 50e3)
    pinned_euler = math.pi**2 * ELASTIC_MODULUS * LARGE.tube_inertia / LARGE.length**2
    assert bending_frequency(LARGE, -pinned_euler) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("speed", "is_near"), [(0.79, False), (0.81, True), (1.19, True), (1.21, False)]
)
def test_near_is_within_a_fifth(speed: float, is_near: bool) -> None:
    assert is_near_resonance(speed, 1.0) is is_near


def test_weight_in_mud_uses_the_mass_on_record() -> None:
    """31.4 kg/m of steel in mud of 1,000 kg/m^3: 31.4 (1 - 1/7.85) g."""
    rod = replace(MID, length=1.0, mass=31.4)
    assert weight_in_mud(rod, 1000.0) == pytest.approx((31.4 - 4.0) * 9.81)
