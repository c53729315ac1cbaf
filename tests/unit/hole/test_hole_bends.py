"""The bend of the hole from readings: who owns it, what was not read, what is inside a rod."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.bends import BendSource, hole_bends, per_rod
from rodhand.hole.pilot_log import pilot_readings, survey_readings
from rodhand.hole.readings import ReadingError

ROD = 3.0


def test_a_row_owns_the_bend_up_to_its_reading() -> None:
    bends = hole_bends(pilot_readings([1, 2, 3], [-0.20, -0.15, -0.16], length=[ROD] * 3))
    assert bends.edges == pytest.approx([0, 3, 6, 9])
    assert bends.vertical == pytest.approx([0, 0.05, -0.01])
    assert bends.angle == pytest.approx([0, 0.05, 0.01])
    assert bends.curvature == pytest.approx([0, 0.05 / 3, 0.01 / 3])
    assert bends.station.tolist() == [1, 2, 3]
    assert np.isnan(bends.horizontal).all()
    assert not bends.in_two_planes.any()
    assert not bends.inside.any()


def test_before_the_first_reading_the_hole_is_taken_straight() -> None:
    bends = hole_bends(pilot_readings([1, 2], [-0.20, -0.15], length=[ROD] * 2))
    assert bends.source.tolist() == [BendSource.START_ASSUMED, BendSource.READ]
    assert bends.angle[0] == 0.0


def test_entry_misalignment_is_a_bend_of_its_own() -> None:
    log = pilot_readings(
        [0, 1, 2], [-0.24, -0.20, -0.15], length=[None, ROD, ROD], bit_to_sensor=1.0
    )
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 2, 5, 6])
    assert bends.source[0] == BendSource.ENTRY
    assert bends.vertical[:2] == pytest.approx([0.04, 0.05])


def test_readings_stand_where_the_sensor_was() -> None:
    log = pilot_readings([1, 2, 3], [-0.20, -0.15, -0.12], length=[ROD] * 3, bit_to_sensor=0.9)
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 2.1, 5.1, 8.1, 9.0])
    assert bends.source[-1] == BendSource.AHEAD_OF_SENSOR
    assert np.isnan(bends.angle[-1])
    assert bends.unread.tolist() == [False, False, False, True]
    assert bends.station.tolist() == [1, 2, 3, 3]


def test_sensor_still_short_of_the_entry() -> None:
    """A housing longer than the first rods: with the rig's direction such a reading is left out."""
    short = {"length": [None, ROD, ROD], "bit_to_sensor": 4.0}
    known = hole_bends(pilot_readings([0, 1, 2], [-0.24, -0.22, -0.20], **short))
    assert known.edges == pytest.approx([0, 2, 6])
    assert known.vertical[0] == pytest.approx(0.04)
    unknown = hole_bends(
        pilot_readings([1, 2], [-0.22, -0.20], length=[ROD, ROD], bit_to_sensor=4.0)
    )
    assert unknown.edges == pytest.approx([-1, 2, 6])
    assert unknown.vertical[0] == pytest.approx(0.02)


def test_missing_readings_have_the_mean_bend_and_say_so() -> None:
    log = pilot_readings([1, 2, 3, 4], [0.0, None, None, 0.06], length=[2.0, 2.0, 4.0, 6.0])
    bends = hole_bends(log)
    assert bends.station.tolist() == [1, 2, 3, 4]
    assert bends.curvature[1:] == pytest.approx([0.06 / 12] * 3)
    assert bends.unread.tolist() == [False, True, True, True]
    assert per_rod(bends).unread.tolist() == [False, True, True, True]


def test_before_and_after_all_readings_nothing_is_known() -> None:
    bends = hole_bends(pilot_readings([1, 2, 3, 4], [None, 0.1, 0.1, None], length=[ROD] * 4))
    assert np.isnan(bends.angle).tolist() == [True, True, False, True]
    assert bends.unread.tolist() == [True, True, False, True]


def test_no_reading_at_all() -> None:
    bends = hole_bends(pilot_readings([1, 2], [None, None], length=[ROD] * 2))
    assert np.isnan(bends.angle).all()
    assert bends.unread.all()


def test_one_pitch_missing_at_the_end_with_the_sensor_behind() -> None:
    log = pilot_readings([1, 2, 3], [0.0, 0.1, None], length=[ROD] * 3, bit_to_sensor=1.0)
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 2, 5, 8, 9])
    assert bends.source[-2:].tolist() == [BendSource.ACROSS_GAP, BendSource.AHEAD_OF_SENSOR]
    assert np.isnan(bends.angle[-2:]).all()


def test_reading_inside_a_rod_divides_it() -> None:
    log = pilot_readings([1, 1.4, 2], [0.0, 0.08, 0.10], length=[ROD, None, ROD])
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 3, 4.2, 6])
    assert bends.angle == pytest.approx([0, 0.08, 0.02])
    assert bends.inside.tolist() == [False, True, True]
    assert bends.station.tolist() == [1, 2, 2]
    whole = per_rod(bends)
    assert whole.edges == pytest.approx([0, 3, 6])
    assert whole.angle == pytest.approx([0, 0.10])
    mean = hole_bends(log, inside_rods=False)
    assert mean.angle == pytest.approx(whole.angle)
    assert mean.error == pytest.approx(whole.error)


