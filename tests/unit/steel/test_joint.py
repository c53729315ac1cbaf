"""Joints: worn sizes, friction, and calls that cannot be answered."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rodhand.book.work.tables import connections
from rodhand.steel.joint import (
    balanced_od,
    box_area,
    effective_od,
    joint_strength,
    makeup_band,
    pin_area,
    shoulder_radius,
)
from rodhand.units import INCH

NC38 = connections()["NC38"].dimensions
OD, BORE = 4.75 * INCH, 2.6875 * INCH


def test_multiplying_is_not_the_exact_factor() -> None:
    """Reference page on joints, section 0: 1.4 % high at 1.15, 2.1 % at 1.25, 2.6 % low at 0.8."""
    strength = joint_strength(NC38, OD, BORE)
    for factor, error in ((1.15, 0.014), (1.25, 0.021), (0.8, -0.026)):
        exact = strength.makeup_torque * strength.arm.total(factor) / strength.arm.total()
        multiplied = joint_strength(NC38, OD, BORE, friction_factor=factor).makeup_torque
        assert multiplied / exact - 1.0 == pytest.approx(error, abs=0.0006)


def test_band_holds_the_torque_and_is_not_symmetric() -> None:
    strength = joint_strength(NC38, OD, BORE)
    low, high = makeup_band(strength)
    assert low < strength.makeup_torque < high
    assert high - strength.makeup_torque > strength.makeup_torque - low


def test_wear_takes_torque_away() -> None:
    new = joint_strength(NC38, OD, BORE)
    worn = joint_strength(NC38, 4.4 * INCH, BORE)
    swollen = joint_strength(
        replace(NC38, counterbore=NC38.counterbore + INCH / 32), 4.4 * INCH, BORE
    )
    assert worn.weaker == "box"
    assert swollen.torsional_yield < worn.torsional_yield < new.torsional_yield
    assert swollen.tensile_yield == new.tensile_yield  # the pin is as it was


def test_one_sided_wear_counts_the_narrowest_seat() -> None:
    """0.2 in at the thinnest: as a joint 0.4 in larger than its counterbore all round."""
    narrow = effective_od(NC38.counterbore, 0.2 * INCH)
    assert narrow == pytest.approx(NC38.counterbore + 0.4 * INCH)
    assert joint_strength(NC38, narrow, BORE).weaker == "box"


def test_cap_is_the_radius_where_areas_are_equal() -> None:
    od = balanced_od(NC38, BORE)
    assert box_area(NC38, od) == pytest.approx(pin_area(NC38, BORE))
    assert shoulder_radius(NC38, 6 * INCH, BORE) == pytest.approx((od + NC38.counterbore) / 4)
    assert shoulder_radius(NC38, 6 * INCH, BORE, capped=False) > shoulder_radius(NC38, od, BORE)


@pytest.mark.parametrize(
    ("od", "bore", "factor"),
    [(4.0 * INCH, BORE, 1.0), (OD, 3.8 * INCH, 1.0), (OD, BORE, 0.0), (OD, BORE, float("nan"))],
)
def test_no_metal_or_no_friction_is_refused(od: float, bore: float, factor: float) -> None:
    with pytest.raises(ValueError, match=r"tube needs|friction_factor"):
        joint_strength(NC38, od, bore, factor)
