"""The class learnt from breaks: against conjugate and quadrature answers, and on invented sets."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats

from rodhand.wear.calibration import Belief, Exposure, calibrate, prior_sigma
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN

SCATTER = math.hypot(0.20 * math.log(10.0), math.sqrt(math.log(1.09)))
PRIOR = math.hypot(3.0 * 0.198, math.log(3.0) / 1.645)


def _break(at: float, width: float = 1e-4, bore: str = "B") -> Exposure:
    return Exposure(at, 0.0, at * (1.0 + width), 0.0, bore)


def test_breaks_known_to_the_turn_give_the_conjugate_normal_answer() -> None:
    """Normal data of known scatter, normal prior: precision adds, means are weighted (textbook)."""
    broke_at = [0.1, 0.3, 0.4, 0.7]
    found = calibrate([_break(at) for at in broke_at], 3.0, 0.0)
    data = [-math.log(at * (1 + 0.5e-4) / CRITICAL_SUM_MEDIAN) for at in broke_at]
    precision = 1 / PRIOR**2 + len(data) / SCATTER**2
    assert found.posterior.mean == pytest.approx(sum(data) / SCATTER**2 / precision, abs=1e-3)
    assert found.posterior.sigma == pytest.approx(precision**-0.5, rel=1e-3)
    assert found.prior.sigma == pytest.approx(PRIOR, rel=1e-3)


def test_survivors_and_guessed_turns_agree_with_quadrature_over_both_unknowns() -> None:
    rods = [
        Exposure(0.05, 0.10, 0.06, 0.15, "B-1"), Exposure(0.2, 0.0, 0.3, 0.0, "B-2"),
        *[Exposure(0.02, 0.2)] * 6, *[Exposure(0.3, 0.1)] * 4,
    ]  # fmt: skip
    critical = stats.lognorm(s=SCATTER, scale=CRITICAL_SUM_MEDIAN)

    def weight(b: float, t: float) -> float:
        value = stats.norm.pdf(t, 0, PRIOR) * stats.norm.pdf(b, 0, 0.45)
        for rod in rods:
            stood = math.exp(t) * (rod.counted + rod.guessed * math.exp(b))
            if rod.counted_to is None or rod.guessed_to is None:
                value *= critical.sf(stood)
            else:
                until = math.exp(t) * (rod.counted_to + rod.guessed_to * math.exp(b))
                value *= critical.cdf(until) - critical.cdf(stood)
        return float(value)

    t, b = np.linspace(-4, 4, 81), np.linspace(-1.6, 1.6, 41)
    table = np.array([[weight(y, x) for y in b] for x in t])
    of_t = integrate.simpson(table, x=b, axis=1)
    mean = integrate.simpson(of_t * t, x=t) / integrate.simpson(of_t, x=t)
    found = calibrate(rods, 3.0, 0.45)
    assert found.posterior.mean == pytest.approx(mean, abs=5e-3)
    assert (found.breaks, found.survivors, found.bores) == (2, 10, 2)


def test_nothing_known_leaves_the_prior_and_its_chances() -> None:
    """Design 1 with no error shared is 5.4 % (JCSS scatter and a mean-minus-two curve)."""
    found = calibrate([], 3.0, 0.3)
    assert found.posterior.weight == pytest.approx(found.prior.weight)
    alone = Belief(np.zeros(1), np.ones(1))
    assert alone.broken_at_design(1.0) == pytest.approx(0.054, abs=5e-4)
    assert alone.broken_at_design(0.5) == pytest.approx(0.002, abs=5e-4)
    assert prior_sigma(3.0) == pytest.approx(PRIOR)


def _invented(rng: np.random.Generator, factor: float, bias: float) -> list[Exposure]:
    """60 rods, bore after bore as the book computes them; the truth turned exp(bias) as much."""
    rods = []
    for _ in range(60):
        critical = CRITICAL_SUM_MEDIAN * math.exp(SCATTER * rng.standard_normal())
        stood, truth, known = 0.0, 0.0, rng.random() < 0.3
        last = rng.uniform(0.1, 0.7)
        while True:
            more = rng.exponential(0.03)
            truth += factor * more * (1.0 if known else math.exp(bias))
            before, stood = stood, stood + more
            both = ((before, 0.0), (stood, 0.0)) if known else ((0.0, before), (0.0, stood))
            if truth > critical:
                rods.append(Exposure(*both[0], *both[1], f"B-{len(rods)}"))
                break
            if stood > last:
                rods.append(Exposure(*both[1]))
                break
    return rods


def _sample(count: int) -> list[tuple[float, list[Exposure]]]:
    rng = np.random.default_rng(4)
    made = []
    for _ in range(count):
        truth, bias = PRIOR * rng.standard_normal(), 0.45 * rng.standard_normal()
        made.append((truth, _invented(rng, math.exp(truth), bias)))
    return made


def test_the_factor_is_recovered_and_its_band_covers_on_invented_sets() -> None:
    sets = _sample(150)
    inside, errors = 0, []
    for truth, rods in sets:
        found = calibrate(rods, 3.0, 0.45)
        inside += found.posterior.at(0.05) <= math.exp(truth) <= found.posterior.at(0.95)
        errors.append(found.posterior.mean - truth)
    # 150 sets at 90 %: 2.6 standard deviations are 6.4 points.
    assert inside / 150 == pytest.approx(0.90, abs=0.064)
    assert abs(np.mean(errors)) < 0.1
    assert np.std(errors) < 0.6 * PRIOR


def test_leaving_survivors_out_makes_joints_look_far_worse() -> None:
    errors = [
        (
            calibrate([rod for rod in rods if rod.broke], 3.0, 0.45).posterior.mean - truth,
            calibrate(rods, 3.0, 0.45).posterior.mean - truth,
        )
        for truth, rods in _sample(40)
        if 3 <= sum(rod.broke for rod in rods) <= 20
    ]
    without, whole = np.mean(errors, axis=0)
    assert len(errors) >= 5
    assert without > 0.4 > abs(whole)


def test_a_shared_error_of_turns_keeps_the_posterior_wide() -> None:
    guessed = [Exposure(0.0, 0.2, 0.0, 0.21, f"B-{k}") for k in range(200)]
    counted = [Exposure(0.2, 0.0, 0.21, 0.0, f"B-{k}") for k in range(200)]
    assert calibrate(counted, 3.0, 0.45).posterior.sigma < 0.05
    # All turns guessed alike: factor and bias are only known as their sum.
    both = PRIOR * 0.45 / math.hypot(PRIOR, 0.45)
    assert calibrate(guessed, 3.0, 0.45).posterior.sigma == pytest.approx(both, rel=0.02)


def test_two_breaks_or_one_bore_are_too_few() -> None:
    rods = [_break(0.2, 0.1, "B-1"), _break(0.3, 0.1, "B-2"), *[Exposure(0.2, 0.0)] * 30]
    assert calibrate(rods, 3.0, 0.3).too_few
    assert not calibrate([*rods, _break(0.4, 0.1, "B-2")], 3.0, 0.3).too_few
    one = [replace(each, bore="B-1") for each in (*rods[:2], _break(0.4, 0.1))]
    assert calibrate(one, 3.0, 0.3).too_few


def test_far_out_in_the_tails_the_posterior_stays_a_number() -> None:
    for at in (1e-9, 1e6):
        found = calibrate([_break(at, 0.1)] * 3, 4.7, 0.0).posterior
        assert math.isfinite(found.mean)
        assert found.weight.sum() == pytest.approx(1.0)


@pytest.mark.parametrize(
    "wrong", [(-0.1, 0.0), (math.nan, 0.0), (0.1, 0.0, 0.1, 0.0), (0.1, 0.0, 0.2, None)]
)
def test_no_damage_is_refused(wrong: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match=r"exposure|break"):
        Exposure(*wrong)
