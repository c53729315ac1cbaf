"""What a stretch of hole asks of a joint's make-up, and where joints open."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.drillstring.shoulder import PRELOAD_BAND, Needed, needed_makeup, opens
from rodhand.steel.made_up_seat import MadeUpSeat
from rodhand.steel.shoulder_opening import Seat

SEAT = MadeUpSeat(Seat(0.0699, 0.050, 1.0e-3, 2.0e-3), 265e6 * 1.8740e-3, is_by_yield=True)
"""Page "from hole to steel" 4: 265 MPa on a seat of 69.9/50 mm, 1,874.0 mm2."""
STIFF = 88_034.0
"""206e9 x 4.2735e-7, tube 60.3 x 46.1 mm. [N m2]"""


def asked(bend: float, pull: float) -> float:
    """Share asked with one bend and pull, no band."""
    bends, pulls = (np.array([bend]),) * 3, (np.array([pull]),) * 3
    return float(needed_makeup(SEAT, STIFF, bends, pulls).best[0])


def test_by_hand() -> None:
    """M = 88,034/44 x 1.25 = 2,501 N m; I = pi/64 (69.9^4 - 50^4) = 8.650e5 mm4; M r/I = 101.1
    MPa; pull 40 kN takes 2/3 of it off 1,874 mm2: 14.2 MPa; over 265 MPa."""
    assert asked(1.25 / 44, 0.0) == pytest.approx(101.1 / 265, rel=2e-3)
    assert asked(1.25 / 44, 40e3) == pytest.approx((101.1 + 14.23) / 265, rel=2e-3)
    assert asked(1.25 / 44, -40e3) == asked(1.25 / 44, 0.0)  # thrust opens nothing


@given(st.floats(0.0, 0.05), st.floats(0.0, 1e5), st.floats(1.01, 3.0))
def test_more_bend_or_pull_never_asks_less(bend: float, pull: float, more: float) -> None:
    assert asked(bend * more, pull) >= asked(bend, pull)
    assert asked(bend, pull * more) >= asked(bend, pull)


@given(st.floats(0.0, 1.2), st.floats(0.0, 1.2))
def test_a_tighter_joint_never_opens_where_a_looser_stays_closed(one: float, other: float) -> None:
    needed = Needed(np.array([0.3, 0.1]), np.array([0.4, 0.2]), np.array([0.6, 0.3]))
    loose, tight = sorted((one, other))
    for slack, firm in zip(opens(np.array([loose]), needed), opens(np.array([tight]), needed),
                           strict=True):  # fmt: skip
        assert (slack | ~firm).all()


def test_sure_open_and_may_lie_inside_each_other() -> None:
    """Made up to 0.4: a slippery compound presses it like 0.4 x 1.22 = 0.488, a rough one like
    0.4 x 0.82 = 0.328."""
    assert PRELOAD_BAND == (0.82, 1.22)
    low, best, high = np.array([0.50, 0.45, 0.20, 0.1, 0.1]), np.array(
        [0.60, 0.45, 0.38, 0.3, 0.2]), np.array([0.70, 0.50, 0.45, 0.33, 0.32])  # fmt: skip
    sure, open_, may = opens(np.array([0.4]), Needed(low, best, high))
    assert sure[0].tolist() == [True, False, False, False, False]
    assert open_[0].tolist() == [True, True, False, False, False]
    assert may[0].tolist() == [True, True, True, True, False]


def test_unknown_make_up_or_bend_is_not_said_to_open() -> None:
    unknown = np.array([np.nan])
    needed = Needed(np.array([np.nan, 0.9]), np.array([np.nan, 0.9]), np.array([np.nan, 0.9]))
    for each in opens(unknown, needed):
        assert not each.any()
    assert opens(np.array([0.3]), needed)[1].tolist() == [[False, True]]
