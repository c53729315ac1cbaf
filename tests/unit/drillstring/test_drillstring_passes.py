"""Who joins, leaves, is swapped, lost and fished, and how that moves the places."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.drillstring.handover import (
    fish,
    lead_rods_off,
    lose,
    meet,
    seen_from_other_end,
    swap,
    take_tail_on,
)
from rodhand.drillstring.ledger import book_turns
from rodhand.drillstring.passes import PassKind, RodsOfBore, run_pass
from rodhand.drillstring.stood import Stood, stood_through
from rodhand.drillstring.string import Member, StringOrder
from rodhand.drillstring.travel import moment_at, pilot_travel, toward_rig_travel


def _rods(count: int, letter: str = "a") -> tuple[Member, ...]:
    return tuple(Member(f"{letter}{n}", "rod", 1.0) for n in range(1, count + 1))


def _keys(members: tuple[Member, ...]) -> list[str]:
    return [m.key for m in members]


def test_offsets_on_both_sides_of_the_tool() -> None:
    """Head 2 m, rods of 1 and 3 m; tail front 0.5 m, tail rods of 1 and 2 m.

    The end facing away from the rig: 2 and 3 m behind; 1.5 and 3.5 m ahead.
    """
    order = StringOrder(
        (Member("a", "rod", 1.0), Member("b", "rod", 3.0)),
        (Member("s", "rod", 1.0), Member("t", "rod", 2.0)),
        front_length=2.0,
        tail_front_length=0.5,
    )
    assert order.head_ends().tolist() == [2.0, 3.0, -1.5, -3.5]


def test_after_the_lead_rods_come_off_the_rest_moves_up() -> None:
    """Six rods, two off at the exit: the pullback starts at station 4 and a6 leaves in row 4."""
    _, rods = run_pass(
        RodsOfBore(at_rig=_rods(6)), PassKind.PILOT, pilot_travel(np.arange(7.0), np.full(6, 10.0))
    )
    rods = lead_rods_off(rods, 2)
    assert _keys(rods.order.rig_side) == ["a3", "a4", "a5", "a6"]
    assert _keys(rods.at_exit) == ["a1", "a2"]
    leg, after = run_pass(
        rods, PassKind.PULLBACK, toward_rig_travel(np.arange(5.0), np.full(4, 10.0))
    )
    assert book_turns(leg, 0.5, np.arange(7.0)).total.tolist() == [40, 30, 20, 10]
    assert _keys(after.at_rig) == ["a6", "a5", "a4", "a3"]
    assert _keys(after.at_exit) == ["a1", "a2"]


def test_a_push_ream_lets_the_tail_off_at_the_exit() -> None:
    """Tail t1 to t3 stands from tool to exit; t3 comes off first, after the first row."""
    rods = RodsOfBore(order=StringOrder(tail=_rods(3, "t")), at_rig=_rods(3))
    travel = pilot_travel(np.arange(4.0), np.array([10.0, 20.0, 40.0]))
    leg, after = run_pass(rods, PassKind.PUSH_REAM, travel)
    assert _keys(leg.order.members) == ["a1", "a2", "a3", "t1", "t2", "t3"]
    assert book_turns(leg, 0.5, np.arange(4.0)).total.tolist() == [70, 60, 40, 70, 30, 10]
    assert _keys(after.at_exit) == ["t3", "t2", "t1"]
    assert after.order.tail == ()


def test_only_some_rods_come_out_on_a_short_trip_and_go_back_in_order() -> None:
    _, rods = run_pass(
        RodsOfBore(at_rig=_rods(4)), PassKind.PILOT, pilot_travel(np.arange(5.0), np.full(4, 1.0))
    )
    out = toward_rig_travel(np.array([2.0, 3.0, 4.0]), np.zeros(2))
    _, rods = run_pass(rods, PassKind.TRIP_OUT, out)
    assert _keys(rods.order.rig_side) == ["a1", "a2"]
    assert _keys(rods.at_rig) == ["a3", "a4"]
    back = pilot_travel(np.array([2.0, 3.0, 4.0]), np.zeros(2))
    _, rods = run_pass(rods, PassKind.TRIP_IN, back)
    assert _keys(rods.order.rig_side) == ["a1", "a2", "a3", "a4"]


def test_swap_lose_and_fish() -> None:
    rods = RodsOfBore(order=StringOrder(rig_side=_rods(4)), at_rig=_rods(2, "n"))
    rods = swap(rods, 3, "n2")
    assert _keys(rods.order.rig_side) == ["a1", "a2", "n2", "a4"]
    assert _keys(rods.at_rig) == ["n1", "a3"]
    rods = lose(rods, 2)
    assert _keys(rods.lost) == ["a1", "a2"]
    assert _keys(rods.order.rig_side) == ["n2", "a4"]
    rods = fish(rods, ["a2"])
    assert (_keys(rods.lost), _keys(rods.at_rig)) == (["a1"], ["n1", "a3", "a2"])


def test_a_bend_on_the_way_back() -> None:
    """Six rods in a hole of 6 m, bend in 2 to 3 m: a4 stands in it, a1 to a3 come to it, a5 and
    a6 leave without. With the tool at 4 m a2 stands there and a3, a4 have passed."""
    rods = RodsOfBore(order=StringOrder(rig_side=_rods(6)))
    leg, _ = run_pass(rods, PassKind.PULLBACK, toward_rig_travel(np.arange(7.0), np.full(6, 1.0)))
    start = stood_through(leg, 2.0, 3.0, 0.0)
    assert start == (*(Stood.TO_COME,) * 3, Stood.IN_IT, Stood.NEVER, Stood.NEVER)
    later = stood_through(leg, 2.0, 3.0, moment_at(leg.travel, 4.0))
    assert later[:4] == (Stood.TO_COME, Stood.IN_IT, Stood.PASSED, Stood.PASSED)
    assert later[4:] == (Stood.NEVER, Stood.NEVER)


def test_what_cannot_be_is_refused() -> None:
    rods = RodsOfBore(order=StringOrder(rig_side=_rods(2)))
    with pytest.raises(ValueError, match="3 lead rods"):
        lead_rods_off(rods, 3)
    with pytest.raises(ValueError, match="still stand"):
        take_tail_on(rods)
    with pytest.raises(ValueError, match="place 1"):
        swap(rods, 1, "n1")
    with pytest.raises(ValueError, match="place 5"):
        lose(rods, 5)
    with pytest.raises(ValueError, match="not lost: a1"):
        fish(rods, ["a1"])
    tailed = RodsOfBore(order=StringOrder(tail=_rods(1)))
    with pytest.raises(ValueError, match="no tail"):
        meet(rods, tailed)
    leg, _ = run_pass(tailed, PassKind.SWAB, toward_rig_travel(np.arange(2.0), np.ones(1)))
    with pytest.raises(ValueError, match="turned round"):
        seen_from_other_end(leg, 9.0)
    with pytest.raises(ValueError, match="length of a"):
        Member("a", "rod", 0.0)
