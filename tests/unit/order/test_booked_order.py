"""Several booked bores together: against every way of a small box, and the bound below it."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from rodhand.advice.booked_case import BookedBore, BookedCase
from rodhand.advice.booked_order import booked_plan, booked_turnings
from rodhand.advice.box_hands import BoxKind, Rows, after_bore, make_list, replay
from rodhand.advice.hazard_lines import hazard, line_below, most_over_chance
from rodhand.book.order.order_case import box_kinds
from rodhand.wear.chance import rod_chance
from rodhand.wear.chance_table import spread_of

KINDS = tuple(box_kinds().values())
SLOPES = (3.0, 4.7, 4.7, 4.7, 3.0)
BOX: Rows = (("a", "b"), ("c", "d"))


def case_of(
    kind: BoxKind, seed: int, bores: int, move: float, costs: float = 1.0, worn: float = 1.0
) -> BookedCase:
    rng = np.random.default_rng(seed)
    means = worn * rng.lognormal(-2.5, 0.8, (4, 1)) * rng.lognormal(0.0, 0.2, (4, 5))
    places = np.array([0.05, 0.02, 0.01, 0.005])
    booked = tuple(
        BookedBore(f"B{k}", places[:, None] * rng.lognormal(0.0, 0.3, (4, 5)), costs**k,
                   np.zeros((4, 4), dtype=bool))
        for k in range(bores)
    )  # fmt: skip
    return BookedCase(kind, BOX, (), 2, means, spread_of(SLOPES), booked, move)


def least_of_all(case: BookedCase, box: Rows, means: np.ndarray, k: int) -> float:
    """Every order before every bore, its breaks by the scalar formula."""
    if k == len(case.bores):
        return 0.0
    bore, rods, least = case.bores[k], case.rods, float("inf")
    turn = tuple(range(1, len(box) + 1))
    for some in permutations(rods):
        wanted = (some[:2], some[2:])
        for rows in [turn] if case.kind.rows_in_turn else permutations(turn):
            todo = make_list(case.kind, box, wanted, rows)
            cost, after = case.move_cost * todo.lifted, means.copy()
            for place, rod in enumerate(todo.order):
                who = rods.index(rod)
                cost += bore.break_cost * rod_chance(means[who], bore.added[place], SLOPES)
                after[who] += bore.added[place]
            if cost < least:
                left = after_bore(case.kind, wanted, 2, rows, 4)
                least = min(least, cost + least_of_all(case, left, after, k + 1))
    return least


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("seed", "move", "costs", "worn"),
    [(1, 0.0, 1.0, 1.0), (2, 0.002, 1.0, 1.0), (3, 0.001, 5.0, 1.0), (4, 0.001, 0.2, 10.0)],
)
def test_plan_and_bound_stand_either_side_of_the_least_of_two_bores(
    kind: BoxKind, seed: int, move: float, costs: float, worn: float
) -> None:
    """No way costs less than the bound, the plan is at most its gap above the least.

    Rods ten times as worn stand where hazard falls with damage.
    """
    case = case_of(kind, seed, 2, move, costs, worn)
    found, least = booked_plan(case), least_of_all(case, BOX, case.means, 0)
    assert found.bound <= least * (1.0 + 1e-9) <= found.cost * (1.0 + 2e-9)
    assert found.cost <= least * (1.0 + found.gap) * (1.0 + 1e-9)
    assert found.cost <= min(way.cost for way in booked_turnings(case)) * (1.0 + 1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_hands_can_follow_every_list(kind: BoxKind) -> None:
    """Each bore's list is replayed on the box that the bore before it left."""
    case = case_of(kind, 4, 4, 0.0001)
    found = booked_plan(case)
    box = case.box
    for lies, way in zip(found.boxes, found.ways, strict=True):
        assert lies == box
        assert replay(kind, lies, 2, (), way.todo) == way.box
        box = after_bore(kind, way.box, 2, way.todo.rows, 4)


def test_a_move_that_pays_only_over_several_bores_is_made() -> None:
    """One worn rod in the lead: a move costs more than one bore's break there, less than five's."""
    means = np.full((2, 5), 0.001)
    means[0] = 0.3
    bore = BookedBore("B", np.array([[0.01] * 5, [0.0001] * 5]), 1.0, np.zeros((2, 2), dtype=bool))
    risk = rod_chance(means[0], bore.added[0], SLOPES)
    one = BookedCase(KINDS[2], (("a", "b"),), (), 2, means, spread_of(SLOPES), (bore,), risk)
    five = BookedCase(KINDS[2], (("a", "b"),), (), 2, means, spread_of(SLOPES), (bore,) * 5, risk)
    assert booked_plan(one).lifted == 0
    assert booked_plan(five).ways[0].todo.order == ("b", "a")


@pytest.mark.parametrize("worn", [0.01, 0.3, 3.0])
def test_lines_stand_below_hazard_and_over_chance_above(worn: float) -> None:
    """At random damages added: the line is never above the hazard, h - p never above its most."""
    rng = np.random.default_rng(7)
    spread, most = spread_of(SLOPES), np.full(5, 0.4)
    means, touch = worn * rng.lognormal(0.0, 0.5, (6, 5)), rng.random((6, 5)) * most
    level, slope = line_below(means, spread, touch, most)
    begun = hazard(means, spread)
    for share in rng.random((50, 6, 5)):
        rises = hazard(means + share * most, spread) - begun
        assert (level + slope * share * most <= rises + 1e-12).all()
    added = rng.random((3, 5)) * 0.1
    over = most_over_chance(means, spread, most, added)
    before = rng.random((6, 5)) * (most - 0.1)
    for r in range(6):
        for p in range(3):
            h = (hazard(means[r] + before[r] + added[p], spread)
                 - hazard(means[r] + before[r], spread)).sum()  # fmt: skip
            chance = rod_chance(means[r] + before[r], added[p], SLOPES)
            assert h - chance <= over[r, p] + 1e-12


def test_gap_of_forty_rods_over_five_bores_is_small() -> None:
    """Rods to be moved once and then left: what moves cost stands in the bound."""
    rng = np.random.default_rng(2)
    means = rng.lognormal(-3.0, 1.0, (40, 1)) * rng.lognormal(0.0, 0.3, (40, 5))
    added = np.linspace(0.01, 0.0, 40)[:, None] * np.ones(5)
    bore = BookedBore("B", added, 1000.0, np.zeros((40, 40), dtype=bool))
    box = tuple(tuple(f"{r}-{k}" for k in range(10)) for r in range(4))
    case = BookedCase(KINDS[0], box, (), 10, means, spread_of(SLOPES), (bore,) * 5, 1.0)
    assert booked_plan(case).gap < 0.02
