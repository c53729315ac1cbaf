"""Keep the standings that only a changed rule would make better, by entries of kind ``held``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from rodhand.book.tasks.rule_snapshot import Batch, Change
from rodhand.book.work.assess import Assessment
from rodhand.faults import BadInputError, CannotReadError
from rodhand.record.backup import BESIDE
from rodhand.record.book import Book
from rodhand.record.entry import Chain, Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.reading_back import read_book

BY = "rodhand"
AT_ONCE = 200
"""Most things named in one entry."""


def keep_standings(folder: Path, made: Assessment, batches: Sequence[Batch]) -> Assessment:
    """Enter what is kept over changed rules, and give the book back with it.

    Parameters
    ----------
    folder : Path
        The book's folder.
    made : Assessment
        The book worked through.
    batches : sequence of Batch
        What changed rules moved; of each the moves that are ``held``.

    Returns
    -------
    Assessment
        With what is kept; where the folder cannot be written to, in this assessment alone.
    """
    drafts = [draft for batch in batches for draft in _drafts(batch, made)]
    if not drafts:
        return made
    try:
        journal = journal_of(folder, write=True)
        journal.write_many(drafts, BESIDE)
        return replace(made, book=journal.book(), entries=tuple(journal.entries()))
    except (CannotReadError, BadInputError):
        chain = Chain(BY)
        unwritten = [chain.add(draft) for draft in drafts]
        book = read_book([*made.entries, *unwritten])
        known = replace(book, entry_count=made.book.entry_count, entries=made.book.entries)
        return replace(made, book=known)


def name_to_enter(book: Book, key: str) -> str:
    """A name by which an entry finds a thing now; empty when its marks are on others."""
    thing = book.things[key]
    for name in (thing.name, *(mark.text for mark in reversed(thing.marks))):
        found = book.thing_named(name)
        if name != key and found is not None and found.key == key:
            return name
    return ""


def _drafts(batch: Batch, made: Assessment) -> list[Draft]:
    groups: dict[str, list[str]] = {}
    for move in batch.moves:
        if move.held:
            groups.setdefault(move.before, []).append(name_to_enter(made.book, move.key))
    facts = {"why": "; ".join(f"{each.what} {each.name}".strip() for each in batch.changes)}
    if len(batch.changes) == 1:
        facts |= _values(batch.changes[0])
    return [
        Draft(
            "held",
            {"things": ", ".join(names[start : start + AT_ONCE]), "standing": standing, **facts},
            made.today, "", BY,
        )
        for standing, names in groups.items()
        for start in range(0, len(names), AT_ONCE)
    ]  # fmt: skip


def _values(change: Change) -> dict[str, str]:
    unit = " m" if change.what == "limit" else ""
    values = {"before": change.before, "after": change.after}
    return {name: f"{text}{unit}" for name, text in values.items() if text}
