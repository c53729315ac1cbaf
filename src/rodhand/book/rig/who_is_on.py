"""Who is on: names with their part at the rig, as an entry's ``by`` holds them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rodhand.record.entry import Entry
from rodhand.words import say

PARTS = ("driller", "locator hand", "hand")
"""What somebody does at the rig. ``by`` holds it in these words, whatever the page's language."""
MOST_NAMES = 12
_ONE = re.compile(r"\s*(?P<name>[^(),]+?)\s*(?:\((?P<part>[^(),]*)\))?\s*")


def people_of(by: str) -> tuple[tuple[str, str], ...]:
    """Name and part of everybody in an entry's ``by``; the part is empty where not said.

    Parameters
    ----------
    by : str
        For example ``Ann (driller), Ben (locator hand)``.

    Returns
    -------
    tuple of (str, str)
        A text that is no such list is one name.
    """
    found = [_ONE.fullmatch(each) for each in by.split(",")]
    if not by.strip():
        return ()
    if not all(found):
        return ((by.strip(), ""),)
    return tuple((each["name"], each["part"] or "") for each in found if each)


def by_in_words(by: str) -> str:
    """An entry's ``by`` in the language in force; names stay as they are."""
    shown = []
    for name, part in people_of(by):
        words = say(f"on.part_{part.replace(' ', '_')}") if part in PARTS else part
        shown.append(f"{name} ({words})" if words else name)
    return ", ".join(shown)


def names_on_before(entries: Iterable[Entry]) -> tuple[str, ...]:
    """People who were on before, those of the newest entries first; see `MOST_NAMES`.

    Nothing else is told of them: what somebody entered, or got wrong, is counted by nobody.
    """
    names: dict[str, str] = {}
    for entry in reversed(tuple(entries)):
        for name, _ in people_of(entry.by):
            names.setdefault(name.casefold(), name)
        if len(names) >= MOST_NAMES:
            break
    return tuple(names.values())[:MOST_NAMES]
