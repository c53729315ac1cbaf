"""What the book holds right after it was begun: the newest set, its box, what is not known."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.work.in_force import is_invented
from rodhand.record.book import Book
from rodhand.record.journal import Journal
from rodhand.record.kept_open import journal_of
from rodhand.record.order import listen
from rodhand.units import Figure, Standing
from rodhand.words import LANGUAGES, say

MARKS = tuple(say("start.invented_mark", language) for language in LANGUAGES)
"""How the note of an invented rod type begins, in whatever language it was entered."""


@dataclass(frozen=True)
class Started:
    """The newest set of a book.

    figures: entries, rods. known: what is on record of its box and its past. warnings: figures
    that are not real.
    """

    set: str
    rig: str
    invented: bool
    known: tuple[Sentence, ...]
    warnings: tuple[Sentence, ...]
    figures: dict[str, Figure]


def invented_rod_types(journal: Journal) -> tuple[Sentence, ...]:
    """Warnings of rod types whose note says that figures of them are invented."""
    return tuple(
        Sentence(
            "warning.invented_rod_type",
            {"name": f"{said.values['name']}", "note": f"{said.values['note']}"},
        )
        for said in listen(journal.entries()).by_kind["rod-type"]
        if f"{said.values.get('note', '')}".startswith(MARKS)
    )


def started(folder: Path) -> Started | None:
    """The newest set of a book and what is known of it; None in a book without a set.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    journal = journal_of(folder)
    book, warnings = journal.book(), invented_rod_types(journal)
    if not book.sets:
        return None
    newest = max(book.sets.values(), key=lambda each: each.origin.counter)
    count = Figure("start.rods", float(newest.count), "count", Standing.MEASURED)
    entries = Figure("start.entries", float(book.entry_count), "count", Standing.MEASURED)
    known = (
        Sentence("start_next.rods", {"set": newest.name, "count": count}),
        _box(book, newest.name, newest.rig),
        _before(book, newest.name),
    )
    return Started(
        newest.name, newest.rig, is_invented(book), known, warnings,
        {"entries": entries, "rods": count},
    )  # fmt: skip


def _box(book: Book, name: str, rig: str) -> Sentence:
    each, things = book.rigs.get(rig), book.sets[name].things
    if each is None or not each.box_rows or not each.rods_per_row or not things:
        return Sentence("start_next.one_row")
    last = things[min(each.rods_per_row, len(things)) - 1]
    return Sentence(
        "start_next.rows",
        {
            "rows": f"{each.box_rows}",
            "per_row": f"{each.rods_per_row}",
            "first": book.things[things[0]].name,
            "last": book.things[last].name,
        },
    )


def _before(book: Book, name: str) -> Sentence:
    past = book.sets[name].past
    if past is None:
        return Sentence("start_next.hours_not_said")
    if past.rotating_time is None:
        return Sentence("start_next.hours_unknown")
    if past.rotating_time == 0.0:
        return Sentence("start_next.hours_none")
    hours = Figure("start.hours", past.rotating_time, "hours", Standing.ASSUMED)
    return Sentence("start_next.hours_assumed", {"hours": hours})
