"""Limits and the words for being over them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.bends import hole_bends
from rodhand.hole.limits import (
    OverCutoffs,
    chance_over,
    limit_angle,
    over_verdict,
    radius_from_percent,
    share_of_limit,
)
from rodhand.hole.pilot_log import pilot_readings
from rodhand.units import FOOT, to_si

# invented scenario, DEFINITIONS fixture: pitch in % at the end of each rod, rod length and
# limit radius in ft, row looked at, its share of the limit and the word for it
B1 = ([-20.0, -15.4, -10.4, -5.0, 0.2], 6, 100, 4, 0.894, "no")
B2 = ([-24.0, -18.0, -13.5, -4.0, -0.2], 10, 145, 4, 1.366, "over")
B3 = ([-20.0, -13.4, -7.4, -2.2, -0.3], 10, 145, 2, 0.931, "within_error")


@pytest.mark.parametrize(("pitches", "rod", "radius", "row", "share", "word"), [B1, B2, B3])
def test_fixtures_of_the_invented_bores(
    pitches: list[float], rod: float, radius: float, row: int, share: float, word: str
) -> None:
    log = pilot_readings(
        range(1, 6), [to_si(p, "slope", "pct") for p in pitches], length=[rod * FOOT] * 5
    )
    bends = hole_bends(log)
    bend, length = bends.angle[row - 1], bends.length[row - 1]
    assert share_of_limit(bend, length, radius * FOOT) == pytest.approx(share, abs=5e-4)
    limit = limit_angle(radius * FOOT, length)
    assert over_verdict(bend, limit, bends.error[row - 1]) == word


def test_mean_radius_at_the_over_steer() -> None:
    """DEFINITIONS fixture: B-2 station 4, 32.35 m, 9.42 % by angle."""
    log = pilot_readings(
        [1, 2], [to_si(p, "slope", "pct") for p in (-13.5, -4)], length=[3.048] * 2
    )
    bends = hole_bends(log)
    assert 1 / bends.curvature[1] == pytest.approx(32.35, abs=0.005)
    assert 100 * bends.angle[1] == pytest.approx(9.42, abs=0.005)


def test_chance_by_the_normal_table() -> None:
    """Normal table: Phi(1) 0.8413, Phi(0) 0.5, Phi(-1.645) 0.0500."""
    assert chance_over(0.08, 0.07, 0.01) == pytest.approx(0.8413, abs=5e-5)
    assert chance_over(0.07, 0.07, 0.01) == pytest.approx(0.5)
    assert chance_over(0.07 - 0.01645, 0.07, 0.01) == pytest.approx(0.05, abs=5e-5)


@pytest.mark.parametrize(
    ("bend", "word"),
    [(0.0870, "over"), (0.0860, "likely"), (0.0699, "within_error"), (0.0530, "no")],
)
def test_each_word(bend: float, word: str) -> None:
    """Limit 0.07, s 0.01: the words change at 0.0864, 0.0700 and 0.0536 (limit +- 1.645 s)."""
    assert over_verdict(bend, 0.07, 0.01) == word


def test_cutoffs_are_the_owners() -> None:
    assert over_verdict(0.08, 0.07, 0.01, OverCutoffs(over=0.8)) == "over"


def test_without_error_it_is_a_comparison() -> None:
    assert over_verdict(0.0701, 0.07, 0.0) == "over"
    assert over_verdict(0.07, 0.07, 0.0) == "likely"
    assert over_verdict(0.0699, 0.07, 0.0) == "no"


def test_not_read_is_no_verdict() -> None:
    assert over_verdict(math.nan, 0.07, 0.01) is None
    assert math.isnan(share_of_limit(math.nan, 3.0, 40.0))


@pytest.mark.parametrize(
    "call",
    [
        lambda: radius_from_percent(0, 3.0),
        lambda: radius_from_percent(8, 0.0),
        lambda: limit_angle(0.0, 3.0),
        lambda: chance_over(0.1, 0.1, -0.01),
    ],
)
def test_impossible_values_are_refused(call: object) -> None:
    with pytest.raises(ValueError, match="must"):
        call()  # type: ignore[operator]


@given(st.floats(0.001, 0.3), st.floats(0.0005, 0.05), st.floats(0.001, 0.05))
def test_more_bend_is_never_a_milder_word(bend: float, error: float, more: float) -> None:
    order = ["no", "within_error", "likely", "over"]
    first, second = over_verdict(bend, 0.07, error), over_verdict(bend + more, 0.07, error)
    assert first is not None
    assert second is not None
    assert order.index(second) >= order.index(first)
