"""Loading lists replayed hand by hand: every list made can be followed, a spoiled one cannot."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.advice.box_hands import (
    BoxKind,
    HandsError,
    LoadingList,
    Rows,
    Step,
    after_bore,
    make_list,
    replay,
)
from rodhand.book.order.order_case import box_kinds

KINDS = tuple(box_kinds().values())
NEAR, STACKS, LOOSE = KINDS
BOX: Rows = (("a", "b", "c"), ("d", "e", "f"))


def test_three_kinds_are_data() -> None:
    """The three kinds a rig can be entered with, each with its own way."""
    assert [each.name for each in KINDS] == [
        "near-row-first", "rows-last-in-first-out", "loose-rack",
    ]  # fmt: skip
    assert (NEAR.rows_in_turn, STACKS.rows_in_turn, LOOSE.reach) == (True, False, "any")


def test_list_worked_by_hand() -> None:
    """Lead rod and the top of the far row change places: two out, two in, in this order."""
    todo = make_list(STACKS, BOX, (("d", "b", "c"), ("a", "e", "f")), (1, 2))
    assert todo.steps == (
        Step("out", "a", 1, 1), Step("out", "d", 2, 1), Step("in", "d", 1, 1),
        Step("in", "a", 2, 1),
    )  # fmt: skip
    assert todo.lifted == 2
    assert replay(STACKS, BOX, 3, (), todo) == (("d", "b", "c"), ("a", "e", "f"))


def test_lowest_rod_of_a_row_lifts_all_above_it_but_not_in_a_loose_rack() -> None:
    """The third of a row changes with the first of the other: three and one are lifted."""
    wanted = (("a", "b", "d"), ("c", "e", "f"))
    assert make_list(NEAR, BOX, wanted, (1, 2)).lifted == 4
    assert make_list(LOOSE, BOX, wanted, (1, 2)).lifted == 2


@pytest.mark.parametrize(
    ("kind", "todo", "code"),
    [
        (STACKS, LoadingList((Step("out", "b", 1, 1),), (1, 2), ()), "reached_through"),
        (STACKS, LoadingList((Step("out", "d", 1, 1),), (1, 2), ()), "not_there"),
        (STACKS, LoadingList((Step("in", "z", 1, 1),), (1, 2), ()), "no_room"),
        (STACKS, LoadingList((Step("out", "a", 1, 1), Step("in", "a", 1, 2)), (1, 2), ()),
         "reached_through"),
        (NEAR, LoadingList((), (2, 1), tuple("defabc")), "row_not_in_turn"),
        (STACKS, LoadingList((), (2, 1), tuple("abcdef")), "other_order"),
        (LOOSE, LoadingList((Step("out", "b", 1, 1),), (1, 2), ()), "not_there"),
    ],
)  # fmt: skip
def test_lists_hands_cannot_follow(kind: BoxKind, todo: LoadingList, code: str) -> None:
    with pytest.raises(HandsError) as error:
        replay(kind, BOX, 3, ("z",), todo)
    assert error.value.code == code


@st.composite
def lists(draw: st.DrawFn) -> tuple[BoxKind, Rows, int, tuple[str, ...], LoadingList]:
    """A kind, a box, rods beside it, and the list to any other order, some rods left out."""
    kind = draw(st.sampled_from(KINDS))
    rows, capacity = draw(st.integers(1, 4)), draw(st.integers(1, 6))
    count = draw(st.integers(1, rows * capacity))
    beside = tuple(f"n{k}" for k in range(draw(st.integers(0, 4))))

    def filled(rods: list[str]) -> Rows:
        return tuple(tuple(rods[k * capacity : (k + 1) * capacity]) for k in range(rows))

    rods = [f"r{k}" for k in range(count)]
    wanted = draw(st.permutations([*rods, *beside]))[: draw(st.integers(0, rows * capacity))]
    turn = tuple(range(1, rows + 1))
    use = turn if kind.rows_in_turn else tuple(draw(st.permutations(turn)))
    box = filled(rods)
    return kind, box, capacity, beside, make_list(kind, box, filled(list(wanted)), use)


@given(lists())
def test_every_list_made_can_be_followed(
    made: tuple[BoxKind, Rows, int, tuple[str, ...], LoadingList],
) -> None:
    kind, box, capacity, beside, todo = made
    lies = replay(kind, box, capacity, beside, todo)
    assert tuple(rod for row in todo.rows for rod in lies[row - 1]) == todo.order


@given(lists(), st.data())
def test_a_spoiled_list_fails(
    made: tuple[BoxKind, Rows, int, tuple[str, ...], LoadingList], data: st.DataObject
) -> None:
    """A step left out, or two rods told for each other: no other way leads to the same order."""
    kind, box, capacity, beside, todo = made
    if not todo.steps:
        return
    steps = list(todo.steps)
    k = data.draw(st.integers(0, len(steps) - 1))
    if data.draw(st.booleans()):
        spoiled = [*steps[:k], *steps[k + 1 :]]
    else:
        alike = [n for n, each in enumerate(steps) if each.what == steps[k].what and n != k]
        if not alike:
            return
        n = data.draw(st.sampled_from(alike))
        spoiled = list(steps)
        spoiled[k] = replace(steps[k], rod=steps[n].rod)
        spoiled[n] = replace(steps[n], rod=steps[k].rod)
    try:
        lies = replay(kind, box, capacity, beside, replace(todo, steps=tuple(spoiled)))
    except HandsError:
        return
    # Only the order in which rods lie beside the box may differ without harm.
    assert tuple(rod for row in todo.rows for rod in lies[row - 1]) == todo.order


@pytest.mark.parametrize("kind", KINDS)
def test_same_rods_lead_again_after_any_bore(kind: BoxKind) -> None:
    """Emptied near first and filled from the far side, full rows: each lies as it lay (trade)."""
    for used in range(7):
        assert after_bore(kind, BOX, 3, (1, 2), used) == BOX


@pytest.mark.parametrize("kind", KINDS)
def test_tail_string_lies_reversed(kind: BoxKind) -> None:
    """Four rods pulled in as a tail: first in, first out, so the lead comes to lie deepest."""
    lies = after_bore(kind, BOX, 3, (1, 2), 4, tail=True)
    assert lies == (("d", "c", "b"), ("a", "e", "f"))


def test_filled_from_the_far_side_closes_gaps() -> None:
    """A far row with room takes the rods of the near one: the lead rod stays the lead."""
    assert after_bore(NEAR, (("a", "b"), ("c",)), 2, (1, 2), 3) == (("a",), ("b", "c"))