def test_bend_up_and_back_inside_a_rod_is_seen_only_inside() -> None:
    log = pilot_readings([1, 1.5, 2], [0.0, 0.08, 0.0], length=[ROD, None, ROD])
    assert per_rod(hole_bends(log)).angle[1] == pytest.approx(0.0)
    assert hole_bends(log).angle[1:] == pytest.approx([0.08, 0.08])


def test_pushed_length_takes_the_whole_bend() -> None:
    """8 % in the last metre of a 3 m rod: R 12.5 m there, not 37.5 m."""
    log = pilot_readings([1, 2], [0.0, 0.08], length=[ROD] * 2, push_length=[None, 1.0])
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 3, 5, 6])
    assert bends.angle == pytest.approx([0, 0, 0.08])
    assert 1 / bends.curvature[2] == pytest.approx(12.5)
    assert bends.inside.tolist() == [False, True, True]
    assert bends.source[1:].tolist() == [BendSource.PUSH_ASSUMED] * 2
    assert bends.error[1] == 0.0
    assert per_rod(bends).angle[1] == pytest.approx(0.08)
    assert per_rod(bends).error[1] == pytest.approx(hole_bends(log, inside_rods=False).error[1])


def test_known_pushed_stretch_moves_back_with_the_sensor() -> None:
    log = pilot_readings(
        [1, 2],
        [0.0, 0.08],
        length=[ROD] * 2,
        push_from=[None, 4.0],
        push_to=[None, 5.0],
        bit_to_sensor=0.5,
    )
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 2.5, 3.5, 4.5, 5.5, 6.0])
    assert bends.angle[:4] == pytest.approx([0, 0, 0.08, 0])
    assert bends.source[1:4].tolist() == [BendSource.PUSHED] * 3


def test_a_reading_inside_the_pushed_stretch_says_more_than_the_push() -> None:
    log = pilot_readings(
        [1, 1.8, 2],
        [0.0, 0.05, 0.08],
        length=[ROD, None, ROD],
        push_length=[None, None, 1.0],
    )
    assert hole_bends(log).edges == pytest.approx([0, 3, 5.4, 6])


def test_push_and_mid_reading_together() -> None:
    """The mid reading stands before the pushed stretch: the push divides only what is left."""
    log = pilot_readings(
        [1, 1.5, 2],
        [0.0, 0.01, 0.08],
        length=[ROD, None, ROD],
        push_length=[None, None, 1.0],
    )
    bends = hole_bends(log)
    assert bends.edges == pytest.approx([0, 3, 4.5, 5, 6])
    assert bends.angle == pytest.approx([0, 0.01, 0, 0.07])


def test_divided_rods_keep_what_is_known_of_them_when_put_together() -> None:
    """Entry, then a gap that ends inside rod 3, then the last rod divided with the bit ahead."""
    log = pilot_readings(
        [0, 0.5, 1, 2, 2.5, 3, 3.5, 4],
        [-0.02, 0.0, 0.01, None, 0.04, 0.05, 0.06, 0.07],
        length=[None, None, ROD, ROD, None, ROD, None, ROD],
        bit_to_sensor=0.5,
    )
    bends = hole_bends(log)
    assert bends.inside.tolist() == [True, True, False, True, True, True, True, False]
    rods = per_rod(bends)
    assert rods.source.tolist() == [
        BendSource.ENTRY,
        BendSource.ACROSS_GAP,
        BendSource.ACROSS_GAP,
        BendSource.READ,
    ]
    assert rods.angle == pytest.approx([0.03, 0.02, 0.02, 0.02])
    assert np.isfinite(rods.error).all()


def test_a_whole_rod_pushed_is_its_mean_bend() -> None:
    log = pilot_readings([1, 2], [0.0, 0.08], length=[ROD] * 2, push_length=[None, ROD])
    assert hole_bends(log).edges == pytest.approx([0, 3, 6])


def test_three_dimensional_bend() -> None:
    """Level, heading turned 3 degrees right while the pitch rises 4: about 5 by Pythagoras."""
    pitch, heading = np.radians([-2.0, 2.0]), np.radians([359.0, 2.0])
    bends = hole_bends(pilot_readings([1, 2], pitch, length=[ROD] * 2, heading=heading))
    assert np.degrees(bends.angle[1]) == pytest.approx(5.0, abs=0.002)
    assert np.degrees(bends.vertical[1]) == pytest.approx(4.0)
    assert np.degrees(bends.horizontal[1]) == pytest.approx(3.0, abs=0.003)
    left = hole_bends(pilot_readings([1, 2], pitch, length=[ROD] * 2, heading=heading[::-1]))
    assert left.horizontal[1] == pytest.approx(-bends.horizontal[1])


