"""Every entry as a sheet (CSV) or as lines of JSON."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from typing import TextIO

from rodhand.record.entry import Entry
from rodhand.record.kinds import KINDS

OF_ENTRY = (
    "id", "happened", "zone", "entered", "device", "counter", "by", "kind", "previous", "hash",
)  # fmt: skip
"""What every entry has; their headings begin with ``entry_``, apart from what was typed."""


def headings(entries: Iterable[Entry]) -> list[str]:
    """Headings of the sheet: what every entry has, then every column typed in any of them."""
    used = {column for entry in entries for column in entry.payload}
    known = [
        column for kind in KINDS.values() for field in kind.fields for column in field.columns()
    ]
    ordered = [column for column in dict.fromkeys(known) if column in used]
    return [f"entry_{name}" for name in OF_ENTRY] + ordered + sorted(used - set(known))


def export_csv(entries: Sequence[Entry], stream: TextIO) -> None:
    """Write every entry as a row, every value as typed.

    Parameters
    ----------
    entries : sequence of Entry
        Struck ones too: a strike is an entry like any other.
    stream : text file
        Open for writing with ``newline=""``.
    """
    writer = csv.DictWriter(stream, headings(entries), restval="")
    writer.writeheader()
    for entry in entries:
        row = {f"entry_{name}": getattr(entry, name) for name in OF_ENTRY}
        writer.writerow({**row, **entry.payload})


def export_json_lines(entries: Iterable[Entry], stream: TextIO) -> None:
    """Write every entry as one line of canonical JSON; `entry_from_json` reads it back."""
    for entry in entries:
        stream.write(entry.as_json() + "\n")
