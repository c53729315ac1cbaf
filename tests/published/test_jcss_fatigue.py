"""JCSS Probabilistic Model Code, Part 3, Fatigue: scatter of damage at failure.

READ there: the Miner sum at failure is lognormal with mean 1.0 and coefficient of variation 0.3;
the stress factors carry a coefficient of variation of 0.20. From memory: SD of log10 N = 0.20
about a mean curve two of them above the design curve (DNV-RP-C203). The chances below were
computed from those outside the product [C] (the project's definitions and its fatigue reference).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.wear.chance import broken_by
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN, STRESS_MODEL_SIGMA

ROUNDED = 0.0005
"""The chances are given to a tenth of a percent."""
WHOLE_PERCENT = 0.005
"""These are given to a percent."""


def _mean_from_design(design: float) -> float:
    return float(design / 10**0.40)


@pytest.mark.parametrize(("design", "chance"), [(1.0, 0.054), (0.5, 0.002)])
def test_chance_without_stress_error(design: float, chance: float) -> None:
    assert broken_by(_mean_from_design(design), None) == pytest.approx(chance, abs=ROUNDED)


@pytest.mark.parametrize(("slope", "chance"), [(3.0, 0.138), (4.7, 0.208)])
def test_chance_at_design_1_with_stress_error(slope: float, chance: float) -> None:
    assert broken_by(_mean_from_design(1.0), slope) == pytest.approx(chance, abs=ROUNDED)


@pytest.mark.parametrize(
    ("slope", "design", "chance"),
    [(4.7, 1.0, 0.21), (4.7, 0.5, 0.073), (4.7, 0.3, 0.027), (3.0, 0.5, 0.026), (3.0, 0.3, 0.005)],
)
def test_chance_at_the_thresholds(slope: float, design: float, chance: float) -> None:
    assert broken_by(_mean_from_design(design), slope) == pytest.approx(chance, abs=WHOLE_PERCENT)


def test_median_of_the_critical_sum() -> None:
    """Mean 1, COV 0.3: median exp(-ln(1.09)/2) = 0.958."""
    assert pytest.approx(0.958, abs=5e-4) == CRITICAL_SUM_MEDIAN


def test_sigma_of_a_20_percent_stress_model() -> None:
    """sqrt(ln(1 + 0.2^2)) = 0.198."""
    assert math.sqrt(math.log(1.04)) == pytest.approx(STRESS_MODEL_SIGMA, abs=1e-4)


@pytest.mark.parametrize("slope", [3.0, 4.7])
def test_against_drawn_failures(slope: float) -> None:
    """Second method: draw curve, critical sum and stress error and count D above the sum."""
    rng = np.random.default_rng(20)
    n = 400_000
    life = 10.0 ** (0.40 + 0.20 * rng.standard_normal(n))
    stress = np.exp(math.sqrt(math.log(1.04)) * rng.standard_normal(n))
    sigma = math.sqrt(math.log(1.09))
    critical = np.exp(sigma * rng.standard_normal(n) - sigma**2 / 2)
    counted = float(np.mean(stress**slope / life > critical))
    four_sigma = 4 * math.sqrt(counted * (1 - counted) / n)
    assert broken_by(_mean_from_design(1.0), slope) == pytest.approx(counted, abs=four_sigma)
