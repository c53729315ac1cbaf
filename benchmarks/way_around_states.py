"""Invented states in both planes: is a limit ever broken, is the end reached, and how dearly?

Run: python benchmarks/way_around_states.py [STATES] [FIRST SEED]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(HERE / "unit" / "hole")]

from invented_ways import dearer_by, found, past_a_limit, state  # noqa: E402

STATES = 10_000


def main() -> None:
    """Print how many broke a limit or fell short of the grid's end, and the dearest against it."""
    count, first = (*map(int, sys.argv[1:]), *(STATES, 0)[len(sys.argv) - 1 :])
    broken, short, over, slowest = 0, 0, [], 0.0
    for seed in range(first, first + count):
        one = state(seed)
        begun = time.process_time()
        way = found(one)
        slowest = max(slowest, time.process_time() - begun)
        broken += way is not None and past_a_limit(one, way)
        if way is None or not way.reached:
            short += 1
            print(f"seed {seed}: not reached", flush=True)
        else:
            over.append((dearer_by(one, way), seed))
    dearest, seed = max(over)
    print(
        f"{count} states from seed {first}: {broken} past a limit, {short} not reached where the "
        f"grid gets there; {sum(share > 0.01 for share, _ in over)} more than 1 % dearer than the "
        f"grid, the dearest by {100.0 * dearest:.2f} % (seed {seed}); the slowest took "
        f"{slowest:.2f} s of the processor"
    )


if __name__ == "__main__":
    main()
