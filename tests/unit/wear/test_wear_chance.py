"""Chance of a break: conditional on not having broken, told as a range or not at all."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.wear.chance import (
    broken_by,
    chance_of_break,
    one_in,
    rod_chance,
    section_chance,
)

SLOPES = (3.0, 4.7, 4.7, 4.7, 3.0)


def test_conditional_on_still_being_whole() -> None:
    before, after = broken_by(0.2, 4.7), broken_by(0.3, 4.7)
    assert section_chance(0.2, 0.1, 4.7) == pytest.approx((after - before) / (1 - before))


def test_a_new_section_that_turns_in_nothing() -> None:
    assert broken_by(0.0, 3.0) == 0.0
    assert section_chance(0.0, 0.0, 3.0) == 0.0


def test_a_rod_is_its_five_sections() -> None:
    """Two sections of chance p alone: 1 - (1 - p)^2."""
    p = section_chance(0.2, 0.1, 3.0)
    assert rod_chance([0.2, 0.2], [0.1, 0.1], [3.0, 3.0]) == pytest.approx(1 - (1 - p) ** 2)


def test_the_range_is_the_class_error_of_three() -> None:
    means, added = [0.05] * 5, [0.01] * 5
    found = chance_of_break(means, added, SLOPES, assumed=0.2)
    assert found is not None
    least = rod_chance([0.05 / 3] * 5, [0.01 / 3] * 5, SLOPES)
    most = rod_chance([0.15] * 5, [0.03] * 5, SLOPES)
    assert (found.at_least, found.at_most) == (one_in(least), one_in(most))
    assert found.at_least > found.at_most
    assert least < found.order < most


@pytest.mark.parametrize(
    ("means", "added", "assumed"),
    [
        ([0.1] * 5, [0.01] * 5, 0.51),
        ([math.nan] + [0.1] * 4, [0.01] * 5, 0.0),
        ([0.1] * 5, [0.0] * 5, 0.0),
    ],
)
def test_no_chance_is_told(means: list[float], added: list[float], assumed: float) -> None:
    assert chance_of_break(means, added, SLOPES, assumed) is None


@pytest.mark.parametrize(
    ("chance", "n"),
    [(1.0, 1), (0.45, 2), (0.22, 5), (0.1, 10), (0.006, 200), (0.0004, 2000), (1e-9, 1_000_000)],
)
def test_one_in(chance: float, n: int) -> None:
    assert one_in(chance) == n


@given(st.floats(1e-6, 1.0))
def test_one_in_is_one_two_or_five_times_a_power_of_ten(chance: float) -> None:
    n = one_in(chance)
    assert str(n).rstrip("0") in {"1", "2", "5"}
    assert 1 / 1.6 <= n * chance <= 1.6
