"""Time to work a season through with bands: first time, again, and after one new entry.

.venv/bin/python benchmarks/season.py [BOOK]
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from rodhand.book.entry.demo_book import build_demo_book
from rodhand.book.opening import entries_in
from rodhand.book.work import laid_memory
from rodhand.book.work.assess import assess
from rodhand.book.work.days import newest_day
from rodhand.record.reading_back import read_book


def main() -> None:
    """Print the times."""
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["RODHAND_CACHE"] = str(Path(scratch) / "worked")
        book_folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(scratch) / "book"
        if len(sys.argv) < 2:
            build_demo_book(book_folder, 0)
        entries = entries_in(book_folder)
        laid_memory.forget()
        book = read_book(entries)
        day = newest_day(book)

        def timed(what: str, count: int) -> None:
            start = time.perf_counter()
            found = assess(read_book(entries[:count]), day, entries[:count])
            took = time.perf_counter() - start
            laid = sum(each.laid for work in found.works.values() for each in work.powers)
            passes = sum(len(work.powers) for work in found.works.values())
            print(f"{what:28} {took:7.2f} s  {len(found.works)} bores, {laid} of {passes} laid")

        timed("first time", len(entries))
        timed("again", len(entries))
        last = max(k for k, each in enumerate(entries) if each.kind == "reading")
        timed("a reading less (one bore)", last)
        laid_memory.forget()
        timed("from the folder", len(entries))


if __name__ == "__main__":
    main()
