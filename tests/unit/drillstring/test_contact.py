"""The string in its clearance: known sizes, balance of forces, walls, and what it cannot do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from rods_in_holes import LARGE, MID, SMALL, bent_hole, wandering

from rodhand.drillstring.buckling import curved_hole_load, sinusoidal_load
from rodhand.drillstring.contact import Contact, solve_contact
from rodhand.drillstring.magnification import uniform_bend
from rodhand.drillstring.rod_bend import rod_bends, touching
from rodhand.drillstring.string_beam import HoleLine, RodBeam, string_beam
from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS

COUNT = 21


def _laid(curvature: dict[int, float], diameter: float, force: float = 0.0) -> Contact:
    hole = bent_hole(MID, COUNT, curvature, diameter)
    beam = string_beam([RodBeam.of(MID)] * COUNT, hole, COUNT * MID.length, force, 0.0, 16)
    return solve_contact(beam)


@pytest.mark.parametrize(
    ("rods", "angle", "share"),
    [([10], 0.08, 0.66), ([8, 9, 10, 11], 0.08, 1.09), ([10], 0.03, 0.35)],
)
def test_sizes_worked_out_elsewhere(rods: list[int], angle: float, share: float) -> None:
    """Lone 8 % rod, four in a row, lone 3 % wander in a 100 mm hole; a minimum-energy beam without
    weight, computed outside the product. "About": within 15 %, for where its ends were held is not
    told, and nothing but the walls holds a weightless string beside a lone bend."""
    kappa = angle / MID.length
    solved = _laid(dict.fromkeys(rods, kappa), 0.100)
    assert solved.is_settled
    assert solved.tube_bend.max() / kappa == pytest.approx(share, rel=0.15)


def test_rod_that_fills_its_hole_follows_it_with_stiff_joints() -> None:
    """J = L / (L - Lj (1 - Ib/Ij)) where the hole bends evenly and nothing else acts."""
    kappa = 1.0 / 50.0
    solved = _laid(dict.fromkeys(range(COUNT), kappa), MID.joint_od)
    middle = solved.beam.rod == COUNT // 2
    assert solved.tube_bend[middle].max() / kappa == pytest.approx(MID.stiff_joint_factor, rel=1e-3)


@pytest.mark.parametrize("rod", [SMALL, MID, LARGE])
@pytest.mark.parametrize("force", [-90e3, -45e3, -20e3, 0.0, 20e3, 45e3, 90e3])
def test_demo_rods_reduce_to_the_closed_forms(rod: RodType, force: float) -> None:
    """0 to 90 kN, both signs, at the maker's limit; below 0.6 of the span's Euler load."""
    stiffness = ELASTIC_MODULUS * rod.tube_inertia
    assert abs(force) < 0.6 * 4.0 * math.pi**2 * stiffness / rod.length**2
    kappa, stand_off = 1.0 / rod.limit_radius, (rod.joint_od - rod.tube_od) / 2.0
    even = RodBeam(rod.length, 1e-3, rod.tube_od, rod.joint_od, stiffness, stiffness)
    hole = HoleLine(np.array([0.0, rod.length]), np.array([[kappa]]), rod.joint_od)
    solved = solve_contact(string_beam([even], hole, rod.length, force, 0.0, 80))
    expected = uniform_bend(kappa, rod.length / 2.0, stand_off, force, stiffness).largest
    assert solved.tube_bend.max() / kappa == pytest.approx(expected, rel=2e-3)


def test_string_of_many_rods_hugs_the_inside_as_the_closed_form_has_it() -> None:
    kappa, force = 1.0 / MID.limit_radius, 60e3
    stiffness = ELASTIC_MODULUS * MID.tube_inertia
    even = RodBeam(MID.length, 1e-3, MID.tube_od, MID.joint_od, stiffness, stiffness)
    hole = HoleLine(np.array([0.0, COUNT * MID.length]), np.array([[kappa]]), 0.100)
    solved = solve_contact(string_beam([even] * COUNT, hole, COUNT * MID.length, force, 0.0, 40))
    expected = uniform_bend(
        kappa, MID.length / 2.0, (MID.joint_od - MID.tube_od) / 2.0, force, stiffness
    )
    middle = solved.beam.rod == COUNT // 2
    assert solved.tube_bend[middle].max() / kappa == pytest.approx(expected.largest, rel=3e-3)
    assert solved.offset[np.append(middle, False), 0].min() > 0.0


@pytest.mark.parametrize("planes", [1, 2])
def test_walls_hold_and_forces_balance(planes: int) -> None:
    """Nothing stands past the wall by more than 0.01 mm; walls push inward; weight is carried."""
    solved = solve_contact(wandering(MID, 30, 5, planes, 0.0, 0.100, 80.0))
    assert solved.is_settled
    assert solved.room.min() > -1.1e-5
    on = solved.wall_force > 0.0
    assert solved.room[on].max() < 1.1e-5
    side = solved.offset[on] / np.linalg.norm(solved.offset[on], axis=1)[:, None]
    carried = -(solved.wall_force[on, None] * side).sum(axis=0)
    h, moment = solved.beam.lengths, solved.moment[:, :, 0]
    shear = np.diff(moment, axis=1)[:, 0] / h  # M' = V in the middle of an element, M'' = -w
    ends = shear[-1] - 40.0 * h[-1] - (shear[0] + 40.0 * h[0])
    assert carried[0] == pytest.approx(ends + 80.0 * 30 * MID.length, rel=1e-6)
    assert {each.rod for each in touching(solved)} <= set(range(30))


def test_straight_string_under_its_weight_sags_between_joints_as_a_fixed_beam() -> None:
    """w L^2 / 12 beside the joint and the joint on the floor: fixed-fixed beam by hand.

    Even stiffness; the sag of w L^4 / 384 EI, 1 mm, is less than the stand-off.
    """
    stiffness, weight = ELASTIC_MODULUS * MID.tube_inertia, 80.0
    even = RodBeam(MID.length, 1e-3, MID.tube_od, MID.joint_od, stiffness, stiffness)
    hole = bent_hole(MID, COUNT, {}, 0.100)
    solved = solve_contact(string_beam([even] * COUNT, hole, COUNT * MID.length, 0.0, weight, 16))
    middle = solved.beam.rod == COUNT // 2
    expected = weight * MID.length**2 / 12.0 / stiffness
    assert solved.tube_bend[middle].max() == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("radius", [math.inf, 400.0])
def test_settles_below_the_snaking_load_and_not_above(radius: float) -> None:
    """A tube without joints in a level hole, two planes: stable under 0.95 of the closed form's
    load, not under 1.1 of it. A second method for those forms: stability of the discrete beam."""
    stiffness, weight, diameter, length = ELASTIC_MODULUS * MID.tube_inertia, 70.0, 0.100, 160.0
    play = (diameter - MID.tube_od) / 2.0
    kappa = 1.0 / radius
    load = curved_hole_load(stiffness, weight, play, math.pi / 2.0, kappa)
    if radius == math.inf:
        assert load == pytest.approx(sinusoidal_load(stiffness, weight, play, math.pi / 2.0))
    pipe = RodBeam(length, 0.5, MID.tube_od, MID.tube_od, stiffness, stiffness)
    hole = HoleLine(np.array([0.0, length]), np.array([[kappa, 0.0]]), diameter)
    for share, settles in ((0.95, True), (1.1, False)):
        beam = string_beam([pipe], hole, length, -share * load, weight, 200)
        assert solve_contact(beam).is_settled is settles


def test_bends_by_rod_are_counted_from_the_tool() -> None:
    kappa = 0.08 / MID.length
    bends = rod_bends(_laid({18: kappa}, 0.080))
    assert int(np.argmax(bends.largest)) == 2
    assert bends.hole[2] == pytest.approx(kappa)
    assert np.isnan(bends.magnification[15])
    assert 18 * MID.length <= bends.at[2] <= 19 * MID.length


def test_a_short_bend_keeps_its_place_inside_an_element() -> None:
    """Mean and slope of an element hold the angle and its first moment."""
    hole = HoleLine(np.array([0.0, 0.3, 0.5, 10.0]), np.array([[0.0], [0.2], [0.0]]), 0.1)
    angle, area = hole.turned(np.array([0.2, 0.4, 0.5, 2.0, 12.0]))
    assert angle[:, 0] == pytest.approx([0.0, 0.02, 0.04, 0.04, 0.04])
    assert area[:, 0] == pytest.approx([0.0, 0.001, 0.004, 0.064, 0.464])


def test_faults_of_a_string() -> None:
    hole = bent_hole(MID, 2, {}, 0.1)
    with pytest.raises(ValueError, match="at least one rod"):
        string_beam([], hole, 1.0)
    with pytest.raises(ValueError, match="even"):
        string_beam([RodBeam.of(MID)], hole, 1.0, elements_per_tube=3)


@pytest.mark.parametrize("seed", range(12))
def test_settles_under_any_pull_in_any_hole(seed: int) -> None:
    """Convex without thrust: a state is always found, with no node past the wall."""
    rng = np.random.default_rng(seed)
    rod = (SMALL, MID, LARGE)[seed % 3]
    diameter = rod.joint_od * rng.uniform(1.0, 3.5)
    force = rng.uniform(0.0, 300e3)
    solved = solve_contact(wandering(rod, 20, seed, 1 + seed % 2, force, diameter, 100.0))
    assert solved.is_settled
    assert solved.room.min() > -1e-5
