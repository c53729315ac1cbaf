"""Invented states in both planes: is a limit ever broken, is an end that is known reached?

Run: python benchmarks/way_around_states.py [STATES]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(HERE / "unit" / "hole")]

from test_hole_way_around import as_good, breaks_nothing, found, state  # noqa: E402

STATES = 10_000


def main() -> None:
    """Print how many broke a limit, fell short of a known way, or cost more, and the time."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else STATES
    broken, short, dearer, slowest = 0, 0, 0, 0.0
    for seed in range(count):
        one = state(seed)
        begun = time.perf_counter()
        way = found(one)
        slowest = max(slowest, time.perf_counter() - begun)
        broken += way is not None and not breaks_nothing(one, way)
        if way is None or not way.reached:
            short += 1
        elif not as_good(one, way):
            dearer += 1
    print(f"{count} states: {broken} past a limit; {short} not reached though a way is known, "
          f"{dearer} dearer than it; slowest {slowest:.2f} s")  # fmt: skip


if __name__ == "__main__":
    main()
