"""Backup and restore."""

from __future__ import annotations

import json
import shutil
import sqlite3
import zipfile
from pathlib import Path

import pytest

from book_builder import YARD, entries_of
from rodhand.faults import BadInputError, CannotReadError
from rodhand.record.backup import MANIFEST, Restored, back_up, restore
from rodhand.record.compare import book_as_facts
from rodhand.record.database import FILE_NAME
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries


@pytest.fixture
def book(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.append(entries_of(YARD))
        journal.write("remark", {"text": "é"})
        journal.name_person("p1", "Somebody")
    return tmp_path / "book"


@pytest.fixture(params=["copy", "copy.zip", "a new/folder/copy.ZIP"])
def copy(request: pytest.FixtureRequest, book: Path, tmp_path: Path) -> Path:
    target = tmp_path / request.param
    back_up(book, target)
    return target


def test_a_restored_book_is_the_book(book: Path, copy: Path, tmp_path: Path) -> None:
    assert restore(copy, tmp_path / "again") == Restored(len(YARD) + 1)
    with (
        Journal.open(book, write=False) as old,
        Journal.open(tmp_path / "again", write=False) as new,
    ):
        assert new.entries() == old.entries()
        assert new.book_id == old.book_id
        assert new.people() == {"p1": "Somebody"}
        assert book_as_facts(new.book()) == book_as_facts(old.book())
        assert new.book().head == old.book().head


@pytest.mark.parametrize("name", ["copy", "copy.zip"])
def test_pictures_come_along_and_are_proved(book: Path, tmp_path: Path, name: str) -> None:
    (book / "photos").mkdir()
    (book / "photos" / "M1-01-pin-1234.jpg").write_bytes(b"\xff\xd8\xff a pin")
    (book / "photos" / ".part-x").write_bytes(b"half a picture")
    copy = tmp_path / name
    back_up(book, copy)
    again = tmp_path / "again"
    restore(copy, again)
    assert [each.name for each in (again / "photos").iterdir()] == ["M1-01-pin-1234.jpg"]
    assert (again / "photos" / "M1-01-pin-1234.jpg").read_bytes() == b"\xff\xd8\xff a pin"
    # A book that lost a picture gets it back; one that has it keeps its own.
    (book / "photos" / "M1-01-pin-1234.jpg").unlink()
    assert restore(copy, book) == Restored(0)
    assert (book / "photos" / "M1-01-pin-1234.jpg").exists()
    if copy.is_dir():
        (copy / "photos" / "M1-01-pin-1234.jpg").write_bytes(b"\xff\xd8\xff another pin")
    else:
        with zipfile.ZipFile(copy) as old, zipfile.ZipFile(tmp_path / "new.zip", "w") as new:
            for each in old.namelist():
                if not each.startswith("photos/"):
                    new.writestr(each, old.read(each))
        copy = tmp_path / "new.zip"
    with pytest.raises(CannotReadError, match="picture"):
        restore(copy, tmp_path / "third")
    assert not (tmp_path / "third").exists()


def test_a_restored_book_goes_on_as_a_new_device(book: Path, tmp_path: Path) -> None:
    back_up(book, tmp_path / "copy")
    with Journal.open(book) as journal:
        lost = journal.write("remark", {"text": "after the backup"})
    shutil.rmtree(book)
    restore(tmp_path / "copy", book)
    with Journal.open(book) as journal:
        new = journal.write("remark", {"text": "after the restore"})
        assert new.device != lost.device
        journal.append([lost])  # it turns up on another machine
        assert not verify_entries(journal.entries()).broken


def test_the_manifest_says_what_the_copy_holds(book: Path, tmp_path: Path) -> None:
    manifest = back_up(book, tmp_path / "copy.zip")
    with Journal.open(book, write=False) as journal:
        checked = verify_entries(journal.entries())
    with zipfile.ZipFile(tmp_path / "copy.zip") as packed:
        assert sorted(packed.namelist()) == [FILE_NAME, MANIFEST]
        written = json.loads(packed.read(MANIFEST))
    assert written["entry_count"] == manifest.entry_count == checked.count == len(YARD) + 1
    assert written["digest"] == checked.digest
    assert set(written["heads"]) == set(checked.heads)


def test_a_backup_is_never_written_over(book: Path, copy: Path) -> None:
    with pytest.raises(BadInputError):
        back_up(book, copy)


def test_a_failed_backup_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(CannotReadError):
        back_up(tmp_path / "none", tmp_path / "copy")
    assert not list(tmp_path.iterdir())


def test_the_writer_is_not_kept_from_writing_by_a_backup(book: Path, tmp_path: Path) -> None:
    with Journal.open(book) as journal:
        back_up(book, tmp_path / "one")
        journal.write("remark", {"text": "x"})
        assert back_up(book, tmp_path / "two").entry_count == len(YARD) + 2


def test_a_newer_book_is_left_alone_and_the_difference_told(book: Path, copy: Path) -> None:
    with Journal.open(book) as journal:
        newer = journal.write("remark", {"text": "newer"})
    before = (book / FILE_NAME).read_bytes()
    with pytest.raises(BadInputError) as caught:
        restore(copy, book)
    (fault,) = caught.value.faults
    assert fault.code == "restore_over_newer"
    assert newer.id[:8] in fault.found
    assert (fault.values["here"], fault.values["there"]) == ("1", "0")
    assert (book / FILE_NAME).read_bytes() == before


def test_an_older_book_gets_what_it_lacks(book: Path, tmp_path: Path) -> None:
    shutil.copytree(book, tmp_path / "older")
    with Journal.open(book) as journal:
        journal.write("remark", {"text": "newer"})
    back_up(book, tmp_path / "copy")
    assert restore(tmp_path / "copy", tmp_path / "older") == Restored(1)
    assert restore(tmp_path / "copy", tmp_path / "older") == Restored(0)


def test_another_book_is_refused(copy: Path, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "other") as journal:
        journal.write("remark", {"text": "x"})
    with pytest.raises(BadInputError) as caught:
        restore(copy, tmp_path / "other")
    assert caught.value.faults[0].code == "restore_other_book"


def spoil_sum(folder: Path) -> None:
    with (folder / FILE_NAME).open("ab") as file:
        file.write(b"x")


def spoil_entry(folder: Path) -> None:
    """Change an entry and the sum over the file, as somebody who wants to would."""
    from hashlib import sha256

    with sqlite3.connect(folder / FILE_NAME) as connection:
        connection.execute("DROP TRIGGER entries_no_delete")
        connection.execute("DELETE FROM entries WHERE arrival = 2")
    manifest = json.loads((folder / MANIFEST).read_text())
    manifest["sha256"] = sha256((folder / FILE_NAME).read_bytes()).hexdigest()
    (folder / MANIFEST).write_text(json.dumps(manifest))


def spoil_manifest(folder: Path) -> None:
    (folder / MANIFEST).write_text("{}")


def lose_manifest(folder: Path) -> None:
    (folder / MANIFEST).unlink()


@pytest.mark.parametrize("spoil", [spoil_sum, spoil_entry, spoil_manifest, lose_manifest])
def test_a_spoiled_backup_is_refused(book: Path, tmp_path: Path, spoil: object) -> None:
    back_up(book, tmp_path / "copy")
    spoil(tmp_path / "copy")  # type: ignore[operator]
    with pytest.raises(CannotReadError):
        restore(tmp_path / "copy", tmp_path / "again")
    assert not (tmp_path / "again").exists()


@pytest.mark.parametrize("content", [b"", b"no zip at all", b"PK\x03\x04broken"])
def test_what_is_no_backup_is_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "copy.zip").write_bytes(content)
    with pytest.raises(CannotReadError):
        restore(tmp_path / "copy.zip", tmp_path / "again")
    with pytest.raises(CannotReadError):
        restore(tmp_path / "not there", tmp_path / "again")
