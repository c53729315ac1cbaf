"""Samples of a bore: by hand, against a lognormal, against quadrature, and in other processes."""

from __future__ import annotations

import math
import multiprocessing
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from rodhand.hole.bend_posterior import BendPosterior, PlaneBends, root_of
from rodhand.steel.curves import Curve
from rodhand.wear.belief import BoreBelief, PassBelief
from rodhand.wear.bend_powers import Scatter
from rodhand.wear.sample_draws import SAMPLES, seed_of
from rodhand.wear.sampled_points import mixture_point, share_above
from rodhand.wear.sampling import _between, sample_bore

THREAD = Curve("category 50", 3.0, 11.398, 0.20)
WELD = Curve("C air", 3.0, 12.592, 0.20, second_slope=5.0, second_log_a=16.320, knee=1e7)


def _pass(
    turns: NDArray[np.float64], mean: list[float], sd: float = 0.0, **other: object
) -> PassBelief:
    """Upright bends, each moved by a factor of its own."""
    rods, sections, stretches = turns.shape
    bend = np.zeros((sections, stretches, 2))
    bend[:, :, 0] = mean
    factors = np.zeros((sections, stretches, 2, stretches))
    factors[:, :, 0, :] = sd * np.eye(stretches)
    scatter = Scatter(bend, factors)
    plain = PassBelief(
        turns=np.stack([turns] * 3),
        stiffness=np.full((rods, sections), 1e10),
        curves=[THREAD] * sections,
        scatter=scatter,
        size=bend[..., 0],
        powers={m: np.stack([scatter.expected(m)] * 3) for m in (3.0, 5.0)},
        rung="counter",
        turns_sigma=0.0,
        may_be_none=False,
        least=np.ones((rods, sections)),
        by_force={},
    )
    return replace(plain, **other)


def _bore(*passes: PassBelief, seed: int = 7) -> BoreBelief:
    count = passes[0].size.shape[1]
    flat = np.zeros(count, dtype=bool)
    return BoreBelief(seed, passes, np.zeros((count, count)), flat, np.full(count, 3.0))


def test_one_rod_in_one_certain_bend_by_hand() -> None:
    # 1,000 turns at R 100 m, 1e10 Pa m: S = 100 MPa; mean curve a = 10^(11.398 + 0.40);
    # D = 1000 x 1e6 / 10^11.798 = 1.5922e-3.
    found = sample_bore(_bore(_pass(np.full((1, 1, 1), 1000.0), [0.01])))
    assert found.low.shape == (SAMPLES, 1, 1)
    assert found.low == pytest.approx(1e9 / 10**11.798, rel=1e-12)
    assert found.high == pytest.approx(1.5922e-3, rel=1e-4)


def test_the_second_slope_holds_past_the_knee() -> None:
    # 10 MPa: N = 10^(12.592 - 3) = 3.9e9, past 1e7: D = n 10^5 / 10^(16.320 + 0.40).
    one = _pass(np.full((1, 1, 1), 1000.0), [0.001], curves=[WELD])
    found = sample_bore(_bore(one), 250)
    assert found.high == pytest.approx(1000 * 1e5 / 10**16.72, rel=1e-12)


def test_a_pass_nobody_recorded_is_none_of_the_low_end() -> None:
    one = _pass(np.full((1, 1, 1), 1000.0), [0.01])
    two = replace(one, may_be_none=True)
    found = sample_bore(_bore(one, two), 250)
    assert found.high == pytest.approx(2 * found.low, rel=1e-12)


def test_turns_in_error_give_the_lognormal_band() -> None:
    # D lognormal with sigma 0.45, times the section's own with sigma 0.8: the 5 and 95 % points
    # are exp(-/+ 1.6449 sqrt(0.45^2 + 0.8^2)) times the median, exactly.
    one = _pass(np.full((1, 1, 1), 1000.0), [0.01], turns_sigma=0.45)
    damage = sample_bore(_bore(one)).high[:, 0, 0]
    spread = math.exp(1.6449 * math.hypot(0.45, 0.8))
    middle = 1e9 / 10**11.798
    low, best, high = (float(mixture_point(damage, np.array(0.8), p)) for p in (0.05, 0.5, 0.95))
    assert low == pytest.approx(middle / spread, rel=0.01)
    assert best == pytest.approx(middle, rel=0.005)
    assert high == pytest.approx(middle * spread, rel=0.01)


def test_a_certain_damage_gives_exactly_the_plain_lognormal() -> None:
    damage = np.full((50, 3), [1.0, 2.0, 0.5])
    found = mixture_point(damage, np.array([0.5, 0.5, 1.0]), 0.95)
    assert found == pytest.approx(
        [math.exp(0.5 * 1.644854), 2 * math.exp(0.5 * 1.644854), 0.5 * math.exp(1.644854)], rel=1e-5
    )


def test_damage_that_may_be_nothing() -> None:
    # Half of the samples nothing, half 1: the 5 % point is 0, the 75 % point the median of 1.
    damage = np.repeat([0.0, 1.0], 50)
    assert mixture_point(damage, np.array(0.5), 0.05) == 0.0
    assert mixture_point(damage, np.array(0.5), 0.75) == pytest.approx(1.0, rel=1e-5)
    assert mixture_point(np.zeros(10), np.array(0.5), 0.95) == 0.0


