"""Damage of a book's file: noticed before anything is worked out of it, and what can be saved."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import fields
from pathlib import Path

from rodhand.faults import CannotReadError, DamagedError
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.entry import Entry
from rodhand.record.journal import Journal

SMALLEST_ROW = 200
"""No entry takes less room in the file; bounds how many there may have been. [bytes]"""
_COLUMNS = ", ".join(f'"{field.name}"' for field in fields(Entry))


def whole_entries(folder: Path) -> tuple[Entry, ...]:
    """All entries of a book, proved to be as they were made.

    Parameters
    ----------
    folder : Path
        The book's folder.

    Returns
    -------
    tuple of Entry
        In order of arrival.

    Raises
    ------
    DamagedError
        If the store finds its file damaged, or an entry does not fit its hash.
    CannotReadError
        If there is no book or it cannot be opened.

    Notes
    -----
    Bytes of the file that hold nothing may change unseen; the names of people and the keys of
    devices stand outside the entries and have no hash.
    """
    with Journal.open(folder, write=False) as journal:
        journal.check_file()
        entries = tuple(journal.entries())
    changed = [entry for entry in entries if not entry.holds()]
    if changed:
        raise DamagedError(
            str(journal.file),
            f"{len(changed)} of {len(entries)} entries do not fit their hash, "
            f"the first {str(changed[0].id)[:40]!r}",
        )
    return entries


def readable_entries(file: Path) -> tuple[Entry, ...]:
    """What of a damaged file still can be read and fits its hash; never raises for damage.

    Parameters
    ----------
    file : Path
        The damaged file; it is only read.

    Returns
    -------
    tuple of Entry
        Each as it was made. Empty when nothing can be read.
    """
    found: dict[str, Entry] = {}
    try:
        with (
            told_plainly(file),
            closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as raw,
        ):
            for entry in _rows(raw, file.stat().st_size // SMALLEST_ROW + 1):
                if entry.holds():
                    found.setdefault(entry.id, entry)
    except CannotReadError:
        pass
    return tuple(found.values())


def _rows(raw: sqlite3.Connection, at_most: int) -> Iterator[Entry]:
    """Rows asked for one by one, so that a page that is gone takes only its own with it."""
    for arrival in range(1, at_most + 1):
        try:
            row = raw.execute(
                f"SELECT {_COLUMNS} FROM entries WHERE arrival = ?", (arrival,)
            ).fetchone()
            if row is not None:
                values = list(row)
                values[8] = json.loads(values[8])
                yield Entry(*values)
        except (sqlite3.Error, ValueError, TypeError):
            continue


def put_aside(folder: Path, stamp: str) -> Path:
    """Give a damaged file another name in its folder, so that nothing of it is lost.

    Parameters
    ----------
    folder : Path
        The book's folder.
    stamp : str
        When, as part of the new name.

    Returns
    -------
    Path
        The file under its new name.

    Raises
    ------
    CannotReadError
        If it cannot be renamed.
    """
    file = folder / FILE_NAME
    plain = "".join(sign for sign in stamp if sign.isalnum())
    aside = folder / f"journal-damaged-{plain}.sqlite"
    number = 1
    while aside.exists():
        number += 1
        aside = folder / f"journal-damaged-{plain}-{number}.sqlite"
    with told_plainly(file):
        file.rename(aside)
        # A rollback journal left beside it would be played into the file that comes in its place.
        left = folder / f"{FILE_NAME}-journal"
        if left.exists():
            left.rename(folder / f"{aside.name}-journal")
    return aside
