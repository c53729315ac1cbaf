"""Moves of the tool: pushed stretches, strokes, turning in place, cutting at a position."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.drillstring.ledger import turns_by_stretch
from rodhand.drillstring.travel import (
    Travel,
    moment_at,
    pilot_travel,
    toward_rig_travel,
    travel_of,
    travel_until,
)


def test_a_pushed_stretch_takes_no_turns() -> None:
    """A 3 m row, pushed from 1 to 2 m, 100 turns: 50 before, none, 50 after."""
    travel = pilot_travel([0.0, 3.0], [100.0], [1.0], [2.0])
    assert list(turns_by_stretch(travel, [0.0], [0.0, 1.0, 2.0, 3.0])[0]) == [50, 0, 50]


def test_an_unknown_pushed_stretch_spreads_the_turns_over_the_row() -> None:
    travel = pilot_travel([0.0, 3.0], [90.0], [np.nan], [np.nan])
    assert turns_by_stretch(travel, [0.0], [0.0, 1.0, 2.0, 3.0])[0] == pytest.approx([30, 30, 30])


def test_turns_of_a_row_pushed_whole_are_not_lost() -> None:
    travel = pilot_travel([0.0, 3.0], [90.0], [0.0], [3.0])
    assert turns_by_stretch(travel, [0.0], [0.0, 3.0])[0, 0] == pytest.approx(90)


def test_strokes_spread_turns_over_the_travel_made() -> None:
    """0 to 2 m, back to 1 m, on to 3 m, ten turns on each move.

    Per metre: 0-1: 5; 1-2: 5 + 10 + 5 = 20; 2-3: 5.
    """
    travel = travel_of([(0.0, 2.0, 10.0, 1), (2.0, 1.0, 10.0, 1), (1.0, 3.0, 10.0, 1)])
    assert turns_by_stretch(travel, [0.0], [0.0, 1.0, 2.0, 3.0])[0] == pytest.approx([5, 20, 5])


def test_turns_in_place_count_where_the_section_stands() -> None:
    travel = travel_of([(0.0, 2.0, 0.0, 1), (2.0, 2.0, 7.0, 1)])
    booked = turns_by_stretch(travel, [0.5, 1.5, 2.5, 0.0], [0.0, 1.0, 2.0])
    assert booked.tolist() == [[0, 7], [7, 0], [0, 0], [0, 7]]


def test_toward_the_rig_row_n_runs_from_station_n_to_the_one_before() -> None:
    travel = toward_rig_travel([0.0, 1.0, 3.0], [10.0, 20.0])
    assert travel.tool_from.tolist() == [3.0, 1.0]
    assert travel.tool_to.tolist() == [1.0, 0.0]
    assert travel.turns.tolist() == [20.0, 10.0]
    assert travel.row.tolist() == [2, 1]


def test_cut_within_a_move_and_at_a_stroke_back() -> None:
    travel = travel_of([(0.0, 2.0, 10.0, 1), (2.0, 1.0, 4.0, 1), (1.0, 3.0, 10.0, 1)])
    assert moment_at(travel, 1.0) == 0.5
    assert travel_until(travel, 1.0).turns.tolist() == [5.0]
    # standing at 2 m for the first time is before the stroke back, going past it is after
    assert travel_until(travel, 2.0).turns.tolist() == [10.0, 4.0, 5.0]
    assert travel_until(travel, 9.0).total == 24


def test_cut_on_the_way_back_to_the_rig() -> None:
    travel = toward_rig_travel([0.0, 1.0, 3.0], [10.0, 20.0])
    assert travel_until(travel, 2.0).turns.tolist() == [10.0]
    assert travel_until(travel, 0.0).total == 30


@pytest.mark.parametrize(
    ("moves", "message"),
    [
        ([(0.0, 1.0, np.nan, 1)], "finite"),
        ([(0.0, 1.0, -1.0, 1)], "negative"),
        ([(0.0, 1.0, 1.0, 1), (2.0, 3.0, 1.0, 2)], "where the one before ended"),
    ],
)
def test_impossible_travel_is_refused(
    moves: list[tuple[float, float, float, int]], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        travel_of(moves)


def test_a_pushed_stretch_outside_its_row_is_refused() -> None:
    with pytest.raises(ValueError, match="row 1"):
        pilot_travel([0.0, 3.0], [90.0], [2.0], [4.0])


def test_no_moves_no_turns() -> None:
    empty = travel_of([])
    assert isinstance(empty, Travel)
    assert turns_by_stretch(empty, [0.0], [0.0, 1.0]).tolist() == [[0.0]]
