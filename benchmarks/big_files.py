"""How long big and hopeless files take to read or refuse, and how much memory.

Run: python benchmarks/big_files.py
Each file is read in a process of its own, so that its peak memory is its own. Figures, not tests.
Wanted: 100,000 CSV rows in 5 s and 500 MB; 20,000 XLSX rows in 10 s; 500 MB refused at once.
"""

from __future__ import annotations

import csv
import multiprocessing
import resource
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from rodhand.faults import BadInputError
from rodhand.sheets.log import read_log
from rodhand.words import render_faults

ROD = 3.048  # m
WIDE = (
    "station", "rod", "length_m", "pitch_pct", "heading_deg", "depth_m", "push_m", "rotating_min",
    "push_min", "rpm", "turns", "thrust_kN", "torque_Nm", "makeup_Nm", "hole_diameter_mm",
)  # fmt: skip


def survey_rows(count: int) -> Iterator[list[object]]:
    """A survey without a fault."""
    yield ["md_m", "inclination_deg", "azimuth_deg"]
    for row in range(count):
        yield [f"{3.05 * row:.2f}", f"{88 + row % 5 / 10:.1f}", f"{120 + row % 7 / 10:.1f}"]


def faulty_rows(count: int) -> Iterator[list[object]]:
    """A log in which nearly every cell is wrong in its own way."""
    yield [*WIDE, "ptich_pct"]
    for row in range(count):
        yield [row // 2, f"M1-{row % 40}", f"x{row}", "nan", "12,5", "inf", -3, 2, 1,
               f"1e{999 + row}", f"a{row}", "b", "c", "d", "9 in", 5]  # fmt: skip


def log_rows(count: int) -> Iterator[list[object]]:
    """A wide log of numbers, in passes short enough to be rods."""
    yield [*WIDE, "pass"]
    for row in range(count):
        station = row % 1000 + 1
        yield [station, f"R{station}", 3.05, -1.5, 70, 2, 1, 3, 1, 100, 300, 20, 900, 4000, 120,
               f"pass {row // 1000}"]  # fmt: skip


def write_csv(path: Path, rows: Iterator[list[object]]) -> None:
    """Write rows as CSV."""
    with path.open("w", newline="") as file:
        csv.writer(file).writerows(rows)


def write_xlsx(path: Path, rows: Iterator[list[object]]) -> None:
    """Write rows as a workbook."""
    import xlsxwriter

    book = xlsxwriter.Workbook(path, {"constant_memory": True})
    sheet = book.add_worksheet()
    for line, row in enumerate(rows):
        sheet.write_row(line, 0, row)
    book.close()


def sparse(path: Path, size: int) -> None:
    """A file of that many bytes that takes no room on the disk."""
    with path.open("wb") as file:
        file.truncate(size)


def look(path: Path, queue: multiprocessing.Queue[tuple[str, float, float]]) -> None:
    """Read one file and say what came of it, in how long and with how much memory."""
    start = time.perf_counter()
    try:
        log = read_log(path, rod_length=ROD)
        told = f"{len(log.lines):,} rows read"
    except BadInputError as error:
        told = render_faults(error).splitlines()[0]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3  # kB on Linux
    queue.put((told, time.perf_counter() - start, peak))


def main() -> None:
    """Make each file, read it, print a line."""
    files: list[tuple[str, Callable[[Path], None]]] = [
        ("survey_100000.csv", lambda path: write_csv(path, survey_rows(100_000))),
        ("faulty_100000.csv", lambda path: write_csv(path, faulty_rows(100_000))),
        ("log_100000.csv", lambda path: write_csv(path, log_rows(100_000))),
        ("log_20000.xlsx", lambda path: write_xlsx(path, log_rows(20_000))),
        ("sparse_500_MB.csv", lambda path: sparse(path, 500_000_000)),
    ]
    context = multiprocessing.get_context("spawn")
    with tempfile.TemporaryDirectory() as folder:
        for name, make in files:
            path = Path(folder) / name
            make(path)
            queue: multiprocessing.Queue[tuple[str, float, float]] = context.Queue()
            process = context.Process(target=look, args=(path, queue))
            process.start()
            told, seconds, peak = queue.get()
            process.join()
            print(f"{name:20} {seconds:6.2f} s {peak:6.0f} MB  {told}")


if __name__ == "__main__":
    main()
