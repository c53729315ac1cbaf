"""The journal on disk: one SQLite file in the book's folder."""

from __future__ import annotations

import hashlib
import json
import platform
import sqlite3
import threading
import uuid
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import sqlalchemy as sa

from rodhand.faults import CannotReadError, DamagedError
from rodhand.record import database, moment
from rodhand.record.book import Book
from rodhand.record.database import BOOK, DEVICE, ENTRIES, PEOPLE, told_plainly
from rodhand.record.entry import Chain, Entry, as_row
from rodhand.record.grown import Grown
from rodhand.record.intake import Intake, Session


class FileSeen(NamedTuple):
    """A file as it was when it was read."""

    version: int
    inode: int
    size: int
    changed: int


class Journal(Intake):
    """A book's entries in ``journal.sqlite``; made by `Journal.open`.

    Any number of threads and programs may use one book: readers never wait for a writer longer
    than a commit, writers wait for each other.
    """

    def __init__(self, file: Path, write: bool) -> None:
        super().__init__()
        self.file = file
        self._writer = database.writer(file) if write else None
        self._reader = database.reader(file)
        self._one_writes = threading.RLock()
        self._lock = threading.RLock()  # of what is remembered; never held while the disk writes
        self._is_writing = False
        self._loaded: Grown[Entry] = Grown()
        self._arrival = 0
        self._is_behind = True  # rows may have come that were not read yet
        self._seen: FileSeen | None = None
        self._device = ""
        self._book_id = ""
        self._watch: sqlite3.Connection | None = None

    @classmethod
    def open(cls, folder: Path | str, write: bool = True) -> Journal:
        """Open a book's journal.

        Parameters
        ----------
        folder : Path or str
            The book's folder. With ``write`` a missing book is made.
        write : bool
            Whether entries will be added; a book opened for reading is never changed.

        Returns
        -------
        Journal
            The open journal; close it or use it in a ``with`` statement.

        Raises
        ------
        CannotReadError
            If there is no book to read, it cannot be opened or made, or it comes from a newer
            version.
        """
        file = Path(folder) / database.FILE_NAME
        if write:
            with told_plainly(file):
                file.parent.mkdir(parents=True, exist_ok=True)
        elif not file.exists():
            raise CannotReadError(str(folder), "there is no book in this folder")
        journal = cls(file, write)
        with told_plainly(file):
            journal._prepare()
        return journal

    def _prepare(self) -> None:
        if self._writer is None:
            if database.pending(self.file):
                raise CannotReadError(str(self.file), "an older form; write to it once to renew it")
            self._watch = database.watched(self._reader, self.file)
            return
        database.bring_up_to_date(self._writer, self.file)
        self._watch = database.watched(self._writer, self.file)  # before any write is under way
        place = _place(self.file)
        with self._writer.begin() as connection:
            if connection.scalar(sa.select(BOOK.c.id)) is None:
                connection.execute(BOOK.insert().values(id=uuid.uuid4().hex))
            device = connection.scalar(sa.select(DEVICE.c.id).where(DEVICE.c.place == place))
            if device is None:
                # A new book, or a copy opened elsewhere: two copies that went on with one
                # device's counter would give two entries the same place in its chain.
                device = uuid.uuid4().hex[:16]
                row = {"id": device, "place": place, "since": moment.now()}
                connection.execute(DEVICE.insert().values(row))
        self._device = device

    def close(self) -> None:
        """Let go of the file."""
        if self._watch is not None and self._writer is None:
            self._watch.close()
        self._watch = None
        self._reader.dispose()
        if self._writer is not None:
            self._writer.dispose()

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()

    @property
    def book_id(self) -> str:
        """The book's own id, the same in every copy."""
        if not self._book_id:
            with told_plainly(self.file), self._reader.connect() as connection:
                self._book_id = str(connection.scalar(sa.select(BOOK.c.id)))
        return self._book_id

    @property
    def device(self) -> str:
        """Key of this device and folder; empty when opened for reading."""
        return self._device

    def entries(self) -> Sequence[Entry]:
        """All entries, in order of arrival."""
        with self._lock, told_plainly(self.file):
            if self._is_up_to_date():
                return self._loaded
            with self._reader.connect() as connection:
                return self._load(connection)

    def book(self, as_of: str | None = None) -> Book:
        """The book read back from all entries; see `rodhand.record.reading_back.read_book`."""
        with self._lock:
            return super().book(as_of)

    def _is_up_to_date(self) -> bool:
        """Whether all that counts was read; an entry on its way to the disk does not count yet."""
        return self._is_writing or (not self._is_behind and self._look() == self._seen)

    def _load(self, connection: sa.Connection) -> Grown[Entry]:
        """Read what arrived since the last time; all of it once somebody else wrote the file."""
        seen = self._look()
        if seen != self._seen:
            before, self._loaded, self._arrival = tuple(self._loaded), Grown(), 0
            self._read_rows(connection)
            if self._loaded[: len(before)] != before:
                self._read = self._then = None
            self._seen = seen
        else:
            self._read_rows(connection)
        return self._loaded

    def _read_rows(self, connection: sa.Connection) -> None:
        query = sa.select(ENTRIES).where(ENTRIES.c.arrival > self._arrival).order_by("arrival")
        rows = connection.execute(query).fetchall()
        if rows:
            self._loaded = self._loaded.plus([self._entry(row) for row in rows])
            self._arrival = rows[-1].arrival
        self._is_behind = False

    def _look(self) -> FileSeen:
        """The file as it is now; the store's version moves with what others commit, not we."""
        assert self._watch is not None
        ((version,),) = self._watch.execute("PRAGMA data_version").fetchall()
        found = self.file.stat()
        return FileSeen(version, found.st_ino, found.st_size, found.st_mtime_ns)

    @property
    def is_as_left(self) -> bool:
        """Whether its file still stands there, and nobody wrote to it past the store."""
        with self._lock:
            if self._is_writing:
                return True
            try:
                now = self._look()
            except (OSError, sqlite3.Error):
                return False
            seen = self._seen
            return seen is None or now == seen or (
                now.inode == seen.inode and now.version != seen.version
            )  # fmt: skip

    def take_over(self, other: Journal) -> None:
        """Go on with what another journal has read of the same file.

        All is read again at the next look if the file was written to since.
        """
        self._loaded, self._read = other._loaded, other._read
        if self._look()[1:] == (other._seen or ())[1:]:  # versions count for each connection
            self._seen, self._arrival = self._look(), other._arrival

    def _entry(self, row: Sequence[Any]) -> Entry:
        arrival, *fields = row
        try:
            fields[8] = json.loads(fields[8])
        except (ValueError, TypeError) as error:
            raise DamagedError(str(self.file), f"entry {arrival} cannot be read") from error
        entry = Entry(*fields)
        if type(entry.counter) is not int or not isinstance(entry.payload, dict):
            raise DamagedError(str(self.file), f"entry {arrival} cannot be read")
        return entry

    def check_file(self) -> None:
        """Let the store look through its whole file. Raises DamagedError if it does not hold."""
        with told_plainly(self.file), self._reader.connect() as connection:
            found = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
        if found != "ok":
            raise DamagedError(str(self.file), str(found))

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        if self._writer is None:
            raise CannotReadError(str(self.file), "the book was opened for reading only")
        with self._one_writes, told_plainly(self.file):
            try:
                with self._writer.begin() as connection:
                    session = _FileSession(self, connection)
                    with self._lock:
                        session.entries()
                        self._is_writing = True
                    yield session
            except BaseException:
                self._is_writing = False
                raise
            with self._lock:
                self._is_writing = False
                self._add_own(session.added)

    def _add_own(self, added: Sequence[tuple[int, Entry]]) -> None:
        """Go on with the entries a write that has ended well has added to all that were read."""
        if added and added[0][0] == self._arrival + 1:
            self._loaded = self._loaded.plus([entry for _, entry in added])
            self._arrival = added[-1][0]
            self._is_behind = False
        now, seen = self._look(), self._seen
        if seen is not None and now.version == seen.version:  # else somebody wrote since
            self._seen = now

    def people(self) -> Mapping[str, str]:
        """Key of each person to the name, for those whose name is kept."""
        with told_plainly(self.file), self._reader.connect() as connection:
            return {row.key: row.name for row in connection.execute(sa.select(PEOPLE))}

    def name_person(self, key: str, name: str) -> None:
        """Keep or change the name behind a key. Raises CannotReadError if it cannot be kept."""
        self._change_person(key, name)

    def forget_person(self, key: str) -> None:
        """Remove a name; the entries keep the key. Raises CannotReadError if that fails."""
        self._change_person(key, None)

    def _change_person(self, key: str, name: str | None) -> None:
        with self._writing() as session:
            assert isinstance(session, _FileSession)
            session.connection.execute(PEOPLE.delete().where(PEOPLE.c.key == key))
            if name is not None:
                session.connection.execute(PEOPLE.insert().values(key=key, name=name))


