"""BS 7608:1993 table 8 (from memory): two self-checks per class; ISO 19902:2007 sea-water curves
(READ on a public page) lie 0.4 in log10 below them."""

from __future__ import annotations

import math

import pytest

from rodhand.book.work.tables import fatigue_curves

TABLE = {  # class: C0 mean, m, SD of log10 N, C2 design, S0 at 1e7 [MPa]
    "B": (2.343e15, 4.0, 0.1821, 1.01e15, 100),
    "C": (1.082e14, 3.5, 0.2041, 4.23e13, 78),
    "D": (3.988e12, 3.0, 0.2095, 1.52e12, 53),
    "E": (3.289e12, 3.0, 0.2509, 1.04e12, 47),
    "F": (1.726e12, 3.0, 0.2183, 0.63e12, 40),
    "F2": (1.231e12, 3.0, 0.2279, 0.43e12, 35),
    "G": (0.566e12, 3.0, 0.1793, 0.25e12, 29),
    "W": (0.368e12, 3.0, 0.1846, 0.16e12, 25),
}
ISO_19902 = {
    "B": 14.61, "C": 13.23, "D": 11.78, "E": 11.62, "F": 11.40, "F2": 11.23, "G": 11.00,
}  # fmt: skip
WHOLE_MPA = 0.6
"""S0 printed to 1 MPa, C2 to three digits."""
THREE_DIGITS = 0.02
"""C2 printed to two or three digits."""


@pytest.mark.parametrize("name", TABLE)
def test_stress_at_ten_million_and_mean_curve(name: str) -> None:
    mean_constant, slope, deviation, design_constant, stress = TABLE[name]
    curve = fatigue_curves()[f"bs_7608.{name}"]
    assert (curve.slope, curve.standard_deviation) == (slope, deviation)
    assert 10**curve.log_a == pytest.approx(design_constant, rel=1e-5)
    assert 10 ** ((curve.log_a - 7) / slope) == pytest.approx(stress, abs=WHOLE_MPA)
    mean = float(curve.cycles(100e6, "mean")) * 100**slope
    assert mean == pytest.approx(mean_constant, rel=THREE_DIGITS)


@pytest.mark.parametrize("name", ISO_19902)
def test_partial_outside_support(name: str) -> None:
    log_design = math.log10(TABLE[name][3])
    assert log_design - 0.4 == pytest.approx(ISO_19902[name], abs=0.012)  # two decimals each
