"""Manual example F1: a rod-by-rod plan as printed in a rig maker's operator manual (READ).

26 % entry, 8 % per 10 ft rod; depth by the slope of each rod's mean pitch, printed in whole
inches; see data/SOURCES_survey.md.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rodhand.hole.geometry import rod_depth_on_slope
from rodhand.hole.path import hole_path, positions_at
from rodhand.hole.pilot_log import pilot_readings
from rodhand.units import FOOT, INCH, to_si

WHOLE_INCHES = 0.8  # sums of values the manual prints in whole inches

with (Path(__file__).parent / "data" / "manual_f1_26pct.csv").open(encoding="utf-8") as _file:
    LINES = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(_file)]


def depths_by_its_rule() -> list[float]:
    total, found = 0.0, []
    for line in LINES:
        total += rod_depth_on_slope(line["rod_length_ft"] * FOOT, line["avg_pitch_pct"] / 100)
        found.append(total / INCH)
    return found


def test_whole_rods() -> None:
    printed = [line["printed_depth_in"] for line in LINES[:4]]
    assert printed == [30, 56, 73, 80]
    assert depths_by_its_rule()[:4] == pytest.approx(printed, abs=WHOLE_INCHES)


def test_the_path_agrees_with_the_rods() -> None:
    """The same pitches as a log: minimum curvature lands on the printed depths too."""
    pitch = [-to_si(line["end_pitch_pct"], "slope", "pct") for line in LINES[:4]]
    log = pilot_readings([1, 2, 3, 4], pitch, length=[10 * FOOT] * 4)
    depth = positions_at(hole_path(log), log.measured_length)[:, 2] / INCH
    assert depth == pytest.approx([30, 56, 73, 80], abs=WHOLE_INCHES)


def test_trap_last_line_does_not_follow_from_its_own_rule() -> None:
    """MISPRINT: 5 ft at a mean of 1 % adds 0.6 in to 80, not the 2 in printed."""
    last = depths_by_its_rule()[4]
    assert LINES[4]["printed_depth_in"] == 82
    assert last < 80.5
    assert abs(last - 82) > 2 * WHOLE_INCHES - 0.1
