"""Seat and preload of a joint made up in full, against hand arithmetic."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rodhand.book.work.tables import built_in_rod_types
from rodhand.steel.made_up_seat import made_up_seat
from rodhand.steel.shoulder_opening import opening_share
from rodhand.units import PSI

MID = built_in_rod_types()["demo-mid"]
"""69.85 x 25.4 mm joint, counterbore 53 mm, made up to 4,200 of 7,000 ft-lb; two shoulders."""
SMALL = built_in_rod_types()["demo-small"]
PIN = 990.8e-6
"""Pin of the mid rod 3/4 in from its shoulder, by hand: pitch 1.875 in less two dedenda of
0.070112 in (half of 0.216224 less 0.038) less taper 0.125 x 1/8 in is 1.71915 in; over a bore of
1 in 1.5358 in2. [m2]"""
SEAT_AREA = 1625.8e-6
"""pi/4 (69.85^2 - 53^2) mm2, by hand. [m2]"""


def test_two_shoulders_by_the_share_of_yield() -> None:
    seat = made_up_seat(MID)
    assert seat is not None
    assert seat.is_by_yield
    by_hand = 4200 / 7000 * 120_000 * PSI * PIN
    assert seat.full_preload == pytest.approx(by_hand, rel=2e-3)
    assert seat.pressure == pytest.approx(by_hand / SEAT_AREA, rel=2e-3)


def test_opens_below_about_forty_percent_of_make_up_at_the_limit_bend() -> None:
    """Page "from hole to steel" 4: the mid rod at 44 m, magnification 1.25: M = EI/44 x 1.25 =
    206e9 x 4.2735e-7 / 44 x 1.25 = 2.50 kN m; it opens below about 40 % of make-up torque."""
    moment = 206e9 * 4.2735e-7 / 44 * 1.25
    assert moment == pytest.approx(2.5e3, rel=0.01)
    seat = made_up_seat(MID)
    assert seat is not None
    share = opening_share(seat.seat, seat.full_preload, 0.0, moment)
    assert share == pytest.approx(0.40, abs=0.05)
    # by hand: I of the seat pi/64 (69.85^4 - 53^4) = 7.812e5 mm4, 2.5e6 x 34.925 / 7.812e5 MPa
    assert share * seat.pressure == pytest.approx(111.8e6, rel=0.01)


def test_pull_on_top_opens_it_earlier() -> None:
    seat = made_up_seat(MID)
    assert seat is not None
    shares = [opening_share(seat.seat, seat.full_preload, pull, 2.5e3) for pull in (0, 20e3, 60e3)]
    assert shares == sorted(shares)
    assert shares[0] < shares[-1]


def test_one_shoulder_below_yield_by_the_lever_arm() -> None:
    """500 N m over p/2pi + Rt f/cos 30 + Rs f, by hand in mm: 6.35/2pi = 1.0106; Rt = (2 x 33.02
    - (44.45 - 15.875)/8)/4 = 15.6170, x 0.08/0.86603 = 1.4427; Rs = (44.503 + 38.5)/4, 44.503
    the OD at which box and pin are equal, x 0.08 = 1.6601. Together 4.1133 mm: 121.56 kN."""
    seat = made_up_seat(replace(SMALL, makeup_torque=500.0))
    assert seat is not None
    assert not seat.is_by_yield
    assert seat.full_preload == pytest.approx(121.56e3, rel=1e-3)


@pytest.mark.parametrize("missing", ["joint", "makeup_torque", "joint_torsional_yield"])
def test_unknown_sizes_or_torques_give_no_seat(missing: str) -> None:
    assert made_up_seat(replace(MID, **{missing: None})) is None
