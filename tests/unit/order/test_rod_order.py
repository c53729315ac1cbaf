"""The order of rods against every permutation of small boxes, and its parts by hand."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from rodhand.advice.box_hands import BoxKind, Rows, make_list
from rodhand.advice.order_case import FORBIDDEN, OrderCase
from rodhand.advice.place_prices import settled, shared_out
from rodhand.advice.rod_order import cheapest, pays, planned, turnings
from rodhand.book.order.order_case import box_kinds
from rodhand.wear.chance import rod_chance
from rodhand.wear.chance_table import chance_table, spread_of

KINDS = tuple(box_kinds().values())
STACKS = KINDS[1]
SLOPES = (3.0, 4.7, 4.7, 4.7, 3.0)


def case_of(kind: BoxKind, box: Rows, beside: tuple[str, ...], places: int, seed: int,
            move: float) -> OrderCase:  # fmt: skip
    rng = np.random.default_rng(seed)
    rods = sum(map(len, box)) + len(beside)
    chance = rng.random((rods, 1)) * rng.random((1, places)) * 0.02 + 0.001 * rng.random(
        (rods, places)
    )
    return OrderCase(kind, box, beside, max(map(len, box)), chance, chance,
                     np.zeros_like(chance, dtype=bool), 1.0, move)  # fmt: skip


def least_of_all(case: OrderCase) -> float:
    """Every order of every rod in every place, told one by one."""
    sizes = [len(row) for row in case.box]
    count, rods = sum(sizes), case.rods
    turn = tuple(range(1, len(sizes) + 1))
    free = not case.kind.rows_in_turn
    least = float("inf")
    for some in permutations(rods, count):
        box, at = [], 0
        for size in sizes:
            box.append(some[at : at + size])
            at += size
        for rows in permutations(turn) if free else [turn]:
            todo = make_list(case.kind, case.box, tuple(box), rows)
            used = todo.order[: case.chance.shape[1]]
            breaks = sum(case.chance[rods.index(rod), k] for k, rod in enumerate(used))
            least = min(least, breaks * case.break_cost + todo.lifted * case.move_cost)
    return least


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("move", [0.0, 0.0005, 0.003])
def test_one_bore_is_the_least_of_all_orders(kind: BoxKind, seed: int, move: float) -> None:
    case = case_of(kind, (("a", "b", "c"), ("d", "e", "f")), (), 5, seed, move)
    found = planned(case)
    assert found.cost == pytest.approx(least_of_all(case), rel=1e-7)
    assert found.gap == pytest.approx(0.0, abs=1e-7)
    assert found.cost <= cheapest(turnings(case)).cost * (1.0 + 1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_rods_from_beside_the_box_come_in_where_that_pays(kind: BoxKind) -> None:
    case = case_of(kind, (("a", "b"), ("c", "d")), ("x", "y"), 4, 7, 0.0005)
    assert planned(case).cost == pytest.approx(least_of_all(case), rel=1e-7)


BOXES: tuple[Rows, ...] = (
    (("a", "b"), ("c", "d"), ("e", "f")),
    (("a",), ("b", "c", "d", "e"), ("f",)),
    (("a", "b", "c", "d", "e", "f"),),
)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("box", BOXES)
@pytest.mark.parametrize("move", [0.0002, 0.001])
def test_rows_of_any_number_and_size_are_the_least_of_all(
    kind: BoxKind, box: Rows, move: float
) -> None:
    case = case_of(kind, box, (), 6, 11, move)
    found, least = planned(case), least_of_all(case)
    assert found.cost == pytest.approx(least, rel=1e-7)
    assert found.bound == pytest.approx(least, rel=1e-7)


@pytest.mark.parametrize("seed", range(6))
def test_a_search_that_stops_early_tells_a_bound_below_the_least(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two assignments and no more: what it found costs more than the least, the bound less."""
    monkeypatch.setattr("rodhand.advice.rows_search.TRIES", 2)
    monkeypatch.setattr("rodhand.advice.rows_search.MOST_TRIES", 2)
    case = case_of(STACKS, (("a", "b", "c"), ("d", "e", "f")), (), 6, seed, 0.0005)
    found, least = planned(case), least_of_all(case)
    assert found.bound <= least * (1.0 + 1e-9) <= found.cost * (1.0 + 2e-9)


