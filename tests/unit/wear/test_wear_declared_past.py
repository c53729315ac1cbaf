"""Random declared pasts: never narrower than three times either way, all of it assumed."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from hypothesis import given, settings
from hypothesis import strategies as st
from wear_steel import CURVES, ROD

from rodhand.wear.declared_past import declared_past
from rodhand.wear.life_used import LifeUsed, rod_life

HOUR = 3600.0
TIMES = 3.0
SLOPES = (3.0, 4.7, 4.7, 4.7, 3.0)


def upward(life: LifeUsed) -> float:
    """Half width of the band upward, in natural logarithms. [1]"""
    return math.log(life.high / life.best)


@settings(max_examples=30, deadline=None)
@given(
    hours=st.lists(st.floats(0.01, 10_000.0), min_size=1, max_size=4),
    places=st.integers(1, 60),
    order=st.sampled_from(["same", "turned", "unknown"]),
    limit=st.floats(0.5, 3.0),
    data=st.data(),
)
def test_saying_it_in_parts_or_as_a_whole_never_narrows_it(
    hours: list[float],
    places: int,
    order: Literal["same", "turned", "unknown"],
    limit: float,
    data: st.DataObject,
) -> None:
    """Each part is somebody's memory of the same years: their errors go together."""
    rod = replace(ROD, limit_radius=ROD.limit_radius * limit)
    place = data.draw(st.integers(0, places - 1))
    parts = [
        declared_past(each * HOUR, places, order, rod, CURVES, f"past {number}")[place]
        for number, each in enumerate(hours)
    ]
    counted = [replace(each, turns_sigma=0.0) for each in parts]
    both = zip(rod_life(parts, SLOPES).sections, rod_life(counted, SLOPES).sections, strict=True)
    for life, if_counted in both:
        if life.best > 0.0:
            assert life.high >= TIMES * life.best
            assert life.best >= TIMES * life.low
            assert life.assumed == 1.0
            # Curves scatter as much as that by themselves: the factor of 3 comes on top of them.
            if order != "unknown":
                assert upward(life) ** 2 >= upward(if_counted) ** 2 + 0.999 * math.log(TIMES) ** 2
