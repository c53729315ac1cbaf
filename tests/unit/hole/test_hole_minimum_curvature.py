"""Properties of the survey arithmetic that hold for any path."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.minimum_curvature import (
    balanced_tangential_step,
    dogleg,
    minimum_curvature_positions,
    minimum_curvature_step,
    tangent,
    tangent_from_inclination,
    wrapped,
)
from rodhand.hole.readings import TieIn

angles = st.floats(-1.2, 1.2)
headings = st.floats(-10.0, 10.0)
rows = st.lists(
    st.tuples(st.floats(0.5, 10.0), angles, headings.map(lambda h: h / 10)), min_size=2, max_size=12
)


def as_path(table: list[tuple[float, float, float]]) -> tuple[np.ndarray, np.ndarray]:
    lengths, pitch, heading = (np.array(column) for column in zip(*table, strict=True))
    return np.cumsum(lengths), tangent(pitch, heading)


@given(angles, headings, angles, headings)
def test_dogleg_is_symmetric_and_between_zero_and_pi(
    p1: float, h1: float, p2: float, h2: float
) -> None:
    one, other = tangent(np.float64(p1), np.float64(h1)), tangent(np.float64(p2), np.float64(h2))
    there, back = float(dogleg(one, other)), float(dogleg(other, one))
    assert there == pytest.approx(back, abs=1e-15)
    assert abs(p1 - p2) - 1e-12 <= there <= math.pi


@given(rows)
def test_reversed_path_comes_home(table: list[tuple[float, float, float]]) -> None:
    along, directions = as_path(table)
    there = minimum_curvature_positions(along, directions, TieIn())
    back = minimum_curvature_positions(along[-1] - along[::-1], -directions[::-1], TieIn())
    assert there[-1] + back[-1] == pytest.approx(np.zeros(3), abs=1e-9)


@given(rows, st.floats(-math.pi, math.pi))
def test_turning_all_headings_turns_the_path(
    table: list[tuple[float, float, float]], turn: float
) -> None:
    along, directions = as_path(table)
    turned_table = [(length, pitch, heading + turn) for length, pitch, heading in table]
    straight = minimum_curvature_positions(along, directions, TieIn())
    turned = minimum_curvature_positions(along, as_path(turned_table)[1], TieIn())
    cos, sin = math.cos(turn), math.sin(turn)
    rotation = np.array([[cos, sin, 0], [-sin, cos, 0], [0, 0, 1]])
    assert turned == pytest.approx(straight @ rotation, abs=1e-9)


@given(st.floats(0.01, 2.0), st.floats(0.05, 0.95), st.floats(10.0, 300.0))
def test_splitting_a_circular_arc_changes_nothing(
    angle: float, share: float, radius: float
) -> None:
    length = radius * angle

    def step(start: float, end: float, part: float) -> np.ndarray:
        ends = [tangent_from_inclination(np.float64(a), np.float64(0.3)) for a in (start, end)]
        return minimum_curvature_step(np.float64(part), ends[0], ends[1])

    whole = step(0.5, 0.5 + angle, length)
    middle = 0.5 + share * angle
    parts = step(0.5, middle, share * length) + step(middle, 0.5 + angle, (1 - share) * length)
    assert parts == pytest.approx(whole, rel=1e-9, abs=1e-9)


@given(rows)
def test_an_arc_is_never_shorter_than_the_chord(table: list[tuple[float, float, float]]) -> None:
    along, directions = as_path(table)
    steps = minimum_curvature_step(np.diff(along), directions[:-1], directions[1:])
    assert (np.linalg.norm(steps, axis=1) <= np.diff(along) * (1 + 1e-12)).all()
    flat = balanced_tangential_step(np.diff(along), directions[:-1], directions[1:])
    assert (np.linalg.norm(flat, axis=1) <= np.linalg.norm(steps, axis=1) * (1 + 1e-12)).all()


def test_axes() -> None:
    """Pitch up goes up (depth falls), heading 90 degrees goes east."""
    east_up = tangent(np.radians(30.0), np.radians(90.0))
    assert east_up == pytest.approx([0, math.cos(math.radians(30)), -0.5], abs=1e-12)
    same = tangent_from_inclination(np.radians(120.0), np.radians(90.0))
    assert same == pytest.approx(east_up, abs=1e-12)


@given(st.floats(-50, 50))
def test_wrapped_is_the_same_direction(angle: float) -> None:
    short = float(wrapped(np.float64(angle)))
    assert -math.pi <= short <= math.pi
    assert math.cos(short) == pytest.approx(math.cos(angle), abs=1e-9)
    assert math.sin(short) == pytest.approx(math.sin(angle), abs=1e-9)
