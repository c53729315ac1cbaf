"""Small books on disk for the tests of breaks and losses, typed in a known order."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from book_builder import YARD, Row, log_rows
from rodhand.record.journal import Journal

PITCHES = ("-25", "-25", "-22", "-10", "-6", "-3", "0", "0")
"""Pitch in percent, up positive: one rod turns by 12 %, past 6.9 %, the change over one rod at the
maker's radius of 145 ft; the rods behind it pass that bend."""


def bore(name: str, day: str, rig: str = "Rig-40") -> list[Row]:
    """A bore of eight rods of the marked set, all of them by mark, with its readings."""
    readings = [
        {"station": str(n), "pitch_pct": pitch, "rpm": "100", "rotating_min": "6",
         "length_ft": "10", **({"makeup_ftlb": "4100"} if n in (3, 4) else {})}
        for n, pitch in enumerate(PITCHES, 1)
    ]  # fmt: skip
    return [
        ("bore", {"bore": name, "rig": rig, "head": "HD-1"}, day),
        ("load", {"rig": rig, "bore": name, "things": "M1-01..M1-10", "how": "marked"}, day),
        *log_rows(name, readings, day=day),
    ]


HEAD: list[Row] = [
    ("thing", {"thing": "HD-1", "what": "head", "rig": "Rig-40", "length_m": "1.5",
               "serial": "H-77", "value": "9000"}, "2025-01-02"),
    ("thing", {"thing": "TX-1", "what": "transmitter", "rig": "Rig-40", "serial": "T-9"},
     "2025-01-02"),
]  # fmt: skip
LOOK: Row = ("check", {"things": "M1-03", "item": "jaw-bite", "found": "jaw bite on the tube",
                       "end": "tube"}, "2025-05-10")  # fmt: skip
BREAK: Row = ("break", {"thing": "M1-03", "bore": "T-2", "station": "6", "section": "mid tube"},
              "2025-06-01")  # fmt: skip
SEASON: list[Row] = [*YARD, *HEAD, *bore("T-1", "2025-05-05"), LOOK, *bore("T-2", "2025-06-01"),
                     BREAK]  # fmt: skip
"""A head and a transmitter, two bores of ten rods, a look, and a break on 2025-06-01."""


def on_disk(folder: Path, rows: Iterable[Row], typed: str = "") -> Path:
    """A book in a folder; every row typed on the day it happened, or all on one day."""
    with Journal.open(folder) as journal:
        for kind, payload, *day in rows:
            happened = day[0] if day else "2025-06-01"
            entered = f"{typed or happened}T12:00:00+00:00"
            journal.write(kind, payload, happened, "p1", "+00:00", entered)
    return folder
