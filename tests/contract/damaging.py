"""Damage a book's file or its copy at a random byte, bring it back; for tests and benchmarks."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

from rodhand.book.entry.carrying import take_lines
from rodhand.faults import CannotReadError, DamagedError
from rodhand.record.backup import back_up, open_copy, restore
from rodhand.record.damage import whole_entries
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft, Entry
from rodhand.record.journal import Journal
from rodhand.record.verify import verify_entries

PAGE = 4096
"""Size of a page of the store's file. [bytes]"""


@dataclass(frozen=True)
class Kept:
    """A book, its last copy, and what another device kept of the time since.

    Parameters
    ----------
    book, copy, outbox : Path
        The book's folder, the copy, the lines of the other device.
    acknowledged : dict
        Id to hash of every entry somebody was told is on disk.
    """

    book: Path
    copy: Path
    outbox: Path
    acknowledged: dict[str, str]


@dataclass(frozen=True)
class Told:
    """What one damage came to: whether it was noticed, in what words, and what failed."""

    where: str
    how: str
    at: int
    noticed: bool
    words: str
    saved: int
    wrong: str


def keep(folder: Path, before: int, after: int) -> Kept:
    """A book with entries of two devices, a copy, and more entries of the second device since."""
    book, tablet = folder / "book", folder / "tablet"
    with Journal.open(book) as journal:
        journal.write_many(_remarks("at the office", before // 2))
        journal.name_person("p1", "Somebody")
    shutil.copytree(book, tablet)
    _from_tablet(tablet, book, before - before // 2)
    back_up(book, folder / "copy.zip")
    sent = _from_tablet(tablet, book, after)
    outbox = folder / "outbox.jsonl"
    outbox.write_text("".join(f"{entry.as_json()}\n" for entry in sent), encoding="utf-8")
    acknowledged = {entry.id: entry.hash for entry in whole_entries(book)}
    return Kept(book, folder / "copy.zip", outbox, acknowledged)


def _remarks(where: str, count: int) -> list[Draft]:
    return [Draft("remark", {"text": f"{where} {n} " + "ø" * (n % 90)}) for n in range(count)]


def _from_tablet(tablet: Path, book: Path, count: int) -> tuple[Entry, ...]:
    with Journal.open(tablet) as journal:
        made = journal.write_many(_remarks("at the rig", count))
    with Journal.open(book) as journal:
        assert journal.append(made) == count
    return made


def _flip(file: Path, at: int, dice: Random) -> None:
    content = bytearray(file.read_bytes())
    content[at] ^= dice.randrange(1, 256)
    file.write_bytes(content)


def _cut(file: Path, at: int, _dice: Random) -> None:
    file.write_bytes(file.read_bytes()[:at])


def _zero(file: Path, at: int, _dice: Random) -> None:
    content = bytearray(file.read_bytes())
    start = at // PAGE * PAGE
    content[start : start + PAGE] = bytes(len(content[start : start + PAGE]))
    file.write_bytes(content)


HOW: dict[str, Callable[[Path, int, Random], None]] = {"flip": _flip, "cut": _cut, "zero": _zero}


def damage_once(kept: Kept, scratch: Path, dice: Random) -> Told:
    """Damage a copy of what is kept at one random byte, bring it back, and look at the outcome."""
    where = dice.choice(("book", "copy"))
    how = dice.choice(sorted(HOW))
    book = Path(shutil.copytree(kept.book, scratch / "book"))
    copy = Path(shutil.copyfile(kept.copy, scratch / "copy.zip"))
    file = book / FILE_NAME if where == "book" else copy
    at = dice.randrange(file.stat().st_size)
    HOW[how](file, at, dice)
    try:
        if where == "book":
            words, saved, wrong = _book_damaged(kept, book)
        else:
            words, saved, wrong = _copy_damaged(kept, book, copy)
    except Exception as error:
        words, saved, wrong = "", 0, f"ended with {error!r}"
    shutil.rmtree(book)
    copy.unlink()
    return Told(where, how, at, bool(words), words, saved, wrong)


def _book_damaged(kept: Kept, book: Path) -> tuple[str, int, str]:
    try:
        entries = whole_entries(book)
    except CannotReadError as error:
        words = f"{type(error).__name__}: {error.reason}"
    else:
        same = {entry.id: entry.hash for entry in entries} == kept.acknowledged
        with Journal.open(book, write=False) as now, Journal.open(kept.book, write=False) as then:
            same = same and now.people() == then.people() and now.book_id == then.book_id
        return "", 0, "" if same else "unnoticed, and entries are not as they were"
    done = restore(kept.copy, book)
    take_lines(book, kept.outbox)
    entries = whole_entries(book)
    lost = kept.acknowledged.items() - {entry.id: entry.hash for entry in entries}.items()
    wrong = f"{len(lost)} acknowledged entries lost" if lost else ""
    if done.aside is None:
        wrong = wrong or "the damaged file was not kept"
    if verify_entries(entries).broken:
        wrong = wrong or "a chain does not hold"
    return words, done.saved, wrong


def _copy_damaged(kept: Kept, book: Path, copy: Path) -> tuple[str, int, str]:
    good = open_copy(kept.copy)
    try:
        whole = open_copy(copy)
    except DamagedError as error:
        words = error.reason
    else:
        return "", 0, "" if whole == good else "unnoticed, and the copy is not as it was"
    before = (book / FILE_NAME).read_bytes()
    try:
        restore(copy, book)
    except DamagedError:
        pass
    else:
        return words, 0, "a damaged copy was brought back"
    if (book / FILE_NAME).read_bytes() != before:
        return words, 0, "the book was changed by a damaged copy"
    return words, 0, ""
