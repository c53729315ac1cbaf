"""Mean stress by curve: pull and a straightened bow on upset ends, none on detail classes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from test_wear_damage import _band, _pilot
from wear_steel import CURVES, ROD, WELDED

from rodhand.steel.curves import Curve
from rodhand.steel.mean_stress import MeanStressRule
from rodhand.steel.rod_type import RodType
from rodhand.wear.bend_powers import read_powers, slopes_of
from rodhand.wear.damage import leg_damage
from rodhand.wear.mean_stress_factors import bow_stress, mean_stress_factors
from rodhand.wear.sections import SECTIONS, Condition, CurveSet, Section

RULED = replace(CURVES, tube=replace(CURVES.tube, rule=MeanStressRule.REVERSED_LOAD))
"""The tube's curve with the rule that belongs to it."""
UPSET, THREAD, TUBE = (
    SECTIONS.index(each) for each in (Section.PIN_UPSET, Section.PIN_THREAD, Section.MID_TUBE)
)
SIZE = np.full((5, 1), 0.02)
"""R 50 m: amplitude 206e9 x 0.0301625 x 0.02 = 124.27 MPa (hand). [1/m]"""


def best(
    pull: float, rod: RodType = ROD, curves: CurveSet = RULED, size: np.ndarray = SIZE,
    bows: tuple[float, ...] = (0.0,),
) -> np.ndarray:  # fmt: skip
    return mean_stress_factors(rod, curves, size, (0.0, max(pull, 0.0), max(pull, 0.0)), bows).best


def test_pull_on_an_upset_end_by_hand() -> None:
    """89 kN over pi/4 (60.325^2 - 46.101^2) = 1,188.9 mm2: 74.86 MPa. Factor of the range
    (st + 0.6 sc)/(st + sc) = (199.13 + 0.6 x 49.41)/248.54 = 0.9205, over 0.8 at zero mean
    1.1506; to the power 4.7: 1.934."""
    assert best(89e3)[0, UPSET, 0] == pytest.approx(1.934, rel=2e-3)
    assert best(0.0)[0, UPSET, 0] == pytest.approx(1.0)


def test_all_in_tension_takes_the_whole_reduction_back() -> None:
    """Page "from hole to steel" 6: 0.8 at zero mean is life x 2.85 at m = 4.7; a mean above the
    amplitude takes it back and no more."""
    assert best(400e3)[0, UPSET, 0] == pytest.approx(2.85, abs=0.01)
    assert best(800e3)[0, UPSET, 0] == pytest.approx(2.85, abs=0.01)


def test_detail_classes_and_the_mid_tube_take_none() -> None:
    """Threads and welds are detail classes; the mid tube's 1.00 holds no reduction to take back."""
    factors = best(200e3)
    assert factors[0, UPSET, 0] > 1.5
    assert (factors[0, [THREAD, TUBE, 4], 0] == 1.0).all()
    assert (best(200e3, rod=WELDED) == 1.0).all()


def test_a_rule_of_another_kind_of_curve_is_refused() -> None:
    for rule in (MeanStressRule.SWT, MeanStressRule.WALKER, MeanStressRule.MORROW):
        wrong = replace(RULED, tube=replace(RULED.tube, rule=rule))
        with pytest.raises(ValueError, match="no rule of a curve of ranges"):
            best(50e3, curves=wrong)
    detail = Curve("category 50", 3.0, 11.398, 0.20)
    assert detail.mean_over_reversed(100e6, 80e6) == 1.0


def test_thrust_is_given_no_credit() -> None:
    factors = mean_stress_factors(ROD, RULED, SIZE, (-200e3, -100e3, -50e3), (0.0,))
    assert (factors.low == 1.0).all()
    assert (factors.high == 1.0).all()


def test_more_pull_never_costs_less_and_unknown_bends_stay_out() -> None:
    found = [best(pull)[0, UPSET, 0] for pull in (0.0, 20e3, 60e3, 150e3, 300e3)]
    assert found == sorted(found)
    unknown = best(50e3, size=np.array([[np.nan], [np.nan], [0.0], [np.nan], [0.0]]))
    assert (unknown == 1.0).all()
    with pytest.raises(ValueError, match="pulls"):
        mean_stress_factors(ROD, RULED, SIZE, (50e3, 20e3, 20e3), (0.0,))


@pytest.mark.parametrize(
    ("length", "height", "stress"), [(3.05, 3e-3, 16), (3.05, 6e-3, 32), (3.05, 13e-3, 70)]
)
def test_a_straightened_bow_by_the_reference_table(
    length: float, height: float, stress: float
) -> None:
    """Fatigue page, section 5 (computed there): mean stress of a bow held straight, 60.3 mm tube.
    Here the hole leaves no clearance: the mean of joint and tube diameter."""
    tight = (ROD.joint_od + ROD.tube_od) / 2.0
    found = bow_stress(ROD, height / length, tight, length)
    assert found / 1e6 == pytest.approx(stress, abs=0.6)


def test_a_bow_inside_its_clearance_is_free_of_stress() -> None:
    """100 mm hole: 100 - (69.85 + 60.325)/2 = 34.9 mm; 13 mm lies free, 40 mm is 5.1 mm beyond:
    206e9 x 0.0301625 x 8 x 0.0050875 / 3.048^2 = 27.2 MPa (hand)."""
    assert bow_stress(ROD, 13e-3 / 3.05, 0.100, 3.05) == 0.0
    assert bow_stress(ROD, 40e-3 / 3.048, 0.100, 3.048) / 1e6 == pytest.approx(27.2, rel=5e-3)
    straight, bowed = best(0.0, bows=(0.0, 27.2e6))[:, UPSET, 0]
    assert straight == pytest.approx(1.0)
    assert bowed == pytest.approx((1 + 0.25 * 27.2 / 124.27) ** 4.7, rel=1e-3)


def test_damage_of_a_leg_takes_the_factor() -> None:
    leg = _pilot(np.array([0.0, 5.0]), np.array([100.0]))
    powers = read_powers(
        _band(np.array([0.0, 5.0]), np.array([0.02])), ROD, leg.kind, slopes_of(RULED)
    )
    factors = mean_stress_factors(ROD, RULED, powers.size, (0.0, 60e3, 90e3), (0.0,))
    plain = leg_damage(leg, powers, [ROD], [Condition()], RULED, "head")
    pulled = leg_damage(leg, powers, [ROD], [Condition()], RULED, "head", factors)
    for level, end in (("low", factors.low), ("design", factors.best), ("high", factors.high)):
        ratio = getattr(pulled, level)[0, UPSET] / getattr(plain, level)[0, UPSET]
        assert ratio == pytest.approx(end[0, UPSET, 0])
    assert pulled.design[0, THREAD] == plain.design[0, THREAD]
