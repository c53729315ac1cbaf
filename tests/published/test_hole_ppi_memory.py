"""PPI Handbook of PE Pipe, 2nd ed., ch. 12 app. B: transition runs. FROM MEMORY, not read.

H 35 ft, entry 10, exit 15 degrees, 870 ft.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole.geometry import transition_length, transition_radius
from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_shape import close_shapes
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


def test_the_planner_makes_the_same_runs() -> None:
    """Curves of those mean radii take 401 and 267 ft along the hole and leave 201 ft level."""
    ask = PlanAsk(870 * FOOT, math.radians(10), math.radians(15), 1e-3, 1000 * FOOT)
    out, middle = np.full(1, math.radians(15)), np.zeros(1)
    down, up = np.full(1, 2298 * FOOT), np.full(1, 1021 * FOOT)
    shapes, _ = close_shapes(ask, np.zeros(1), middle, out, down, up)
    # the standard's lengths are of small angles: 870 ft level, the runs measured along the hole
    assert float(down[0] * math.radians(10)) / FOOT == pytest.approx(401.07, abs=0.1)
    assert float(up[0] * math.radians(15)) / FOOT == pytest.approx(267.38, abs=0.1)
    assert float(shapes.first[0]) < 0.01
    assert float(shapes.level[0] + shapes.last[0]) / FOOT == pytest.approx(201.55, rel=0.03)
