"""Who stands behind an entry: the names in its ``by``, with their part at the rig."""

from __future__ import annotations

import re

PARTS = ("driller", "locator hand", "hand")
"""What somebody does at the rig. ``by`` holds it in these words, whatever the page's language."""
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
    if not by.strip():
        return ()
    found = [_ONE.fullmatch(each) for each in by.split(",")]
    if not all(found):
        return ((by.strip(), ""),)
    return tuple((each["name"], each["part"] or "") for each in found if each)


def names_of(by: str) -> frozenset[str]:
    """Names in an entry's ``by``, to be compared: without case and part."""
    return frozenset(name.casefold() for name, _ in people_of(by))
