"""Copies of a book that can be proved whole, and the way back from them."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Sequence
from contextlib import closing
from dataclasses import asdict, dataclass
from pathlib import Path

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record import moment
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.entry import Entry
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries

MANIFEST = "manifest.json"
FORM = 1
SHOWN_OF_DIFFERENCE = 5


@dataclass(frozen=True)
class Manifest:
    """What a backup holds, written beside it.

    Parameters
    ----------
    form : int
        Form of the backup.
    book : str
        The book's id.
    made : str
        When, by the device's clock.
    entry_count : int
        Number of entries.
    digest : str
        Digest of all entries.
    heads : dict
        Device to counter and hash of its last entry.
    sha256 : str
        Of the journal's file.
    """

    form: int
    book: str
    made: str
    entry_count: int
    digest: str
    heads: dict[str, tuple[int, str]]
    sha256: str


def back_up(book: Path, target: Path) -> Manifest:
    """Copy a book while it is in use, check the copy, and only then call it a backup.

    Parameters
    ----------
    book : Path
        The book's folder.
    target : Path
        A folder to make, or a file ending in ``.zip``; never written over.

    Returns
    -------
    Manifest
        What the backup holds.

    Raises
    ------
    BadInputError
        If there is something at the target.
    CannotReadError
        If the book cannot be read or the copy cannot be written or does not hold.
    """
    if target.exists():
        raise BadInputError([Fault("backup_there", str(target))], str(target))
    with told_plainly(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(dir=target.parent, prefix=".backup-"))
    try:
        with told_plainly(target):
            manifest = _copy_into(book, scratch)
            if target.suffix.lower() == ".zip":
                _zip(scratch, target)
            else:
                scratch.rename(target)
            _sync(target.parent)
    finally:
        shutil.rmtree(scratch, ignore_errors=True)
    return manifest


def _copy_into(book: Path, folder: Path) -> Manifest:
    copy = folder / FILE_NAME
    with Journal.open(book, write=False) as journal:
        book_id = journal.book_id
        with (
            closing(sqlite3.connect(journal.file.resolve().as_uri() + "?mode=rw", uri=True)) as old,
            closing(sqlite3.connect(copy)) as new,
        ):
            old.backup(new)
    _sync(copy)
    checked = verify_entries(_entries(folder))
    manifest = Manifest(
        FORM, book_id, moment.now(), checked.count, checked.digest, dict(checked.heads), _sum(copy)
    )
    (folder / MANIFEST).write_text(json.dumps(asdict(manifest), indent=2) + "\n", encoding="utf-8")
    _sync(folder / MANIFEST)
    return manifest


def _zip(folder: Path, target: Path) -> None:
    part = folder / "part"
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as packed:
        for name in (FILE_NAME, MANIFEST):
            packed.write(folder / name, name)
    _sync(part)
    part.rename(target)


def restore(backup: Path, book: Path) -> int:
    """Bring a book back from a backup.

    Parameters
    ----------
    backup : Path
        A backup's folder or ``.zip`` file.
    book : Path
        The book's folder. A folder without a book gets the whole backup; a book that is a part
        of the backup gets the entries it lacks.

    Returns
    -------
    int
        How many entries were added.

    Raises
    ------
    BadInputError
        If the book has entries which the backup lacks, or is another book.
    CannotReadError
        If the backup cannot be read or does not hold, or the book cannot be written.
    """
    with tempfile.TemporaryDirectory(prefix="rodhand-restore-") as scratch:
        with told_plainly(backup):
            manifest = _unpack(backup, Path(scratch))
        entries = _entries(Path(scratch))
        checked = verify_entries(entries)
        if (checked.count, checked.digest) != (manifest.entry_count, manifest.digest):
            raise CannotReadError(str(backup), "its entries are not those of its manifest")
        if not (book / FILE_NAME).exists():
            with told_plainly(book):
                _place(Path(scratch) / FILE_NAME, book)
            return len(entries)
        _refuse_if_newer(entries, manifest, book)
        with Journal.open(book) as journal:
            return journal.append(entries)


def _unpack(backup: Path, folder: Path) -> Manifest:
    """Copy a backup's two files out, and compare the journal with its sum."""
    if backup.is_dir():
        for name in (FILE_NAME, MANIFEST):
            shutil.copyfile(backup / name, folder / name)
    else:
        try:
            with zipfile.ZipFile(backup) as packed:
                for name in (FILE_NAME, MANIFEST):
                    with packed.open(name) as source, (folder / name).open("wb") as copy:
                        shutil.copyfileobj(source, copy)
        except (zipfile.BadZipFile, KeyError) as error:
            raise CannotReadError(str(backup), f"it is not a backup ({error})") from error
    try:
        manifest = Manifest(**json.loads((folder / MANIFEST).read_text(encoding="utf-8")))
    except (ValueError, TypeError) as error:
        raise CannotReadError(str(backup), f"its manifest cannot be read ({error})") from error
    if manifest.form != FORM:
        raise CannotReadError(
            str(backup), f"it has form {manifest.form}, this version reads {FORM}"
        )
    if manifest.sha256 != _sum(folder / FILE_NAME):
        raise CannotReadError(str(backup), "its journal was changed since the backup was made")
    return manifest


def _place(copy: Path, book: Path) -> None:
    book.mkdir(parents=True, exist_ok=True)
    part = book / f"{FILE_NAME}.part"
    shutil.copyfile(copy, part)
    with closing(sqlite3.connect(part, isolation_level=None)) as connection:
        # Whoever goes on from here is a new device: entries made after the backup may live
        # elsewhere under the old device's next counters.
        connection.execute("DELETE FROM device")
    _sync(part)
    part.rename(book / FILE_NAME)
    _sync(book)


def _refuse_if_newer(entries: Sequence[Entry], manifest: Manifest, book: Path) -> None:
    with Journal.open(book, write=False) as journal:
        if journal.book_id != manifest.book:
            raise BadInputError([Fault("restore_other_book", journal.book_id)], str(book))
        here = {entry.id: entry for entry in journal.entries()}
    there = {entry.id for entry in entries}
    only_here = [entry for id, entry in here.items() if id not in there]
    if only_here:
        values = {
            "here": str(len(only_here)),
            "there": str(len(there - set(here))),
            "last": max(entry.entered for entry in only_here),
        }
        shown = "; ".join(
            f"{entry.id[:8]} {entry.kind} {entry.happened}"
            for entry in only_here[-SHOWN_OF_DIFFERENCE:]
        )
        raise BadInputError([Fault("restore_over_newer", shown, values=values)], str(book))


def _entries(folder: Path) -> Sequence[Entry]:
    with Journal.open(folder, write=False) as journal:
        return journal.entries()


def _sum(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _sync(path: Path) -> None:
    """Wait until a file, or a folder's list of names, is on disk."""
    if os.name == "nt" and path.is_dir():
        return  # there a folder cannot be opened, and its names are kept with the file
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
