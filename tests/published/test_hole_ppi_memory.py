"""PPI Handbook of PE Pipe, 2nd ed., ch. 12 app. B: transition runs. FROM MEMORY, not read.

H 35 ft, entry 10, exit 15 degrees, 870 ft.
"""

from __future__ import annotations

import math

import pytest

from rodhand.hole.geometry import transition_length, transition_radius
from rodhand.units import FOOT

DEPTH = 35 * FOOT


def test_transition_lengths() -> None:
    entry = transition_length(DEPTH, math.radians(10)) / FOOT
    leave = transition_length(DEPTH, math.radians(15)) / FOOT
    assert entry == pytest.approx(401.07, abs=0.05)
    assert leave == pytest.approx(267.38, abs=0.05)
    assert 870 - entry - leave == pytest.approx(201.55, abs=0.05)


@pytest.mark.parametrize(("degrees", "radius"), [(10, 2298), (15, 1021)])
def test_mean_radius(degrees: float, radius: float) -> None:
    assert transition_radius(DEPTH, math.radians(degrees)) / FOOT == pytest.approx(radius, abs=1)
