"""A sequence that grows without being copied stays what it was for whoever holds it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rodhand.record.grown import Grown


@given(st.lists(st.tuples(st.integers(0, 9), st.lists(st.integers(), max_size=3)), max_size=12))
def test_every_one_ever_made_keeps_what_it_held(steps: list[tuple[int, list[int]]]) -> None:
    """Each is made longer from any made before: what one holds is told by plain tuples."""
    made = [(Grown([1, 2]), (1, 2))]
    for which, more in steps:
        before, held = made[which % len(made)]
        made.append((before.plus(more), (*held, *more)))
    for grown, held in made:
        assert tuple(grown) == held
        assert grown == held
        assert grown != (*held, 0)
        assert len(grown) == len(held)
        assert [grown[place] for place in range(-len(held), len(held))] == [*held, *held]
        assert grown[1:] == held[1:]
        assert grown[-1:] == held[-1:]
        assert grown[:-1] == held[:-1]
