"""Whole processes: `rodhand --help` (asked: under 0.3 s) and a check of 44 rods (under 1.5 s).

Run: python benchmarks/check.py
"""

from __future__ import annotations

import csv
import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from rodhand.book.work.tables import data_text

RUNS = 5


def _median(words: list[str]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "rodhand", *words], capture_output=True, timeout=60,
                       check=False)  # fmt: skip
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Print the medians."""
    rows = next(b for b in json.loads(data_text("scenario.json"))["bores"] if b["id"] == "B-3")
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "b3.csv"
        with log.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(["station", "length_ft", "pitch_pct", "rotating_min", "rpm"])
            for r in rows["rods"]:
                writer.writerow([r["n"], 10, r["pitch_end_pct"], r["rotate_min"], r["rpm"]])
        print(f"--help          {_median(['--help']):.2f} s")
        words = ["check", str(log), "--rod-type", "demo-mid", "--json"]
        print(f"check, 44 rods  {_median(words):.2f} s")


if __name__ == "__main__":
    main()
