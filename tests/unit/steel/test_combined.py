"""Combined limits against hand arithmetic and single loads."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.steel import tube
from rodhand.steel.combined import TubeSize, envelope_share, seat_share, tube_share, von_mises
from rodhand.steel.envelope import Envelope
from rodhand.steel.joint import joint_strength
from rodhand.steel.shoulder_opening import Seat, opening_share
from rodhand.steel.thread import JointDimensions, ThreadForm
from rodhand.units import INCH

SIZE = TubeSize(0.0603, 0.0461, 930e6)
"""2-3/8 in x 0.28 in: A = 1186.2 mm2, I = 4.273e-7 m4 (hand)."""
AREA, INERTIA = 1.1868e-3, 4.2735e-7


def test_one_load_at_a_time() -> None:
    assert float(tube_share(SIZE, 500e3, 0, 0)) == pytest.approx(500e3 / AREA / 930e6, rel=1e-3)
    twist = 5000 * 0.03015 / (2 * INERTIA) * math.sqrt(3) / 930e6
    assert float(tube_share(SIZE, 0, 5000, 0)) == pytest.approx(twist, rel=1e-3)
    bend = 3000 * 0.03015 / INERTIA / 930e6
    assert float(tube_share(SIZE, 0, 0, 3000)) == pytest.approx(bend, rel=1e-3)


def test_thrust_and_pull_are_alike_under_bending() -> None:
    pulled = tube_share(SIZE, 200e3, 1000, 2000)
    assert float(tube_share(SIZE, -200e3, 1000, 2000)) == pytest.approx(float(pulled))


def test_pressure_alone_is_lame_at_the_bore() -> None:
    """b^2/(b^2 - a^2) sqrt(3) p for a capped tube (textbook)."""
    a2, b2, p = SIZE.bore**2, SIZE.od**2, 60e6
    ends = p * a2 / (b2 - a2) * tube.area(SIZE.od, SIZE.bore)
    expected = math.sqrt(3) * p * b2 / (b2 - a2) / 930e6
    assert float(tube_share(SIZE, ends, 0, 0, p)) == pytest.approx(expected)


def test_more_load_never_helps_from_nothing() -> None:
    base = np.array([0.0, 1.0, 2.0])
    for loads in ((100e3, 0, 0), (0, 900, 0), (0, 0, 700), (80e3, 400, 500)):
        shares = tube_share(SIZE, *(base * each for each in loads))
        assert (np.diff(shares) > 0).all()
    assert float(von_mises(1.0, 1.0, 1.0, 0.0)) == pytest.approx(0.0)


def nc38() -> Envelope:
    """NC38 4-3/4 x 2-11/16 in, corner points in JOINTS: pin 572,945 lb, torque 18,071 lb-ft."""
    form = ThreadForm("V-038R", 2 / 12, 0.25 * INCH, 0.038 * INCH, math.radians(30))
    sizes = JointDimensions(form, 3.808 * INCH, 4.0 * INCH, 4.078125 * INCH, "NC38")
    return Envelope(joint_strength(sizes, 4.75 * INCH, 2.6875 * INCH))


def test_envelope_at_its_corners() -> None:
    joint = nc38()
    assert float(envelope_share(joint, 0, joint.pin_torque, 1.0)) >= 1.0
    at_best = envelope_share(joint, joint.pin_tension, 0, joint.best_makeup)
    assert float(at_best) == pytest.approx(1.0)
    half = envelope_share(joint, 0.5 * joint.pin_tension, 0, 5000.0)
    assert float(half) == pytest.approx(0.5)
    # made up to 10,864 lb-ft the pin yields at 470,500 lb (JOINTS, NC38), not at P1 572,945
    tight = envelope_share(joint, 470_500 * 4.4482216, 0, 10_864 * 1.3558179)
    assert float(tight) == pytest.approx(1.0, rel=5e-3)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_envelope_meets_its_own_torque_line(share: float) -> None:
    joint = nc38()
    pull = share * joint.pin_tension
    on_line = envelope_share(joint, pull, joint.torque_limit(pull), joint.best_makeup)
    assert float(on_line) >= 1.0 - 1e-9


def test_thrust_closes_a_joint() -> None:
    joint = nc38()
    assert float(envelope_share(joint, -400e3, 0.0, 1000.0)) == 0.0
    loose = envelope_share(joint, 0.25 * joint.pin_tension, 0.0, 0.0)
    assert float(loose) == pytest.approx(0.25)  # not made up: open, and the pin carries it alone


def test_seat_opens_where_the_opening_check_says() -> None:
    seat = Seat(0.0699, 0.053, 1.0e-3, 1.6e-3)
    full = 400e3
    share = float(seat_share(seat, full, 30e3, 1500.0))
    assert share == pytest.approx(opening_share(seat, full, 30e3, 1500.0))
    assert float(seat_share(seat, full, -30e3, 1500.0)) < share
    with pytest.raises(ValueError, match="preload"):
        seat_share(seat, 0.0, 1.0, 1.0)
