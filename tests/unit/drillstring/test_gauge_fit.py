"""Friction back from a gauge: against strings marched in the test itself, in small plain steps."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.drillstring.gauge_fit import GaugeError, GaugeReading, Posterior, fit
from rodhand.drillstring.soft_string import Axis, Motion, Strand, rotating, sliding

LARGE = (Strand(190.0, 0.054), 1000.0, 445e3, 27e3)
"""String, length, full scale of pull and torque gauge. [N], [N m]"""
MID = (Strand(75.0, 0.035), 150.0, 178e3, 6.8e3)
ON_THE_SPOT = Motion(0, 0.0, 1.0)


def slope(s: float, length: float) -> float:
    """12 degrees in, level in the middle, 12 degrees out, on two arcs of a fifth of the length."""
    arc = length / 5
    if s < arc:
        return math.radians(12) * (1 - s / arc)
    return -math.radians(12) * max(s - (length - arc), 0.0) / arc


def hole(length: float, rod: float) -> Axis:
    edges = np.arange(0.0, length + rod / 2, rod)
    down = np.array([slope(s, length) for s in edges])
    return Axis(edges, np.stack([np.cos(down), 0 * down, np.sin(down)], axis=-1))


def marched(
    strand: Strand, length: float, mu: float, motion: Motion, tool: float, load: float, twist: float
) -> tuple[float, float]:
    """Force and torque at the rig in 300 steps of plain differences."""
    force, torque, step = load, twist, tool / 300
    for s in np.arange(tool - step / 2, 0, -step):
        here = slope(s, length)
        bend = (slope(s + 1e-3, length) - slope(s - 1e-3, length)) / 2e-3
        wall = abs(force * bend + strand.weight * math.cos(here))
        gained = strand.weight * math.sin(here) + motion.direction * motion.axial_share * mu * wall
        force += step * gained
        torque += step * motion.turning_share * mu * strand.radius * wall
    return force, torque


def shown(
    kit: tuple[Strand, float, float, float],
    mu: float,
    motions: list[Motion],
    rng: np.random.Generator,
    loads: tuple[float, float] | None = None,
) -> tuple[list[GaugeReading], GaugeError, GaugeError]:
    """Readings at places spread over the far half of the hole, with the gauges' own errors."""
    strand, length, pull_full, torque_full = kit
    errors = GaugeError(0.02, 0.01, pull_full / 400), GaugeError(0.02, 0.01, torque_full / 400)
    scales = [1 + error.scale * rng.standard_normal() for error in errors]
    places = np.round(np.linspace(0.5, 1.0, len(motions)) * length / 5) * 5
    rows = []
    for tool, motion in zip(places, motions, strict=True):
        load, twist = loads or (0.0, 0.0)
        load *= motion.direction * rng.uniform(0.8, 1.2)
        true = marched(strand, length, mu, motion, float(tool), load, twist)
        force, torque = (
            float(value * scale + rng.standard_normal() * error.sigma(np.float64(value)))
            for value, scale, error in zip(true, scales, errors, strict=True)
        )
        rows.append(GaugeReading(float(tool), motion, force, torque, loads is None))
    return rows, *errors


FREE = [sliding(1), sliding(-1), ON_THE_SPOT, sliding(1), ON_THE_SPOT]


def posteriors(
    kit: tuple[Strand, float, float, float], count: int
) -> list[tuple[float, Posterior]]:
    rng = np.random.default_rng(4)
    axis, found = hole(kit[1], 5.0), []
    for _ in range(count):
        mu = float(rng.uniform(0.2, 0.45))
        found.append((mu, fit(axis, kit[0], *shown(kit, mu, FREE, rng))))
    return found


@pytest.mark.parametrize(("kit", "within"), [(LARGE, 0.05), (MID, 0.15)], ids=["large", "mid"])
def test_five_free_readings_tell_the_friction(
    kit: tuple[Strand, float, float, float], within: float
) -> None:
    found = posteriors(kit, 40)
    off = [post.band[1] / mu - 1 for mu, post in found]
    assert math.sqrt(np.mean(np.square(off))) < within
    inside = sum(post.band[0] <= mu <= post.band[2] for mu, post in found)
    assert inside >= 32  # 90 % band of 40: 36 expected, 32 or fewer once in 25
    assert all(post.is_separable and post.free == 5 for _, post in found)


def test_nothing_read_gives_the_prior_back() -> None:
    none = GaugeError(0.05, 0.05, 1000.0)
    low, best, high = fit(hole(150.0, 5.0), MID[0], [], none, none).band
    assert (low, best, high) == pytest.approx((0.169, 0.30, 0.533), rel=0.05)


def test_working_readings_alone_stay_wide_and_bound_from_above() -> None:
    rng = np.random.default_rng(7)
    turning = rotating(-1, 1 / 60, 100 / 60, MID[0].radius)
    axis = hole(150.0, 5.0)
    heavy = fit(axis, MID[0], *shown(MID, 0.3, [turning] * 8, rng, (20e3, 1500.0)))
    assert not heavy.is_separable
    assert heavy.band[0] < 0.3 < heavy.band[2]
    assert heavy.band[2] / heavy.band[0] > 2.5
    light = fit(axis, MID[0], *shown(MID, 0.15, [turning] * 8, rng, (0.0, 0.0)))
    assert light.band[2] < heavy.band[2]
    assert light.band[0] < 0.15 < light.band[2]


def test_the_same_readings_give_the_same_cases() -> None:
    rows = shown(LARGE, 0.3, FREE, np.random.default_rng(1))
    axis = hole(1000.0, 5.0)
    first, second = fit(axis, LARGE[0], *rows), fit(axis, LARGE[0], *rows)
    assert first.friction.tobytes() == second.friction.tobytes()
