"""Marks as people write them: lists, ranges, and counting up with the digits kept."""

from __future__ import annotations

import re
from functools import lru_cache

LONGEST_LIST = 5000
"""Most marks one list may come to; more is a slip of the finger, not a string of rods."""

_SEPARATORS = re.compile(r"[,;\n]")
_NUMBERED = re.compile(r"(.*?)(\d+)")


class MarksError(ValueError):
    """A list of marks that cannot be read.

    Parameters
    ----------
    code : str
        Code of the fault.
    found : str
        The part that cannot be read.
    """

    def __init__(self, code: str, found: str) -> None:
        self.code = code
        self.found = found
        super().__init__(f"{code}: {found}")


@lru_cache(maxsize=65536)
def fold(name: str) -> str:
    """The form in which names are compared: no case, one blank between words."""
    return " ".join(name.split()).casefold()


def count_up(start: str, count: int) -> tuple[str, ...]:
    """Marks from a first one on, its digits kept.

    Parameters
    ----------
    start : str
        First mark; ends in digits.
    count : int
        How many.

    Returns
    -------
    tuple of str
        The marks in order.

    Raises
    ------
    MarksError
        If the mark does not end in digits or more than `LONGEST_LIST` are asked for.

    Examples
    --------
    >>> count_up("M1-09", 3)
    ('M1-09', 'M1-10', 'M1-11')
    """
    match = _NUMBERED.fullmatch(start.strip())
    if match is None or len(match[2]) > 18:
        raise MarksError("mark_without_number", start)
    if count > LONGEST_LIST:
        raise MarksError("marks_too_many", f"{start} × {count}")
    first, width = int(match[2]), len(match[2])
    return tuple(f"{match[1]}{number:0{width}d}" for number in range(first, first + count))


def expand_marks(typed: str) -> tuple[str, ...]:
    """Marks of a list with ranges, in the order written; a range may run downward.

    Parameters
    ----------
    typed : str
        For example ``M1-01..M1-15, M2-03``.

    Returns
    -------
    tuple of str
        Each mark once.

    Raises
    ------
    MarksError
        If a range has two different beginnings, a mark stands twice, the list is empty or
        comes to more than `LONGEST_LIST` marks.
    """
    marks: list[str] = []
    for part in _SEPARATORS.split(typed):
        text = " ".join(part.split())
        if text:
            marks += _range(text) if ".." in text else (text,)
        if len(marks) > LONGEST_LIST:
            raise MarksError("marks_too_many", typed[:60])
    if not marks:
        raise MarksError("marks_empty", typed)
    seen: set[str] = set()
    for mark in marks:
        if fold(mark) in seen:
            raise MarksError("mark_twice", mark)
        seen.add(fold(mark))
    return tuple(marks)


def _range(text: str) -> tuple[str, ...]:
    first, _, last = (part.strip() for part in text.partition(".."))
    begin, end = _NUMBERED.fullmatch(first), _NUMBERED.fullmatch(last)
    if begin is None or end is None or fold(begin[1]) != fold(end[1]):
        raise MarksError("marks_range", text)
    if max(len(begin[2]), len(end[2])) > 18:
        raise MarksError("marks_range", text)
    low, high = int(begin[2]), int(end[2])
    if high < low:
        return tuple(reversed(_range(f"{last}..{first}")))
    return count_up(first, high - low + 1)
