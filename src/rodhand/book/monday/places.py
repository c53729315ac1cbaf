"""Which books' files the desk looks at on Mondays, remembered beside the desk's own book.

A place on a disk is a fact of this machine: it is noted beside the journal and not in it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from rodhand.book.whole_file import write_whole

NOTES = "monday.json"
AT_MOST = 20


def read_places(folder: Path) -> tuple[str, ...]:
    """Places remembered beside a book; none when the note is missing or spoilt."""
    try:
        noted = json.loads((folder / NOTES).read_text(encoding="utf-8"))
        return tuple(str(each) for each in noted["places"])[:AT_MOST]
    except (OSError, ValueError, TypeError, KeyError):
        return ()


def keep_places(folder: Path, places: Sequence[str]) -> None:
    """Remember places beside a book. Raises CannotReadError if that cannot be written."""
    write_whole(folder / NOTES, json.dumps({"places": list(places)}, indent=1) + "\n")


def places_in(text: str) -> tuple[str, ...]:
    """Places typed one a line, each once; at most `AT_MOST`."""
    lines = (line.strip().strip('"') for line in text.splitlines())
    return tuple(dict.fromkeys(line for line in lines if line))[:AT_MOST]
