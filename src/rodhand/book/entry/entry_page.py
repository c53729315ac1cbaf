"""One entry of the journal as it was typed, and the kinds of entry that can be made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.typed_rows import drafts_of_values
from rodhand.book.opening import book_in, entries_in
from rodhand.book.work.booked import booked_of_begun
from rodhand.record.entry import Entry
from rodhand.record.kind import Field, Kind
from rodhand.record.kinds import KINDS

__all__ = ["EntryView", "Field", "Kind", "NoSuchEntryError", "enter_one", "entry_view", "kinds"]


class NoSuchEntryError(LookupError):
    """There is no entry of this id in the book."""


@dataclass(frozen=True)
class EntryView:
    """One entry of the journal as it was typed.

    Parameters
    ----------
    id, kind, happened, entered, by : str
        As the journal holds them.
    typed : mapping of str to str
        Column name, with its unit, to the text as typed.
    struck_why : str
        Reason of the entry that struck it; empty while it stands.
    asked : tuple of Sentence
        What is asked about it: of a booking, whether its bore was begun before.
    """

    id: str
    kind: str
    happened: str
    entered: str
    by: str
    typed: Mapping[str, str]
    struck_why: str = ""
    asked: tuple[Sentence, ...] = ()


def kinds() -> Mapping[str, Kind]:
    """Every kind of entry by name."""
    return KINDS


def strike_of(
    entry: str, entries: Sequence[Entry], seen: frozenset[str] = frozenset()
) -> Entry | None:
    """The strike in force against an entry: the first that is not itself struck."""
    if entry in seen:  # a circle, which only a forged entry can make, strikes nothing
        return None
    for each in entries:
        against = each.kind == "strike" and each.payload.get("entry") == entry
        if against and strike_of(each.id, entries, seen | {entry}) is None:
            return each
    return None


def entry_view(folder: Path, entry: str) -> EntryView:
    """One entry of a book.

    Parameters
    ----------
    folder : Path
        The book's folder.
    entry : str
        Its id.

    Returns
    -------
    EntryView
        As typed, with the reason it was struck for.

    Raises
    ------
    NoSuchEntryError
        If there is no such entry.
    CannotReadError
        If the book cannot be read.
    """
    entries = entries_in(folder)
    found = next((each for each in entries if each.id == entry), None)
    if found is None:
        raise NoSuchEntryError(entry)
    strike = strike_of(entry, entries)
    why = strike.payload.get("why", "") if strike else ""
    return EntryView(
        found.id,
        found.kind,
        found.happened,
        found.entered,
        found.by,
        dict(found.payload),
        why,
        booked_of_begun(book_in(folder), entry=entry) if found.kind == "booked-bore" else (),
    )


def enter_one(folder: Path, kind: str, payload: Mapping[str, str], happened: str, by: str) -> str:
    """Take one entry into a book and give its id.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be written; then nothing is kept.
    """
    return enter(folder, drafts_of_values(kind, payload, happened, by), kind).entries[0].id
