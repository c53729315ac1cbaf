"""Bend of the steel at five sections: closed form in a uniform bend, and the small answer."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.drillstring.contact import solve_contact
from rodhand.drillstring.contact_response import moment_response
from rodhand.drillstring.section_bend import Laid, steel_bends
from rodhand.drillstring.string_beam import HoleLine, RodBeam, string_beam
from rodhand.hole.bend_states import BendState, plain_state

E = 206e9
LENGTH, JOINT, TUBE_OD, TUBE_BORE, JOINT_OD, JOINT_BORE = 3.048, 0.18, 0.0603, 0.0461, 0.0699, 0.025


def _inertia(outside: float, inside: float) -> float:
    return math.pi / 64 * (outside**4 - inside**4)


IB, IJ = _inertia(TUBE_OD, TUBE_BORE), _inertia(JOINT_OD, JOINT_BORE)
ROD = RodBeam(LENGTH, JOINT, TUBE_OD, JOINT_OD, E * IB, E * IJ)
DIAMETER = 0.100


def _edges(count: int) -> np.ndarray:
    return LENGTH * np.arange(count + 1.0)


def test_in_a_long_even_bend_the_tube_takes_the_joints_share() -> None:
    """L / (L - Lj (1 - Ib/Ij)) at every section, no force and no weight: closed form, both joints
    together 0.36 m."""
    count, bend = 14, 1 / 60.0
    hole = plain_state(_edges(count), np.tile([bend, 0.0], (count, 1)))
    found = steel_bends(Laid([ROD] * count, hole, DIAMETER, count * LENGTH, 0.0, 0.0))
    assert found is not None
    stiff = LENGTH / (LENGTH - 2 * JOINT * (1 - IB / IJ))
    inside = (found.at > 5 * LENGTH) & (found.at < 9 * LENGTH)
    size = np.linalg.norm(found.bend, axis=-1)[inside]
    assert size == pytest.approx(np.full(size.size, bend * stiff), rel=1e-2)


def test_sections_stand_where_they_are_in_the_rod() -> None:
    """First phase: the tool 1/8 rod back; far end, joint, middle, joint, near end of rod 1."""
    count = 3
    hole = plain_state(_edges(count), np.zeros((count, 2)))
    found = steel_bends(Laid([ROD] * count, hole, DIAMETER, count * LENGTH, 0.0, 50.0))
    assert found is not None
    from_end = np.array([0.0, JOINT, LENGTH / 2, LENGTH - JOINT, LENGTH])
    assert found.at[2] == pytest.approx(2.875 * LENGTH - from_end)
    assert found.at[1] == pytest.approx(1.875 * LENGTH - from_end)


def test_a_buckled_string_is_told() -> None:
    count = 6
    hole = plain_state(_edges(count), np.zeros((count, 2)))
    euler = math.pi**2 * E * IB / LENGTH**2
    assert (
        steel_bends(Laid([ROD] * count, hole, DIAMETER, count * LENGTH, -4 * euler, 50.0)) is None
    )


@pytest.mark.parametrize("plane", [0, 1])
def test_the_small_answer_is_the_difference_of_two_solutions(plane: int) -> None:
    """Pull, a curve over six rods, one rod's bend moved by a millionth: solved twice."""
    count = 16
    bend = np.zeros((count, 2))
    bend[3:9, 0] = 0.06 / LENGTH
    change = np.zeros((count, 2, 1))
    change[5, plane, 0] = 1e-6

    def moments(curvature: np.ndarray) -> np.ndarray:
        hole = HoleLine(_edges(count), curvature, DIAMETER)
        return solve_contact(string_beam([ROD] * count, hole, count * LENGTH, 5e3, 80.0)).moment

    hole = HoleLine(_edges(count), bend, DIAMETER)
    solved = solve_contact(string_beam([ROD] * count, hole, count * LENGTH, 5e3, 80.0))
    at = np.arange(len(solved.beam.lengths))
    found = moment_response(solved, _edges(count), change, at, np.zeros_like(at))[..., 0]
    by_hand = (moments(bend + change[..., 0]) - moments(bend))[:, 0]
    assert np.abs(found - by_hand).max() < 0.02 * np.abs(by_hand).max()


def test_no_small_answer_without_rest() -> None:
    count = 4
    hole = HoleLine(_edges(count), np.zeros((count, 2)), DIAMETER)
    solved = solve_contact(string_beam([ROD] * count, hole, count * LENGTH, -5e5, 80.0))
    state = BendState(_edges(count), np.zeros((count, 2)), np.zeros((count, 2, 1)))
    with pytest.raises(ValueError, match="did not settle"):
        moment_response(solved, state.edges, state.factors, np.array([0]), np.array([0]))
