"""Random seasons of all kinds of passes: rods are conserved, and turns given are turns booked."""

from __future__ import annotations

from collections import Counter

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

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
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import Travel, pilot_travel, toward_rig_travel, travel_of

# Lengths are sums of quarters of a metre, so that positions are exact and ties are ties.
EDGES = np.array([0.0, 0.75, 2.0, 3.0, 5.5, 6.0, 9.0])


def _travel(draw: st.DrawFn, position: float, away: bool) -> Travel:
    """Rows of a pass with strokes back and forth and turns in place."""
    moves: list[tuple[float, float, float, int]] = []
    turns = st.floats(0, 500).map(lambda x: round(x, 3))
    for row in range(1, draw(st.integers(1, 5)) + 1):
        step = draw(st.sampled_from([0.5, 1.0, 2.0])) * (1 if away else -1)
        target = position + step
        if draw(st.booleans()):
            moves.append((position, position, draw(turns), row))
        if draw(st.booleans()):
            half = position + step / 2
            moves += [(position, half, draw(turns), row), (half, position, draw(turns), row)]
        moves.append((position, target, draw(turns), row))
        position = target
    return travel_of(moves)


def _by_double_loop(leg: Leg, along: float) -> np.ndarray:
    """Every member against every move, in plain arithmetic."""
    found = np.zeros((len(leg.order.members), len(EDGES) - 1))
    heads = leg.order.head_ends()
    for k, member in enumerate(leg.order.members):
        if not member.turns_with_string:
            continue
        for j in range(leg.joined[k], leg.left[k]):
            a = leg.travel.tool_from[j] - heads[k] - along
            b = leg.travel.tool_to[j] - heads[k] - along
            for i in range(len(EDGES) - 1):
                if a == b:
                    last = i == len(EDGES) - 2 and a == EDGES[-1]
                    found[k, i] += leg.travel.turns[j] * (EDGES[i] <= a < EDGES[i + 1] or last)
                else:
                    part = min(max(a, b), EDGES[i + 1]) - max(min(a, b), EDGES[i])
                    found[k, i] += leg.travel.turns[j] * max(part, 0.0) / abs(b - a)
    return found


def _changed(draw: st.DrawFn, rods: RodsOfBore) -> RodsOfBore:
    """Something that happens between two passes."""
    count = len(rods.order.rig_side)
    what = draw(st.sampled_from(["nothing", "lead off", "tail on", "swap", "lose", "fish"]))
    if what == "lead off":
        return lead_rods_off(rods, draw(st.integers(0, count)))
    if what == "tail on" and count == 0:
        return take_tail_on(rods)
    if what == "swap" and count and rods.at_rig:
        key = draw(st.sampled_from(rods.at_rig)).key
        return swap(rods, draw(st.integers(1, count)), key)
    if what == "lose":
        return lose(rods, draw(st.integers(0, count)))
    if what == "fish" and rods.lost:
        return fish(rods, [draw(st.sampled_from(rods.lost)).key])
    return rods


@st.composite
def seasons(draw: st.DrawFn) -> tuple[RodsOfBore, RodsOfBore, list[Leg]]:
    """What there was, what there is after a few passes, and the passes."""
    members = tuple(
        Member(f"r{n}", "rod", draw(st.sampled_from([0.5, 1.0, 1.25])), draw(st.integers(0, 9)) > 0)
        for n in range(draw(st.integers(2, 14)))
    )
    split = draw(st.integers(0, len(members)))
    start = rods = RodsOfBore(at_rig=members[:split], at_exit=members[split:])
    legs: list[Leg] = []
    position = 0.0
    for _ in range(draw(st.integers(1, 5))):
        kind = draw(st.sampled_from(PassKind))
        travel = _travel(draw, position, kind.away_from_rig)
        leg, rods = run_pass(rods, kind, travel, draw(st.sampled_from([0.0, 0.5, 1.25])))
        position = float(travel.tool_to[-1])
        legs.append(leg)
        rods = _changed(draw, rods)
    return start, rods, legs


@settings(max_examples=120, deadline=None)
@given(seasons())
def test_no_rod_is_made_or_forgotten(season: tuple[RodsOfBore, RodsOfBore, list[Leg]]) -> None:
    start, end, _ = season
    assert Counter(start.everything()) == Counter(end.everything())


@settings(max_examples=120, deadline=None)
@given(seasons(), st.sampled_from([0.0, 0.25, 0.5]))
def test_turns_given_are_turns_booked(
    season: tuple[RodsOfBore, RodsOfBore, list[Leg]], along: float
) -> None:
    for leg in season[2]:
        booked = book_turns(leg, along, EDGES)
        by_hand = _by_double_loop(leg, along)
        np.testing.assert_allclose(booked.by_stretch, by_hand, rtol=0, atol=2e-3)
        np.testing.assert_allclose(
            booked.by_stretch.sum(1) + booked.outside, booked.total, rtol=1e-9, atol=1e-9
        )
        given_turns = sum(
            leg.travel.turns[leg.joined[k] : leg.left[k]].sum()
            for k, member in enumerate(leg.order.members)
            if member.turns_with_string
        )
        assert np.isclose(booked.total.sum(), given_turns)
        assert booked.outside.min(initial=0.0) >= -1e-6


def test_two_strings_that_meet_become_one() -> None:
    """Hole of 9 m: four rods of 1 m from the entry, five from the exit; then pulled to the entry.

    The far rig's rod f1 (next to its tool, middle 0.5 m behind) turns from 9 - (S - 0.5): in its
    first row it goes from outside the exit to 8.5 m: half its turns in the last stretch, 8 to 9 m.
    """
    edges = np.arange(10.0)
    near = RodsOfBore(at_rig=tuple(Member(f"n{k}", "rod", 1.0) for k in range(1, 5)))
    far = RodsOfBore(at_rig=tuple(Member(f"f{k}", "rod", 1.0) for k in range(1, 6)))
    _, near = run_pass(near, PassKind.PILOT, pilot_travel(np.arange(5.0), np.full(4, 10.0)))
    leg, far = run_pass(far, PassKind.PILOT, pilot_travel(np.arange(6.0), np.full(5, 10.0)))
    told = book_turns(seen_from_other_end(leg, 9.0), 0.5, edges)
    assert list(told.by_stretch[0]) == [0, 0, 0, 0, 5, 10, 10, 10, 10]
    assert told.total[0] == 50
    one = meet(near, far)
    assert [m.key for m in one.order.tail] == ["f1", "f2", "f3", "f4", "f5"]
    pull = toward_rig_travel(np.arange(5.0), np.full(4, 10.0))
    leg, one = run_pass(one, PassKind.PULLBACK, pull)
    assert [m.key for m in one.at_rig] == ["n4", "n3", "n2", "n1"]
    # f1 is drawn from 4.5 m to 0.5 m
    assert list(book_turns(leg, 0.5, edges).by_stretch[4]) == [5, 10, 10, 10, 5, 0, 0, 0, 0]
