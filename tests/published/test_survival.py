"""Kaplan-Meier, Weibull and age replacement against published figures.

Freireich et al., Blood 21 (1963) 699: weeks of remission of 21 patients on 6-MP, as reprinted in
textbooks of survival analysis; data and figures from memory. Weibull 33.765 and 1.3537: two other
programs agree to 5 digits. Optimum replacement time 493.0470 h for shape 2.5, scale 1,000 h, 1 for
a planned and 5 for an unplanned replacement: a published worked example, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import CensoredData, weibull_min

from rodhand.wear.survival import Lasted, Weibull, fit_weibull, kaplan_meier, retire_age

RELAPSED = (6, 6, 6, 7, 10, 13, 16, 22, 23)
STILL_WELL = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
REMISSION = [Lasted(t, True) for t in RELAPSED] + [Lasted(t, False) for t in STILL_WELL]


def test_kaplan_meier_of_the_remission_times() -> None:
    share = dict(kaplan_meier(REMISSION))
    published = {6: 0.857, 7: 0.807, 10: 0.753, 13: 0.690, 16: 0.627, 22: 0.538, 23: 0.448}
    assert share == pytest.approx(published, abs=5e-4)


def test_weibull_of_the_remission_times() -> None:
    life = fit_weibull(REMISSION)
    assert life is not None
    assert life.scale == pytest.approx(33.765, abs=5e-4)
    assert life.shape == pytest.approx(1.3537, abs=5e-5)


def test_published_optimum_replacement_time() -> None:
    assert retire_age(Weibull(2.5, 1000.0), 1.0, 5.0).age == pytest.approx(493.0470, abs=5e-4)


def sixty_lives(seed: int) -> list[Lasted]:
    source = np.random.default_rng(seed)
    lives = 0.4 * source.weibull(1.0 + seed, 60)
    ends = source.uniform(0.1, 0.8, 60)
    return [Lasted(float(min(a, b)), bool(a <= b)) for a, b in zip(lives, ends, strict=True)]


# Shape and scale by two programs of survival analysis on these lives: lifelines 0.30.3, surpyval
# 0.25. They differ by 1e-5 of each other.
OF_LIFELINES = (
    (0.84423618, 0.49254335), (1.97202304, 0.40242152), (3.86067289, 0.39233390),
    (3.93260587, 0.41957846),
)  # fmt: skip
OF_SURPYVAL = (
    (0.84423151, 0.4925453), (1.97199928, 0.4024214), (3.86072271, 0.39233404),
    (3.93256685, 0.4195786),
)  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_censored_fits_agree_with_two_programs_of_survival_analysis(seed: int) -> None:
    ours = fit_weibull(sixty_lives(seed))
    assert ours is not None
    for told in (OF_LIFELINES[seed], OF_SURPYVAL[seed]):
        assert (ours.shape, ours.scale) == pytest.approx(told, rel=3e-5)


def test_kaplan_meier_agrees_with_lifelines_to_its_last_digits() -> None:
    share = dict(kaplan_meier(REMISSION))  # lifelines 0.30.3
    assert share == pytest.approx({
        6: 0.857142857142857, 7: 0.8067226890756299, 10: 0.7529411764705878,
        13: 0.6901960784313722, 16: 0.6274509803921566, 22: 0.5378151260504199,
        23: 0.44817927170868327,
    }, rel=1e-12)  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_censored_fits_agree_with_another_program(seed: int) -> None:
    lasted = sixty_lives(seed)
    ours = fit_weibull(lasted)
    data = CensoredData(
        uncensored=[x.age for x in lasted if x.broken],
        right=[x.age for x in lasted if not x.broken],
    )
    shape, _, scale = weibull_min.fit(data, floc=0.0)
    assert ours is not None
    assert (ours.shape, ours.scale) == pytest.approx((shape, scale), rel=2e-3)


@pytest.mark.parametrize(("shape", "ratio"), [(1.5, 3.0), (2.0, 10.0), (3.5, 50.0)])
def test_no_other_age_costs_less(shape: float, ratio: float) -> None:
    life, ages = Weibull(shape, 2.0), np.linspace(1e-3, 8.0, 200_001)
    lasts = np.exp(-((ages / 2.0) ** shape))
    reached = ages[0] + np.concatenate(
        ([0.0], np.cumsum((lasts[1:] + lasts[:-1]) / 2.0 * np.diff(ages)))
    )
    rate = (lasts + ratio * (1.0 - lasts)) / reached
    found = retire_age(life, 1.0, ratio)
    assert found.age == pytest.approx(float(ages[rate.argmin()]), rel=2e-3)
    assert found.rate == pytest.approx(float(rate.min()), rel=1e-5)
    assert found.rate < found.rate_never


def test_rods_that_do_not_wear_out_have_no_retire_age() -> None:
    assert retire_age(Weibull(1.0, 2.0), 1.0, 10.0).age is None
    assert retire_age(Weibull(2.0, 2.0), 5.0, 5.0).age is None  # a break costs no more
    assert fit_weibull([Lasted(1.0, False), Lasted(2.0, False)]) is None
