"""Palmgren-Miner example of a reliability package's documentation (READ): a bearing with 40, 15
and 5 minutes per load cycle, lives 50,000, 6,500 and 1,000 h; 7400.38 load cycles to failure."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.book.work.tables import fatigue_curves
from rodhand.steel.miner import cycles_left, damage

HOURS = np.array([40.0, 15.0, 5.0]) / 60.0
LIVES = np.array([50_000.0, 6_500.0, 1_000.0])


def test_bearing() -> None:
    """Each duty is put on a fatigue curve at the stress whose life is the one given."""
    curve = fatigue_curves()["dnv_rp_c203_base_metal.high_strength"]
    stress = 1e6 * 10 ** ((curve.log_a - np.log10(LIVES)) / curve.slope)
    shares = damage(HOURS, stress, curve)
    assert 1.0 / shares.sum() == pytest.approx(7400.38, rel=1e-5)
    assert 100 * shares / shares.sum() == pytest.approx([9.86717, 28.463, 61.6698], abs=1e-3)


def test_left_over() -> None:
    assert cycles_left([7400.38], [7400.38 / 2], 10.0) == 0.0
    assert cycles_left([100.0], [200.0], 50.0, critical=0.5) == 0.0
    assert cycles_left([100.0], [400.0], 50.0, critical=0.5) == pytest.approx(12.5)
