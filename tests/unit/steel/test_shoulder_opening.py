"""Seat preload against pull and bending."""

from __future__ import annotations

import pytest

from rodhand.steel.shoulder_opening import Seat, margin, opening_share, unloading_stress

SEAT = Seat(od=0.0699, inner_diameter=0.050, pin_area=1.0e-3, box_area=2.0e-3)
FULL = 265e6 * SEAT.area
MOMENT = 2.5e3


def test_reference_case() -> None:
    """Page "from hole to steel" 4, computed outside the product: 2.5 kN m on a seat of 69.9/50 mm
    is about 100 MPa; with 265 MPa of full preload it opens below about 40 % of make-up."""
    assert SEAT.bending_stress(MOMENT) / 1e6 == pytest.approx(100, abs=2)
    assert opening_share(SEAT, FULL, 0.0, MOMENT) == pytest.approx(0.40, abs=0.03)


def test_pull_opens_earlier_and_shares_between_pin_and_box() -> None:
    pull = 40e3
    pressure = unloading_stress(SEAT, pull, 0.0)
    assert pressure == pytest.approx(pull * 2 / 3 / SEAT.area)  # Ab/(Ap + Ab) = 2/3
    assert opening_share(SEAT, FULL, pull, MOMENT) > opening_share(SEAT, FULL, 0.0, MOMENT)


def test_margin_is_zero_at_the_opening_share() -> None:
    share = opening_share(SEAT, FULL, 30e3, MOMENT)
    assert margin(SEAT, share * FULL, 30e3, MOMENT) == pytest.approx(0.0, abs=1.0)
    assert margin(SEAT, 1.1 * share * FULL, 30e3, MOMENT) > 0
    assert margin(SEAT, 0.3 * FULL, 0.0, MOMENT) < 0  # 30 % of make-up: open


def test_same_pull_as_the_envelope() -> None:
    """Without bending the seat opens at the pull of the pull-and-torque envelope."""
    from rodhand.book.work.tables import connections
    from rodhand.steel.envelope import Envelope
    from rodhand.steel.joint import joint_strength
    from rodhand.units import INCH

    strength = joint_strength(connections()["NC38"].dimensions, 4.75 * INCH, 2.6875 * INCH)
    torque = strength.makeup_torque
    pull = Envelope(strength).opening_tension(torque)
    seat = Seat(4.75 * INCH, 4.078 * INCH, strength.pin_area, strength.box_area)
    assert margin(seat, torque / strength.arm.total(), pull, 0.0) == pytest.approx(0.0, abs=1.0)


def test_no_preload_no_share() -> None:
    with pytest.raises(ValueError, match="full_preload"):
        opening_share(SEAT, 0.0, 0.0, MOMENT)
