"""The way back in both planes: never past a limit, there where a coarse search is, no dearer."""

from __future__ import annotations

import numpy as np
import pytest
from invented_ways import LENGTH, dearer_by, found, past_a_limit, state

from rodhand.hole.clear_of import clear_of
from rodhand.hole.plan_limits import InWay
from rodhand.hole.way_around import REACHED, Place, way_around
from rodhand.hole.way_back import way_back


@pytest.mark.parametrize("seed", range(36))
def test_never_past_a_limit_there_where_the_grid_is_and_no_dearer(seed: int) -> None:
    one = state(seed)
    way = found(one)
    assert way is not None
    assert not past_a_limit(one, way)
    assert way.reached
    assert dearer_by(one, way) < 0.01


@pytest.mark.parametrize("rods", [8, 20, 40])
def test_a_long_way_costs_no_more_than_that_of_the_vertical(rods: int) -> None:
    """Found by another search, whose rods are all free; sideways there is nothing to do."""
    start, wanted = Place(0, 0, 3.0, -0.05, 0.0), Place(0, 0, 3.4, 0.02, 0.0)
    way = way_around(start, wanted, rods, LENGTH, 0.03)
    other = way_back(-0.05, 0.02, 0.4, rods, LENGTH, 0.03)
    assert way is not None
    assert (way.reached, other.reached) == (True, True)
    assert way.cost <= other.cost * 1.01 + 1e-6


def test_distance_of_pieces_by_hand() -> None:
    """A level hole 3 m deep, one piece of 4 m from 10 m on, 1 m right of the line.

    Across at 12 m, 2 m deep: 1 m above, of which 5 % of 3 m and 0.5 m are kept. Along from 20 to
    30 m, 1 m left of the line at the same depth: from the end at 14 m 6 m along and 2 m aside.
    Along from 11 to 13 m: 2 m aside.
    """
    places = np.array([[[10.0, 14.0]], [[1.0, 1.0]], [[3.0, 3.0]]])
    in_way = [
        InWay("gas", 12.0, 12.0, 2.0, 0.5), InWay("far", 20.0, 30.0, 3.0, 0.5, offset=-1.0),
        InWay("beside", 11.0, 13.0, 3.0, 0.5, offset=-1.0),
    ]  # fmt: skip
    expected = [1.0 - 0.15 - 0.5, 40.0**0.5 - 0.65, 2.0 - 0.65]
    assert clear_of(places, in_way)[0, 0] == pytest.approx(expected)


def test_distance_to_one_passed_askew_is_that_of_its_nearest_point() -> None:
    """A piece from 1 m left to 1 m right of one that runs along, 1 m above it where they cross."""
    places = np.array([[[10.0, 14.0]], [[-1.0, 1.0]], [[-2.0, -2.0]]])
    kept = clear_of(places, [InWay("gas", 5.0, 20.0, -1.0, 0.25, offset=0.0)])
    assert kept[0, 0, 0] == pytest.approx(0.75)


def test_without_heading_it_is_the_way_of_the_vertical() -> None:
    start, wanted = Place(0, 0, 3.0, -0.05, 0.0), Place(0, 0, 3.4, 0.02, 0.0)
    for rods in (4, 6):
        way = way_around(start, wanted, rods, LENGTH, 0.06, sideways=False)
        other = way_back(-0.05, 0.02, 0.4, rods, LENGTH, 0.06)
        assert way is not None
        assert (way.reached, other.reached) == (True, True)
        assert way.cost == pytest.approx(other.cost, rel=0.01)


def test_an_end_too_far_off_is_not_reached_and_the_nearest_is_told() -> None:
    """Three rods of 3 m turning 0.02 each can rise by no more than a little: 5 m is not there."""
    start = Place(0, 0, 5.0, 0.0, 0.0)
    way = way_around(start, Place(0, 0, 0.0, 0.0, 0.0), 3, LENGTH, 0.02)
    assert way is not None
    assert not way.reached
    assert way.missed[0] > 4.0
    assert abs(way.missed[0]) > REACHED[0]
    assert float(way.bend.max()) <= 0.02


def test_one_across_the_way_is_gone_round_upright_and_one_along_sideways() -> None:
    start, wanted = Place(0, 0, 3.0, 0.0, 0.0), Place(0, 0, 3.0, 0.0, 0.0)
    across = way_around(start, wanted, 8, LENGTH, 0.08, [InWay("gas", 12.0, 12.0, 3.2, 0.5)])
    assert across is not None
    assert across.reached
    assert np.ptp(across.depth) > 0.3
    along = way_around(
        start, wanted, 8, LENGTH, 0.08, [InWay("water", 10.0, 14.0, 3.0, 0.5, offset=0.1)]
    )
    assert along is not None
    assert along.reached
    assert along.clearance >= 0.0


@pytest.mark.parametrize("bad", [(0, 3.0, 0.1), (3, 0.0, 0.1), (3, 3.0, 0.0)])
def test_arguments_out_of_range_are_refused(bad: tuple[int, float, float]) -> None:
    here = Place(0, 0, 3.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="above 0"):
        way_around(here, here, *bad)
