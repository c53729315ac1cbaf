"""Copies of a book: where the last one went, how old it is, and a new one at one touch.

Where copies go is remembered beside the journal and not in it: a stick is a fact of this machine.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from glob import glob
from pathlib import Path

from rodhand.book.entry.carrying import back_up
from rodhand.book.whole_file import write_whole
from rodhand.faults import BadInputError, CannotReadError, DamagedError, Fault
from rodhand.record.backup import Manifest, read_manifest
from rodhand.record.moment import now

NOTES = "copies.json"
KEPT_AT_MOST = 50
DAY = 86400.0
STICKS = ("/media/*/*", "/run/media/*/*", "/mnt/*", "/Volumes/*")
"""Where systems show a stick; drives with a letter are asked for one by one."""


@dataclass(frozen=True)
class CopyMade:
    """One copy: where it lies, when it was made by this device's clock, and what it holds."""

    path: str
    made: str
    entry_count: int
    digest: str


@dataclass(frozen=True)
class CopyNotes:
    """What this machine remembers of a book's copies.

    Parameters
    ----------
    target : str
        Folder the next copy goes to; empty when none was chosen.
    apart : bool
        Whether that folder was on another disk than the book when it was chosen.
    copies : tuple of CopyMade
        Newest first.
    """

    target: str = ""
    apart: bool = False
    copies: tuple[CopyMade, ...] = field(default=())


def read_notes(folder: Path) -> CopyNotes:
    """What is remembered of a book's copies; nothing when the note is missing or spoilt."""
    try:
        noted = json.loads((folder / NOTES).read_text(encoding="utf-8"))
        copies = tuple(CopyMade(**each) for each in noted["copies"])
        return CopyNotes(str(noted["target"]), noted["apart"] is True, copies)
    except (OSError, ValueError, TypeError, KeyError):
        return CopyNotes()


def _write_notes(folder: Path, notes: CopyNotes) -> None:
    write_whole(folder / NOTES, json.dumps(asdict(notes), indent=1) + "\n")


def copy_to(folder: Path, target: Path) -> Manifest:
    """Make a copy of a given name, and remember where copies go.

    Parameters
    ----------
    folder : Path
        The book's folder.
    target : Path
        A folder to make, or a file ending in ``.zip``; never written over.

    Returns
    -------
    Manifest
        What the copy holds.

    Raises
    ------
    BadInputError
        If there is something at the target.
    DamagedError
        If the book is damaged; then nothing is copied.
    CannotReadError
        If the book cannot be read or the copy cannot be written.
    """
    made = back_up(folder, target)
    where = target.resolve()
    notes = read_notes(folder)
    copy = CopyMade(str(where), made.made, made.entry_count, made.digest)
    copies = (copy, *(each for each in notes.copies if each.path != copy.path))[:KEPT_AT_MOST]
    apart = not same_disk(folder, where.parent)
    _write_notes(folder, CopyNotes(str(where.parent), apart, copies))
    return made


def copy_now(folder: Path, target: str = "") -> CopyMade:
    """Copy a book into a folder or onto a stick under a name of its own.

    Parameters
    ----------
    folder : Path
        The book's folder.
    target : str, optional
        Folder the copy goes to; where the last one went when empty.

    Returns
    -------
    CopyMade
        The copy, read back from where it lies.

    Raises
    ------
    BadInputError
        If no folder was ever chosen, or the one chosen is not there.
    DamagedError
        If the book is damaged; then nothing is copied.
    CannotReadError
        If the book cannot be read or the copy cannot be written.
    """
    notes = read_notes(folder)
    into = _target(folder, target.strip(), notes)
    stamp = "".join(sign for sign in now()[:19] if sign.isdigit())
    name = f"rodhand-{folder.resolve().name}-{stamp[:8]}-{stamp[8:]}"
    file, number = into / f"{name}.zip", 1
    while file.exists():
        number += 1
        file = into / f"{name}-{number}.zip"
    copy_to(folder, file)
    return read_notes(folder).copies[0]


def _target(folder: Path, typed: str, notes: CopyNotes) -> Path:
    if not (typed or notes.target):
        raise BadInputError([Fault("copy_no_target", column="target")], NOTES)
    into = Path(typed or notes.target).expanduser()
    if not into.is_dir():
        # Never made here: a stick that is not in would become a folder on the book's own disk.
        raise BadInputError([Fault("copy_target_gone", str(into), column="target")], NOTES)
    if not typed and notes.apart and same_disk(folder, into):
        raise BadInputError([Fault("copy_target_empty", str(into), column="target")], NOTES)
    return into.resolve()


def same_disk(one: Path, other: Path) -> bool:
    """Whether two folders are on one disk, as far as the system tells them apart."""
    try:
        return os.stat(one).st_dev == os.stat(other).st_dev
    except OSError:
        return False


def sticks(patterns: Sequence[str] = STICKS) -> tuple[str, ...]:
    """Folders of sticks and other disks the system shows now, which can be written to."""
    found = [path for pattern in patterns for path in sorted(glob(pattern))]
    if os.name == "nt":
        found += [f"{letter}:\\" for letter in "DEFGHIJKLMNOPQRSTUVWXYZ"]
    return tuple(path for path in found if os.path.ismount(path) and os.access(path, os.W_OK))


@dataclass(frozen=True)
class CopyKnown:
    """A copy that is known: ``there`` yes, away (its stick or disk is not in), or gone."""

    copy: CopyMade
    there: str


def copies_of(folder: Path, book_id: str = "") -> tuple[CopyKnown, ...]:
    """Every copy known of a book, newest first.

    Parameters
    ----------
    folder : Path
        The book's folder.
    book_id : str, optional
        The book's id; copies of it found where copies go are listed too, whoever made them.

    Returns
    -------
    tuple of CopyKnown
        Those remembered and those found.
    """
    notes = read_notes(folder)
    known = {each.path: CopyKnown(each, _there(Path(each.path))) for each in notes.copies}
    for copy in _found_in(Path(notes.target), book_id) if notes.target and book_id else ():
        known.setdefault(copy.path, CopyKnown(copy, "yes"))
    return tuple(sorted(known.values(), key=lambda each: _seconds(each.copy.made), reverse=True))


def _there(path: Path) -> str:
    if path.exists():
        return "yes"
    return "gone" if path.parent.is_dir() else "away"


def _found_in(target: Path, book_id: str) -> list[CopyMade]:
    found = []
    try:
        paths = sorted(target.iterdir())
    except OSError:
        return []
    for path in paths:
        if path.suffix.lower() != ".zip" and not (path / "manifest.json").is_file():
            continue
        try:
            manifest = read_manifest(path)
        except (DamagedError, CannotReadError):
            continue
        if manifest.book == book_id:
            made = (manifest.made, manifest.entry_count, manifest.digest)
            found.append(CopyMade(str(path.resolve()), *made))
    return found


def _seconds(stamp: str) -> float:
    try:
        return datetime.fromisoformat(stamp).timestamp()
    except (ValueError, TypeError):
        return 0.0


def age_of(copy: CopyMade) -> float | None:
    """Age of a copy by this device's clock; None when its stamp cannot be read. [s]"""
    made = _seconds(copy.made)
    return max(datetime.now(UTC).timestamp() - made, 0.0) if made else None


def last_copy(folder: Path) -> CopyMade | None:
    """The newest copy of a book that is there or away; None when none is known."""
    kept = [each.copy for each in copies_of(folder) if each.there != "gone"]
    return kept[0] if kept else None
