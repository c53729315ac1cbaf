"""The string in its clearance: time of our solution, and of a general finite-element library.

Asked: 50 ms for 100 rods, and at least 100 times faster than the library on the same mesh, which
gets our final contact set imposed and only has to find the bends. Run: python benchmarks/contact.py
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "unit" / "drillstring"))

from library_string import library_model, moments
from rods_in_holes import MID, wandering

from rodhand.drillstring.contact import solve_contact

RODS, REPEATS = 100, 5


def main() -> None:
    """Print milliseconds of both, their ratio and the largest difference of bends."""
    print(f"{RODS} mid rods, 100 mm hole, weight; best of {REPEATS}, library once")
    for planes in (1, 2):
        for force in (0.0, 20e3, -20e3):
            beam = wandering(MID, RODS, 3, planes, force, 0.100, 80.0)
            times = []
            for _ in range(REPEATS):
                start = time.perf_counter()
                solved = solve_contact(beam)
                times.append(time.perf_counter() - start)
            model = library_model(solved)
            start = time.perf_counter()
            model.analyze_PDelta()
            library = time.perf_counter() - start
            bend = moments(solved, model) / beam.tube_stiffness[:, None]
            apart = np.abs(bend - solved.tube_bend).max() / bend.max()
            print(f"{planes} plane(s) {force / 1e3:6.0f} kN: {1e3 * min(times):6.1f} ms in "
                  f"{solved.steps} steps, library {1e3 * library:7.0f} ms, "
                  f"{library / min(times):5.0f} times, bends apart {apart:.1e}")  # fmt: skip


if __name__ == "__main__":
    main()
