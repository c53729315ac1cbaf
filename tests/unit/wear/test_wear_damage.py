"""Damage by hand and against the figures fixed for bore B-2 in the definitions [C]."""

from __future__ import annotations

import math

import numpy as np
import pytest
from drillstring_bore_b2 import BEND, ROD_LENGTH, STATIONS, TUBE_OD, TURNS
from wear_steel import CURVES, ROD, WELDED

from rodhand.drillstring.ledger import book_turns
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import pilot_travel, toward_rig_travel
from rodhand.hole.damage_curvature import CurvatureBand
from rodhand.steel.rod_type import RodType
from rodhand.wear.bend_powers import read_powers, slopes_of
from rodhand.wear.damage import LegDamage, damage_per_turn, leg_damage, stress_per_bend
from rodhand.wear.sections import SECTIONS, Condition, Section

E = 206e9
MID = SECTIONS.index(Section.MID_TUBE)


def _pilot(stations: np.ndarray, turns: np.ndarray) -> Leg:
    lengths = np.diff(stations)
    rods = tuple(Member(f"{k}", "rod", float(x)) for k, x in enumerate(lengths, 1))
    return run_pass(RodsOfBore(at_rig=rods), PassKind.PILOT, pilot_travel(stations, turns))[0]


def _band(edges: np.ndarray, best: np.ndarray, error: float = 0.0) -> CurvatureBand:
    m = len(best)
    return CurvatureBand(
        edges, best, 0.5 * best, 1.2 * best, np.full(m, error), np.ones(m, int), np.zeros(m, bool)
    )


def _leg_damage(
    leg: Leg, band: CurvatureBand, rods: list[RodType], conditions: list[Condition]
) -> LegDamage:
    """With the bend of the hole times assumed factors: model 1."""
    powers = read_powers(band, ROD, leg.kind, slopes_of(CURVES))
    return leg_damage(leg, powers, rods, conditions, CURVES, "head")


@pytest.mark.parametrize(
    ("rod", "mid_tube", "of_which_station_4", "upset"),
    [
        (1, 0.00195, 0.00161, 0.00151),
        (2, 0.00253, 0.00218, 0.00195),
        (22, 0.00304, 0.00271, 0.00234),
    ],
)
def test_bore_b2_pilot_without_stiff_joints(
    rod: int, mid_tube: float, of_which_station_4: float, upset: float
) -> None:
    """J = 1, no noise taken off. The fixture books the upset end with the mid tube's turns; the
    product books each section at its own place in the rod (see the tests below)."""
    turns = book_turns(_pilot(STATIONS, TURNS), ROD_LENGTH / 2, STATIONS).by_stretch
    curve = CURVES.tube

    def damage(factor: float) -> np.ndarray:
        stiffness = np.array([E * TUBE_OD * factor])
        return (
            turns[rod - 1] * damage_per_turn(stiffness, {4.7: BEND**4.7}, BEND, curve, "design")[0]
        )

    middle = damage(1.0)
    assert middle.sum() == pytest.approx(mid_tube, abs=5e-6)
    assert middle[3] == pytest.approx(of_which_station_4, abs=5e-6)
    assert damage(0.86 * 1.1).sum() == pytest.approx(upset, abs=5e-6)


def test_the_stress_range_is_twice_the_bending_amplitude() -> None:
    """60.3 mm tube at 30 m: 207 MPa fully reversed (E D / 2R), so a range of 414 MPa."""
    j = ROD.length / (ROD.length - 0.36 * (1 - ROD.tube_inertia / ROD.joint_inertia))
    assert stress_per_bend(ROD, 1.0) / 30.0 == pytest.approx(414.2e6, rel=1e-3)
    assert stress_per_bend(ROD, 0.86) == pytest.approx(0.86 * stress_per_bend(ROD, 1.0))
    # the stiff joints' share is in the bend of the steel
    edges = np.array([0.0, ROD.length])
    powers = read_powers(_band(edges, np.array([1 / 30.0])), ROD, PassKind.PULLBACK, (3.0,))
    found = powers.by_slope[3.0].best[:, 0] ** (1 / 3) * 30.0
    assert found == pytest.approx(j * np.array([1.25, 1.25, 1.0, 1.25, 1.25]))


def test_each_section_at_its_own_place_by_hand() -> None:
    """Two rods of 10 ft, 100 turns a row, hole bent to 50 m all along.

    Rod 1, pin toward the head: the pin end is at the bit and in the hole for all 200 turns; the
    box end enters after row 1, so it makes 100. Rod 2: its pin end turns 100 in the hole, its box
    end none. Upset ends lie 0.18 m from those; turns in the hole are in proportion to length.
    """
    length = ROD.length
    leg = _pilot(np.array([0.0, length, 2 * length]), np.array([100.0, 100.0]))
    band = _band(np.array([0.0, length, 2 * length]), np.full(2, 1 / 50.0))
    found = _leg_damage(leg, band, [ROD, ROD], [Condition()] * 2)
    part = 100 * 0.18 / length
    in_hole = np.array(
        [
            [200, 200 - part, 150, 100 + part, 100],
            [100, 100 - part, 50, part, 0],
        ]
    )
    j = ROD.stiff_joint_factor
    nominal = E * ROD.tube_od * j / 50.0 / 1e6
    thread = (nominal * 1.1 * 0.30) ** 3 / 10**11.398
    upset = (nominal * 1.1 * 0.86) ** 4.7 / 10**17.446
    middle = nominal**4.7 / 10**17.446
    each = np.array([thread, upset, middle, upset, thread])
    np.testing.assert_allclose(found.design, in_hole * each, rtol=1e-9)
    np.testing.assert_allclose(found.best, in_hole * each / 10**0.4, rtol=1e-9)
    # low at half the bend, high at 1.2 of it
    ratio = np.array([3, 4.7, 4.7, 4.7, 3])
    np.testing.assert_allclose(found.low, found.best * 0.5**ratio, rtol=1e-9)
    np.testing.assert_allclose(found.high, found.best * 1.2**ratio, rtol=1e-9)
    np.testing.assert_allclose(found.by_stretch.sum(axis=2), found.design, rtol=1e-12)
    assert list(found.turns) == [200, 100]


