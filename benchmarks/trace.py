"""A bad end traced through a million make-ups: asked is less than one second.

Run: python benchmarks/trace.py
"""

from __future__ import annotations

import time

import numpy as np

from rodhand.wear.tracing import MakeUps, likely_sources, spread

MAKE_UPS, RODS, SUBS, REPEATS = 1_000_000, 4_000, 40, 3


def invented() -> MakeUps:
    """Forty subs and four thousand rods that wander between them: nearly all is reached."""
    rng = np.random.default_rng(7)
    rig = rng.integers(0, SUBS, MAKE_UPS)
    rod, beside = rng.integers(0, RODS, (2, MAKE_UPS))
    sub = 2 * RODS + rig
    pin = np.where(rng.random(MAKE_UPS) < 0.5, sub, beside)
    known = rng.integers(0, 4, MAKE_UPS)
    return MakeUps(pin, RODS + rod, np.arange(MAKE_UPS), known, 2 * RODS + SUBS)


def main() -> None:
    """Print the seconds of both directions, best of three."""
    make_ups = invented()
    found_at = np.full(make_ups.ends, -1)
    found_at[RODS : RODS + 50] = MAKE_UPS
    for name, asked in (
        ("forward, 3 hands", lambda: spread(make_ups, 2 * RODS)),
        ("forward, any hands", lambda: spread(make_ups, 2 * RODS, make_ups.ends)),
        ("backward", lambda: likely_sources(make_ups, RODS, found_at)),
    ):
        times = []
        for _ in range(REPEATS):
            start = time.perf_counter()
            asked()
            times.append(time.perf_counter() - start)
        print(f"{name}: {min(times):.2f} s for {MAKE_UPS} make-ups")


if __name__ == "__main__":
    main()
