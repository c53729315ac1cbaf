"""Fifty invented over-steers: what each choice is said to cost, against a book that drilled it.

Run: python benchmarks/over_steers.py
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(HERE), str(HERE / "unit" / "rig_day")]

from test_over_steer_choices import worst_difference  # noqa: E402

COUNT = 50


def main() -> None:
    """Print the largest share by which a printed cost differs from the book's."""
    start = time.perf_counter()
    worst = max(worst_difference(seed) for seed in range(COUNT))
    print(f"{COUNT} over-steers, every choice and rod: largest difference {worst:.1e} of the cost")
    print(f"{time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
