"""A tail-string bore worked by hand: six rods, six tail rods, a pre-ream and a pullback.

Rods of 1 m, hole of 6 m in stretches of 1 m, no front length, sections at mid rod.
Stretch i is (i-1, i). Row n of the pre-ream turns 10 n times, each row of the pullback 60 times.

Pre-ream, row n: the reamer goes from n to n-1.
  Rod a_k stands k - 0.5 behind it: from n-k+0.5 to n-k-0.5, half its turns (5 n) in stretch
  n-k+1, half in stretch n-k; it leaves after row k, in which its second half lies outside.
    a_1: stretch 1: 5x1 + 5x2 = 15, 2: 10 + 15 = 25, 3: 35, 4: 45, 5: 55, 6: 5x6 = 30; outside 5.
    a_6: stretch 1: 30; outside 30.
  Tail rod t_j joins for row 7-j and stands j - 0.5 ahead: from n+j-0.5 to n+j-1.5.
    t_1: row 6: 30 outside, 30 in stretch 6; row 5: 25 in 6, 25 in 5; row 4: 20, 20; row 3: 15, 15;
         row 2: 10, 10; row 1: 5 in 2, 5 in 1 -> stretches 1..6: 5, 15, 25, 35, 45, 55; outside 30.
    t_6: row 1: 5 outside, 5 in stretch 6.
After it the hole holds t_1 (at the rig) to t_6 (at the exit).
Pullback: counted from the new tool at the exit t_6 stands first, t_1 sixth and leaves first.
    t_1: row 6: 30 in stretch 1, 30 outside.
    t_6: row 6: 30 in stretch 6 then 30 in 5; ... row 1: 30 in 1, 30 outside
         -> stretches 1..6: 60, 60, 60, 60, 60, 30; outside 30.
"""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.drillstring.handover import take_tail_on
from rodhand.drillstring.ledger import Booked, book_turns
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member, StringOrder
from rodhand.drillstring.travel import toward_rig_travel

STATIONS = np.arange(7.0)


def _rods(letter: str) -> tuple[Member, ...]:
    return tuple(Member(f"{letter}{n}", "rod", 1.0) for n in range(1, 7))


def _pre_ream() -> tuple[Leg, RodsOfBore]:
    rods = RodsOfBore(order=StringOrder(rig_side=_rods("a")), at_exit=_rods("t"))
    travel = toward_rig_travel(STATIONS, 10.0 * np.arange(1, 7))
    return run_pass(rods, PassKind.PRE_REAM, travel)


def _of(leg: Leg, booked: Booked, key: str) -> tuple[list[float], float, float]:
    k = [m.key for m in leg.order.members].index(key)
    return list(booked.by_stretch[k]), float(booked.outside[k]), float(booked.total[k])


@pytest.mark.parametrize(
    ("key", "stretches", "outside", "total"),
    [
        ("a1", [15, 25, 35, 45, 55, 30], 5, 210),
        ("a6", [30, 0, 0, 0, 0, 0], 30, 60),
        ("t1", [5, 15, 25, 35, 45, 55], 30, 210),
        ("t6", [0, 0, 0, 0, 0, 5], 5, 10),
    ],
)
def test_pre_ream_by_hand(key: str, stretches: list[float], outside: float, total: float) -> None:
    leg, _ = _pre_ream()
    found = _of(leg, book_turns(leg, 0.5, STATIONS), key)
    assert found[0] == pytest.approx(stretches, abs=1e-9)
    assert found[1:] == pytest.approx((outside, total), abs=1e-9)


def test_after_the_pre_ream_the_hole_holds_the_tail_reversed() -> None:
    _, after = _pre_ream()
    assert [m.key for m in after.at_rig] == ["a6", "a5", "a4", "a3", "a2", "a1"]
    new = take_tail_on(after)
    assert [m.key for m in new.order.rig_side] == ["t6", "t5", "t4", "t3", "t2", "t1"]
    assert new.order.tail == ()


@pytest.mark.parametrize(
    ("key", "stretches", "outside", "total"),
    [
        ("t1", [30, 0, 0, 0, 0, 0], 30, 60),
        ("t6", [60, 60, 60, 60, 60, 30], 30, 360),
    ],
)
def test_pullback_by_hand(key: str, stretches: list[float], outside: float, total: float) -> None:
    _, after = _pre_ream()
    travel = toward_rig_travel(STATIONS, np.full(6, 60.0))
    leg, done = run_pass(take_tail_on(after), PassKind.PULLBACK, travel)
    found = _of(leg, book_turns(leg, 0.5, STATIONS), key)
    assert found[0] == pytest.approx(stretches, abs=1e-9)
    assert found[1:] == pytest.approx((outside, total), abs=1e-9)
    assert [m.key for m in done.at_rig[6:]] == ["t1", "t2", "t3", "t4", "t5", "t6"]


def test_a_tail_behind_a_swivel_takes_no_turns() -> None:
    still = tuple(Member(f"t{n}", "rod", 1.0, turns_with_string=False) for n in range(1, 7))
    rods = RodsOfBore(order=StringOrder(rig_side=_rods("a")), at_exit=still)
    travel = toward_rig_travel(STATIONS, 10.0 * np.arange(1, 7))
    leg, _ = run_pass(rods, PassKind.PRE_REAM, travel)
    booked = book_turns(leg, 0.5, STATIONS)
    assert booked.by_stretch[6:].sum() == 0
    assert booked.total[6:].sum() == 0
    assert booked.total[0] == pytest.approx(210)
