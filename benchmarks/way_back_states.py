"""10,000 invented states of a pilot: does a way back ever bend a rod past its room?"""

from __future__ import annotations

import math

import numpy as np

from rodhand.hole.way_back import depth_gained, way_back

STATES = 10_000


def main() -> None:
    """Print what was reached, and the sharpest rod against its room."""
    draw = np.random.default_rng(7)
    reached, past, sharpest, off = 0, 0, 0.0, 0.0
    for _ in range(STATES):
        rods, room = int(draw.integers(1, 13)), draw.uniform(0.005, 0.1)
        start = draw.uniform(-0.4, 0.4)
        wanted = start + draw.uniform(-1.2, 1.2) * room * rods
        wanted = min(max(wanted, -1.2), 1.2)
        depth = -3.0 * rods * math.sin((start + wanted) / 2)
        depth += draw.uniform(-1, 1) * room * rods**2
        found = way_back(start, wanted, depth, rods, 3.0, room)
        share = float(np.max(np.abs(np.diff(np.concatenate(([start], found.pitch)))))) / room
        sharpest, past = max(sharpest, share), past + (share > 1.0 + 1e-9)
        if found.reached:
            reached += 1
            off = max(off, abs(float(depth_gained(start, found.pitch, 3.0)[-1]) - depth))
    print(f"{STATES} states, {reached} reached, {past} past their room")
    print(f"sharpest rod over its room {sharpest:.10f}; depth missed where reached {off:.1e} m")


if __name__ == "__main__":
    main()
