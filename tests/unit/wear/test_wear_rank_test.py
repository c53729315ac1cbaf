"""Places of broken rods in their sets, and how likely they are by luck; by hand and by counting."""

from __future__ import annotations

from itertools import product

import pytest

from rodhand.wear.rank_test import Place, chance_of_as_many, place_of


def test_place_from_the_top_with_ties_against_the_ranking() -> None:
    used = {"a": 0.4, "b": 0.4, "c": 0.9, "d": 0.1}
    assert place_of("c", used) == Place(1, 4)
    assert place_of("a", used) == Place(3, 4)
    assert place_of("d", used).chance == 1.0
    with pytest.raises(KeyError):
        place_of("x", used)


def test_chance_of_as_many_in_the_top_quarter_is_counted_out() -> None:
    """Every outcome of three sets of 8, 10 and 12 rods counted one by one."""
    places = [Place(2, 8), Place(7, 10), Place(3, 12)]
    outcomes = list(product(*(range(1, each.of + 1) for each in places)))
    many = sum(
        sum(4 * k <= each.of for k, each in zip(ks, places, strict=True)) >= 2 for ks in outcomes
    )
    assert chance_of_as_many(places) == pytest.approx(many / len(outcomes))
    assert chance_of_as_many([]) == 1.0
