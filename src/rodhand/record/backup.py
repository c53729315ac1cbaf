"""Copies of a book that can be proved whole, and the way back from them."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path

from rodhand.faults import BadInputError, CannotReadError, DamagedError, Fault
from rodhand.record import moment
from rodhand.record.damage import put_aside, readable_entries, whole_entries
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.difference import Difference, difference
from rodhand.record.entry import Entry
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries

MANIFEST = "manifest.json"
PHOTOS = "photos"
"""Folder of the pictures inside the book's folder."""
BESIDE = "standings.json"
"""A file beside the journal that goes with every copy: where the rods stood when last shown."""
FORM = 1
SHOWN_OF_DIFFERENCE = 5
_NOT_A_ZIP = (
    zipfile.BadZipFile, zlib.error, struct.error, KeyError, EOFError, NotImplementedError,
    RuntimeError, ValueError, OverflowError,
)  # fmt: skip
"""What unpacking a damaged file may end with."""


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
    beside : str
        SHA-256 of the file kept beside it; empty when there is none.
    photos : dict
        Name of each picture beside the book to its SHA-256.
    """

    form: int
    book: str
    made: str
    entry_count: int
    digest: str
    heads: dict[str, tuple[int, str]]
    sha256: str
    beside: str = ""
    photos: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Copy:
    """A copy that was opened and proved whole: its manifest and entries in order of arrival."""

    manifest: Manifest
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Restored:
    """What bringing a book back did.

    Parameters
    ----------
    added : int
        Entries that came from the copy.
    aside : Path or None
        Where the damaged file that stood there is now; None when none did.
    saved : int
        Entries the copy lacks that could still be read from the damaged file.
    """

    added: int
    aside: Path | None = None
    saved: int = 0


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
    DamagedError
        If the book is damaged: damage is not copied over good copies.
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
        open_copy(target)  # read back from where it lies
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
    checked = verify_entries(whole_entries(folder))
    beside = ""
    if (book / BESIDE).exists():
        shutil.copyfile(book / BESIDE, folder / BESIDE)
        _sync(folder / BESIDE)
        beside = _sum(folder / BESIDE)
    manifest = Manifest(
        FORM, book_id, moment.now(), checked.count, checked.digest, dict(checked.heads),
        _sum(copy), beside, _copy_photos(book, folder),
    )  # fmt: skip
    (folder / MANIFEST).write_text(json.dumps(asdict(manifest), indent=2) + "\n", encoding="utf-8")
    _sync(folder / MANIFEST)
    return manifest


def _copy_photos(start: Path, end: Path) -> dict[str, str]:
    """Copy the pictures that are not there yet; the sum of each by its name."""
    sums = {}
    for picture in sorted((start / PHOTOS).glob("[!.]*")):
        if picture.is_file():
            there = end / PHOTOS / picture.name
            if not there.exists():
                there.parent.mkdir(exist_ok=True)
                part = there.with_name(f".{picture.name}.part")
                shutil.copyfile(picture, part)
                _sync(part)
                part.rename(there)
            sums[picture.name] = _sum(there)
    return sums


def _zip(folder: Path, target: Path) -> None:
    part = folder / "part"
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as packed:
        for name in (FILE_NAME, BESIDE, MANIFEST):
            if (folder / name).exists():
                packed.write(folder / name, name)
        for picture in sorted((folder / PHOTOS).glob("*")):
            # Pictures are packed already: no time is lost on packing them again.
            packed.write(picture, f"{PHOTOS}/{picture.name}", zipfile.ZIP_STORED)
    _sync(part)
    part.rename(target)


def restore(backup: Path, book: Path) -> Restored:
    """Bring a book back from a backup.

    Parameters
    ----------
    backup : Path
        A backup's folder or ``.zip`` file.
    book : Path
        The book's folder. A folder without a book gets the whole backup; a book that is a part
        of the backup gets the entries it lacks; a damaged file is put aside, the backup takes its
        place, and what the damaged file still gives up is added.

    Returns
    -------
    Restored
        How many entries were added, and from where.

    Raises
    ------
    BadInputError
        If the book has entries which the backup lacks, or is another book.
    DamagedError
        If the backup does not hold what its manifest says; then nothing was changed.
    CannotReadError
        If the backup cannot be read, or the book cannot be written.
    """
    with _opened(backup) as (scratch, copy):
        if not (book / FILE_NAME).exists():
            _place(scratch, book)
            return Restored(len(copy.entries))
        try:
            _refuse_if_newer(copy, book)
        except DamagedError:
            return _replace_damaged(scratch, copy, book)
        with told_plainly(book):
            _copy_photos(scratch, book)
        with Journal.open(book) as journal:
            return Restored(journal.append(copy.entries))


def _replace_damaged(scratch: Path, copy: Copy, book: Path) -> Restored:
    aside = put_aside(book, moment.now()[:19])
    _place(scratch, book)
    known = {entry.id for entry in copy.entries}
    saved = [entry for entry in readable_entries(aside) if entry.id not in known]
    with Journal.open(book) as journal:
        return Restored(len(copy.entries), aside, journal.append(saved))


def open_copy(backup: Path) -> Copy:
    """Open a backup and prove that it holds what its manifest says.

    Parameters
    ----------
    backup : Path
        A backup's folder or ``.zip`` file; it is only read.

    Returns
    -------
    Copy
        Its manifest and entries.

    Raises
    ------
    DamagedError
        If it is no backup or does not hold what its manifest says.
    CannotReadError
        If it cannot be read.
    """
    with _opened(backup) as (_, copy):
        return copy


def compare(backup: Path, book: Path) -> Difference:
    """What stands only in a book, and what only in a backup; neither is changed.

    Raises
    ------
    BadInputError
        If the backup is of another book.
    DamagedError
        If the backup or the book is damaged.
    CannotReadError
        If one of them cannot be read.
    """
    return compare_copy(open_copy(backup), book)


@contextmanager
def _opened(backup: Path) -> Iterator[tuple[Path, Copy]]:
    """A backup unpacked into a folder of its own, proved whole."""
    with tempfile.TemporaryDirectory(prefix="rodhand-restore-") as folder:
        scratch = Path(folder)
        with told_plainly(backup):
            manifest = _unpack(backup, scratch)
        try:
            entries = whole_entries(scratch)
        except CannotReadError as error:
            raise DamagedError(str(backup), error.reason) from error
        checked = verify_entries(entries)
        if (checked.count, checked.digest) != (manifest.entry_count, manifest.digest):
            raise DamagedError(str(backup), "its entries are not those of its manifest")
        yield scratch, Copy(manifest, entries)


def _unpack(backup: Path, folder: Path) -> Manifest:
    """Copy a backup's files out, and compare them with their sums."""
    if backup.is_dir():
        for name in (FILE_NAME, MANIFEST):
            shutil.copyfile(backup / name, folder / name)
        if (backup / BESIDE).exists():
            shutil.copyfile(backup / BESIDE, folder / BESIDE)
        _copy_photos(backup, folder)
    else:
        try:
            with zipfile.ZipFile(backup) as packed:
                for name in {FILE_NAME, MANIFEST, *packed.namelist()} & _FILES:
                    with packed.open(name) as source, (folder / name).open("wb") as copy:
                        shutil.copyfileobj(source, copy)
                _unpack_photos(packed, folder)
        except _NOT_A_ZIP as error:
            raise DamagedError(
                str(backup), f"it is not a backup, or not whole ({error})"
            ) from error
    return _checked_manifest(backup, folder)


