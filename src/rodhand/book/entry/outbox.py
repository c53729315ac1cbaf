"""Entries kept on a device while the book was out of reach: taken in once each, or refused."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from rodhand.book.entry.device_clock import measurement
from rodhand.book.entry.pressed import BY_ONE_PRESS
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import LARGEST_WHOLE, Draft, Entry
from rodhand.record.kept_open import journal_of

KINDS_TAKEN = (*BY_ONE_PRESS, "strike")
"""Kinds a device may keep by itself: what one press keeps, and taking it back."""
MOST_AT_ONCE = 5000
LONGEST_TEXT = 2000
SOURCE = "outbox"
_ID = re.compile(r"[0-9a-f]{32}")
_DEVICE = re.compile(r"[0-9a-f]{16}")
_STAMP = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}[+-]\d{2}:\d{2}")
State = Literal["taken", "known", "refused"]


@dataclass(frozen=True)
class Pressed:
    """One entry as a device made it; see `rodhand.record.entry.Entry` for the fields.

    ``counter`` counts the presses of the device. In the book's chain of that device an entry is
    counted when it is taken, in the order of this counter: one refused leaves no gap.
    """

    id: str
    counter: int
    happened: str
    zone: str
    entered: str
    by: str
    kind: str
    payload: Mapping[str, str]


@dataclass(frozen=True)
class Sent:
    """What a device sent.

    Parameters
    ----------
    book : str
        Id of the book they were pressed for.
    device : str
        Key of the device, made on it.
    entries : tuple of Pressed
        In any order.
    now : str
        The device's clock as it sent them, ISO with offset; empty where nobody knows.
    """

    book: str
    device: str
    entries: tuple[Pressed, ...]
    now: str = ""


@dataclass(frozen=True)
class Answer:
    """What became of one entry: taken into the book now, known before, or refused and why."""

    id: str
    state: State
    faults: tuple[Fault, ...] = ()


class OtherBookError(Exception):
    """The entries were pressed for another book than the one in this folder."""


def book_id(folder: Path) -> str:
    """Id of the book in a folder; empty where there is none, or it cannot be read."""
    try:
        found = (folder / FILE_NAME).stat()
        return _book_id(folder, found.st_ino)
    except (OSError, CannotReadError):
        return ""


@lru_cache(maxsize=8)
def _book_id(folder: Path, _file: int) -> str:
    return journal_of(folder).book_id


def sent_from(found: Any) -> Sent:
    """Read what a device sent, or what a file of its outbox holds.

    Parameters
    ----------
    found : Any
        Parsed JSON: ``book``, ``device`` and ``entries`` with the fields of `Pressed`.

    Returns
    -------
    Sent
        In the order of the device's counter.

    Raises
    ------
    BadInputError
        If it is no outbox; single entries that cannot be taken are refused one by one instead.
    """
    if not isinstance(found, dict):
        raise BadInputError([Fault("outbox_form")], SOURCE)
    device, rows = found.get("device"), found.get("entries")
    if not isinstance(device, str) or not _DEVICE.fullmatch(device) or not isinstance(rows, list):
        raise BadInputError([Fault("outbox_form")], SOURCE)
    if len(rows) > MOST_AT_ONCE:
        values = {"most": f"{MOST_AT_ONCE}"}
        raise BadInputError([Fault("outbox_many", f"{len(rows)}", values=values)], SOURCE)
    entries = [_pressed(row) for row in rows]
    if None in entries:
        raise BadInputError([Fault("outbox_form")], SOURCE)
    made = sorted((each for each in entries if each), key=lambda each: each.counter)
    return Sent(f"{found.get('book', '')}", device, tuple(made), f"{found.get('now', '')}")


_TEXTS = ("id", "happened", "zone", "entered", "by", "kind")


def _pressed(row: Any) -> Pressed | None:
    """One entry of a file; None if a field is missing or of another type."""
    if not isinstance(row, dict):
        return None
    texts: dict[str, Any] = {name: row.get(name) for name in _TEXTS} | {"by": row.get("by", "")}
    counter, payload = row.get("counter"), row.get("payload")
    if (
        type(counter) is not int
        or not 0 < counter <= LARGEST_WHOLE
        or not isinstance(payload, dict)
    ):
        return None
    if not all(isinstance(each, str) for each in (*texts.values(), *payload, *payload.values())):
        return None
    if not _ID.fullmatch(texts["id"]):
        return None
    return Pressed(counter=counter, payload=payload, **texts)


def take(folder: Path, sent: Sent, arrived: str = "") -> tuple[Answer, ...]:
    """Take a device's entries into the book, each once, and say of each what became of it.

    Parameters
    ----------
    folder : Path
        The book's folder; no book is made.
    sent : Sent
        What the device sent. It may send the same again as often as it likes.
    arrived : str
        This machine's clock as it came in, ISO with offset, to measure the device's by; empty
        where it was not sent just now.

    Returns
    -------
    tuple of Answer
        One for each entry sent, in the order of the device's counter. Those taken are on disk.

    Raises
    ------
    OtherBookError
        If they were pressed for another book; then nothing is kept.
    CannotReadError
        If the book cannot be read or written; then nothing is kept.
    """
    if not sent.book or sent.book != book_id(folder):
        raise OtherBookError
    if not sent.entries:
        return ()
    answers: dict[str, Answer] = {}
    asked: dict[str, Pressed] = {}
    for each in sent.entries:
        faults = _faults_of(each)
        if faults:
            answers[each.id] = Answer(each.id, "refused", tuple(faults))
        else:
            asked.setdefault(each.id, each)
    open_ones = list(asked.values())
    journal = journal_of(folder, write=True)
    while open_ones:
        before = {entry.id: entry for entry in journal.entries() if entry.id in asked}
        answers |= {
            each.id: _known(each, before[each.id], sent.device)
            for each in open_ones
            if each.id in before
        }
        open_ones = [each for each in open_ones if each.id not in before]
        if not open_ones:
            break
        try:
            clock = measurement(journal.book(), sent.device, sent.now, arrived)
            drafts = [*([clock] if clock else []), *_drafts(open_ones)]
            journal.write_many(drafts, SOURCE, device=sent.device)
        except BadInputError as error:
            open_ones = _without_refused(open_ones, error, answers)
            continue
        answers |= {each.id: Answer(each.id, "taken") for each in open_ones}
        break
    return tuple(answers[each.id] for each in sent.entries)


def _drafts(entries: Sequence[Pressed]) -> list[Draft]:
    return [
        Draft(e.kind, e.payload, e.happened, e.zone, e.by, line, e.id, e.entered)
        for line, e in enumerate(entries, 1)
    ]


def _faults_of(each: Pressed) -> list[Fault]:
    """What no device of ours makes."""
    found = []
    if each.kind not in KINDS_TAKEN:
        found.append(Fault("outbox_kind", each.kind[:60], column="kind"))
    if not _STAMP.fullmatch(each.entered) or not _is_stamp(each.entered):
        found.append(Fault("outbox_stamp", each.entered[:60], column="entered"))
    found += [
        Fault("outbox_long", text[:60], column=column[:60])
        for column, text in each.payload.items()
        if len(text) > LONGEST_TEXT or len(column) > LONGEST_TEXT
    ]
    return found


def _is_stamp(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def _known(each: Pressed, entry: Entry, device: str) -> Answer:
    """An id that stands in the book: the same entry sent again, or another one."""
    same = (entry.kind, entry.device, entry.entered) == (each.kind, device, each.entered)
    if same:
        return Answer(each.id, "known")
    return Answer(each.id, "refused", (Fault("entry_id_taken", each.id, column="id"),))


def _without_refused(
    entries: list[Pressed], error: BadInputError, answers: dict[str, Answer]
) -> list[Pressed]:
    """The entries without those at fault, which are answered; without the first if none is told.

    An id that came in meanwhile by another way is no fault: the next look finds it known.
    """
    lines: dict[int, list[Fault]] = {}
    for fault in error.faults:
        if fault.code != "entry_id_taken":
            lines.setdefault(fault.line or 1, []).append(fault)
    for line, faults in lines.items():
        each = entries[line - 1]
        answers[each.id] = Answer(each.id, "refused", tuple(faults))
    return [each for line, each in enumerate(entries, 1) if line not in lines]
