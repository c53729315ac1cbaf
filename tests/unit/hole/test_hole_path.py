"""Positions along the path drawn through a log."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole.path import hole_path, positions_at
from rodhand.hole.pilot_log import pilot_readings
from rodhand.hole.readings import TieIn


def test_straight_down_a_slope() -> None:
    """3-4-5: 10 m at a grade of -3/4 is 8 m along and 6 m deep."""
    log = pilot_readings([1, 2], [-math.atan(0.75)] * 2, length=[5.0, 5.0], heading=[0.0, 0.0])
    assert positions_at(hole_path(log), [5.0, 10.0]) == pytest.approx(
        np.array([[4, 0, 3], [8, 0, 6]])
    )


def test_without_heading_the_way_sideways_is_unknown() -> None:
    log = pilot_readings([1, 2], [-math.atan(0.75)] * 2, length=[5.0, 5.0])
    path = hole_path(log)
    assert not path.has_heading
    points = positions_at(path, [10.0])
    assert points[0, [0, 2]] == pytest.approx([8, 6])
    assert np.isnan(points[0, 1])


def test_heading_goes_right_to_the_east() -> None:
    log = pilot_readings([1], [0.0], length=[5.0], heading=[math.pi / 2])
    assert positions_at(hole_path(log), [5.0])[0] == pytest.approx([0, 5, 0], abs=1e-12)


def test_a_heading_not_read_lies_between_its_neighbours() -> None:
    log = pilot_readings([1, 2, 3], [0.0] * 3, length=[5.0] * 3, heading=[6.2, None, 0.1])
    full = 2 * math.pi
    even = pilot_readings(
        [1, 2, 3], [0.0] * 3, length=[5.0] * 3, heading=[6.2, (6.2 + full + 0.1) / 2, 0.1]
    )
    ends = [5.0, 10.0, 15.0]
    assert positions_at(hole_path(log), ends) == pytest.approx(positions_at(hole_path(even), ends))


def test_between_stations_the_path_is_the_arc() -> None:
    """A quarter circle of R 100 from straight down: at 45 degrees by the circle itself."""
    quarter = 50 * math.pi
    log = pilot_readings([0, 1], [-math.pi / 2, 0.0], length=[None, quarter], heading=[0.0, 0.0])
    middle = positions_at(hole_path(log), [quarter / 2])[0]
    side = 100 * math.sqrt(0.5)
    assert middle == pytest.approx([100 - side, 0, side], abs=1e-9)


def test_beyond_the_sensor_straight_on() -> None:
    log = pilot_readings(
        [1, 2], [0.0, 0.0], length=[5.0, 5.0], heading=[0.0, 0.0], bit_to_sensor=2.0
    )
    assert positions_at(hole_path(log), [10.0])[0] == pytest.approx([10, 0, 0])


def test_tie_in_holds_where_the_sensor_starts_short_of_the_entry() -> None:
    start = TieIn(north=7.0, east=-2.0, depth=1.0)
    log = pilot_readings(
        [1, 2], [0.0, -0.2], length=[3.0] * 2, heading=[0.0, 0.0], bit_to_sensor=4.0, tie_in=start
    )
    assert positions_at(hole_path(log), [0.0])[0] == pytest.approx([7, -2, 1])


def test_station_zero_starts_the_path_at_the_rigs_pitch() -> None:
    log = pilot_readings([0, 1], [-0.2, 0.2], length=[None, 10.0], heading=[0.0, 0.0])
    end = positions_at(hole_path(log), [10.0])[0]
    assert end == pytest.approx([10 * math.sin(0.2) / 0.2, 0, 0], abs=1e-9)


def test_no_pitch_no_path() -> None:
    assert hole_path(pilot_readings([1], [None], length=[3.0])) is None
