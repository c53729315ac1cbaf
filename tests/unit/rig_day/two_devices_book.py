"""Rows pressed on two devices, as their outboxes send them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from rodhand.book.entry.outbox import Pressed, Sent, book_id, take

TABLET, PHONE, THIRD = "3fa2000000000000", "9b1c111111111111", "77aa222222222222"
PITCHES = [-12, -8, -10, -3, -7, -1, -4, 4, -2, 3, 7, 0]
"""An invented pilot, percent, none of whose rods is like the next."""


def send(
    folder: Path, device: str, by: str, rows: Sequence[Mapping[str, str]], kind: str = "reading"
) -> list[str]:
    """Send rows of a device and give their ids; every one must be taken."""
    first = len([*folder.glob("sent-*")]) * 1000 + 1
    (folder / f"sent-{first}").touch()
    stamp = "2025-09-09T06:{:02d}:00+00:00"
    entries = tuple(
        Pressed(f"{n:032x}", n, stamp.format(n % 60)[:16], "+00:00", stamp.format(n % 60), by,
                kind, row)
        for n, row in enumerate(rows, first)
    )  # fmt: skip
    answers = take(folder, Sent(book_id(folder), device, entries))
    assert [each.state for each in answers] == ["taken"] * len(rows), answers
    return [each.id for each in entries]


def rows(
    pitches: Sequence[float | str], first: int = 8, bore: str = "B1", **more: str
) -> list[dict[str, str]]:
    """Rows of a bore from a rod on."""
    return [
        {"bore": bore, "station": str(n), "pitch_pct": f"{pitch}", **more}
        for n, pitch in enumerate(pitches, first)
    ]