def _unpack_photos(packed: zipfile.ZipFile, folder: Path) -> None:
    for name in packed.namelist():
        parent, _, plain = name.rpartition("/")
        if parent == PHOTOS and plain and Path(plain).name == plain:
            (folder / PHOTOS).mkdir(exist_ok=True)
            with packed.open(name) as source, (folder / PHOTOS / plain).open("wb") as copy:
                shutil.copyfileobj(source, copy)


_FILES = {FILE_NAME, MANIFEST, BESIDE}


def read_manifest(backup: Path) -> Manifest:
    """What a backup says it holds, without opening what it holds.

    Raises
    ------
    DamagedError
        If it is no backup.
    CannotReadError
        If it cannot be read.
    """
    with told_plainly(backup):
        if backup.is_dir():
            text = (backup / MANIFEST).read_bytes()
        else:
            try:
                with zipfile.ZipFile(backup) as packed:
                    text = packed.read(MANIFEST)
            except _NOT_A_ZIP as error:
                raise DamagedError(str(backup), f"it is not a backup ({error})") from error
    return _manifest_of(text, backup)


def _manifest_of(text: bytes, backup: Path) -> Manifest:
    try:
        manifest = Manifest(**json.loads(text))
    except (ValueError, TypeError) as error:
        raise DamagedError(str(backup), f"its manifest cannot be read ({error})") from error
    if manifest.form != FORM:
        raise CannotReadError(
            str(backup), f"it has form {manifest.form}, this version reads {FORM}"
        )
    return manifest


