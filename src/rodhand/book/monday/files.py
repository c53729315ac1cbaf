"""The files of several books read for one list, each from a copy of its own in a scratch folder.

Nothing is written beside any of them: reading a live book copies it first, and what opening would
note beside it is noted in the scratch folder, which is then thrown away.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rodhand.book.entry.carrying import back_up, restore, take_lines
from rodhand.book.opening import entries_in, today_of
from rodhand.book.tasks.changed_rules import settle
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.days import newest_day
from rodhand.book.work.in_force import is_invented
from rodhand.faults import BadInputError, CannotReadError
from rodhand.record.backup import BESIDE, MANIFEST, read_manifest
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Entry, overall_digest
from rodhand.record.order import known_by
from rodhand.record.reading_back import read_book
from rodhand.record.verify import verify_entries
from rodhand.words import say

KEEP_AT_MOST = 8


@dataclass(frozen=True, eq=False)
class FileRead:
    """One file as it was read.

    Parameters
    ----------
    path : Path
        Where it lies.
    name : str
        What it is called in the list.
    form : {"book", "copy", "lines", "unread"}
        A book's folder, a copy of one, a file of entries, or nothing that could be read.
    made : str
        When a copy was made, by the clock of who made it; empty for the others.
    entries : tuple of Entry
        All of them; empty for a file that could not be read.
    gaps : int
        Places where entries before one are missing from the file.
    assessment : Assessment or None
        The book worked through.
    reason : str
        Why it could not be read.
    """

    path: Path
    name: str
    form: str
    made: str = ""
    entries: tuple[Entry, ...] = ()
    gaps: int = 0
    assessment: Assessment | None = None
    reason: str = ""

    @property
    def ids(self) -> frozenset[str]:
        """Ids of its entries."""
        return frozenset(entry.id for entry in self.entries)

    @property
    def last_typed(self) -> str:
        """When the entry that was typed last was typed; empty without any."""
        return max((entry.entered for entry in self.entries), default="")


def read_files(paths: Sequence[Path], as_of: str = "") -> tuple[FileRead, ...]:
    """Read every file; one that is damaged or missing is told and does not stop the others.

    Parameters
    ----------
    paths : sequence of Path
        Books' folders, copies (folder or ``.zip``), files of entries (``.jsonl``).
    as_of : str, optional
        ISO day: only what was entered by the end of that day counts; all of it when empty.

    Returns
    -------
    tuple of FileRead
        In the order given; a place given twice is read once.
    """
    places = list(dict.fromkeys(path.expanduser() for path in paths))
    names = [path.resolve().name for path in places]
    return tuple(
        _read(path, name if names.count(name) == 1 else str(path), as_of)
        for path, name in zip(places, names, strict=True)
    )


def form_of(path: Path) -> str:
    """What lies at a place by its name: book, copy, lines, or unread."""
    if path.is_dir():
        if (path / MANIFEST).is_file():
            return "copy"
        return "book" if (path / FILE_NAME).is_file() else "unread"
    endings = {".zip": "copy", ".jsonl": "lines"}
    return endings.get(path.suffix.lower(), "unread")


def _read(path: Path, name: str, as_of: str) -> FileRead:
    form = form_of(path)
    if not path.exists() or form == "unread":
        reason = say("monday.no_form" if path.exists() else "monday.no_place")
        return FileRead(path, name, "unread", reason=reason)
    try:
        with tempfile.TemporaryDirectory(prefix="rodhand-monday-") as scratch:
            folder = Path(scratch) / "book"
            made = _bring(path, form, folder)
            return _worked(FileRead(path, name, form, made), folder, as_of)
    except CannotReadError as error:
        return FileRead(path, name, "unread", reason=error.reason)
    except BadInputError as error:
        lines = [fault.line for fault in error.faults if fault.line]
        reason = say("monday.bad_lines", count=len(error.faults), line=lines[0] if lines else "")
        return FileRead(path, name, "unread", reason=reason)


def _bring(path: Path, form: str, folder: Path) -> str:
    """Bring a file's book into a folder, proved whole; when it was made if it is a copy."""
    if form == "book":
        back_up(path, folder)
        return ""
    if form == "copy":
        restore(path, folder)
        return read_manifest(path).made
    take_lines(folder, path)
    return ""


_KEPT: dict[tuple[str, ...], Assessment] = {}
"""The last few books worked through, by what they held and when they were asked for."""


def _worked(read: FileRead, folder: Path, as_of: str) -> FileRead:
    entries = entries_in(folder)
    if not entries:
        return FileRead(read.path, read.name, read.form, read.made)
    beside = folder / BESIDE
    key = (
        overall_digest([entry.hash for entry in entries]), as_of, date.today().isoformat(),
        beside.read_text(encoding="utf-8", errors="replace") if beside.exists() else "",
    )  # fmt: skip
    if key not in _KEPT:
        book = read_book(entries, as_of or None)
        known = {entry.id for entry in known_by(entries, as_of or None)}
        today = today_of(newest_day(book), is_invented(book), as_of)
        made = assess(book, today, [entry for entry in entries if entry.id in known])
        if len(_KEPT) >= KEEP_AT_MOST:
            _KEPT.pop(next(iter(_KEPT)))
        _KEPT[key] = made if as_of else settle(folder, entries, made)
    gaps = sum(1 for each in verify_entries(entries).broken if each.code != "forked")
    return FileRead(read.path, read.name, read.form, read.made, entries, gaps, _KEPT[key])
