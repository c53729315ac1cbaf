"""Open a book's folder and work it through, once for as long as nothing is added."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from rodhand.book.tasks.changed_rules import settle
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.days import newest_day
from rodhand.book.work.in_force import is_invented
from rodhand.record.book import Book
from rodhand.record.damage import whole_entries
from rodhand.record.entry import Entry
from rodhand.record.kept_open import journal_of
from rodhand.record.order import known_by

FRIDAY = 4
KEEP_AT_MOST = 3


def friday_after(day: str) -> str:
    """The first Friday on or after an ISO day."""
    start = date.fromisoformat(day)
    return (start + timedelta((FRIDAY - start.weekday()) % 7)).isoformat()


def entries_in(folder: Path) -> tuple[Entry, ...]:
    """All entries of a book.

    Raises
    ------
    CannotReadError
        If there is no book in the folder or it cannot be read.
    """
    return tuple(journal_of(folder).entries())


def today_of(assessment_day: str, invented: bool, as_of: str) -> str:
    """The day a book is asked for: as asked, the Friday after an invented book's end, or today."""
    if as_of:
        return as_of
    if invented and assessment_day:
        return friday_after(assessment_day)
    return date.today().isoformat()


def book_in(folder: Path) -> Book:
    """A book read back, without working it through; only what was added since is read.

    Raises
    ------
    CannotReadError
        If there is no book in the folder or it cannot be read.
    """
    return journal_of(folder).book()


def open_to_write(folder: Path) -> None:
    """Open a book before its first entry is typed, and read it back; no book is made.

    Raises
    ------
    CannotReadError
        If there is no book in the folder, or it cannot be read or written.
    """
    book_in(folder)
    journal_of(folder, write=True).book()


_KEPT: dict[tuple[str, int, str, str, str], Assessment] = {}
"""The last few books worked through; entries are only added, so count and hash name them."""


def open_bore(folder: Path, name: str) -> Assessment:
    """A book of which one bore alone is worked out, or all of it where that was done already.

    What the bore takes of each rod is in it; life used of all a rod's work is not.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        The bore.
    """
    entries = entries_in(folder)
    last = entries[-1].hash if entries else ""
    key = str(folder.resolve()), len(entries), last, "", date.today().isoformat()
    if key in _KEPT:
        return _KEPT[key]
    book = book_in(folder)
    return assess(book, today_of(newest_day(book), is_invented(book), ""), only={name})


def open_assessment(
    folder: Path, as_of: str = "", told: Callable[[int, int], None] | None = None
) -> Assessment:
    """A book worked through.

    Parameters
    ----------
    folder : Path
        The book's folder.
    as_of : str
        ISO day: only what was entered by the end of that day counts; all of it when empty.
    told : callable, optional
        Told how many bores of how many are worked out.

    Returns
    -------
    Assessment
        Kept until an entry is added or the day changes.

    Raises
    ------
    DamagedError
        If its file is damaged: no figure is worked out of entries that are not as they were made.
    CannotReadError
        If there is no book in the folder or it cannot be read.
    """
    entries = entries_in(folder)
    last = entries[-1].hash if entries else ""
    key = str(folder.resolve()), len(entries), last, as_of, date.today().isoformat()
    if key not in _KEPT:
        whole_entries(folder)
        if len(_KEPT) >= KEEP_AT_MOST:
            _KEPT.pop(next(iter(_KEPT)))
        book = journal_of(folder).book(as_of)
        today = today_of(newest_day(book), is_invented(book), as_of)
        known = {entry.id for entry in known_by(entries, as_of or None)}
        made = assess(book, today, [entry for entry in entries if entry.id in known], told)
        if not as_of:
            made = settle(folder, entries, made)
            if len(made.entries) > len(entries):  # what is kept over a changed rule was entered
                key = key[0], len(made.entries), made.entries[-1].hash, *key[3:]
        _KEPT[key] = made
    return _KEPT[key]
