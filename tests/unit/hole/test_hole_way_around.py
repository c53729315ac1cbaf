"""The way back in both planes: never past a limit, there where a coarse search is, no dearer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product

import numpy as np
import pytest

from rodhand.hole.plan_limits import InWay
from rodhand.hole.way_around import REACHED, Place, WayAround, way_around
from rodhand.hole.way_back import DAMAGE_POWER, way_back

LENGTH = 3.0


@dataclass(frozen=True)
class State:
    """An invented state whose end is that of one way of a coarse search, and that way's cost."""

    start: Place
    wanted: Place
    rods: int
    room: float
    in_way: tuple[InWay, ...]
    cost: float


def drawn(
    start: Place, changes: list[tuple[float, float]]
) -> tuple[list[tuple[float, float, float]], float, float, list[float]]:
    """Ends of rods that change pitch and heading so, by small steps along each rod; its bends."""
    x, y, z, pitch, heading = start.along, start.offset, start.depth, start.pitch, start.heading
    ends, bends, steps = [(x, y, z)], [], 50
    for up, right in changes:
        middle = pitch + up / 2.0
        bends.append(math.hypot(up, math.cos(middle) * right))
        for _ in range(steps):
            p, h = pitch + up / steps / 2.0, heading + right / steps / 2.0
            x += LENGTH / steps * math.cos(p) * math.cos(h)
            y += LENGTH / steps * math.cos(p) * math.sin(h)
            z -= LENGTH / steps * math.sin(p)
            pitch, heading = pitch + up / steps, heading + right / steps
            ends.append((x, y, z))
    return ends, pitch, heading, bends


def state(seed: int) -> State:
    """A start, and a way drawn rod by rod of which the end is asked for; utilities it keeps off."""
    rng = np.random.default_rng(seed)
    start = Place(
        20.0, float(rng.uniform(-1, 1)), float(rng.uniform(2, 5)), float(rng.uniform(-0.2, 0.2)),
        float(rng.uniform(-0.1, 0.1)),
    )  # fmt: skip
    rods, room = int(rng.integers(1, 7)), float(rng.uniform(0.02, 0.09))
    levels = [-0.9, -0.45, 0.0, 0.45, 0.9]
    inside = [(u, r) for u, r in product(levels, levels) if math.hypot(u, r) <= 0.95]
    way = [inside[int(rng.integers(len(inside)))] for _ in range(rods)]
    ends, pitch, heading, bends = drawn(start, [(room * u, room * r) for u, r in way])
    x, y, z = ends[-1]
    cost = sum((bend / room) ** DAMAGE_POWER for bend in bends)
    in_way = ()
    if rods > 2 and seed % 2:
        at = float(rng.uniform(start.along + 2.0, x - 2.0))
        there = min(ends, key=lambda each: abs(each[0] - at))
        keep = float(rng.uniform(0.3, 0.6))
        # so far above or below the way drawn that it is kept off, depth error of 5 % counted
        off = rng.choice([-1.0, 1.0]) * (keep + 0.05 * (there[2] + 2.0) + 0.3)
        in_way = (InWay("gas", at, at, there[2] + off, keep),)
    return State(start, Place(x, y, z, pitch, heading), rods, room, in_way, cost)


def found(one: State) -> WayAround | None:
    return way_around(one.start, one.wanted, one.rods, LENGTH, one.room, one.in_way)


def breaks_nothing(one: State, way: WayAround) -> bool:
    """Held against room and clearance on the way drawn anew by small steps."""
    pitch = np.diff(np.concatenate(([one.start.pitch], way.pitch)))
    heading = np.diff(np.concatenate(([one.start.heading], way.heading)))
    ends, *_, bends = drawn(one.start, list(zip(pitch.tolist(), heading.tolist(), strict=True)))
    kept = all(
        math.hypot(x - each.at, z - (each.depth or 0.0)) - 0.05 * max(z, 0.0) >= each.keep - 1e-3
        for each in one.in_way
        for x, _, z in ends
    )
    return max(bends) <= one.room * (1.0 + 1e-9) and kept


def as_good(one: State, way: WayAround | None) -> bool:
    """There, and no dearer than the way drawn but for what one in a hundred of bend costs."""
    return way is not None and way.reached and way.cost <= one.cost * 1.05 + 1e-6


@pytest.mark.parametrize("seed", range(60))
def test_never_past_a_limit_and_as_good_as_a_way_that_is_known(seed: int) -> None:
    one = state(seed)
    way = found(one)
    assert way is not None
    assert breaks_nothing(one, way)
    assert as_good(one, way)


def test_without_heading_it_is_the_way_of_the_vertical() -> None:
    start, wanted = Place(0, 0, 3.0, -0.05, 0.0), Place(0, 0, 3.4, 0.02, 0.0)
    for rods in (4, 6):
        way = way_around(start, wanted, rods, LENGTH, 0.06, sideways=False)
        other = way_back(-0.05, 0.02, 0.4, rods, LENGTH, 0.06)
        assert way is not None
        assert (way.reached, other.reached) == (True, True)
        assert way.cost == pytest.approx(other.cost, rel=0.01)


def test_an_end_too_far_off_is_not_reached_and_the_nearest_is_told() -> None:
    """Three rods of 3 m turning 0.02 each can rise by no more than a little: 5 m is not there."""
    start = Place(0, 0, 5.0, 0.0, 0.0)
    way = way_around(start, Place(0, 0, 0.0, 0.0, 0.0), 3, LENGTH, 0.02)
    assert way is not None
    assert not way.reached
    assert way.missed[0] > 4.0
    assert abs(way.missed[0]) > REACHED[0]
    assert float(way.bend.max()) <= 0.02


def test_one_across_the_way_is_gone_round_upright_and_one_along_sideways() -> None:
    start, wanted = Place(0, 0, 3.0, 0.0, 0.0), Place(0, 0, 3.0, 0.0, 0.0)
    across = way_around(start, wanted, 8, LENGTH, 0.08, [InWay("gas", 12.0, 12.0, 3.2, 0.5)])
    assert across is not None
    assert across.reached
    assert np.ptp(across.depth) > 0.3
    along = way_around(
        start, wanted, 8, LENGTH, 0.08, [InWay("water", 10.0, 14.0, 3.0, 0.5, offset=0.1)]
    )
    assert along is not None
    assert along.reached
    assert along.clearance >= 0.0


@pytest.mark.parametrize("bad", [(0, 3.0, 0.1), (3, 0.0, 0.1), (3, 3.0, 0.0)])
def test_arguments_out_of_range_are_refused(bad: tuple[int, float, float]) -> None:
    here = Place(0, 0, 3.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="above 0"):
        way_around(here, here, *bad)
