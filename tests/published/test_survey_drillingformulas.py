"""Worked points of drillingformulas.com (READ), which cites Lapeyrouse, Formulas and
Calculations for Drilling, Production and Workover, 2nd ed.

Pages: Minimum Curvature Method (100 ft, inclination 15 to 25, azimuth 20 to 45 degrees), Radius
of Curvature Method and Dogleg Severity (95 ft, 45 to 52, 130 to 139 degrees). Lengths stay in
feet: the equations hold in any unit of length.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole.minimum_curvature import (
    balanced_tangential_step,
    dogleg,
    dogleg_severity,
    minimum_curvature_step,
    radius_of_curvature_step,
    ratio_factor,
    tangent_from_inclination,
)

PRINTED_TO_CENTS = 0.0051  # positions are printed with two decimals


def direction(inclination_deg: float, azimuth_deg: float) -> np.ndarray:
    return tangent_from_inclination(
        np.radians(np.float64(inclination_deg)), np.radians(np.float64(azimuth_deg))
    )


START, END = direction(15, 20), direction(25, 45)


def test_dogleg_angle() -> None:
    assert float(dogleg(START, END)) == pytest.approx(0.22605, abs=1e-5)


def test_position_north_east_depth() -> None:
    north, east, depth = minimum_curvature_step(np.float64(100), START, END)
    assert north == pytest.approx(27.22, abs=PRINTED_TO_CENTS)
    assert east == pytest.approx(19.45, abs=PRINTED_TO_CENTS)
    assert depth == pytest.approx(94.01, abs=PRINTED_TO_CENTS)


def test_ratio_factor_and_its_misprint() -> None:
    factor = float(ratio_factor(dogleg(START, END)))
    assert factor == pytest.approx(1.00428, abs=1e-5)
    # MISPRINT: the page prints 1.00408. The page's own depth of 94.01 ft shows it: balanced
    # tangential (factor 1) times the factor must give the depth.
    flat = float(balanced_tangential_step(np.float64(100), START, END)[2])
    assert abs(flat * 1.00428 - 94.01) < PRINTED_TO_CENTS
    assert abs(flat * 1.00408 - 94.01) > PRINTED_TO_CENTS
    assert factor != pytest.approx(1.00408, abs=1e-4)


def test_radius_of_curvature_north_and_its_misprint() -> None:
    step = radius_of_curvature_step(
        np.float64(95),
        (np.radians(45.0), np.radians(52.0)),
        (np.radians(130.0), np.radians(139.0)),
    )
    # MISPRINT: the page prints -49.97 (digits swapped); its equation gives -49.79.
    assert step[0] == pytest.approx(-49.79, abs=PRINTED_TO_CENTS)
    assert abs(step[0] - -49.97) > 0.15


def test_dogleg_severity_and_the_form_without_arccos() -> None:
    angle = dogleg(direction(45, 130), direction(52, 139))
    severity = math.degrees(float(dogleg_severity(angle, np.float64(95), 100.0)))
    # 10.22 deg/100 ft is the true value; the page's "tangential" form 100/(length x cosine)
    # leaves the arccos out and gives 1.07: copying it would call a bad bend good.
    assert severity == pytest.approx(10.22, abs=0.005)
    meaningless = 100.0 / (95.0 * math.cos(float(angle)))
    assert meaningless == pytest.approx(1.07, abs=0.005)
    assert severity > 9 * meaningless
