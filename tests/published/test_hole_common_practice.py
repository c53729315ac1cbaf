"""Facts of practice: common practice, no source."""

from __future__ import annotations

import pytest

from rodhand.hole.bends import hole_bends
from rodhand.hole.limits import limit_angle, over_verdict, radius_from_percent, share_of_limit
from rodhand.hole.pilot_log import pilot_readings
from rodhand.units import FOOT, to_si


def test_fifteen_percent_on_a_ten_percent_rod() -> None:
    """-25 % to -10 % on one 10 ft rod where 10 % per 10 ft is the limit is over-steer.

    1.50 in percent, 1.45 by angle (atan 0.25 - atan 0.10 = 0.14531 rad against 0.1).
    """
    rod = 10 * FOOT
    radius = radius_from_percent(10, rod)
    log = pilot_readings(
        [1, 2], [to_si(-25, "slope", "pct"), to_si(-10, "slope", "pct")], length=[rod, rod]
    )
    bends = hole_bends(log)
    assert (25 - 10) / 10 == 1.50
    share = share_of_limit(bends.angle[1], bends.length[1], radius)
    assert share == pytest.approx(1.4531, abs=1e-4)
    assert over_verdict(bends.angle[1], limit_angle(radius, rod), bends.error[1]) == "over"
