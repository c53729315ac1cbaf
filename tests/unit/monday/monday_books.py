"""Small crews' books on disk."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from book_builder import ROD_TYPE, Row
from rodhand.record.journal import Journal

DAY = "2025-06-05"


def crew(rig: str, rod_set: str, start: str, count: int = 4) -> list[Row]:
    """A rig with one marked set, a price of 420 a rod, and nothing done yet."""
    return [
        ("rod-type", {**ROD_TYPE, "price": "420"}, "2025-01-01"),
        ("rig", {"rig": rig, "rod_type": "R-M"}, "2025-01-01"),
        ("set", {"set": rod_set, "rod_type": "R-M", "count": str(count), "marks_start": start,
                 "rig": rig}, "2025-01-01"),
    ]  # fmt: skip


def on_disk(folder: Path, rows: Iterable[Row]) -> Path:
    """A book in a folder; every row typed on the day it happened."""
    with Journal.open(folder) as journal:
        for kind, payload, *day in rows:
            happened = day[0] if day else "2025-06-01"
            journal.write(kind, payload, happened, "p1", "+00:00", f"{happened}T12:00:00+00:00")
    return folder