def test_heading_missing_is_unknown_and_never_nothing() -> None:
    log = pilot_readings([1, 2, 3], [0.0, 0.04, 0.08], length=[ROD] * 3, heading=[0.0, None, 0.1])
    bends = hole_bends(log)
    assert np.isnan(bends.horizontal[1:]).all()
    assert bends.angle[1:] == pytest.approx([0.04, 0.04])


def test_heading_missing_inside_a_rod_lies_between_its_ends() -> None:
    log = pilot_readings(
        [1, 1.5, 2], [0.0, 0.0, 0.0], length=[ROD, None, ROD], heading=[0.0, None, 0.04]
    )
    assert hole_bends(log).angle[1:] == pytest.approx([0.02, 0.02])


def test_reading_error() -> None:
    """Level: two readings of 0.25 % with a step of 0.1 %: sqrt(2 (0.25^2 + 0.1^2/12)) %."""
    level = hole_bends(pilot_readings([1, 2], [0.0, 0.0], length=[ROD] * 2))
    assert level.error[1] == pytest.approx(math.sqrt(2 * (0.0025**2 + 0.001**2 / 12)), rel=1e-6)
    turn = pilot_readings([1, 2], [0.0, 0.0], length=[ROD] * 2, heading=[0.0, 0.1])
    sideways = hole_bends(turn, ReadingError(heading=0.01))
    assert sideways.error[1] == pytest.approx(math.sqrt(2) * 0.01)
    # on a slope of 60 degrees a turn of the heading is half as much bend, and so is its error
    steep = pilot_readings([1, 2], [math.pi / 3] * 2, length=[ROD] * 2, heading=[0.0, 0.01])
    assert hole_bends(steep, ReadingError(heading=0.01)).error[1] == pytest.approx(
        math.sqrt(2) * 0.005, rel=1e-3
    )


def test_reading_error_against_drawn_readings() -> None:
    """Second method: the spread of bends computed from noisy readings."""
    rng = np.random.default_rng(5)
    error = ReadingError(pitch_repeat=0.003, pitch_step=0.0, heading=0.004)
    pitch, heading = np.array([-0.20, -0.15]), np.array([0.10, 0.14])
    drawn = []
    for _ in range(2000):
        noisy = np.arctan(np.tan(pitch) + rng.normal(0, 0.003, 2))
        turned = heading + rng.normal(0, 0.004, 2)
        log = pilot_readings([1, 2], noisy, length=[ROD] * 2, heading=turned)
        drawn.append(hole_bends(log).angle[1])
    log = pilot_readings([1, 2], pitch, length=[ROD] * 2, heading=heading)
    assert hole_bends(log, error).error[1] == pytest.approx(np.std(drawn), rel=0.05)


def test_survey_has_a_stretch_between_each_two_stations() -> None:
    bends = hole_bends(survey_readings([100.0, 110.0, 130.0], [0.1, 0.2, 0.2], [0.0, 0.0, 0.0]))
    assert bends.edges == pytest.approx([100, 110, 130])
    assert bends.angle == pytest.approx([0.1, 0.0], abs=1e-12)
    assert bends.station.tolist() == [1, 2]


logs = st.lists(
    st.tuples(
        st.floats(1.5, 6.0),
        st.one_of(st.none(), st.floats(-0.4, 0.4)),
        st.one_of(st.none(), st.floats(-3.0, 3.0)),
        st.one_of(st.none(), st.floats(0.1, 8.0)),
    ),
    min_size=1,
    max_size=12,
)


@given(logs, st.floats(0.0, 5.0), st.one_of(st.none(), st.floats(-0.4, 0.4)))
def test_any_log_gives_whole_and_ordered_stretches(
    rows: list[tuple[float, float | None, float | None, float | None]],
    bit_to_sensor: float,
    start: float | None,
) -> None:
    length, pitch, heading, push = zip(*rows, strict=True)
    log = pilot_readings(
        [0, *range(1, len(rows) + 1)],
        [start, *pitch],
        length=[None, *length],
        heading=[None, *heading],
        push_length=[None, *push],
        bit_to_sensor=bit_to_sensor,
    )
    bends = hole_bends(log)
    assert (bends.length > 0).all()
    assert bends.edges[-1] == pytest.approx(sum(length))
    assert bends.edges[0] <= 0.0
    known = np.isfinite(bends.angle)
    assert (bends.angle[known] >= np.abs(bends.vertical[known]) - 1e-12).all()
    assert (known | bends.unread).all()
    assert (np.isfinite(bends.error) == known).all()
    assert (np.diff(bends.station) >= 0).all()
    # whatever divides the rods, the change of pitch between the readings stays
    read = [p for p in [start, *pitch] if p is not None]
    if bit_to_sensor == 0.0 and len(read) > 1:
        assert np.nansum(bends.vertical) == pytest.approx(read[-1] - read[0], abs=1e-9)
        assert np.nansum(hole_bends(log, inside_rods=False).vertical) == pytest.approx(
            read[-1] - read[0], abs=1e-9
        )
