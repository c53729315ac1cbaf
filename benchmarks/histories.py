"""Random histories of a rig: what must hold of every one, by count and time.

Run: python benchmarks/histories.py [COUNT] [FIRST]
Seeds FIRST to FIRST + COUNT - 1, so a long run can be made in slices; a seed names its history.
Of each: turns over rods equal turns over places, any order of arrival and of typing gives the
same book, and saying less about who stood where narrows no band.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from pathlib import Path

TESTS = Path(__file__).parents[1] / "tests"
sys.path[:0] = [str(TESTS), str(TESTS / "unit" / "identity")]

from history_properties import findings_of  # noqa: E402
from random_histories import random_history  # noqa: E402


def main(count: int, first: int) -> int:
    """Make up, check and tell; 1 if anything does not hold."""
    start = time.perf_counter()
    wrong = bores = entries = 0
    less: Counter[str] = Counter()
    for seed in range(first, first + count):
        dice = random.Random(seed)
        history = random_history(dice)
        found = findings_of(history, dice)
        bores += len(history.of_kind("bore"))
        entries += len(history.events)
        less[found.said_less] += 1
        wrong += bool(found.faults)
        for fault in found.faults[:3]:
            print(f"seed {seed}: {fault}", flush=True)
    seconds = time.perf_counter() - start
    told = ", ".join(f"{way or 'nothing to leave out'} {n}" for way, n in sorted(less.items()))
    print(f"{count} histories from seed {first}, {bores} bores, {entries} entries, {seconds:.0f} s")
    print(f"said less: {told}")
    print(f"{wrong} with something that does not hold" if wrong else "everything holds")
    return 1 if wrong else 0


if __name__ == "__main__":
    numbers = [int(text) for text in sys.argv[1:3]]
    sys.exit(main(*numbers, *(10_000, 0)[len(numbers) :]))
