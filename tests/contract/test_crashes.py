"""Kills, a full disk, a disk that cannot be written: nothing acknowledged is lost.

1,000 kills run in benchmarks/kills.py. Power loss is not tested; the sync mode is asserted in
test_journals.py.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from killing import in_child, kill_many, losses

from rodhand.faults import CannotReadError
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries

COMMAND = Path(sys.executable).with_name("rodhand")
KILLS, BOOKS = 10, 5


@pytest.mark.parametrize("seed", range(BOOKS))
def test_nothing_acknowledged_is_lost_by_kills(tmp_path: Path, seed: int) -> None:
    acknowledged, wrong = kill_many(tmp_path / "book", KILLS, seed)
    assert not wrong
    assert acknowledged >= KILLS  # every second writer is left alone until its first pair


def test_a_lost_entry_would_be_seen(tmp_path: Path) -> None:
    """The check of the kills fails when an acknowledged entry is missing."""
    with Journal.open(tmp_path) as journal:
        journal.write_many([Draft("remark", {"text": "x"}), Draft("remark", {"text": "y"})])
        ids = [entry.id for entry in journal.entries()]
    assert not losses(tmp_path, ids, 0)
    assert losses(tmp_path, [*ids, "0" * 32], 0)
    assert losses(tmp_path, [], 0)


def limit_file_size(size: int) -> None:
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))


def fill(journal: Journal) -> None:
    """Write pairs of long remarks until it cannot go on."""
    while True:
        journal.write_many([Draft("remark", {"text": n + "x" * 9000}) for n in "ab"])


def test_a_full_disk_stops_the_write_and_nothing_else(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.write("remark", {"text": "before"})
    size = (tmp_path / FILE_NAME).stat().st_size

    def work(speak: int) -> None:
        with Journal.open(tmp_path) as journal:
            limit_file_size(size + 60_000)
            with pytest.raises(CannotReadError) as caught:
                fill(journal)
            kept = len(journal.entries()) - 1
            assert caught.value.reason
            assert FILE_NAME in caught.value.path
            assert kept % 2 == 0
            limit_file_size(resource.getrlimit(resource.RLIMIT_FSIZE)[1])
            journal.write("remark", {"text": "after"})
            os.write(speak, str(kept).encode())

    pid, listen = in_child(work)
    kept = int(os.read(listen, 100) or b"-1")
    os.close(listen)
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0
    assert kept >= 2
    with Journal.open(tmp_path, write=False) as journal:
        entries = journal.entries()
        journal.check_file()
    assert len(entries) == kept + 2
    assert entries[-1].payload["text"] == "after"
    assert not verify_entries(entries).broken


def test_the_stores_own_size_limit_is_told_too(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        engine = journal._writer
        assert engine is not None
        with engine.connect() as connection:
            pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
            connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")
        with pytest.raises(CannotReadError, match="full"):
            journal.write("remark", {"text": "x" * 19_000})
        assert not journal.entries()


def test_the_command_ends_with_3_on_a_full_disk(tmp_path: Path) -> None:
    book = tmp_path / "book"
    with Journal.open(book) as journal:
        journal.write("remark", {"text": "before"})
    size = (book / FILE_NAME).stat().st_size
    done = subprocess.run(
        [COMMAND, "enter", "remark", "--text", "x" * 15_000, "--book", book],
        capture_output=True,
        text=True,
        timeout=60,
        preexec_fn=lambda: limit_file_size(size),
    )
    assert (done.returncode, done.stdout) == (3, "")
    assert FILE_NAME in done.stderr
    assert "Traceback" not in done.stderr
    with Journal.open(book, write=False) as journal:
        assert len(journal.entries()) == 1


@pytest.fixture
def locked_book() -> Iterator[Path]:
    """A book in a folder that nobody but its owner may write, where anybody can reach it."""
    above = Path(tempfile.mkdtemp(prefix="rodhand-locked-"))
    book = above / "book"
    with Journal.open(book) as journal:
        journal.write("remark", {"text": "x"})
    above.chmod(0o755)
    (book / FILE_NAME).chmod(0o444)
    book.chmod(0o555)
    yield book
    book.chmod(0o755)
    shutil.rmtree(above)


def test_a_read_only_folder_can_be_read_and_not_written(locked_book: Path) -> None:
    def work(speak: int) -> None:
        if os.geteuid() == 0:  # nothing is read-only for the administrator
            os.setgid(65534)
            os.setuid(65534)
        with Journal.open(locked_book, write=False) as journal:
            assert len(journal.entries()) == 1
            assert journal.book().remarks
            journal.check_file()
        with pytest.raises(CannotReadError) as caught:
            Journal.open(locked_book).write("remark", {"text": "y"})
        os.write(speak, caught.value.reason.encode())

    pid, listen = in_child(work)
    reason = os.read(listen, 1000).decode()
    os.close(listen)
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0
    assert "readonly" in reason or "permission" in reason.lower() or "unable to open" in reason


def test_a_crash_in_the_middle_of_a_commit_is_rolled_back_by_the_next_reader(
    tmp_path: Path,
) -> None:
    """A left-over rollback journal, made by copying a book while a write is under way."""
    book, copy = tmp_path / "book", tmp_path / "copy"
    with Journal.open(book) as journal:
        journal.write("remark", {"text": "kept"})
        with journal._writing() as session:
            connection = session.connection  # type: ignore[attr-defined]
            connection.exec_driver_sql("PRAGMA cache_size=1")  # spill unfinished pages to the file
            connection.exec_driver_sql("CREATE TABLE unfinished (text TEXT)")
            for _ in range(50):
                connection.exec_driver_sql(f"INSERT INTO unfinished VALUES ('{'x' * 5000}')")
            shutil.copytree(book, copy)
    assert (copy / f"{FILE_NAME}-journal").stat().st_size > 0
    with Journal.open(copy, write=False) as journal:
        assert [entry.payload["text"] for entry in journal.entries()] == ["kept"]
        journal.check_file()
