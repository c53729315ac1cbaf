"""Closed forms of statics for force and torque along a string.

A block on a slope, the capstan equation, friction of a level string, the velocity of a rubbing
point (all textbook statics). Given in pounds and feet; the equations hold in any unit. The
wandering bore against its plan: computed once outside this program by two codings that agree to
0.2 lb (pull ratio 1.562); how its straights and arcs were laid out is not told, so the ratio is
held to 0.02 and the pulls themselves to the scalar form of Johancsik, Friesen and Dawson, SPE
11380 (from memory), coded here a second time.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.drillstring.soft_string import (
    Axis,
    Motion,
    Strand,
    from_rig,
    from_tool,
    rotating,
    sliding,
)
from rodhand.units import FOOT

PULLED, PUSHED = sliding(1), sliding(-1)


def in_plane(lengths: list[float], slopes: list[float]) -> Axis:
    """Axis in the vertical plane; slopes below the level at the ends of the pieces. [ft], [rad]"""
    edges = np.concatenate(([0.0], np.cumsum(lengths)))
    angle = np.array(slopes)
    return Axis(edges, np.stack([np.cos(angle), 0 * angle, np.sin(angle)], axis=-1))


def level(headings: list[float], lengths: list[float]) -> Axis:
    edges = np.concatenate(([0.0], np.cumsum(lengths)))
    angle = np.array(headings)
    return Axis(edges, np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=-1))


SLOPE = in_plane([200.0], [math.radians(15)] * 2)


@pytest.mark.parametrize(("motion", "published"), [(PULLED, 1097.1936), (PUSHED, -61.917406)])
def test_block_on_a_slope(motion: Motion, published: float) -> None:
    rig = from_tool(SLOPE, Strand(10.0, 0.1), 0.3, motion, 0.0).force[0]
    assert float(rig) == pytest.approx(published, rel=1e-7)


@pytest.mark.parametrize("pieces", [2, 10, 60])
def test_capstan(pieces: int) -> None:
    axis = level(list(np.linspace(0, math.radians(60), pieces + 1)), [100.0 / pieces] * pieces)
    rig = from_tool(axis, Strand(0.0, 0.1), 0.25, PULLED, 5000.0).force[0]
    assert float(rig) == pytest.approx(6496.3293, abs=0.05)


def test_capstan_in_a_vertical_plane_and_pushed() -> None:
    axis = in_plane([10.0] * 6, [math.radians(x) for x in range(0, 61, 10)][:7])
    rig = from_tool(axis, Strand(0.0, 0.1), 0.25, PULLED, 5000.0).force[0]
    assert float(rig) == pytest.approx(6496.3293, abs=0.05)
    pushed = from_tool(axis, Strand(0.0, 0.1), 0.25, PUSHED, -5000.0).force[0]
    assert float(pushed) == pytest.approx(-6496.3293, abs=0.05)


def test_torque_of_a_level_string() -> None:
    axis = level([0.0, 0.0], [300.0])
    torque = from_tool(axis, Strand(8.0, 0.15), 0.35, Motion(0, 0.0, 1.0), 0.0, 500.0).torque[0]
    assert float(torque) == pytest.approx(626.0, abs=1e-6)


def test_axial_share_of_a_turning_string() -> None:
    motion = rotating(1, 10.0 * FOOT / 60.0, 1.0, 0.1 * FOOT)
    assert motion.axial_share == pytest.approx(0.25639146, abs=1e-8)
    assert math.hypot(motion.axial_share, motion.turning_share) == pytest.approx(1.0)


def plan(radius: float = 600.0, rod: float = 10.0, length: float = 1000.0) -> list[float]:
    """Slope at every rod's end: 12 degrees in, an arc, level, an arc, 8 degrees out."""
    turn_in, turn_out = math.radians(12), math.radians(8)
    arc_in, arc_out = radius * turn_in, radius * turn_out
    slopes = []
    for s in np.arange(0.0, length + rod / 2, rod):
        down = turn_in - min(s, arc_in) / radius
        up = max(s - (length - arc_out), 0.0) / radius
        slopes.append(down - up)
    return slopes


def rig_force(slopes: list[float], headings: list[float], motion: Motion, tool: float) -> float:
    down, heading = np.array(slopes), np.array(headings)
    level_part = np.cos(down)
    tangents = np.stack(
        [level_part * np.cos(heading), level_part * np.sin(heading), np.sin(down)], axis=-1
    )
    axis = Axis(10.0 * np.arange(len(slopes)), tangents)
    return float(from_tool(axis, Strand(9.0, 0.15), 0.3, motion, tool).force[0])


def scalar_form(slopes: list[float], headings: list[float], sign: int, tool: float) -> float:
    """dFn = sqrt[(T dA sin I)^2 + (T dI + W sin I)^2], dT = W cos I + sign mu Fn, rod by rod."""
    force, weight = tool, 9.0 * 10.0
    for k in range(len(slopes) - 1, 0, -1):
        inclination = math.pi / 2 - (slopes[k] + slopes[k - 1]) / 2
        build = slopes[k] - slopes[k - 1]
        turn = headings[k] - headings[k - 1]
        middle = force  # two rounds put the force in the middle of the rod
        for _ in range(2):
            normal = math.hypot(
                middle * turn * math.sin(inclination),
                middle * build + weight * math.sin(inclination),
            )
            gained = weight * math.cos(inclination) + sign * 0.3 * normal
            middle = force + gained / 2
        force += gained
    return force


@pytest.mark.parametrize("heading", [0.0, 1.14])
def test_vector_and_scalar_form_agree(heading: float) -> None:
    slopes = plan()
    headings = [math.radians(heading) * (k % 2) for k in range(len(slopes))]
    for motion, tool in ((PULLED, 20000.0), (PUSHED, -3000.0)):
        expected = scalar_form(slopes, headings, motion.direction, tool)
        assert rig_force(slopes, headings, motion, tool) == pytest.approx(expected, rel=2e-4)


def test_a_wandering_bore_pulls_half_as_much_again() -> None:
    slopes = plan()
    straight = rig_force(slopes, [0.0] * len(slopes), PULLED, 20000.0)
    zigzag = [math.radians(1.14) * (k % 2) for k in range(len(slopes))]
    wandering = rig_force(slopes, zigzag, PULLED, 20000.0)
    assert wandering / straight == pytest.approx(1.562, abs=0.02)


def test_from_the_rig_is_the_way_back() -> None:
    slopes = plan()
    axis = in_plane([10.0] * (len(slopes) - 1), slopes)
    strand, motion = Strand(9.0, 0.15, drag=0.4), rotating(1, 0.1, 1.0, 0.15)
    out = from_tool(axis, strand, 0.4, motion, 8000.0, 700.0)
    back = from_rig(axis, strand, 0.4, motion, out.force[0], out.torque[0])
    assert float(back.force[-1]) == pytest.approx(8000.0, rel=1e-6)
    assert float(back.torque[-1]) == pytest.approx(700.0, rel=1e-6)
