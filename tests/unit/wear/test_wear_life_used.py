"""Life used by hand: model 1 of the definitions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from rodhand.wear.life_used import DECLARED_SIGMA, Contribution, model_variance, rod_life
from rodhand.wear.sections import SECTIONS, Section

SLOPES = (3.0, 4.7, 4.7, 4.7, 3.0)
MID = SECTIONS.index(Section.MID_TUBE)


def _bore(source: str, mean: float, rung: str = "counter", sigma: float = 0.02) -> Contribution:
    """A bore that cost the mid tube most; low at half and high at 1.5 of best."""
    each = np.array([0.2, 0.5, 1.0, 0.5, 0.2])
    best = mean * each
    return Contribution(
        source, best * 10**0.4, 0.5 * best, best, 1.5 * best, np.full(5, 0.1), rung, sigma
    )


def test_one_bore_by_hand() -> None:
    """sigma^2 = (0.2 x 2.302585)^2 + ln 1.09 + (4.7 x 0.198)^2 + 0.02^2 + 0.1^2 = 1.1747.

    0.21208 + 0.08618 + 0.86602 + 0.0004 + 0.01 = 1.17468; exp(1.645 x 1.08383) = 5.948.
    """
    life = rod_life([_bore("B", 0.1)], SLOPES).worst
    assert life.section is Section.MID_TUBE
    assert life.best == pytest.approx(0.1 / 0.958, rel=1e-3)
    assert life.high / life.best == pytest.approx(1.5 * 5.948, rel=1e-3)
    assert life.best / life.low == pytest.approx(2.0 * 5.948, rel=1e-3)
    assert life.design == pytest.approx(0.1 * 10**0.4)
    assert (life.model, life.label, life.assumed) == (2, "", 0.0)


def test_variance_of_the_model() -> None:
    assert model_variance(4.7) == pytest.approx(1.16428, abs=2e-4)
    assert model_variance(3.0) == pytest.approx(0.21208 + 0.08618 + 0.35284, abs=2e-4)


def _spread(parts: list[Contribution]) -> float:
    """sigma^2 of the mid tube less the model's."""
    life = rod_life(parts, SLOPES).sections[MID]
    high = sum(p.high[MID] for p in parts) / sum(p.best[MID] for p in parts)
    sigma = math.log(life.high / life.best / high) / 1.645
    return sigma**2 - model_variance(4.7)


def test_turns_on_one_rung_go_together_and_bends_of_bores_do_not() -> None:
    """Two equal bores on one rung of 0.35: turns stay 0.35; bends 0.1 each: 0.1/sqrt 2."""
    same = [_bore("B-1", 0.1, "habit", 0.35), _bore("B-2", 0.1, "habit", 0.35)]
    assert _spread(same) == pytest.approx(0.35**2 + 0.1**2 / 2)


def test_turns_on_two_rungs_are_independent() -> None:
    """0.35 and 0.10 on halves: (0.35^2 + 0.10^2)/4."""
    two = [_bore("B-1", 0.1, "habit", 0.35), _bore("B-2", 0.1, "logged", 0.10)]
    assert _spread(two) == pytest.approx((0.35**2 + 0.10**2) / 4 + 0.1**2 / 2)


def test_two_passes_of_one_bore_share_its_bends() -> None:
    one = [_bore("B-1", 0.1), _bore("B-1", 0.1)]
    assert _spread(one) == pytest.approx(0.02**2 + 0.1**2)


def test_a_pass_nobody_recorded_counts_in_best_and_not_in_low() -> None:
    known = _bore("B-1", 0.1)
    lost = replace(_bore("B-1", 0.3, "unknown", 1.2), assumed=1.0, may_be_none=True)
    alone, both = rod_life([known], SLOPES).worst, rod_life([known, lost], SLOPES).worst
    assert both.best == pytest.approx(4 * alone.best)
    assert both.assumed == pytest.approx(0.75)
    assert both.low < alone.low


def test_a_declared_past_is_right_within_three_times_or_a_third() -> None:
    assert math.exp(1.645 * DECLARED_SIGMA) == pytest.approx(3.0)


def test_a_rod_without_any_record_has_used_nothing_on_record() -> None:
    life = rod_life([], SLOPES).worst
    assert (life.low, life.best, life.high, life.design) == (0, 0, 0, 0)


def test_an_unknown_section_does_not_hide_the_known_ones() -> None:
    part = _bore("B", 0.1)
    unknown = part.design.copy()
    unknown[0] = np.nan
    life = rod_life([replace(part, design=unknown)], SLOPES)
    assert math.isnan(life.sections[0].design)
    assert life.worst.section is Section.MID_TUBE
