"""Which of several pitches counts until a person picks: the one whose bends do the most damage."""

from __future__ import annotations

import math
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.book.work.hole_of import DAMAGE_POWER, picked
from rodhand.record.book_bores import Reading
from rodhand.record.origin import Moment, Origin

ORIGIN = Origin("e", Moment("", "", "unknown"), "", "tablet", 1)


def row(station: float, *pitches: float | None) -> Reading:
    """A row with the pitches told of it. [rad]"""
    first, *others = [Reading(ORIGIN, station, {}, pitch=pitch) for pitch in pitches]
    return Reading(ORIGIN, station, {}, pitch=first.pitch, alternatives=tuple(others))


@pytest.mark.parametrize(
    ("pitches", "counts"),
    [
        # From 0 either bends alike; the next row, at +3, makes -1 the sharper.
        ((0.0, (1.0, -1.0), 3.0), -1.0),
        # Nothing after: the farther from the row before.
        ((0.0, (1.0, -2.0)), -2.0),
        # A row without a pitch between: the bend is spread, the farther still counts.
        ((0.0, (1.0, -1.0), None, 3.0), -1.0),
    ],
)
def test_the_pitch_that_bends_more_on_both_sides_counts(
    pitches: tuple[float | tuple[float, ...] | None, ...], counts: float
) -> None:
    rows = [
        row(n, *(each if isinstance(each, tuple) else (each,))) for n, each in enumerate(pitches)
    ]
    assert picked(rows)[1].pitch == counts


def test_a_heading_counts_as_the_pitch_does() -> None:
    told = [Reading(ORIGIN, 1, {}, pitch=0.0, heading=heading) for heading in (0.02, 0.05)]
    first = Reading(ORIGIN, 0, {}, pitch=0.0, heading=0.0)
    twice = Reading(ORIGIN, 1, {}, pitch=0.0, heading=0.02, alternatives=(told[1],))
    assert picked([first, twice])[1].heading == 0.05


ROWS = st.lists(
    st.lists(st.sampled_from([-4.0, -3.5, 0.0, 2.0, 5.0]), min_size=1, max_size=3, unique=True),
    min_size=2, max_size=6,
)  # fmt: skip


@given(ROWS)
def test_it_is_the_worst_of_all_choices(told: list[list[float]]) -> None:
    """Against every choice tried one by one."""

    def damage(pitches: tuple[float, ...]) -> float:
        return math.fsum(abs(b - a) ** DAMAGE_POWER for a, b in pairwise(pitches))

    chosen = tuple(each.pitch or 0.0 for each in picked([row(n, *p) for n, p in enumerate(told)]))
    assert damage(chosen) == pytest.approx(max(map(damage, product(*told))))