_END_OF_CHAIN = "SELECT counter, hash FROM entries WHERE device = ? ORDER BY counter DESC LIMIT 1"


class _FileSession:
    def __init__(self, journal: Journal, connection: sa.Connection) -> None:
        self.journal = journal
        self.connection = connection
        self.added: list[tuple[int, Entry]] = []

    def entries(self) -> Sequence[Entry]:
        journal = self.journal
        return journal._loaded if journal._is_up_to_date() else journal._load(self.connection)

    def chain(self, device: str = "") -> Chain:
        device = device or self.journal.device
        row = self.connection.exec_driver_sql(_END_OF_CHAIN, (device,)).first()
        return Chain(device) if row is None else Chain(device, row.counter, row.hash)

    def insert(self, entries: Sequence[Entry]) -> None:
        if entries:
            self.journal._is_behind = True
            self.connection.execute(ENTRIES.insert(), [as_row(entry) for entry in entries])
            last = int(self.connection.exec_driver_sql("SELECT last_insert_rowid()").scalar_one())
            self.added += zip(range(last - len(entries) + 1, last + 1), entries, strict=True)


def _place(file: Path) -> str:
    """What tells one machine and folder from another, without saying which."""
    return hashlib.sha256(f"{platform.node()}\0{file.resolve()}".encode()).hexdigest()[:32]
