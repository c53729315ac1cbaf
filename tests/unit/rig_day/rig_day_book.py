"""A rig with twelve rods in three rows of four, seven of them in the hole, for tests of its day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal

Row = tuple[str, Mapping[str, str]]
DAY = "2025-09-09"
RIG: tuple[Row, ...] = (
    ("rod-type", ROD_TYPE),
    ("rig", {"rig": "Rig-40", "rod_type": "R-M", "box_rows": "3", "rods_per_row": "4",
             "max_torque_ftlb": "5000"}),
    ("set", {"set": "S1", "rod_type": "R-M", "count": "12", "marks_start": "M-01",
             "rig": "Rig-40"}),
    ("thing", {"thing": "SS-1", "what": "saver sub", "rig": "Rig-40"}),
    ("thing", {"thing": "HD-1", "what": "head", "rig": "Rig-40"}),
    ("thing", {"thing": "RM-8", "what": "reamer", "rig": "Rig-40"}),
    ("load", {"rig": "Rig-40", "things": "S1", "how": "by row"}),
)  # fmt: skip
BORE: tuple[Row, ...] = (
    ("bore", {"bore": "B1", "rig": "Rig-40", "place": "Mill Lane", "head": "HD-1"}),
    *(
        ("reading", {"bore": "B1", "station": str(n), "pitch_pct": str(-10 + n),
                     "length_ft": "10"})
        for n in range(1, 8)
    ),
)  # fmt: skip


def tell(folder: Path, rows: Iterable[Row], day: str = DAY) -> list[str]:
    """Keep entries of one day and give their ids."""
    with Journal.open(folder) as journal:
        return [journal.write(kind, payload, day).id for kind, payload in rows]


def kept(folder: Path, after: int = 0) -> list[tuple[str, dict[str, str]]]:
    """Kind and payload of every entry after the first few."""
    with Journal.open(folder, write=False) as journal:
        return [(each.kind, dict(each.payload)) for each in journal.entries()][after:]
