"""Who is on: names with their part at the rig, as an entry's ``by`` holds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.people import PARTS, people_of
from rodhand.book.opening import entries_in
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Entry
from rodhand.words import say

MOST_NAMES = 12


@dataclass(frozen=True)
class WhoIsOn:
    """Names a device offers at the start of a shift, and the parts they may take."""

    names: tuple[str, ...]
    parts: tuple[str, ...] = PARTS


def who_is_on(folder: Path) -> WhoIsOn:
    """People who were on before, of a book; none where there is no book yet.

    Raises
    ------
    CannotReadError
        If the book is there and cannot be read.
    """
    return WhoIsOn(names_on_before(entries_in(folder)) if (folder / FILE_NAME).exists() else ())


def by_in_words(by: str) -> str:
    """An entry's ``by`` in the language in force; names stay as they are."""
    shown = []
    for name, part in people_of(by):
        words = say(f"on.part_{part.replace(' ', '_')}") if part in PARTS else part
        shown.append(f"{name} ({words})" if words else name)
    return ", ".join(shown)


def names_on_before(entries: Sequence[Entry]) -> tuple[str, ...]:
    """People who were on before, those of the newest entries first; see `MOST_NAMES`.

    Nothing else is told of them: what somebody entered, or got wrong, is counted by nobody.
    """
    names: dict[str, str] = {}
    for entry in reversed(entries):
        for name, _ in people_of(entry.by):
            if any(sign.isalpha() for sign in name):
                names.setdefault(name.casefold(), name)
        if len(names) >= MOST_NAMES:
            break
    return tuple(names.values())[:MOST_NAMES]
