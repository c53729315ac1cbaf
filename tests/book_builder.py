"""Books made in memory from a few lines, for every test that needs one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rodhand.record.book import Book
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.reading_back import read_book

Row = tuple[str, Mapping[str, str]] | tuple[str, Mapping[str, str], str]

ROD_TYPE = {
    "name": "R-M", "tube_od_in": "2.375", "wall_in": "0.28", "length_ft": "10",
    "joint_od_in": "2.75", "joint_bore_in": "1.0", "joint_length_m": "0.18", "yield_ksi": "135",
    "build": "one-piece", "limit_radius_ft": "145", "makeup_ftlb": "4200",
}  # fmt: skip
"""The invented mid rod of the scenario, as a crew would type it."""

YARD: tuple[Row, ...] = (
    ("rod-type", ROD_TYPE, "2025-01-01"),
    ("rig", {"rig": "Rig-40", "rod_type": "R-M", "pin_toward": "rig"}, "2025-01-01"),
    (
        "set",
        {
            "set": "SET-M1",
            "rod_type": "R-M",
            "count": "40",
            "marks_start": "M1-01",
            "rig": "Rig-40",
        },
        "2025-01-01",
    ),
)
"""A rod type, a rig and a marked set of 40 rods, to put in front of what a test is about."""


def entries_of(rows: Iterable[Row], device: str = "tablet-1", by: str = "p1") -> list[Entry]:
    """Entries of one device; a row without a date happened on 2025-06-01, all were typed then."""
    chain = Chain(device)
    return [
        chain.add(
            Draft(row[0], row[1], row[2] if len(row) == 3 else "2025-06-01", "+00:00", by),
            entered="2025-06-01T12:00:00+00:00",
            id=f"{device}-{number}",
        )
        for number, row in enumerate(rows, 1)
    ]


def build_book(rows: Iterable[Row], yard: bool = True, allow_problems: bool = False) -> Book:
    """The book of some rows, by default with `YARD` in front and without any problem."""
    book = read_book(entries_of([*(YARD if yard else ()), *rows]))
    if book.problems and not allow_problems:
        raise AssertionError(f"the book has problems: {book.problems}")
    return book


def log_rows(
    bore: str,
    readings: Iterable[Mapping[str, str]],
    pass_name: str = "pilot",
    day: str = "2025-06-01",
) -> list[Row]:
    """Rows of a log: each mapping is one station's columns."""
    return [("reading", {"bore": bore, "pass": pass_name, **reading}, day) for reading in readings]
