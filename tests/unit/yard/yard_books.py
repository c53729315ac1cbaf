"""A set of rods drilled, gauged and drilled again, for tests of the yard."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from book_builder import YARD, Row, log_rows
from rodhand.record.journal import Journal
from rodhand.words import FOLDER, read_catalogue

LOAD: Row = ("load", {"rig": "Rig-40", "things": "SET-M1", "how": "by row"}, "2025-05-01")
TODAY = "2025-07-15"


def bore(name: str, day: str, ground: str = "sand", rods: int = 3) -> list[Row]:
    """A bore of a few rods."""
    rows = [
        {"station": f"{n}", "pitch_pct": "-10", "rotating_min": "10", "rpm": "100"}
        for n in range(1, rods + 1)
    ]
    head: Row = ("bore", {"bore": name, "rig": "Rig-40", "ground": ground}, day)
    return [head, *log_rows(name, rows, day=day)]


def gauged(
    thing: str, day: str, size_mm: str, item: str = "joint-od", end: str = "pin",
    gauge: str = "calipers",
) -> Row:  # fmt: skip
    """A reading of one size."""
    return (
        "check",
        {"things": thing, "item": item, "found": "measured", "end": end, "reading_mm": size_mm,
         "gauge": gauge},
        day,
    )  # fmt: skip


CALIPERS: tuple[Row, ...] = (
    ("gauge", {"gauge": "Calipers", "measures": "diameters", "error_mm": "0.05",
               "every_months": "12", "serial": "C-7"}, "2025-04-01"),
    ("calibration", {"gauge": "calipers", "result": "in order"}, "2025-04-01"),
)  # fmt: skip
THREE_BORES: tuple[Row, ...] = (
    LOAD,
    *bore("A", "2025-05-10"),
    gauged("M1-01", "2025-05-11", "69.5"),
    *bore("B", "2025-06-10"),
    gauged("M1-01", "2025-06-11", "69.0"),
    *bore("C", "2025-07-10"),
    gauged("M1-01", "2025-07-11", "68.5"),
    gauged("M1-02", "2025-07-11", "69.7"),
)


def kept(folder: Path, rows: Iterable[Row], yard: bool = True) -> Path:
    """A book's folder with some rows, by default with the yard in front."""
    with Journal.open(folder) as journal:
        for row in [*(YARD if yard else ()), *rows]:
            journal.write(row[0], row[1], row[2] if len(row) == 3 else "2025-06-01")
    return folder


def assert_twins(topic: str, tmp_path: Path) -> None:
    """One English words file and its Spanish twin have the same keys and fields."""
    found = []
    for language in ("en", "es"):
        folder = tmp_path / language
        folder.mkdir()
        text = (FOLDER / language / f"{topic}.toml").read_text("utf-8")
        (folder / "words.toml").write_text(text, "utf-8")
        texts = read_catalogue(folder)
        found.append({key: set(re.findall(r"{(\w+)}", each)) for key, each in texts.items()})
    assert found[0] == found[1]
