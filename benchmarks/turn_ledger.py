"""The turn ledger against a plain double loop, and how its cost grows.

Run: python benchmarks/turn_ledger.py [RODS ...]
Prints a table; nothing is gated on it.
"""

from __future__ import annotations

import sys
import time
from bisect import bisect_right
from collections.abc import Callable

import numpy as np

from rodhand.drillstring.ledger import book_turns
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import pilot_travel

ROD_LENGTH = 3.048
SIZES = (50, 150, 500, 1500)
LOOP_UP_TO = 500


def bore(rods: int, strokes: bool) -> tuple[Leg, np.ndarray]:
    """A pilot of so many rods; with strokes each row is cut in two by a pushed stretch."""
    stations = ROD_LENGTH * np.arange(rods + 1)
    turns = 100.0 + 400.0 * np.random.default_rng(1).random(rods)
    push_from = stations[:-1] + 1.0 if strokes else None
    push_to = stations[:-1] + 2.0 if strokes else None
    travel = pilot_travel(stations, turns, push_from, push_to)
    members = tuple(Member(f"{k}", "rod", ROD_LENGTH) for k in range(rods))
    leg, _ = run_pass(RodsOfBore(at_rig=members), PassKind.PILOT, travel)
    return leg, stations


def double_loop(leg: Leg, along: float, edges: list[float]) -> list[list[float]]:
    """Every rod against every row, each row's turns shared among the stretches it crosses."""
    tool_from, tool_to = leg.travel.tool_from.tolist(), leg.travel.tool_to.tolist()
    turns, heads = leg.travel.turns.tolist(), leg.order.head_ends().tolist()
    booked = [[0.0] * (len(edges) - 1) for _ in heads]
    for k, head in enumerate(heads):
        for j, turned in enumerate(turns):
            a, b = tool_from[j] - head - along, tool_to[j] - head - along
            for i in range(max(bisect_right(edges, a) - 1, 0), len(edges) - 1):
                part = min(b, edges[i + 1]) - max(a, edges[i])
                if part <= 0.0:
                    break
                booked[k][i] += turned * part / (b - a)
    return booked


def best_time(job: Callable[[], object], least: float = 0.3) -> float:
    """Shortest time of repeated runs. [s]"""
    times: list[float] = []
    while sum(times) < least:
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return min(times)


def main(sizes: tuple[int, ...]) -> None:
    """Print one line per size, whole rows and rows with a pushed stretch."""
    print("rods  moves  ledger ms  loop ms  times faster  ns per rod x station  worst difference")
    for rods in sizes:
        for strokes in (False, True):
            leg, edges = bore(rods, strokes)
            fast = best_time(lambda: book_turns(leg, ROD_LENGTH / 2, edges))  # noqa: B023
            line = f"{rods:4d}  {len(leg.travel):5d}  {1e3 * fast:9.3f}"
            each = f"{1e9 * fast / rods**2:20.1f}"
            if rods > LOOP_UP_TO:
                print(f"{line}  {'-':>7}  {'-':>12}  {each}  -")
                continue
            as_list = edges.tolist()
            slow = best_time(lambda: double_loop(leg, ROD_LENGTH / 2, as_list))  # noqa: B023
            found = book_turns(leg, ROD_LENGTH / 2, edges).by_stretch
            worst = np.abs(found - np.array(double_loop(leg, ROD_LENGTH / 2, as_list))).max()
            print(f"{line}  {1e3 * slow:7.1f}  {slow / fast:12.0f}  {each}  {worst:.1e} turns")


if __name__ == "__main__":
    main(tuple(int(a) for a in sys.argv[1:]) or SIZES)
