"""Salt or sour ground, by hand: life/3 against 0.6 on stress is 4.6 (m 3) and 11 (m 4.7) in life.

The last two figures are those of the page "from hole to steel", finding 16, computed outside the
product.
"""

from __future__ import annotations

import numpy as np
import pytest
from test_wear_damage import _band, _pilot
from wear_steel import CURVES, ROD

from rodhand.wear.bend_powers import read_powers, slopes_of
from rodhand.wear.damage import leg_damage
from rodhand.wear.damage_factors import DamageFactors, ground_factors
from rodhand.wear.sections import SECTIONS, Condition, Section

EDGES = np.array([0.0, 5.0, 10.0])
LEG = _pilot(np.array([0.0, 5.0, 10.0]), np.array([100.0, 100.0]))
BAND = _band(EDGES, np.array([0.02, 0.01]))

POWERS = read_powers(BAND, ROD, LEG.kind, slopes_of(CURVES))


def _cost(factors: DamageFactors | None):  # type: ignore[no-untyped-def]
    return leg_damage(LEG, POWERS, [ROD] * 2, [Condition()] * 2, CURVES, "head", factors)


def test_fresh_mud_costs_only_the_upper_end() -> None:
    plain, fresh = _cost(None), _cost(ground_factors(ROD, CURVES, salt_or_sour=False))
    np.testing.assert_allclose(fresh.design, plain.design)
    np.testing.assert_allclose(fresh.best, plain.best)
    np.testing.assert_allclose(fresh.low, plain.low)
    np.testing.assert_allclose(fresh.high, 3.0 * plain.high)


def test_salt_takes_a_third_of_the_life_and_more_at_the_upper_end() -> None:
    plain, salt = _cost(None), _cost(ground_factors(ROD, CURVES, salt_or_sour=True))
    np.testing.assert_allclose(salt.design, 3.0 * plain.design)
    np.testing.assert_allclose(salt.best, 3.0 * plain.best)
    np.testing.assert_allclose(salt.low, plain.low)
    np.testing.assert_allclose(salt.by_stretch, 3.0 * plain.by_stretch)
    used = plain.high > 0
    worse = np.where(used, salt.high, np.nan) / np.where(used, plain.high, np.nan)
    thread, tube = SECTIONS.index(Section.PIN_THREAD), SECTIONS.index(Section.MID_TUBE)
    assert np.nanmax(worse[:, thread]) == pytest.approx(4.6, abs=0.05)
    assert np.nanmax(worse[:, tube]) == pytest.approx(11.0, abs=0.1)


@pytest.mark.parametrize("salt", [True, False])
def test_low_best_and_high_stay_in_order(salt: bool) -> None:
    factors = ground_factors(ROD, CURVES, salt)
    assert (factors.low <= factors.best).all()
    assert (factors.best <= factors.high).all()
