"""How long a plan takes: 8 that can be drilled, 20 that cannot with each change planned.

The plans are those of tests/unit/plan. CPU seconds, so that other work on the machine does not
count.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "unit" / "plan"))

from test_plan_paths import IMPOSSIBLE, POSSIBLE

from rodhand.hole.plan_refusal import why_refused
from rodhand.hole.planned_path import plan_paths


def main() -> None:
    """Print seconds by plan, and the slowest of each kind."""
    planned, refused, proved = [], [], []
    for ask in POSSIBLE:
        begun = time.process_time()
        assert len(plan_paths(ask)) == 3
        planned.append(time.process_time() - begun)
    for reason, _, ask in IMPOSSIBLE:
        begun = time.process_time()
        found = why_refused(ask)
        refused.append(time.process_time() - begun)
        assert found is not None
        assert found.reason == reason
        paths = [plan_paths(change.ask) for change in found.changes]
        proved.append(time.process_time() - begun)
        assert all(paths)
        print(f"{reason}: {refused[-1]:.2f} s, with {len(paths)} changes planned {proved[-1]:.2f}")
    print(f"three candidates: at most {max(planned):.2f} s of {len(planned)} plans")
    print(f"refused with its changes: at most {max(refused):.2f} s of {len(refused)}")
    print(f"each change planned as well: at most {max(proved):.2f} s")


if __name__ == "__main__":
    main()
