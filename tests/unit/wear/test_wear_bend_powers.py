"""Expected powers of the steel's bend: closed forms of the normal distribution, and bookkeeping."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.drillstring.section_bend import SteelBends
from rodhand.wear.bend_powers import laid_powers

EDGES = np.array([0.0, 1.0, 2.0, 3.0])


def _bends(bend: tuple[float, float], factors: list[list[float]]) -> SteelBends:
    """One rod whose five sections stand in the second stretch and bend alike."""
    at = np.full((1, 5), 1.5)
    each = np.tile(np.array(bend), (1, 5, 1))
    return SteelBends(at, each, np.tile(np.array(factors), (1, 5, 1, 1)))


def test_even_powers_in_two_planes() -> None:
    """x ~ N(a, s^2), y ~ N(b, t^2): E r^2 = a^2 + b^2 + s^2 + t^2, and E r^4 by the moments
    E x^4 = a^4 + 6 a^2 s^2 + 3 s^4."""
    a, b, s, t = 0.03, 0.01, 0.008, 0.004
    found = laid_powers(EDGES, _bends((a, b), [[s, 0.0], [0.0, t]]), [], (2.0, 4.0), "head")
    square = a**2 + b**2 + s**2 + t**2
    fourth = (a**4 + 6 * a**2 * s**2 + 3 * s**4) + (b**4 + 6 * b**2 * t**2 + 3 * t**4)
    fourth += 2 * (a**2 + s**2) * (b**2 + t**2)
    assert found.by_slope[2.0].best == pytest.approx(np.full((5, 3), square), rel=1e-9)
    assert found.by_slope[4.0].best == pytest.approx(np.full((5, 3), fourth), rel=1e-9)


def test_an_odd_power_against_a_million_draws() -> None:
    rng = np.random.default_rng(5)
    f = np.array([[0.006, 0.002], [0.001, 0.005]])
    drawn = np.array([0.02, -0.01]) + rng.standard_normal((1_000_000, 2)) @ f.T
    expected = (np.linalg.norm(drawn, axis=1) ** 4.7).mean()
    found = laid_powers(EDGES, _bends((0.02, -0.01), f.tolist()), [], (4.7,), "head")
    assert found.by_slope[4.7].best[2, 1] == pytest.approx(expected, rel=0.01)


def test_relative_change_by_hand() -> None:
    """d ln b / dz = b.F / b^2: bend (3, 4) e-3, factor (1, 0) e-4: 3e-3 x 1e-4 / 25e-6 = 0.012."""
    found = laid_powers(EDGES, _bends((3e-3, 4e-3), [[1e-4], [0.0]]), [], (3.0,), "head")
    assert found.scatter.relative[:, 1, 0] == pytest.approx(np.full(5, 0.012), rel=1e-6)


def test_a_bend_that_is_noise_scatters_as_noise_does() -> None:
    # The ln of a Rayleigh variable has the standard deviation pi / sqrt(24), whatever its size.
    found = laid_powers(EDGES, _bends((1e-9, 0.0), [[0.01, 0.0], [0.0, 0.01]]), [], (3.0,), "head")
    drawn = np.random.default_rng(2).standard_normal((200_000, 2))
    expected = np.log(np.linalg.norm(drawn, axis=1)).std()
    whole = np.linalg.norm(found.scatter.relative, axis=-1)
    assert whole[:, 1] == pytest.approx(np.full(5, expected), rel=0.01)


def test_other_holes_only_widen() -> None:
    best = _bends((0.02, 0.0), [[0.0], [0.0]])
    wide, narrow = _bends((0.01, 0.0), [[0.0], [0.0]]), _bends((0.03, 0.0), [[0.0], [0.0]])
    found = laid_powers(EDGES, best, [wide, narrow], (3.0,), "head").by_slope[3.0]
    assert found.low[0, 1] == pytest.approx(0.01**3)
    assert found.best[0, 1] == pytest.approx(0.02**3)
    assert found.high[0, 1] == pytest.approx(0.03**3)


def test_pins_to_the_rig_turn_the_sections_round() -> None:
    at = np.array([[0.5, 0.5, 1.5, 2.5, 2.5]])
    bend = np.zeros((1, 5, 2))
    bend[0, :, 0] = [0.01, 0.02, 0.03, 0.04, 0.05]
    each = SteelBends(at, bend, np.zeros((1, 5, 2, 1)))
    toward_head = laid_powers(EDGES, each, [], (1.0,), "head").by_slope[1.0].best
    toward_rig = laid_powers(EDGES, each, [], (1.0,), "rig").by_slope[1.0].best
    assert (toward_head[::-1] == toward_rig).all()
    assert toward_head[0] == pytest.approx([0.01] * 3)  # nothing else stands nearer
