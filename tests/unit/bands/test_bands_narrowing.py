"""What would narrow a band: closed answers, and that nothing measured widens."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodhand.drillstring.turns import TurnRung
from rodhand.steel.curves import Curve
from rodhand.wear.belief import BoreBelief, PassBelief
from rodhand.wear.bend_powers import Scatter
from rodhand.wear.narrowing import (
    HEADING_SD,
    NOTHING_MORE,
    Band,
    Known,
    RodBelief,
    band_of,
    heading_read,
    width_of,
)

THREAD = Curve("category 50", 3.0, 11.398, 0.20)
SIGMA = 0.8


def _rod(
    vertical: float = 0.01,
    sideways_sd: float = 0.0,
    turns_sigma: float = 0.45,
    least: float = 1.0,
    share: tuple[float, float, float] = (1.0, 1.0, 1.0),
    may_be_none: bool = False,
    places: int = 1,
    stretches: int = 3,
    usual_force: float = 0.0,
) -> RodBelief:
    turns = np.full((places, 1, stretches), 1000.0) * np.arange(1, places + 1)[:, None, None]
    bend = np.zeros((1, stretches, 2))
    bend[..., 0] = vertical
    factors = np.zeros((1, stretches, 2, stretches))
    factors[0, :, 1, :] = sideways_sd * np.eye(stretches)
    power = Scatter(bend, factors).expected(3.0)
    each = PassBelief(
        turns=np.stack([turns] * 3),
        stiffness=np.full((places, 1), 1e10),
        curves=[THREAD],
        scatter=Scatter(bend, factors),
        size=np.full((1, stretches), vertical),
        powers={3.0: np.array(share)[:, None, None] ** 3.0 * power},
        rung="this rig's own turns per metre",
        turns_sigma=turns_sigma,
        may_be_none=may_be_none,
        least=np.full((places, 1), least),
        by_force={3.0: usual_force**3.0 * power} if usual_force else {},
    )
    bore = BoreBelief(
        3,
        [each],
        factors[0, :, 1, :],
        np.full(stretches, sideways_sd > 0.0),
        np.full(stretches, 3.0),
    )
    return RodBelief([bore], (), SIGMA)


def test_turns_counted_leave_the_closed_width() -> None:
    # Width of a lognormal between its 5 and 95 % points: 2 x 1.6449 x its sigma.
    rod = _rod()
    assert band_of(rod).width == pytest.approx(3.2898 * math.hypot(SIGMA, 0.45), rel=0.02)
    counted = width_of(rod, Known(turns=TurnRung.COUNTER))
    assert counted == pytest.approx(3.2898 * math.hypot(SIGMA, 0.02), rel=0.005)


def test_make_up_written_down_leaves_the_closed_width() -> None:
    rod = _rod(turns_sigma=0.02, least=0.5)
    closed = 3.2898 * math.hypot(SIGMA, 0.02)
    assert band_of(rod).width > closed * 1.1
    assert width_of(rod, Known(make_up=True)) == pytest.approx(closed, rel=0.005)


def test_a_hole_measured_leaves_the_closed_width() -> None:
    rod = _rod(turns_sigma=0.02, share=(1.0, 0.8, 0.4))
    closed = 3.2898 * math.hypot(SIGMA, 0.02)
    assert band_of(rod).width > closed * 1.1
    assert width_of(rod, Known(hole=True)) == pytest.approx(closed, rel=0.005)


def test_a_pass_written_down_gives_a_band_its_low_end() -> None:
    rod = _rod(may_be_none=True)
    assert math.isinf(band_of(rod).width)
    known = width_of(rod, Known(passes=True))
    assert known == pytest.approx(3.2898 * math.hypot(SIGMA, 0.10), rel=0.01)


def test_a_place_known_by_its_mark_leaves_one_place() -> None:
    # Two places, one with twice the turns: the band reaches from the one to the other.
    rod = _rod(turns_sigma=0.02, places=2)
    closed = 3.2898 * math.hypot(SIGMA, 0.02)
    assert band_of(rod).width == pytest.approx(closed + math.log(2.0), rel=0.005)
    assert width_of(rod, Known(place=True)) == pytest.approx(closed, rel=0.005)


def test_hours_of_the_past_off_a_meter() -> None:
    rod = replace(_rod(), bores=(), past=((0.01, 0.668),))
    assert band_of(rod).width == pytest.approx(3.2898 * math.hypot(SIGMA, 0.668), rel=0.02)
    after = width_of(rod, Known(past=True))
    assert after == pytest.approx(3.2898 * math.hypot(SIGMA, 0.45), rel=0.02)


def test_heading_splits_the_covariance_and_leaves_what_one_reading_leaves() -> None:
    # One stretch of 3 m, prior SD s of its bend, one reading of SD e: by hand the variance left of
    # its factor is e^2/(s^2 + e^2), that of the mean learnt s^2/(s^2 + e^2).
    rod = _rod(sideways_sd=0.006, stretches=1)
    learnt, left = heading_read(rod.bores[0])
    s, e = 0.006, HEADING_SD / 3.0
    assert (left @ left.T)[0, 0] == pytest.approx(e**2 / (s**2 + e**2), rel=1e-9)
    assert (learnt @ learnt.T)[0, 0] == pytest.approx(s**2 / (s**2 + e**2), rel=1e-9)


def test_a_force_written_down_leaves_the_closed_width() -> None:
    # Nobody wrote the pull, the usual one halves the bend: damage between 1 and 1/8 of it.
    rod = _rod(turns_sigma=0.02, usual_force=0.5)
    closed = 3.2898 * math.hypot(SIGMA, 0.02)
    assert band_of(rod).width > closed * 1.1
    assert width_of(rod, Known(force=True)) == pytest.approx(closed, rel=0.005)


def test_a_missing_heading_is_worth_reading_in_a_straight_hole() -> None:
    rod = _rod(vertical=0.004, sideways_sd=0.008, turns_sigma=0.02, stretches=12)
    assert width_of(rod, Known(heading=True)) < band_of(rod).width


@settings(max_examples=30)
@given(
    turns_sigma=st.floats(0.03, 1.2),
    least=st.floats(0.3, 1.0),
    middle=st.floats(0.4, 1.0),
    apart=st.floats(0.0, 0.4),
    places=st.integers(1, 4),
    past=st.floats(0.0, 0.02),
)
def test_nothing_measured_widens(
    turns_sigma: float, least: float, middle: float, apart: float, places: int, past: float
) -> None:
    share = min(1.0, middle + apart), middle, max(0.1, middle - apart)
    rod = _rod(turns_sigma=turns_sigma, least=least, share=share, places=places)
    rod = replace(rod, past=((past, 0.668),) if past else ())
    now = width_of(rod, NOTHING_MORE)
    everything = Known(TurnRung.COUNTER, True, True, True, True, False, True)
    assert width_of(rod, everything) <= now * (1 + 1e-9)
    if not past:
        # Alone in its sum each factor of damage can be told: none of them widens by itself.
        for known in (
            Known(turns=TurnRung.COUNTER),
            Known(hole=True),
            Known(make_up=True),
            Known(place=True),
        ):
            assert width_of(rod, known) <= now * 1.01


def test_a_band_from_nothing_is_endless_and_no_band_has_no_width() -> None:
    assert math.isinf(Band(0.0, 1.0).width)
    assert Band(0.0, 0.0).width == 0.0
