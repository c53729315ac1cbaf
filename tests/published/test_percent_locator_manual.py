"""A locator maker's manual (brand withheld), READ: 30 % pitch is 17 degrees, above which the
ground mark lies off the sonde; depth may be run from the mean of a rod's pitch readings."""

from __future__ import annotations

import math
from statistics import fmean

import pytest

from rodhand.hole.geometry import rod_depth_by_field_rule
from rodhand.units import FOOT, from_si, to_si


def test_thirty_percent_in_degrees() -> None:
    assert math.degrees(to_si(30, "slope", "pct")) == pytest.approx(17, abs=0.5)


def test_depth_from_the_mean_of_a_rods_pitches() -> None:
    """8, 6 and 4 % average 6 %; times a rod of 10 ft that is 0.6 ft."""
    mean = fmean([8, 6, 4])
    assert mean == pytest.approx(6, abs=1e-9)
    assert rod_depth_by_field_rule(10 * FOOT, mean / 100) / FOOT == pytest.approx(0.6)


def test_trap_half_the_percent_is_not_the_degrees() -> None:
    """The field's *degrees about half the percent*: 45 % is 24.2 degrees (atan, computed)."""
    assert math.degrees(to_si(45, "slope", "pct")) == pytest.approx(24.2, abs=0.05)


def test_trap_forty_five_degrees_is_a_hundred_percent() -> None:
    """A general web page equates 45 degrees with a 50 % slope."""
    assert from_si(math.radians(45), "slope", "pct") == pytest.approx(100)
