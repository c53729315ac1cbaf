"""Bhandari, Design of Machine Elements, example 5.17: 40 to 100 MPa, Se 270, Sut 600, Syt 450
(READ, second hand, in a solved listing)."""

from __future__ import annotations

import pytest

from rodhand.steel import mean_stress

MEAN, AMPLITUDE = 70.0, 30.0


def factor(rule: str) -> float:
    """Factor on both stresses; for the straight lines it follows from the equivalent amplitude
    at the scaled stresses being the endurance strength."""
    if rule == "gerber":
        return mean_stress.gerber_safety_factor(AMPLITUDE, MEAN, 270.0, 600.0)
    strength = 600.0 if rule == "goodman" else 450.0
    return 1.0 / (AMPLITUDE / 270.0 + MEAN / strength)


def test_gerber() -> None:
    assert factor("gerber") == pytest.approx(5.412, abs=6e-4)  # printed to 0.001


@pytest.mark.parametrize(("rule", "published"), [("soderberg", 3.750), ("goodman", 4.39024)])
def test_straight_lines(rule: str, published: float) -> None:
    assert factor(rule) == pytest.approx(published, abs=1e-5)
    strength = 600.0 if rule == "goodman" else 450.0
    equivalent = getattr(mean_stress, rule)(published * AMPLITUDE, published * MEAN, strength)
    assert equivalent == pytest.approx(270.0, rel=1e-4)


def test_gerber_puts_the_point_on_its_parabola() -> None:
    n = factor("gerber")
    assert mean_stress.gerber(n * AMPLITUDE, n * MEAN, 600.0) == pytest.approx(270.0)