def test_bends_in_two_planes_keep_the_power_they_are_given() -> None:
    # Second method: 9 x 9 Gauss-Hermite points of `BendPosterior.expected_power`.
    cov = np.array([[4.0, -1.0, 0.0], [-1.0, 4.0, -1.0], [0.0, -1.0, 4.0]]) * 1e-5
    planes = PlaneBends(np.array([0.03, 0.01, 0.0]), cov), PlaneBends(np.zeros(3), 2 * cov)
    bends = BendPosterior(np.array([0.0, 3.0, 6.0, 9.0]), *planes)
    turns = np.zeros((3, 1, 3))
    turns[[0, 1, 2], 0, [0, 1, 2]] = 1.0
    factors = np.zeros((1, 3, 2, 6))
    factors[0, :, 0, :3], factors[0, :, 1, 3:] = (root_of(p.covariance) / 3.0 for p in planes)
    scatter = Scatter(np.stack([p.mean / 3.0 for p in planes], axis=-1)[None], factors)
    power = bends.expected_power(3.0) / 27.0
    one = _pass(turns, [0.0] * 3)
    one = replace(one, scatter=scatter, powers={3.0: np.stack([power[None]] * 3)})
    mean = sample_bore(_bore(one)).high[:, :, 0].mean(axis=0)
    assert mean == pytest.approx(power * 1e12 / 10**11.798, rel=0.12)
    assert scatter.expected(3.0)[0] == pytest.approx(power, rel=0.01)


@pytest.mark.parametrize(("at", "power"), [(0.05, 8.0), (0.5, 2.0), (0.95, 1.0), (0.725, 2**0.5)])
def test_between_three_sizes_of_hole(at: float, power: float) -> None:
    # Straight lines of the logarithm: 0.725 lies half way from 0.5 to 0.95.
    found = _between(np.array([[8.0], [2.0], [1.0]]), np.array([at]))
    assert found == pytest.approx(power)


def test_a_hole_nobody_measured_spreads_the_damage() -> None:
    one = _pass(np.full((1, 1, 1), 1000.0), [0.01])
    one = replace(one, powers={3.0: np.array([8.0, 2.0, 1.0])[:, None, None] * 1e-6})
    made = sample_bore(_bore(one)).high[:, 0, 0] / (1e9 / 10**11.798)
    assert np.quantile(made, [0.05, 0.5, 0.95]) == pytest.approx([1.0, 2.0, 8.0], rel=0.02)


def test_what_makes_turns_cost_more_lies_between_its_ends() -> None:
    # A third of the life at the high end, as fresh mud has it: none in half of the samples.
    turns = np.full((1, 1, 1), 1000.0)
    one = replace(_pass(turns, [0.01]), turns=np.stack([turns, turns, 3.0 * turns]))
    made = sample_bore(_bore(one)).high[:, 0, 0] / (1e9 / 10**11.798)
    assert np.quantile(made, [0.4, 0.95]) == pytest.approx([1.0, 3.0], rel=0.02)


def test_make_up_nobody_wrote_lies_between_made_up_and_taken() -> None:
    # Stress at least 0.5 of what is taken: damage between 1/8 (m 3) and 1 of it.
    one = _pass(np.full((1, 1, 1), 1000.0), [0.01], least=np.full((1, 1), 0.5))
    over = sample_bore(_bore(one)).high[:, 0, 0] / (1e9 / 10**11.798)
    assert over.min() == pytest.approx(1 / 8, rel=0.01)
    assert over.max() == pytest.approx(1.0, rel=0.01)


def test_rods_of_one_bore_share_its_bends_so_their_order_is_surer_than_their_damage() -> None:
    # Rod 1 turned 1.2 times as often everywhere: above in every sample, though bends and turns
    # leave each of them uncertain by a factor of 2.
    turns = np.stack([np.full((1, 4), 1200.0), np.full((1, 4), 1000.0)])
    one = _pass(turns, [0.01, 0.004, 0.006, 0.0], 0.002, turns_sigma=0.45)
    made = sample_bore(_bore(one)).high[:, :, 0]
    assert share_above(made[:, 0], made[:, 1]) == 1.0
    assert np.log(made[:, 0]).std() > 0.45
    assert share_above(made[:, 0], made[:, 0]) == 0.5


def test_the_same_bits_on_one_and_two_processes() -> None:
    turns = np.arange(1.0, 41.0).reshape(2, 5, 4)
    bore = _bore(_pass(turns, [0.01, 0.004, 0.006, 0.0], 0.002, turns_sigma=0.1))
    alone = sample_bore(bore, 500)
    with ProcessPoolExecutor(2, multiprocessing.get_context("spawn")) as pool:
        together = sample_bore(bore, 500, pool.map)
    assert together.digest == alone.digest
    assert sample_bore(replace(bore, seed=8), 500).digest != alone.digest


def test_seeds_stand_for_their_texts_on_any_machine() -> None:
    # First eight bytes of SHA-256("abc"), little end first: ba7816bf8f01cfea.
    assert seed_of("abc") == int.from_bytes(bytes.fromhex("ba7816bf8f01cfea"), "little")
    assert seed_of("a", "b") != seed_of("ab")


def test_samples_come_in_chunks() -> None:
    with pytest.raises(ValueError, match="chunks of 250"):
        sample_bore(_bore(_pass(np.ones((1, 1, 1)), [0.01])), 300)
