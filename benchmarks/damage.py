"""200 damages at random bytes of a book's file or its copy: is anything lost that was acknowledged?

Run: python benchmarks/damage.py [DAMAGES]
Each damage is one flipped byte, the file cut off there, or the page around it set to nought. The
entries since the copy were acknowledged to another device, which kept them and sends them again.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

sys.path[:0] = [str(Path(__file__).parents[1] / "tests" / part) for part in ("contract", "")]

from damaging import damage_once, keep  # noqa: E402

BEFORE, AFTER = 400, 100


def main(damages: int) -> int:
    """Damage, bring back, count and tell; 1 if anything was wrong."""
    start = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "scratch").mkdir()
        kept = keep(Path(folder), BEFORE, AFTER)
        told = [
            damage_once(kept, Path(folder) / "scratch", Random(seed)) for seed in range(damages)
        ]
    seconds = time.perf_counter() - start
    for (where, how, noticed), count in sorted(
        Counter((each.where, each.how, each.noticed) for each in told).items()
    ):
        word = "noticed" if noticed else "in bytes that hold nothing"
        print(f"{where:5} {how:5} {count:4} {word}")
    brought = [each for each in told if each.where == "book" and each.noticed]
    saved = sum(each.saved for each in brought) / max(len(brought), 1)
    print(f"of {AFTER} entries since the copy {saved:.0f} were read from the damaged file (mean)")
    wrong = [f"{each.where} {each.how} at {each.at}: {each.wrong}" for each in told if each.wrong]
    print(f"{damages} damages, {len(brought)} books brought back, {seconds:.0f} s")
    print("\n".join(wrong) or "every damage noticed or harmless; 0 acknowledged entries lost")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 200))