def _checked_manifest(backup: Path, folder: Path) -> Manifest:
    manifest = _manifest_of((folder / MANIFEST).read_bytes(), backup)
    if manifest.sha256 != _sum(folder / FILE_NAME):
        raise DamagedError(str(backup), "its journal was changed since the backup was made")
    beside = _sum(folder / BESIDE) if (folder / BESIDE).exists() else ""
    if manifest.beside != beside:
        raise DamagedError(str(backup), f"its {BESIDE} was changed since the backup was made")
    for name, digest in manifest.photos.items():
        picture = folder / PHOTOS / name
        if not picture.is_file() or _sum(picture) != digest:
            raise DamagedError(str(backup), f"its picture {name} is missing or was changed")
    return manifest


def _place(scratch: Path, book: Path) -> None:
    with told_plainly(book):
        book.mkdir(parents=True, exist_ok=True)
        if (scratch / BESIDE).exists():
            shutil.copyfile(scratch / BESIDE, book / BESIDE)
        _copy_photos(scratch, book)
        part = book / f"{FILE_NAME}.part"
        shutil.copyfile(scratch / FILE_NAME, part)
        with closing(sqlite3.connect(part, isolation_level=None)) as connection:
            # Whoever goes on from here is a new device: entries made after the backup may live
            # elsewhere under the old device's next counters.
            connection.execute("DELETE FROM device")
        _sync(part)
        part.rename(book / FILE_NAME)
        _sync(book)


def compare_copy(copy: Copy, book: Path) -> Difference:
    """Lay an opened copy beside a book; see `compare`. A folder without a book holds nothing."""
    if not (book / FILE_NAME).exists():
        return difference((), copy.entries)
    here = whole_entries(book)
    with Journal.open(book, write=False) as journal:
        # A damaged id would make the book another one; two that share entries are one.
        shared = {entry.id for entry in here} & {entry.id for entry in copy.entries}
        if journal.book_id != copy.manifest.book and not shared:
            raise BadInputError([Fault("restore_other_book", journal.book_id)], str(book))
    return difference(here, copy.entries)


def _refuse_if_newer(copy: Copy, book: Path) -> None:
    found = compare_copy(copy, book)
    if found.here:
        newest = [each.newest for each in found.here]
        values = {
            "here": str(found.count_here),
            "there": str(found.count_there),
            "last": max(entry.entered for entry in newest),
        }
        shown = "; ".join(
            f"{entry.id[:8]} {entry.kind} {entry.happened}"
            for entry in newest[:SHOWN_OF_DIFFERENCE]
        )
        raise BadInputError([Fault("restore_over_newer", shown, values=values)], str(book))


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
