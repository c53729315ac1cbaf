"""The way back: inside its room, and where a coarse search gets, no dearer."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from rodhand.hole.way_back import cost_of, depth_gained, way_back


def test_depth_of_one_arc_by_hand() -> None:
    """From -30 to 0 degrees on a radius of 10 m: depth gained R (1 - cos 30)."""
    length = 10.0 * math.radians(30.0)
    gained = depth_gained(math.radians(-30.0), np.array([0.0]), length)[-1]
    assert gained == pytest.approx(10.0 * (1.0 - math.cos(math.radians(30.0))), abs=1e-12)


def test_straight_ahead_costs_nothing() -> None:
    found = way_back(-0.1, -0.1, 5 * 3.0 * math.sin(0.1), 5, 3.0, 0.05)
    assert found.reached
    assert found.cost < 1e-6
    assert found.pitch == pytest.approx(np.full(5, -0.1), abs=1e-3)


@pytest.mark.parametrize("seed", range(150))
def test_no_invented_state_breaks_the_room(seed: int) -> None:
    draw = np.random.default_rng(seed)
    rods, room, start = int(draw.integers(1, 13)), draw.uniform(0.005, 0.1), draw.uniform(-0.4, 0.4)
    wanted = start + draw.uniform(-1.2, 1.2) * room * rods
    depth = -3.0 * rods * math.sin((start + wanted) / 2) + draw.uniform(-1, 1) * room * rods**2
    found = way_back(start, wanted, depth, rods, 3.0, room)
    change = np.diff(np.concatenate(([start], found.pitch)))
    assert np.max(np.abs(change)) <= room * (1.0 + 1e-9)
    end = depth_gained(start, found.pitch, 3.0)[-1]
    if found.reached:
        assert end == pytest.approx(depth, abs=2e-6)
        assert found.pitch[-1] == pytest.approx(wanted, abs=1e-9)
    else:
        assert found.missed != 0.0 or found.pitch_missed != 0.0


@pytest.mark.parametrize("seed", range(20))
def test_reaches_what_a_coarse_search_reaches_and_is_no_dearer(seed: int) -> None:
    """Every way of four rods with changes in fifths of the room, one of them as the goal."""
    draw = np.random.default_rng(seed)
    room, start = 0.06, draw.uniform(-0.3, 0.3)
    grid = np.linspace(-1.0, 1.0, 11) * room
    every = start + np.cumsum(np.array(list(itertools.product(grid, repeat=4))), axis=1)
    before = np.concatenate((np.full((len(every), 1), start), every[:, :-1]), axis=1)
    middle, half = (every + before) / 2, (every - before) / 2
    ends = -3.0 * np.sum(np.sin(middle) * np.sinc(half / np.pi), axis=1)
    costs = np.sum(np.abs((every - before) / room) ** 4.7, axis=1)
    goal = int(draw.integers(len(every)))
    found = way_back(start, float(every[goal, -1]), float(ends[goal]), 4, 3.0, room)
    assert found.reached
    same = (np.abs(every[:, -1] - every[goal, -1]) < 1e-9) & (np.abs(ends - ends[goal]) < 1e-9)
    assert found.cost <= float(costs[same].min()) * (1.0 + 1e-4) + 1e-6
    assert found.cost == pytest.approx(cost_of(start, found.pitch, room))


def test_too_deep_comes_as_near_as_the_room_lets_it() -> None:
    """Two rods from level to level: the deepest is one full bend down, one full bend back."""
    found = way_back(0.0, 0.0, 5.0, 2, 3.0, 0.05)
    deepest = 2 * 3.0 * (1.0 - math.cos(0.05)) / 0.05
    assert not found.reached
    assert found.missed == pytest.approx(deepest - 5.0, abs=1e-9)
    assert found.pitch == pytest.approx([-0.05, 0.0])


@pytest.mark.parametrize(
    ("start", "rods", "length", "room"),
    [(0.0, 0, 3.0, 0.1), (0.0, 3, 0.0, 0.1), (0.0, 3, 3.0, 0.0), (1.5, 3, 3.0, 0.1)],
)
def test_what_cannot_be_is_refused(start: float, rods: int, length: float, room: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        way_back(start, 0.0, 0.0, rods, length, room)
