"""The sharpest bend over three rods, and over a stiff head."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.bends import HoleBends, hole_bends, per_rod
from rodhand.hole.pilot_log import pilot_readings
from rodhand.hole.readings import ReadingError
from rodhand.hole.windows import stiff_head_bend, three_rod_window

ROD = 3.0
FLAT = ReadingError(pitch_repeat=0.003, pitch_step=0.0)


def bends_of(
    pitch: Sequence[float | None], heading: Sequence[float | None] | None = None
) -> HoleBends:
    log = pilot_readings(
        range(1, len(pitch) + 1), pitch, length=[ROD] * len(pitch), heading=heading
    )
    return hole_bends(log, FLAT)


def test_three_rods_by_hand() -> None:
    """Bends of 0, 1, 4, 3, 2, 0 %: the sharpest three in a row are 4 + 3 + 2 = 9 %."""
    window = three_rod_window(per_rod(bends_of([0.0, 0.01, 0.05, 0.08, 0.10, 0.10])))
    assert window is not None
    assert (window.start, window.end) == pytest.approx((6.0, 15.0))
    assert window.angle == pytest.approx(0.09)
    assert window.curvature == pytest.approx(0.01)
    assert not window.has_gap


def test_three_rods_share_readings() -> None:
    """Only the two readings at the window's ends count, so the error is that of one rod."""
    window = three_rod_window(per_rod(bends_of([0.0, 0.0, 0.0, 0.0, 0.03])))
    assert window is not None
    assert window.error == pytest.approx(math.sqrt(2) * 0.003, rel=0.01)


def test_opposite_bends_cancel_over_three_rods() -> None:
    window = three_rod_window(per_rod(bends_of([0.0, 0.08, 0.0, 0.08, 0.0])))
    assert window is not None
    assert window.angle == pytest.approx(0.08)


def test_three_rods_in_two_planes() -> None:
    """3 % up and 4 % right over three rods: 5 % together."""
    rise, turn = [0.0, 0.01, 0.02, 0.03], [0.0, 0.04 / 3, 0.08 / 3, 0.04]
    window = three_rod_window(per_rod(bends_of(rise, turn)))
    assert window is not None
    assert window.angle == pytest.approx(0.05, rel=1e-3)
    without = three_rod_window(per_rod(bends_of(rise, [0.0, None, 0.02, 0.04])))
    assert without is not None
    assert without.angle == pytest.approx(0.03)


def test_too_few_rods_or_none_read() -> None:
    assert three_rod_window(per_rod(bends_of([0.0, 0.1]))) is None
    assert three_rod_window(per_rod(bends_of([None] * 4))) is None


def test_a_window_across_a_gap_says_so() -> None:
    window = three_rod_window(per_rod(bends_of([0.0, None, None, 0.09])))
    assert window is not None
    assert window.has_gap
    assert window.angle == pytest.approx(0.09)


def test_stiff_head_over_part_of_a_rod() -> None:
    """6 % on a 3 m rod: a head of 1 m sees 2 %, and a third of the rod's error."""
    bends = bends_of([0.0, 0.06])
    window = stiff_head_bend(bends, 1.0)
    assert window is not None
    assert window.angle == pytest.approx(0.02)
    assert window.error == pytest.approx(bends.error[1] / 3)


def test_stiff_head_across_two_bends() -> None:
    """4 m head on 3 m rods bent 6 and 3 %: 6 + 1 = 7 %."""
    window = stiff_head_bend(bends_of([0.0, 0.06, 0.09]), 4.0)
    assert window is not None
    assert window.angle == pytest.approx(0.07)
    assert (window.start, window.end) == pytest.approx((3.0, 7.0))


def test_stiff_head_longer_than_the_hole() -> None:
    assert stiff_head_bend(bends_of([0.0, 0.06]), 7.0) is None
    with pytest.raises(ValueError, match="stiff_length"):
        stiff_head_bend(bends_of([0.0, 0.06]), 0.0)


@given(st.lists(st.floats(-0.3, 0.3), min_size=2, max_size=8), st.floats(0.3, 6.0))
def test_no_other_window_is_sharper(pitch: list[float], stiff: float) -> None:
    """Second method: slide the window in small steps over the directions themselves."""
    bends = bends_of(pitch)
    window = stiff_head_bend(bends, stiff)
    starts = np.linspace(0.0, bends.edges[-1] - stiff, 400)
    at = np.interp(np.stack([starts, starts + stiff]), bends.edges, [pitch[0], *pitch])
    assert window is not None
    assert window.angle >= np.abs(at[1] - at[0]).max() - 1e-12
