"""A log some stations off is told; an even bore, an even curve and noise never are."""

from __future__ import annotations

import math
import random
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.station_out import FEWEST, LIKELY, StationOut, station_out

Log = dict[int, tuple[float | None, float | None]]
PITCHES = [-12, -8, -10, -3, -7, -1, -4, 4, -2, 3, 7, 0, 8, 2, 9, 5]
"""An invented pilot, percent, none of whose rods is like the next."""


def log(percents: list[float], first: int = 1) -> Log:
    return {first + n: (math.atan(p / 100.0), None) for n, p in enumerate(percents)}


@pytest.mark.parametrize("stations", [-3, -2, -1, 1, 2, 3])
def test_a_whole_log_off_is_found_with_its_rows(stations: int) -> None:
    found = station_out(log(PITCHES, 4 - stations), log(PITCHES, 4))
    assert found is not None
    assert (found.stations, found.first, found.last) == (stations, 4 - stations, 19 - stations)
    assert found.is_nearly_sure
    assert found.alike_moved == found.compared == 16 - abs(stations)


def test_a_run_begins_where_a_rod_was_missed() -> None:
    """Rod 5 was not logged: from there on each row stands one station behind."""
    behind = log([*PITCHES[:4], *PITCHES[5:]])
    found = station_out(behind, log(PITCHES))
    assert found is not None
    assert (found.stations, found.first, found.last) == (1, 5, 15)


def test_a_constant_difference_of_two_devices_does_not_hide_it() -> None:
    shown = [p + 1.5 for p in PITCHES]
    found = station_out(log(shown, 3), log(PITCHES, 4))
    assert found is not None
    assert found.stations == 1


def test_headings_tell_where_the_pitch_is_even() -> None:
    turns = [math.radians(x) for x in (0, 4, 5, 9, 14, 13, 20, 26, 25, 31, 34, 38)]
    one = {n: (0.0, h) for n, h in enumerate(turns, 1)}
    other = {n + 1: (0.0, h) for n, h in enumerate(turns, 1)}
    found = station_out(one, other)
    assert found is not None
    assert found.stations == 1


@pytest.mark.parametrize(
    "percents",
    [
        [-4.0] * 40,  # constant
        [-20.0 + n for n in range(40)],  # an even curve
        [2.0 if n % 2 else -2.0 for n in range(40)],  # any odd shift fits alike
        [*[-4.0] * 20, -6.0, *[-4.0] * 19],  # one rod that differs
        [*[-4.0] * 20, *[-6.0] * 20],  # one step
    ],
)
@pytest.mark.parametrize("difference", [0.0, 2.0])
@pytest.mark.parametrize("stations", [0, 1])
def test_it_does_not_cry_wolf_where_rows_do_not_tell(
    percents: list[float], difference: float, stations: int
) -> None:
    shown = [p + difference for p in percents]
    assert station_out(log(shown, 1), log(percents, 1 + stations)) is None


def test_some_said_same_as_last_is_no_shift() -> None:
    """While one device says the same five times over, the bore curves."""
    bore = [0.0] * 15 + [1.0, 2.0, 3.0, 4.0, 5.0]
    lazy = [0.0] * 20
    assert station_out(log(lazy), log(bore)) is None


STEPS = st.lists(st.sampled_from([-2.0, -1.0, 0.0, 0.0, 1.0, 2.0]), min_size=8, max_size=45)
NOISE = st.sampled_from([0.0, 0.1, 0.25])


def noisy(percents: list[float], sd: float, dice: random.Random) -> list[float]:
    return [round(p + dice.gauss(0.0, sd), 1) for p in percents]


@given(STEPS, NOISE, st.sampled_from([0.0, 0.5, -1.5]), st.randoms(use_true_random=False))
def test_two_logs_of_one_numbering_are_never_told_apart(
    steps: list[float], sd: float, difference: float, dice: random.Random
) -> None:
    bore = [*accumulate(steps, initial=-10.0)]
    one = noisy([p + difference for p in bore], sd, dice)
    assert station_out(log(one), log(noisy(bore, sd, dice))) is None


@given(STEPS, NOISE, st.sampled_from([-2, -1, 1, 2]), st.randoms(use_true_random=False))
def test_what_is_told_of_a_shifted_log_is_the_shift(
    steps: list[float], sd: float, stations: int, dice: random.Random
) -> None:
    bore = [*accumulate(steps, initial=-10.0)]
    found = station_out(log(noisy(bore, sd, dice), 4 - stations), log(noisy(bore, sd, dice), 4))
    assert found is None or found.stations == stations


@given(STEPS, STEPS, st.randoms(use_true_random=False))
def test_two_logs_that_have_nothing_to_do_with_each_other_are_not_told(
    one: list[float], other: list[float], dice: random.Random
) -> None:
    logs = [[*accumulate(noisy(steps, 1.0, dice), initial=-10.0)] for steps in (one, other)]
    assert station_out(log(logs[0]), log(logs[1])) is None


def test_fewer_rows_than_can_tell_say_nothing() -> None:
    few = PITCHES[: FEWEST - 1]
    assert station_out(log(few), log(few, 2)) is None


def test_the_odds_are_those_of_the_rows() -> None:
    """Hand: 13 rows compared both ways tell 12 to 1 or better; ln 9 a row, one log in 100."""
    found = station_out(log(PITCHES, 3), log(PITCHES, 4))
    assert isinstance(found, StationOut)
    each = math.log(9.0)
    rows = found.alike_moved - found.alike_numbered
    assert math.log(found.odds) <= rows * each - math.log(100.0 * 6 * found.compared) + 1e-9
    assert found.odds >= LIKELY
