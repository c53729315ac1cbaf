"""Invented states in both planes, each with the cheapest way of a coarse grid that gets there.

On the grid every rod changes pitch and heading by one of nine steps. Where a way of the grid ends
follows, to first order, from whole numbers: the sum of its steps, and the sum of steps times rods
still to come. So the ways with the same end are those with the same whole numbers, and the
cheapest of them is found among all (up to five rods), or from two halves of up to five rods each.
It is drawn by small steps, and its end is what is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.plan_limits import InWay
from rodhand.hole.way_around import Place, WayAround, way_around
from rodhand.hole.way_back import DAMAGE_POWER

LENGTH = 3.0
STEP = 0.6
"""Of the room: both planes at once take 0.85 of it."""
PARTS = 50
"""Small steps in a rod."""
ENUMERATED = 5
GRID = np.array(list(product((-1, 0, 1), repeat=2)))
Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class State:
    """An invented state, and the cost of the cheapest way of the grid that ends there."""

    start: Place
    wanted: Place
    rods: int
    room: float
    in_way: tuple[InWay, ...]
    cost: float


def drawn(start: Place, changes: Floats) -> tuple[Floats, Floats]:
    """Places along ways (m, 50 n + 1, 3) that change pitch and heading so (m, n, 2); bends."""
    begin = np.array([start.pitch, start.heading])
    parts = np.repeat(changes / PARTS, PARTS, axis=1)
    ends = begin + np.cumsum(parts, axis=1)
    middle = ends - parts / 2.0
    pitch, heading = middle[..., 0], middle[..., 1]
    steps = LENGTH / PARTS * np.stack(
        (np.cos(pitch) * np.cos(heading), np.cos(pitch) * np.sin(heading), -np.sin(pitch)), axis=2
    )  # fmt: skip
    first = np.array([start.along, start.offset, start.depth])
    places = first + np.concatenate((np.zeros_like(steps[:, :1]), np.cumsum(steps, axis=1)), axis=1)
    half_way = ends[:, PARTS - 1 :: PARTS, 0] - changes[..., 0] / 2.0
    return places, np.hypot(changes[..., 0], np.cos(half_way) * changes[..., 1])


def kept(places: Floats, in_way: tuple[InWay, ...]) -> Floats:
    """Least distance of ways beyond what is to be kept, at every small step, (m,). [m]"""
    least = np.full(len(places), np.inf)
    x, y, z = np.moveaxis(places, 2, 0)
    for each in in_way:
        off = np.maximum(np.maximum(each.at - x, x - each.to), 0.0)
        aside = 0.0 if each.offset is None else y - each.offset
        away = np.sqrt(off**2 + aside**2 + (z - (each.depth or 0.0)) ** 2)
        least = np.minimum(least, np.min(away - 0.05 * np.maximum(z, 0.0), axis=1) - each.keep)
    return least


@cache
def every_way(rods: int) -> tuple[Whole, Whole, Whole]:
    """All ways of the grid: steps (m, n, 2), sums with moments about their end (m, 4), cost."""
    picked = np.array(list(product(range(len(GRID)), repeat=rods)))
    steps = GRID[picked]
    lever = 2 * np.arange(rods, 0, -1) - 1  # in half rods
    numbers = np.concatenate((steps.sum(axis=1), (lever[:, None] * steps).sum(axis=1)), axis=1)
    # a step in both planes bends by the root of two: dearer than two steps in one plane each
    cost = np.array([0, 1000, round(1000 * 2 ** (DAMAGE_POWER / 2))])[np.abs(steps).sum(axis=2)]
    return steps, numbers, cost.sum(axis=1)


def keys(numbers: Whole) -> Whole:
    """The four whole numbers of a way as one."""
    return np.asarray((numbers + 500) @ np.array([1, 2_000, 2_000**2, 2_000**3]))


@cache
def by_key(rods: int) -> tuple[Whole, Whole]:
    """Keys of all ways in order, and the ways in that order, the cheapest of each key first."""
    _, numbers, cost = every_way(rods)
    order = np.lexsort((cost, keys(numbers)))
    return keys(numbers)[order], order


def same_end(way: Whole) -> Whole:
    """All ways of the grid that end where one of up to five rods does, the cheapest first."""
    steps, numbers, _ = every_way(len(way))
    lever = 2 * np.arange(len(way), 0, -1) - 1
    own = keys(np.concatenate((way.sum(axis=0), (lever[:, None] * way).sum(axis=0)))[None])[0]
    ordered, order = by_key(len(way))
    first, last = np.searchsorted(ordered, own), np.searchsorted(ordered, own, "right")
    assert np.all(numbers[order[first:last]] == numbers[order[first]])
    return steps[order[first:last]]


def cheapest(way: Whole) -> Whole:
    """The cheapest way of the grid that ends where one of up to ten rods does."""
    if len(way) <= ENUMERATED:
        return np.asarray(same_end(way)[0])
    before, after = len(way) // 2, len(way) - len(way) // 2
    lever = 2 * np.arange(len(way), 0, -1) - 1
    wanted = np.concatenate((way.sum(axis=0), (lever[:, None] * way).sum(axis=0)))
    steps, numbers, cost = every_way(before)
    carried = numbers.copy()
    carried[:, 2:] += 2 * after * numbers[:, :2]  # a step taken before turns all rods after
    rest = keys(wanted - carried)
    ordered, order = by_key(after)
    at = np.minimum(np.searchsorted(ordered, rest), len(ordered) - 1)
    fits = np.flatnonzero(ordered[at] == rest)
    best = fits[np.argmin(cost[fits] + every_way(after)[2][order[at[fits]]])]
    return np.concatenate((steps[best], every_way(after)[0][order[at[best]]]))


def state(seed: int) -> State:
    """Of 1 to 10 rods; one in three with nothing in the way, one with something the cheapest way
    of the grid keeps off, one with something in its way."""
    rng = np.random.default_rng(seed)
    start = Place(
        20.0, float(rng.uniform(-1, 1)), float(rng.uniform(2, 5)), float(rng.uniform(-0.2, 0.2)),
        float(rng.uniform(-0.1, 0.1)),
    )  # fmt: skip
    room, what = float(rng.uniform(0.02, 0.09)), seed % 3
    rods = int(rng.integers(3 if what else 1, ENUMERATED + 1 if what == 2 else 11))
    for _ in range(200):
        way = GRID[rng.integers(len(GRID), size=rods)]
        ways = same_end(way)[:2000] if what == 2 else cheapest(way)[None]
        places, bends = drawn(start, STEP * room * ways)
        in_way = put_in_way(rng, start, places[0], what) if what else ()
        off = np.flatnonzero(kept(places, in_way) >= 0.05)
        if off.size and (what < 2 or off[0] > 0):
            break
    else:  # no way of the grid goes round it
        ways, in_way, off = cheapest(way)[None], (), np.array([0])
        places, bends = drawn(start, STEP * room * ways)
    best = off[0]
    pitch, heading = np.array([start.pitch, start.heading]) + STEP * room * ways[best].sum(axis=0)
    x, y, z = places[best, -1].tolist()
    cost = float(np.sum((bends[best] / room) ** DAMAGE_POWER))
    return State(start, Place(x, y, z, float(pitch), float(heading)), rods, room, in_way, cost)


def put_in_way(
    rng: np.random.Generator, start: Place, places: Floats, what: int
) -> tuple[InWay, ...]:
    """Something across or along, off a way's places or a little beside them."""
    at = float(rng.uniform(start.along + 2.0, places[-1, 0] - 2.0))
    _, y, z = places[np.argmin(np.abs(places[:, 0] - at))]
    keep, side = float(rng.uniform(0.3, 0.6)), float(rng.choice([-1.0, 1.0]))
    near = keep + 0.05 * (z + 2.0)
    apart = side * (near + 0.3 if what == 1 else near - rng.uniform(0.02, 0.3))
    if rng.random() < 0.5:
        return (InWay("gas", at, at, float(z + apart), keep),)
    long = float(rng.uniform(0.5, 3.0))
    return (InWay("water", at, at + long, float(z), keep, offset=float(y + apart)),)


def found(one: State) -> WayAround | None:
    """What the search answers."""
    return way_around(one.start, one.wanted, one.rods, LENGTH, one.room, one.in_way)


def past_a_limit(one: State, way: WayAround) -> bool:
    """Whether the way found, drawn anew by small steps, bends or comes nearer than it may."""
    pitch = np.diff(np.concatenate(([one.start.pitch], way.pitch)))
    heading = np.diff(np.concatenate(([one.start.heading], way.heading)))
    places, bends = drawn(one.start, np.stack((pitch, heading), axis=1)[None])
    return bool(np.max(bends) > one.room * (1.0 + 1e-9) or kept(places, one.in_way)[0] < -1e-3)


def dearer_by(one: State, way: WayAround) -> float:
    """Cost over that of the cheapest way of the grid, less one; 0 where neither costs anything."""
    return (way.cost + 1e-6) / (one.cost + 1e-6) - 1.0
