"""The invented mix and a declared past built on it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from wear_steel import CURVES, ROD

from rodhand.wear import standard_mix as mix
from rodhand.wear.declared_past import bore_damage, declared_past
from rodhand.wear.sections import SECTIONS, Condition, Section

MID = SECTIONS.index(Section.MID_TUBE)
HOUR = 3600.0


def test_shares_add_up() -> None:
    assert sum(s.share for s in mix.STANDARD_MIX) == pytest.approx(1.0)


def test_the_same_seed_gives_the_same_bore() -> None:
    one, two = (mix.draw_bore(np.random.default_rng(5), ROD) for _ in range(2))
    assert (one.bend == two.bend).all()
    assert 20 <= len(one.bend) <= 55


def test_planned_curves_turn_the_angles_asked_for() -> None:
    """R-M at 0.75 of 3.95 degrees: 14 degrees need 5 rods, 9 degrees 4; first and last straight."""
    angles = (math.radians(14), math.radians(9))
    planned = mix.steered_curve(ROD, mix.ORDINARY, 30, angles)
    assert planned.sum() == pytest.approx(sum(angles))
    assert np.flatnonzero(planned).tolist() == [1, 2, 3, 4, 5, 25, 26, 27, 28]
    assert planned.max() <= 0.75 * ROD.limit_angle()


def test_hours_of_an_ordinary_bore() -> None:
    """100 m: 100 min at 1 m/min and 200 min at 0.5 m/min rotate; twice that is rig time."""
    bore = mix.MixBore(mix.ORDINARY, np.zeros((10, 2)), 10.0)
    assert bore.rotating_time == pytest.approx(300 * 60)
    assert bore.rig_time == pytest.approx(600 * 60)
    hard = mix.MixBore(mix.HARD, np.zeros((10, 2)), 10.0)
    assert hard.rotating_time == pytest.approx(500 * 60)


def test_over_steers_come_as_often_as_told() -> None:
    """Hard bores: 1 in 20; over 400 bores the count of bends at or over the limit."""
    rng = np.random.default_rng(3)
    bends = np.concatenate([mix.draw_bore(rng, ROD, mix.HARD).bend for _ in range(400)])
    wander_only = np.concatenate([mix.draw_bore(rng, ROD, mix.CAREFUL).bend for _ in range(400)])
    over = 1 / ROD.limit_radius
    assert np.mean(bends > over) > 1 / 20 * 0.9
    assert np.mean(wander_only > 1.001 * over) == pytest.approx(1 / 200, rel=0.3)


def test_turns_of_the_places_by_hand() -> None:
    """Three rods of 10 ft: 100 turns/m out, 160 back; rod 1 is in for three rows, rod 3 for one."""
    bore = mix.MixBore(mix.ORDINARY, np.tile([0.01, 0.0], (3, 1)), ROD.length)
    cost = bore_damage(bore, ROD, CURVES, "head", Condition())
    per_row = 260.0 * ROD.length
    assert cost.turns == pytest.approx([3 * per_row, 2 * per_row, per_row])
    assert cost.design == pytest.approx(cost.mean * 10**0.4)


def test_a_hard_bore_is_pulled_twice() -> None:
    """100 turns/m out and twice 160 back: rod 1 of three rods of 10 ft turns 3 x 420 per metre."""
    bore = mix.MixBore(mix.HARD, np.tile([0.01, 0.0], (3, 1)), ROD.length)
    cost = bore_damage(bore, ROD, CURVES, "head", Condition())
    assert cost.turns[0] == pytest.approx(3 * 420.0 * ROD.length)


def test_declared_hours_scale_and_order_decides_who_has_them() -> None:
    kept = declared_past(100 * HOUR, 40, "same", ROD, CURVES, "D")
    more = declared_past(200 * HOUR, 40, "same", ROD, CURVES, "D")
    turned = declared_past(100 * HOUR, 40, "turned", ROD, CURVES, "D")
    by_place = np.array([c.best[MID] for c in kept])
    assert len(kept) == 40
    assert more[0].best == pytest.approx(2 * kept[0].best)
    assert by_place[0] > 3 * by_place[-1] > 0
    assert turned[7].best[MID] == pytest.approx(by_place.mean())
    assert all(c.assumed == 1.0 for c in kept)


def test_declared_lead_rod_by_hand() -> None:
    """A set of 20 fills its hours with bores of 20 rods: 3 min/m, 61 m, 182.88 min a bore.

    100 h are 32.81 bores; the lead rod's share is that of one bore so many times.
    """
    one = bore_damage(mix.ordinary_bore(ROD, 20), ROD, CURVES, "head", Condition())
    past = declared_past(100 * HOUR, 20, "same", ROD, CURVES, "D")
    assert past[0].best == pytest.approx(one.mean[0] * 6000 / 182.88)


@pytest.mark.parametrize(("time", "places"), [(-1.0, 10), (math.nan, 10), (10.0, 0)])
def test_a_past_without_time_or_places_is_refused(time: float, places: int) -> None:
    with pytest.raises(ValueError, match="declared past"):
        declared_past(time, places, "same", ROD, CURVES, "D")


def test_an_unknown_order_reaches_from_the_least_place_to_the_worst() -> None:
    kept = declared_past(100 * HOUR, 40, "same", ROD, CURVES, "D")
    doubt = declared_past(100 * HOUR, 40, "unknown", ROD, CURVES, "D")
    by_place = np.array([c.best for c in kept])
    for one in (doubt[0], doubt[39]):
        assert one.low == pytest.approx(by_place.min(axis=0))
        assert one.best == pytest.approx(by_place.mean(axis=0))
        assert one.high == pytest.approx(by_place.max(axis=0))
    assert sum(c.best[MID] for c in doubt) == pytest.approx(by_place[:, MID].sum())
