"""Copies: the place remembered, the age, what is told when a stick is not in; lines taken in."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from book_builder import YARD, entries_of
from rodhand.book.entry import copies
from rodhand.book.entry.carrying import compare, export, take_lines
from rodhand.book.entry.copies import (
    CopyMade,
    age_of,
    copies_of,
    copy_now,
    copy_to,
    last_copy,
    read_notes,
)
from rodhand.faults import BadInputError, CannotReadError
from rodhand.record.backup import open_copy, restore
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries


@pytest.fixture
def book(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.append(entries_of(YARD))
        journal.write("remark", {"text": "é"})
    return tmp_path / "book"


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    (tmp_path / "stick").mkdir()
    return tmp_path / "stick"


def faults_of(call: object) -> list[str]:
    assert callable(call)
    with pytest.raises(BadInputError) as caught:
        call()
    return [fault.code for fault in caught.value.faults]


def test_the_place_is_remembered_and_the_next_copy_goes_there(book: Path, stick: Path) -> None:
    assert last_copy(book) is None
    assert faults_of(lambda: copy_now(book)) == ["copy_no_target"]
    first = copy_now(book, str(stick))
    second = copy_now(book)
    assert first.path != second.path
    assert {Path(each.path).parent for each in (first, second)} == {stick}
    assert [each.copy for each in copies_of(book)] in ([first, second], [second, first])
    assert open_copy(Path(second.path)).manifest.digest == second.digest
    assert second.entry_count == len(YARD) + 1


def test_a_named_copy_is_remembered_too(book: Path, stick: Path) -> None:
    copy_to(book, stick / "mine.zip")
    assert read_notes(book).target == str(stick)
    assert Path(copy_now(book).path).parent == stick


def test_a_stick_that_is_not_in_gets_no_folder_of_its_name(book: Path, stick: Path) -> None:
    copy_now(book, str(stick))
    shutil.rmtree(stick)
    assert faults_of(lambda: copy_now(book)) == ["copy_target_gone"]
    assert not stick.exists()
    assert [each.there for each in copies_of(book)] == ["away"]
    assert last_copy(book) is not None


def test_a_mount_point_without_its_stick_is_no_place(
    book: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(copies, "same_disk", lambda one, other: False)
    copy_now(book, str(stick))
    monkeypatch.setattr(copies, "same_disk", lambda one, other: True)
    assert faults_of(lambda: copy_now(book)) == ["copy_target_empty"]
    copy_now(book, str(stick))  # chosen anew
    copy_now(book)


def test_a_copy_that_is_gone_is_not_the_last(book: Path, stick: Path) -> None:
    first, second = copy_now(book, str(stick)), copy_now(book)
    Path(second.path).unlink()
    assert last_copy(book) == first
    Path(first.path).unlink()
    assert last_copy(book) is None


def test_copies_somebody_else_put_there_are_found(book: Path, stick: Path, tmp_path: Path) -> None:
    copy_now(book, str(stick))
    with Journal.open(book, write=False) as journal:
        book_id = journal.book_id
    shutil.copyfile(last_copy(book).path, stick / "by hand.zip")  # type: ignore[union-attr]
    (stick / "holiday.zip").write_bytes(b"no copy")
    with Journal.open(tmp_path / "other") as journal:
        journal.write("remark", {"text": "another book"})
    copy_to(tmp_path / "other", stick / "other.zip")
    names = {Path(each.copy.path).name for each in copies_of(book, book_id)}
    assert "by hand.zip" in names
    assert len(names) == 2


@pytest.mark.parametrize("content", ["", "[]", '{"copies": 3}', '{"copies": [{"x": 1}]}'])
def test_a_spoilt_note_is_no_note(book: Path, stick: Path, content: str) -> None:
    (book / copies.NOTES).write_text(content)
    assert read_notes(book) == copies.CopyNotes()
    copy_now(book, str(stick))


def test_age(book: Path) -> None:
    made = (datetime.now(UTC) - timedelta(days=3)).isoformat(timespec="seconds")
    assert age_of(CopyMade("x", made, 1, "")) == pytest.approx(3 * 86400.0, abs=60.0)
    assert age_of(CopyMade("x", "?", 1, "")) is None


def test_a_stick_is_a_disk_that_is_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a", "b", "a folder left without its stick"):
        (tmp_path / name).mkdir()
    monkeypatch.setattr("os.path.ismount", lambda path: str(path)[-2:] in ("/a", "/b"))
    found = copies.sticks((f"{tmp_path}/*",))
    assert found == (str(tmp_path / "a"), str(tmp_path / "b"))


def test_the_difference_is_counted_by_kind_with_the_newest(book: Path, tmp_path: Path) -> None:
    copy_to(book, tmp_path / "one.zip")
    shutil.copytree(book, tmp_path / "else")
    with Journal.open(tmp_path / "else") as journal:
        journal.write("remark", {"text": "elsewhere"})
    copy_to(tmp_path / "else", tmp_path / "two.zip")
    with Journal.open(book) as journal:
        journal.write("remark", {"text": "first"})
        last = journal.write("remark", {"text": "last"})
        rig = journal.write("rig", {"rig": "Rig-9"})
    found = compare(tmp_path / "two.zip", book)
    assert [(each.kind, each.count, each.newest) for each in found.here] == [
        ("remark", 2, last),
        ("rig", 1, rig),
    ]
    assert [(each.kind, each.count) for each in found.there] == [("remark", 1)]
    assert (found.both, found.count_here, found.count_there) == (len(YARD) + 1, 3, 1)
    assert faults_of(lambda: restore(tmp_path / "two.zip", book)) == ["restore_over_newer"]


def test_a_copy_opened_elsewhere_is_a_new_device(book: Path, tmp_path: Path) -> None:
    shutil.copytree(book, tmp_path / "carried by hand")
    copy_to(book, tmp_path / "copy.zip")
    restore(tmp_path / "copy.zip", tmp_path / "brought back")
    made = []
    for folder in (book, tmp_path / "carried by hand", tmp_path / "brought back"):
        with Journal.open(folder) as journal:
            made.append(journal.write("remark", {"text": folder.name}))
    assert len({entry.device for entry in made}) == 3
    with Journal.open(book) as journal:
        journal.append(made)
        assert not verify_entries(journal.entries()).broken


def lines_of(folder: Path) -> str:
    return export(folder, "jsonl")[0]


def test_lines_are_taken_once_and_any_order_gives_the_same_book(book: Path, tmp_path: Path) -> None:
    lines = lines_of(book).splitlines()
    (tmp_path / "back.jsonl").write_text("\n\n".join(reversed(lines)) + "\n", encoding="utf-8")
    taken = take_lines(tmp_path / "new", tmp_path / "back.jsonl")
    assert (taken.new, taken.total) == (len(lines), len(lines))
    assert take_lines(tmp_path / "new", tmp_path / "back.jsonl").new == 0
    with (
        Journal.open(book, write=False) as old,
        Journal.open(tmp_path / "new", write=False) as new,
    ):
        assert new.book().head == old.book().head


def test_changed_and_broken_lines_are_all_told_and_nothing_is_kept(
    book: Path, tmp_path: Path
) -> None:
    lines = lines_of(book).splitlines()
    changed = json.loads(lines[-1])
    changed["payload"]["text"] = "e"
    (tmp_path / "x.jsonl").write_text("\n".join([lines[0], "{}", json.dumps(changed), "\x00"]))
    with pytest.raises(BadInputError) as caught:
        take_lines(tmp_path / "new", tmp_path / "x.jsonl")
    assert [(fault.code, fault.line) for fault in caught.value.faults] == [
        ("entry_line", 2),
        ("entry_changed", 3),
        ("entry_line", 4),
    ]
    assert not (tmp_path / "new").exists()
    with pytest.raises(CannotReadError):
        take_lines(book, tmp_path / "not there.jsonl")
