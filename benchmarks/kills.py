"""1,000 kills of a writer at random moments: is anything lost that was acknowledged?

Run: python benchmarks/kills.py [KILLS]
A kill of the process is tested here, not a loss of power.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "tests" / part) for part in ("contract", "")]

from killing import kill_many  # noqa: E402

KILLS_OF_ONE_BOOK = 50


def main(kills: int) -> int:
    """Kill, count and tell; 1 if anything was wrong."""
    start = time.perf_counter()
    acknowledged, wrong = 0, []
    for seed in range(-(-kills // KILLS_OF_ONE_BOOK)):
        with tempfile.TemporaryDirectory() as folder:
            count = min(KILLS_OF_ONE_BOOK, kills - seed * KILLS_OF_ONE_BOOK)
            heard, found = kill_many(Path(folder) / "book", count, 1000 + seed)
        acknowledged += heard
        wrong += found
    seconds = time.perf_counter() - start
    print(f"{kills} kills, {acknowledged} entries acknowledged, {seconds:.0f} s")
    print("\n".join(wrong) or "nothing lost, no half call, every chain holds")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
