"""What a bad end reached: against all ways on small cases, one pass in time on large ones."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import csr_array

from rodhand.wear.tracing import MakeUps, likely_sources, spread

Row = tuple[int, int, int, int]
PINS, BOXES = 4, 4

ROWS = st.lists(
    st.tuples(
        st.integers(0, PINS - 1), st.integers(PINS, PINS + BOXES - 1),
        st.integers(0, 6), st.integers(0, 3),
    ),
    max_size=11,
).map(lambda rows: sorted(rows, key=lambda row: row[2]))  # fmt: skip


def _make_ups(rows: list[Row], ends: int = PINS + BOXES) -> MakeUps:
    table = np.array(rows, dtype=np.int64).reshape(-1, 4)
    return MakeUps(table[:, 0], table[:, 1], table[:, 2], table[:, 3], ends)


def _all_ways(rows: list[Row], bad: int, furthest: int) -> dict[int, tuple[int, int]]:
    """Fewest hands and the surest such way, from every way there is."""
    best = {bad: (0, 0)}

    def walk(end: int, at: int, hands: int, worst: int) -> None:
        best[end] = min(best.get(end, (hands, worst)), (hands, worst))
        if hands == furthest:
            return
        for pin, box, order, known in rows:
            if order > at and end in (pin, box):
                walk(box if end == pin else pin, order, hands + 1, max(worst, known))

    walk(bad, -1, 0, 0)
    return best


@given(ROWS, st.integers(0, PINS + BOXES - 1), st.integers(1, 7))
def test_the_same_as_every_way_walked(rows: list[Row], bad: int, furthest: int) -> None:
    reached = spread(_make_ups(rows), bad, furthest)
    found = {
        end: (int(reached.hands[end]), int(reached.known[end]))
        for end in range(PINS + BOXES)
        if reached.hands[end] >= 0
    }
    assert found == _all_ways(rows, bad, furthest)


@given(ROWS, st.integers(0, PINS + BOXES - 1))
def test_the_make_up_of_arrival_comes_from_one_hand_nearer(rows: list[Row], bad: int) -> None:
    reached = spread(_make_ups(rows), bad, 7)
    for end in np.flatnonzero(reached.hands > 0):
        pin, box, _, known = rows[reached.by[end]]
        assert end in (pin, box)
        nearer = box if end == pin else pin
        assert 0 <= reached.hands[nearer] < reached.hands[end]
        assert known <= reached.known[end]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_same_as_one_pass_through_time(seed: int) -> None:
    """Larger: each make-up in turn hands on the fewer hands of its two ends, plus one."""
    rng = np.random.default_rng(seed)
    n, ends = 20_000, 1_200
    pin, box = rng.integers(0, ends // 2, n), rng.integers(ends // 2, ends, n)
    known = rng.integers(0, 4, n)
    make_ups = MakeUps(pin, box, np.arange(n), known, ends)
    reached = spread(make_ups, 5, ends)
    many = 10**9
    for level in range(4):
        hands = [many] * ends
        hands[5] = 0
        for a, b, sure in zip(pin.tolist(), box.tolist(), known.tolist(), strict=True):
            if sure <= level:
                hands[a], hands[b] = min(hands[a], hands[b] + 1), min(hands[b], hands[a] + 1)
        for end, count in enumerate(hands):
            if 0 <= reached.known[end] <= level and end != 5:
                assert reached.hands[end] == count
            elif count < many:
                assert 0 <= reached.hands[end] < count or end == 5
    assert [h if h < many else -1 for h in hands] == reached.hands.tolist()


def test_the_same_as_shortest_ways_in_a_graph_of_time() -> None:
    """networkx's shortest ways: each end at each of its make-ups is a place in the graph.

    Waiting for the next make-up costs next to nothing, crossing a joint costs 1.
    """
    rng = np.random.default_rng(8)
    n, ends, wait = 40_000, 4_000, 1e-6
    pin, box = rng.integers(0, ends // 2, n), rng.integers(ends // 2, ends, n)
    reached = spread(MakeUps(pin, box, np.arange(n), np.zeros(n, dtype=np.int64), ends), 5, ends)
    at_pin, at_box = np.arange(n), n + np.arange(n)
    who = np.concatenate([pin, box])
    by_time = np.lexsort((np.concatenate([np.arange(n), np.arange(n)]), who))
    on = who[by_time][:-1] == who[by_time][1:]
    # A joint hands on after it was made: from before it at one end to the next of the other.
    after = np.full(2 * n, 2 * n)
    after[by_time[:-1][on]] = by_time[1:][on]
    start, last = 2 * n + 1 + 5, 2 * n + 1
    rows, columns, costs = [], [], []
    for here, there in ((at_pin, at_box), (at_box, at_pin)):
        rows += [here, here]
        columns += [after[here], np.where(after[there] < 2 * n, after[there], 2 * n)]
        costs += [np.full(n, wait), np.full(n, 1.0)]
    first = np.full(ends, -1)
    first[who[by_time][::-1]] = by_time[::-1]
    rows.append(np.array([start]))
    columns.append(np.array([first[5]]))
    costs.append(np.array([wait]))
    # Arrivals: an end is reached by the joint it was in, whatever comes after.
    for here, other in ((at_pin, box), (at_box, pin)):
        rows.append(here)
        columns.append(last + other)
        costs.append(np.full(n, 1.0))
    i, j, cost = np.concatenate(rows), np.concatenate(columns), np.concatenate(costs)
    kept = (j != 2 * n) & (j != start)
    graph = csr_array((cost[kept], (i[kept], j[kept])), shape=(last + ends, last + ends))
    ways = nx.from_scipy_sparse_array(graph, create_using=nx.DiGraph)
    far = nx.single_source_dijkstra_path_length(ways, start)
    hands = np.array([int(far.get(last + end, -1.0)) for end in range(ends)])
    hands[5] = 0
    assert hands.tolist() == reached.hands.tolist()
    assert (hands > 3).sum() > 100


def test_nothing_goes_back_in_time() -> None:
    """Box 4 met pin 1 before pin 0 spoiled it: pin 1 is out of it; pin 2 came after."""
    reached = spread(_make_ups([(1, 4, 1, 0), (0, 4, 2, 0), (2, 4, 3, 2), (2, 5, 4, 0)]), 0)
    assert reached.hands.tolist() == [0, -1, 2, -1, 1, 3, -1, -1]
    assert reached.known.tolist() == [0, -1, 2, -1, 0, 2, -1, -1]


def test_the_pin_that_spoiled_most_comes_first() -> None:
    """Pin 0 met boxes 4..7 and three were found bad after; pin 1 met two, one bad; pin 2 one."""
    rows = [(0, 4, 1, 0), (0, 5, 2, 0), (0, 6, 3, 1), (0, 7, 4, 0), (1, 4, 5, 2), (1, 7, 6, 0),
            (2, 4, 7, 0), (3, 4, 9, 0)]  # fmt: skip
    found_at = np.array([-1, -1, -1, -1, 8, 8, 8, -1])
    suspects = likely_sources(_make_ups(rows), 4, found_at)
    assert suspects.end.tolist() == [0, 2, 1]  # pin 3 came after it was found
    assert suspects.spoiled.tolist() == [3, 1, 1]
    assert suspects.met.tolist() == [4, 1, 2]
    assert suspects.known.tolist() == [0, 0, 2]


def test_an_end_found_bad_before_it_met_a_suspect_says_nothing_against_it() -> None:
    found_at = np.array([-1, -1, -1, -1, 8, 1, -1, -1])
    suspects = likely_sources(_make_ups([(0, 5, 2, 0), (0, 4, 3, 0)]), 4, found_at)
    assert (suspects.spoiled.tolist(), suspects.met.tolist()) == ([1], [2])


@pytest.mark.parametrize("rows", [[(0, 4, 2, 0), (1, 4, 1, 0)], [(0, 9, 1, 0)], [(-1, 4, 1, 0)]])
def test_what_is_no_list_of_make_ups_is_refused(rows: list[Row]) -> None:
    with pytest.raises(ValueError, match="make-up"):
        _make_ups(rows)
