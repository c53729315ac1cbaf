"""Tables taken into a book: which entries each brought, and taking one back whole."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path

from rodhand.book.entry.keeping import Entered, enter
from rodhand.book.opening import entries_in
from rodhand.faults import BadInputError, Fault
from rodhand.record.entry import Draft, Entry
from rodhand.record.order import struck_entries

IMPORT = "import"


@dataclass(frozen=True)
class Import:
    """One table that was taken in.

    Parameters
    ----------
    entry : str
        Id of its entry of kind ``import``.
    file : str
        Name of the file.
    what : str
        Kind of its entries.
    count : int
        How many entries it brought.
    standing : int
        How many of them are not struck.
    entered : str
        ISO day it was taken in.
    bore, recipe, by : str
        As typed; empty where nothing was.
    digest : str
        SHA-256 of the file.
    struck : bool
        Whether it was taken back.
    """

    entry: str
    file: str
    what: str
    count: int
    standing: int
    entered: str
    bore: str
    recipe: str
    by: str
    digest: str
    struck: bool


def digest_of(data: bytes) -> str:
    """SHA-256 of a file's content, in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def import_draft(
    file: str, digest: str, rows: Sequence[Draft], bore: str = "", recipe: str = ""
) -> Draft:
    """The entry that names a table; it must stand right before its rows in one `enter`.

    Its ``count`` says how many of the device's next entries are the table's.
    """
    said = {"file": file, "count": str(len(rows)), "digest": digest, "bore": bore,
            "recipe": recipe}  # fmt: skip
    return Draft(IMPORT, {name: text for name, text in said.items() if text},
                 rows[0].happened, rows[0].zone, rows[0].by)  # fmt: skip


def members(entry: Entry, entries: Sequence[Entry]) -> list[Entry]:
    """Entries a table brought: as many as it says, of one kind, on its device right after it."""
    last = entry.counter + int(entry.payload["count"])
    after = sorted(
        (e for e in entries if e.device == entry.device and entry.counter < e.counter <= last),
        key=lambda each: each.counter,
    )
    return list(takewhile(lambda each: each.kind == after[0].kind, after))


def imports_of(folder: Path) -> list[Import]:
    """All tables taken into a book, the newest first.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    entries = entries_in(folder)
    struck = struck_entries(entries, [])
    named = [entry for entry in entries if entry.kind == IMPORT]
    return [_import(entry, entries, struck) for entry in reversed(named)]


def _import(entry: Entry, entries: Sequence[Entry], struck: set[str]) -> Import:
    brought, said = members(entry, entries), entry.payload
    return Import(
        entry.id, said["file"], brought[0].kind if brought else "", len(brought),
        sum(each.id not in struck for each in brought), entry.entered[:10],
        said.get("bore", ""), said.get("recipe", ""), entry.by, said["digest"],
        entry.id in struck,
    )  # fmt: skip


def undo_import(folder: Path, entry: str, why: str, by: str = "") -> Entered:
    """Strike a table and every entry it brought that still stands, all or none.

    Parameters
    ----------
    folder : Path
        The book's folder.
    entry : str
        Id of the table's entry.
    why : str
        Reason, kept with each strike.
    by : str, optional
        Key of the person who says it.

    Returns
    -------
    Entered
        The strikes. What was entered stays in the journal, struck.

    Raises
    ------
    BadInputError
        If there is no such table, or it was taken back before.
    CannotReadError
        If the book cannot be read or written.
    """
    entries = entries_in(folder)
    struck = struck_entries(entries, [])
    found = next((e for e in entries if e.id == entry and e.kind == IMPORT), None)
    if found is None or found.id in struck:
        raise BadInputError([Fault("import_not_there", entry)], "undo")
    standing = [each for each in members(found, entries) if each.id not in struck]
    drafts = [
        Draft("strike", {"entry": each.id, "why": why}, "", "", by)
        for each in (*reversed(standing), found)
    ]
    return enter(folder, drafts, found.payload["file"])
