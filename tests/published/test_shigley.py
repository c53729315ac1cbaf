"""Shigley's Mechanical Engineering Design: stress-life lines, Miner and Manson (READ in solutions
and text; the one value from memory is marked). Some rows start from the printed constants of the
line before, so they test arithmetic, not a whole chain."""

from __future__ import annotations

import pytest

from rodhand.steel.curves import PowerLine
from rodhand.steel.miner import cycles_left


def line(strength: float, fraction: float, endurance: float) -> PowerLine:
    """f Sut at a thousand cycles, Se at a million."""
    return PowerLine.through((1e3, fraction * strength), (1e6, endurance))


def test_11th_edition_6_3() -> None:
    found = line(120, 0.82, 60)
    assert found.intercept == pytest.approx(161.4, abs=0.05)
    assert found.exponent == pytest.approx(-0.0716, abs=1e-4)
    assert found.cycles(70) == pytest.approx(117_000, rel=0.01)  # the book rounds b: 0.7 % low


def test_11th_edition_6_4() -> None:
    found = line(1600, 0.77, 700)
    assert found.intercept == pytest.approx(2168.3, abs=0.1)
    assert found.exponent == pytest.approx(-0.081838, abs=1e-5)


def test_8th_edition_6_15() -> None:
    found = line(551, 0.9, 276)
    assert found.intercept == pytest.approx(891, abs=0.1)
    assert found.exponent == pytest.approx(-0.084828, abs=1e-5)
    assert found.cycles(358.5) == pytest.approx(45_800, rel=0.005)


def test_9th_edition_pages_324_to_326_miner() -> None:
    found = line(80, 0.9, 40)
    life = found.cycles(60)
    assert life == pytest.approx(8520, rel=0.002)
    assert cycles_left([3000], [8520], 1e6) == pytest.approx(648_000, rel=0.001)
    damaged = PowerLine(60 / 5520**found.exponent, found.exponent)
    assert damaged.intercept == pytest.approx(124.898, abs=0.005)
    assert damaged.amplitude(1e6) == pytest.approx(38.6, abs=0.06)  # 38.6 from memory


def test_9th_edition_pages_324_to_326_manson() -> None:
    damaged = PowerLine.through((1e3, 72), (5520, 60))
    assert damaged.exponent == pytest.approx(-0.106722, abs=1e-5)
    assert damaged.intercept == pytest.approx(150.487, abs=0.01)
    assert damaged.amplitude(1e6) == pytest.approx(34.4, abs=0.06)
    miner = PowerLine(124.898, -0.085091).amplitude(1e6)
    assert damaged.amplitude(1e6) < miner  # Miner is not on the careful side after an overstress


def test_8th_edition_6_29() -> None:
    printed = PowerLine(1409.8, -0.141355)
    assert printed.cycles(315) == pytest.approx(40_200, rel=0.005)
    assert cycles_left([50_000], [131_200], 40_200) == pytest.approx(24_880, rel=0.001)
    manson = PowerLine.through((1e3, 531), (81_200, 266.5))
    assert manson.cycles(315) == pytest.approx(27_950, rel=0.005)


def test_nothing_left_is_not_negative() -> None:
    assert cycles_left([2.0], [1.0], 100.0) == 0.0
