"""The demo season from the journal on disk to this week, in seconds. Asked: under 4 s on 2 cores.

Run: python benchmarks/season.py
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from rodhand.book.demo_book import build_demo_book
from rodhand.book.opening import open_assessment
from rodhand.book.week import this_week


def main() -> None:
    """Print wall and processor seconds of each part."""
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "book"
        parts = (
            ("write the season", lambda: build_demo_book(book, 7)),
            ("journal to ledger and lives", lambda: open_assessment(book)),
            ("this week", lambda: this_week(open_assessment(book))),
        )
        for name, part in parts:
            wall, own = time.perf_counter(), time.process_time()
            part()
            print(f"{name:28} {time.perf_counter() - wall:6.2f} s wall "
                  f"{time.process_time() - own:6.2f} s processor")  # fmt: skip


if __name__ == "__main__":
    main()