@pytest.mark.parametrize("size", [1, 7, 40])
def test_what_rods_of_a_row_pay_never_passes_what_is_lifted(size: int) -> None:
    """The upper k pay k moves at most, for every k, and all of them together all of them."""
    shares = shared_out(np.random.default_rng(size).normal(0.0, 5.0, size))
    assert (np.cumsum(shares) <= np.arange(1, size + 1) + 1e-9).all()
    assert shares.sum() == pytest.approx(size)


def test_prices_make_every_rod_content_with_its_place() -> None:
    """Optimality of an assignment: no rod finds another place cheaper at these prices (duality)."""
    cost = np.random.default_rng(5).random((30, 30))
    _, at = linear_sum_assignment(cost)
    prices = settled(cost, at, np.zeros(30))
    assert (cost - prices).min(axis=1) == pytest.approx((cost - prices)[np.arange(30), at])
    assert (cost - prices).min(axis=1).sum() + prices.sum() == pytest.approx(
        cost[np.arange(30), at].sum()
    )


def test_a_dear_move_is_not_made_and_a_free_one_is() -> None:
    """Worn rod in the lead, new one behind: swapped at no price, left when moves cost too much."""
    chance = np.array([[0.2, 0.02], [0.02, 0.002]])
    for move, order, pay in ((0.0, ("b", "a"), True), (1.0, ("a", "b"), False)):
        case = OrderCase(KINDS[2], (("a", "b"),), (), 2, chance, chance,
                         np.zeros((2, 2), dtype=bool), 1.0, move)  # fmt: skip
        plan, kept = planned(case), turnings(case)[0]
        assert plan.todo.order == order
        assert pays(plan, kept) is pay
        assert plan.breaks == pytest.approx(0.04 if pay else 0.202)


def test_a_forbidden_place_is_taken_only_for_want_of_others() -> None:
    chance = np.array([[0.001, 0.001], [0.5, 0.5], [0.4, 0.4]])
    forbidden = np.array([[True, True], [False, False], [False, False]])
    case = OrderCase(KINDS[2], (("a", "b", "c"),), (), 3, chance, chance, forbidden, 1.0, 1e-6)
    found = planned(case)
    assert (found.against, found.todo.order[2]) == (0, "a")
    worse = OrderCase(KINDS[2], (("a", "b"),), (), 2, chance[:2], chance[:2], forbidden[:2], 1.0,
                      1e-6)  # fmt: skip
    assert planned(worse).against == 1
    assert FORBIDDEN > 100.0


def test_equal_costs_are_decided_by_the_worst_rod() -> None:
    """All chances alike: the most used rod goes where least is added."""
    chance = np.full((2, 2), 0.01)
    worn = np.array([[0.9, 0.6], [0.5, 0.2]])
    case = OrderCase(KINDS[2], (("a", "b"),), (), 2, chance, worn, np.zeros((2, 2), dtype=bool),
                     1.0, 0.0)  # fmt: skip
    assert planned(case).todo.order == ("b", "a")


def test_chance_table_is_the_scalar_formula() -> None:
    """Against `rod_chance`, which counts with erf of the standard library, not scipy."""
    rng = np.random.default_rng(3)
    means, added = rng.lognormal(-3, 1, (4, 5)), rng.lognormal(-5, 1, (6, 5))
    means[0] = 0.0
    found = chance_table(means, added, spread_of(SLOPES))
    for r in range(4):
        for p in range(6):
            expected = rod_chance(means[r], added[p], SLOPES)
            assert found[r, p] == pytest.approx(expected, rel=1e-6, abs=1e-15)
