"""Rates of planted truths found, and false findings, on 20 invented seasons.

Asked: leading rods and the saver sub on at least 18 of 20, the others on 20 of 20; a season with
nothing planted raises at most 2 false findings. Run: python benchmarks/planted_truths.py
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "unit" / "book"))

from found_truths import FINDERS, Score, score, worked

SEEDS = range(20)


def _scores(seed: int) -> tuple[int, Score, Score]:
    both = score(seed), score(seed, planted=False)
    worked.cache_clear()
    return seed, *both


def main() -> None:
    """Print one line per truth and the false findings of every seed."""
    with ProcessPoolExecutor(max_workers=2) as pool:
        rows = list(pool.map(_scores, SEEDS))
    for key in FINDERS:
        missed = [seed for seed, planted, _ in rows if not planted.found[key]]
        print(f"{key:14} {len(rows) - len(missed):2} of {len(rows)}  missed on seeds {missed}")
    print("false findings, planted:", {seed: planted.false for seed, planted, _ in rows})
    print("false findings, nothing planted:", [len(bare.false) for _, _, bare in rows])


if __name__ == "__main__":
    main()
