"""The two journals against one contract, and what only the file promises."""

from __future__ import annotations

import json
import shutil
import sqlite3
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from journal_contract import JournalContract

from book_builder import YARD, entries_of
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record import database, migrations
from rodhand.record.book import Book
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.record.memory import MemoryJournal
from rodhand.record.reading_back import read_book
from rodhand.record.verify import verify_entries


class TestMemoryJournal(JournalContract):
    @pytest.fixture
    def journal(self) -> MemoryJournal:
        return MemoryJournal()


class TestFileJournal(JournalContract):
    @pytest.fixture
    def journal(self, tmp_path: Path) -> Iterator[Journal]:
        with Journal.open(tmp_path / "book") as journal:
            yield journal


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A book with the yard in it, in a folder whose name needs care."""
    book = tmp_path / "a book 100 % ?#"
    with Journal.open(book) as journal:
        journal.append(entries_of(YARD))
    return book


def test_what_was_acknowledged_is_there_after_opening_again(folder: Path) -> None:
    with Journal.open(folder) as journal:
        entry = journal.write("remark", {"text": "x"})
        device = journal.device
    with Journal.open(folder) as journal:
        assert journal.entries()[-1] == entry
        assert journal.device == device
        assert journal.write("remark", {"text": "y"}).previous == entry.hash


def test_every_commit_waits_for_the_disk(tmp_path: Path) -> None:
    """SQLite before 3.51.3 keeps a rollback journal and syncs the folder too (EXTRA = 3)."""
    engine = database.writer(tmp_path / FILE_NAME)
    with engine.connect() as connection:
        asked = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("synchronous", "journal_mode", "fullfsync", "secure_delete")
        }
    assert asked == {"synchronous": 3, "journal_mode": "delete", "fullfsync": 1, "secure_delete": 1}


def test_the_file_itself_refuses_changed_and_removed_entries(folder: Path) -> None:
    with sqlite3.connect(folder / FILE_NAME) as connection:
        for change in ("UPDATE entries SET by = 'x'", "DELETE FROM entries"):
            with pytest.raises(sqlite3.IntegrityError, match="only ever added"):
                connection.execute(change)


def test_reading_never_makes_or_changes_a_book(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(CannotReadError):
        Journal.open(tmp_path / "none", write=False)
    assert not (tmp_path / "none").exists()
    before = (folder / FILE_NAME).read_bytes()
    with Journal.open(folder, write=False) as journal:
        assert len(journal.entries()) == len(YARD)
        assert journal.book().sets
        with pytest.raises(CannotReadError):
            journal.write("remark", {"text": "x"})
        with pytest.raises(CannotReadError):
            journal.name_person("p1", "x")
    assert (folder / FILE_NAME).read_bytes() == before


def test_two_programs_on_one_book_lose_nothing(folder: Path) -> None:
    def write(name: str) -> None:
        with Journal.open(folder) as journal:
            for number in range(15):
                journal.write("remark", {"text": f"{name} {number}"})

    threads = [threading.Thread(target=write, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    with Journal.open(folder, write=False) as journal:
        entries = journal.entries()
    assert len(entries) == len(YARD) + 30
    assert not verify_entries(entries).broken


def test_one_journal_serves_several_threads(folder: Path) -> None:
    with Journal.open(folder) as journal:

        def write(name: str) -> None:
            for number in range(10):
                journal.write("remark", {"text": f"{name} {number}"})
                assert journal.book().remarks

        threads = [threading.Thread(target=write, args=(name,)) for name in "abc"]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60)
        assert len(journal.book().remarks) == 30
        assert not verify_entries(journal.entries()).broken


def test_reading_waits_for_no_commit(folder: Path) -> None:
    """What is on its way counts once it is on disk; until then the book is as it was."""
    with Journal.open(folder) as journal:
        before = journal.book().entry_count
        under_way, told = threading.Event(), threading.Event()

        def slow(_book: Book, _drafts: Mapping[str, Draft]) -> list[Fault]:
            under_way.set()
            assert told.wait(60)
            return []

        draft = Draft("remark", {"text": "x"})
        writer = threading.Thread(target=lambda: journal.write_many([draft], also=slow))
        writer.start()
        assert under_way.wait(60)
        assert journal.book().entry_count == len(journal.entries()) == before
        assert journal.is_as_left
        told.set()
        writer.join(60)
        assert journal.book().entry_count == len(journal.entries()) == before + 1


def test_a_write_that_fails_leaves_the_book_as_it_was(folder: Path) -> None:
    with Journal.open(folder) as journal:
        before = journal.book()
        fault = [Fault("x")]
        with pytest.raises(BadInputError):
            journal.write_many([Draft("remark", {"text": "x"})], also=lambda _book, _drafts: fault)
        assert journal.book() == before
        assert journal.book().head == before.head
        with Journal.open(folder) as other:  # told of although our own write came to nothing
            other.write("remark", {"text": "y"})
        assert journal.write("remark", {"text": "z"}).kind == "remark"
        assert [each.text for each in journal.book().remarks] == ["y", "z"]
        assert journal.book().head == read_book(journal.entries()).head


def test_a_reader_sees_what_another_program_wrote(folder: Path) -> None:
    with Journal.open(folder, write=False) as reader:
        assert len(reader.entries()) == len(YARD)
        with Journal.open(folder) as writer:
            writer.write("remark", {"text": "x"})
        assert len(reader.entries()) == len(YARD) + 1


def test_a_copy_that_goes_on_elsewhere_is_another_device(folder: Path, tmp_path: Path) -> None:
    with Journal.open(folder) as journal:
        journal.write("remark", {"text": "before the copy"})
    shutil.copytree(folder, tmp_path / "copy")
    with Journal.open(folder) as here, Journal.open(tmp_path / "copy") as there:
        assert here.book_id == there.book_id
        assert here.device != there.device
        mine, theirs = (each.write("remark", {"text": "x"}) for each in (here, there))
        assert (mine.counter, theirs.counter) == (2, 1)
        here.append(there.entries())
        assert not verify_entries(here.entries()).broken


def test_names_of_people_can_be_removed_and_are_in_no_entry(folder: Path) -> None:
    with Journal.open(folder) as journal:
        journal.name_person("p1", "Somebody Quitenamed")
        journal.write("remark", {"text": "x"}, by="p1")
        assert journal.people() == {"p1": "Somebody Quitenamed"}
        assert b"Quitenamed" in (folder / FILE_NAME).read_bytes()
        journal.forget_person("p1")
        assert not journal.people()
        assert journal.entries()[-1].by == "p1"
    assert b"Quitenamed" not in (folder / FILE_NAME).read_bytes()


# --- the file's form ----------------------------------------------------------------------------


def test_the_newest_step_is_the_last_file() -> None:
    missing = Path("/nonexistent") / FILE_NAME
    assert database.pending(missing)[-1] == migrations.NEWEST


def test_asking_what_is_pending_never_writes(tmp_path: Path) -> None:
    file = tmp_path / FILE_NAME
    assert database.pending(file) == (migrations.NEWEST,)
    assert not file.exists()
    sqlite3.connect(file).close()
    before = file.read_bytes()
    assert database.pending(file) == (migrations.NEWEST,)
    assert file.read_bytes() == before


def test_a_step_that_fails_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = tmp_path / "steps"
    shutil.copytree(migrations.FOLDER, steps)
    (steps / "versions" / "r0002_fails.py").write_text(
        "from alembic import op\nrevision = '0002'\ndown_revision = '0001'\n"
        "def upgrade():\n    op.execute('CREATE TABLE half (a)')\n    op.execute('nonsense')\n"
    )
    monkeypatch.setattr(database, "FOLDER", steps)
    monkeypatch.setattr(database, "NEWEST", "0002")
    with pytest.raises(CannotReadError):
        Journal.open(tmp_path / "book")
    file = tmp_path / "book" / FILE_NAME
    assert database.pending(file) == ("0002",)
    with sqlite3.connect(file) as connection:
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
    assert "entries" in tables
    assert "half" not in tables


def test_a_book_of_a_newer_version_is_left_alone(folder: Path) -> None:
    with sqlite3.connect(folder / FILE_NAME) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    for write in (True, False):
        with pytest.raises(CannotReadError, match="newer"):
            Journal.open(folder, write=write)


@pytest.mark.parametrize("content", [b"this is no journal", b"SQLite format 3\0" + b"\xff" * 5000])
def test_a_file_that_is_no_journal_is_told(tmp_path: Path, content: bytes) -> None:
    (tmp_path / FILE_NAME).write_bytes(content)
    for write in (True, False):
        with pytest.raises(CannotReadError):
            Journal.open(tmp_path, write=write)


def test_an_entry_damaged_in_the_file_is_told(folder: Path) -> None:
    with sqlite3.connect(folder / FILE_NAME) as connection:
        connection.execute("DROP TRIGGER entries_no_update")
        connection.execute("UPDATE entries SET payload = '{' WHERE arrival = 2")
    with Journal.open(folder, write=False) as journal, pytest.raises(CannotReadError, match="2"):
        journal.entries()


def test_entries_in_the_file_are_canonical_json(folder: Path) -> None:
    """The promise of docs/book-file.md: readable without this program."""
    with sqlite3.connect(folder / FILE_NAME) as connection:
        rows = connection.execute("SELECT payload FROM entries ORDER BY arrival").fetchall()
    assert json.loads(rows[1][0]) == dict(YARD[1][1])
