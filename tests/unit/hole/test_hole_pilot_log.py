"""A log becomes arrays: positions, sensor, rows inside a rod, rows nobody wrote."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodhand.hole.pilot_log import pilot_readings, step_seen, survey_readings
from rodhand.hole.readings import ReadingError, TieIn


def test_positions_are_the_sum_of_the_lengths() -> None:
    log = pilot_readings([1, 2, 3], [0.0, 0.0, 0.0], length=[3.0, 2.0, 4.0], bit_to_sensor=0.8)
    assert log.measured_length == pytest.approx([3, 5, 9])
    assert log.sensor_length == pytest.approx([2.2, 4.2, 8.2])


def test_row_inside_a_rod_lies_its_share_into_the_next() -> None:
    log = pilot_readings([1, 1.25, 2], [0.0] * 3, length=[3.0, None, 4.0])
    assert log.measured_length == pytest.approx([3, 4, 7])
    assert log.is_inside.tolist() == [False, True, False]


def test_unfinished_last_rod_takes_its_own_length_or_the_usual() -> None:
    own = pilot_readings([1, 1.5], [0.0, 0.0], length=[3.0, 4.0])
    assert own.measured_length == pytest.approx([3, 5])
    usual = pilot_readings([1, 1.5], [0.0, 0.0], length=[3.0, None])
    assert usual.measured_length == pytest.approx([3, 4.5])


def test_station_zero_is_the_rigs_direction_and_no_row() -> None:
    log = pilot_readings([0, 1], [-0.3, -0.2], length=[None, 3.0], heading=[0.1, None])
    assert (log.start_pitch, log.start_heading) == (-0.3, 0.1)
    assert log.station.tolist() == [1.0]
    assert not log.has_heading


def test_a_station_nobody_wrote_becomes_a_row_not_read() -> None:
    log = pilot_readings([1, 2, 4], [0.1, 0.2, 0.3], length=[3.0, 3.0, 3.0])
    assert log.station.tolist() == [1, 2, 3, 4]
    assert np.isnan(log.pitch).tolist() == [False, False, True, False]
    assert log.measured_length == pytest.approx([3, 6, 9, 12])
    by_md = pilot_readings([2, 4], [0.1, 0.2], measured_length=[6.0, 13.0])
    assert by_md.measured_length == pytest.approx([3, 6, 9.5, 13])


def test_pushed_length_alone_lies_at_the_end_and_is_assumed() -> None:
    log = pilot_readings(
        [1, 2, 3],
        [0.0] * 3,
        length=[3.0] * 3,
        push_length=[None, 1.2, 1.0],
        push_from=[None, None, 6.5],
        push_to=[None, None, 7.0],
    )
    assert np.isnan(log.push_from[0])
    assert log.push_from[1:] == pytest.approx([4.8, 6.5])
    assert log.push_to[1:] == pytest.approx([6.0, 7.0])
    assert log.push_is_assumed.tolist() == [False, True, False]


def test_lengths_start_at_the_tie_in() -> None:
    log = pilot_readings([1], [0.0], length=[3.0], tie_in=TieIn(measured_length=10.0))
    assert log.measured_length == pytest.approx([13])
    by_md = pilot_readings([2], [0.0], measured_length=[16.0], tie_in=TieIn(measured_length=10.0))
    assert by_md.measured_length == pytest.approx([13, 16])


def test_survey_pitch_is_inclination_less_a_right_angle() -> None:
    survey = survey_readings([100.0, 130.0], [math.pi / 2, math.pi / 2 + 0.1], [0.0, 0.0])
    assert survey.pitch == pytest.approx([0.0, 0.1])
    assert survey.tie_in.measured_length == 100.0


@pytest.mark.parametrize(
    ("station", "pitch", "lengths"),
    [
        ([], [], {"length": []}),
        ([0], [0.1], {"length": [3.0]}),
        ([1, 2], [0.1], {"length": [3.0, 3.0]}),
        ([2, 1], [0.1, 0.1], {"length": [3.0, 3.0]}),
        ([1, 2], [0.1, 0.1], {"length": [3.0, -3.0]}),
        ([1, 2], [0.1, 0.1], {"length": [None, None]}),
        ([1, 2], [0.1, 0.1], {"measured_length": [3.0, 2.0]}),
        ([1, 2], [0.1, 0.1], {"measured_length": [3.0, math.nan]}),
        ([1], [0.1], {}),
        ([1], [0.1], {"length": [3.0], "measured_length": [3.0]}),
    ],
)
def test_rows_that_cannot_be_placed_are_refused(
    station: list[float], pitch: list[float], lengths: dict[str, list[float]]
) -> None:
    with pytest.raises(ValueError, match=r"length|station|row"):
        pilot_readings(station, pitch, **lengths)


@pytest.mark.parametrize(
    ("typed", "step"),
    [
        ([-20, -15.4, -10.4, -5.0, 0.2, math.nan], 0.1),
        ([-20, -15, -10, -5, 1], 1.0),
        ([-20, -15.5, -10, -5, 1], 0.5),
        ([-20.123, -15.5, -10, -5, 1], None),
        ([-20, -15, -10], None),
    ],
)
def test_step_seen_in_the_digits(typed: list[float], step: float | None) -> None:
    assert step_seen(typed) == step


def test_pitch_error_on_a_slope() -> None:
    """At 45 degrees a grade error of dg is an angle of dg/2 (derivative of atan at 1)."""
    error = ReadingError(pitch_repeat=0.004, pitch_step=0.0)
    assert error.pitch_sd(np.array([0.0, math.pi / 4])) == pytest.approx([0.004, 0.002])
    both = ReadingError(pitch_repeat=0.003, pitch_step=0.004 * math.sqrt(12))
    assert float(both.pitch_sd(np.float64(0.0))) == pytest.approx(0.005)