def test_a_pull_costs_the_joints_more_and_the_middle_nothing_more() -> None:
    """Same turns in the same bends: (1.25/1.1)^m at thread and upset, 1 at mid tube."""
    stations = np.array([0.0, ROD.length, 2 * ROD.length])
    turns = np.array([100.0, 100.0])
    rods = tuple(Member(k, "rod", ROD.length) for k in "ab")
    out, in_hole = run_pass(RodsOfBore(at_rig=rods), PassKind.PILOT, pilot_travel(stations, turns))
    back, _ = run_pass(in_hole, PassKind.PULLBACK, toward_rig_travel(stations, turns))
    band = _band(stations, np.full(2, 1 / 50.0))
    each = [_leg_damage(x, band, [ROD] * 2, [Condition()] * 2) for x in (out, back)]
    ratio = each[1].design[0] / each[0].design[0]
    k = 1.25 / 1.1
    assert ratio == pytest.approx([k**3, k**4.7, 1.0, k**4.7, k**3])


@pytest.mark.parametrize(("range_mpa", "log_a", "m"), [(100.0, 12.592, 3), (60.0, 16.320, 5)])
def test_a_weld_takes_the_second_slope_by_range(range_mpa: float, log_a: float, m: int) -> None:
    """Class C in air: 73.1 MPa is the range at 1e7 cycles (READ in a transcription)."""
    rate = damage_per_turn(
        np.array([range_mpa * 1e6]),
        {3.0: np.ones(1), 5.0: np.ones(1)},
        np.ones(1),
        CURVES.weld,
        "design",
    )
    assert rate[0, 0] == pytest.approx(range_mpa**m / 10**log_a, rel=1e-9)


def test_noise_is_taken_off_best_and_not_off_high() -> None:
    """One plane, m = 4.7: c = 4.7 x 3.7 / 2 = 8.695; bend 1/50, error 0.002: 1 - c 0.01 = 0.913."""
    leg = _pilot(np.array([0.0, ROD.length]), np.array([100.0]))
    edges = np.array([0.0, ROD.length])
    quiet = _leg_damage(leg, _band(edges, np.array([0.02])), [ROD], [Condition()])
    noisy = _leg_damage(leg, _band(edges, np.array([0.02]), 0.002), [ROD], [Condition()])
    assert noisy.best[0, MID] / quiet.best[0, MID] == pytest.approx(1 - 8.695 * 0.01)
    assert noisy.design[0, MID] / quiet.design[0, MID] == pytest.approx(1 - 8.695 * 0.01)
    assert noisy.high[0, MID] == quiet.high[0, MID]
    # one stretch holds it all: m x error / bend
    assert noisy.bend_error[0, MID] == pytest.approx(4.7 * 0.1)


def test_a_bend_nobody_can_tell_leaves_the_damage_unknown() -> None:
    """Two rods; interval 1 unknown. Rod 1 turned there; nobody turned in what lies behind rod 2."""
    stations = ROD.length * np.arange(3.0)
    leg = _pilot(stations, np.array([100.0, 100.0]))
    band = _band(stations, np.array([np.nan, 0.02]))
    found = _leg_damage(leg, band, [ROD] * 2, [Condition()] * 2)
    assert math.isnan(found.design[0, MID])
    assert found.design[1, SECTIONS.index(Section.BOX_THREAD)] == 0.0


def test_a_welded_rod_among_others() -> None:
    stations = ROD.length * np.arange(3.0)
    leg = _pilot(stations, np.array([100.0, 100.0]))
    band = _band(stations, np.full(2, 0.02))
    mixed = _leg_damage(leg, band, [WELDED, ROD], [Condition()] * 2)
    alike = _leg_damage(leg, band, [ROD, ROD], [Condition()] * 2)
    assert mixed.design[0, 1] > alike.design[0, 1]
    assert (mixed.design[1] == alike.design[1]).all()
    assert mixed.design[0, MID] == alike.design[0, MID]


def test_a_bite_multiplies_the_middle_alone() -> None:
    leg = _pilot(np.array([0.0, ROD.length]), np.array([100.0]))
    band = _band(np.array([0.0, ROD.length]), np.array([0.02]))
    sound = _leg_damage(leg, band, [ROD], [Condition()]).design
    bitten = _leg_damage(leg, band, [ROD], [Condition(bite=True)]).design
    assert bitten[0, MID] / sound[0, MID] == pytest.approx(1.5**4.7)
    assert np.delete(bitten, MID).tolist() == np.delete(sound, MID).tolist()


def test_one_type_and_condition_for_each_member() -> None:
    leg = _pilot(np.array([0.0, ROD.length]), np.array([100.0]))
    band = _band(np.array([0.0, ROD.length]), np.array([0.02]))
    with pytest.raises(ValueError, match="1 members"):
        _leg_damage(leg, band, [], [])
