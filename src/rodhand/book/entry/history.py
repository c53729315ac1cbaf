"""Everything anybody entered about one thing, struck entries marked and kept."""

from __future__ import annotations

from collections.abc import Mapping

from rodhand.advice.verdict import Sentence
from rodhand.book.views import HistoryLine
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.record.book import Book
from rodhand.record.book_things import Thing
from rodhand.record.entry import Entry
from rodhand.record.marks import MarksError, expand_marks, fold
from rodhand.record.order import moments_of, struck_entries
from rodhand.words import has, say

NAMING_COLUMNS = ("thing", "things", "rod", "mark", "tail_rods", "head", "tool")
"""Columns that name things one by one."""


def _names_of(thing: Thing) -> set[str]:
    return {fold(mark.text) for mark in thing.marks} | {fold(thing.name), fold(thing.key)}


def _named_in(payload: Mapping[str, object]) -> set[str]:
    """Names an entry's columns hold, ranges spread out."""
    found: set[str] = set()
    for column in NAMING_COLUMNS:
        typed = payload.get(column)
        if isinstance(typed, str) and typed:
            try:
                found |= {fold(mark) for mark in expand_marks(typed)}
            except MarksError:
                found.add(fold(typed))
    return found


def _is_about(book: Book, entry: Entry, day: str, thing: Thing, names: set[str]) -> bool:
    """Whether an entry names a thing, or its set, as they were named on the entry's day."""
    rod_set = fold(thing.set_on(day))
    if entry.kind in ("set", "past") and rod_set:
        return fold(str(entry.payload.get("set", ""))) == rod_set
    named = _named_in(entry.payload)
    if rod_set and rod_set in named:
        return True
    # A mark that was given again names another thing on another day.
    return any(
        (other := book.thing_named(name, day)) is None or other.key == thing.key
        for name in names & named
    )


def typed_in_words(entry: Entry) -> str:
    """What was typed in an entry, column by column."""
    parts = [f"{_column(column)}: {typed}" for column, typed in entry.payload.items() if typed]
    return "; ".join(parts)


def _column(column: str) -> str:
    key = f"field.{column.split('_')[0]}"
    if column.count("_") or not has(key):
        return column
    return say(key).partition(" (")[0]  # how to fill a field in is no part of what was typed


def history_of(assessment: Assessment, thing: Thing) -> tuple[HistoryLine, ...]:
    """Entries about a thing, newest first by when it happened.

    Parameters
    ----------
    assessment : Assessment
        With the journal's entries.
    thing : Thing
        The thing.

    Returns
    -------
    tuple of HistoryLine
        Loads and readings are left to the table of bores; everything else is here.
    """
    names = _names_of(thing)
    struck = struck_entries(assessment.entries, [])
    days = {entry: day_of(moment.start) for entry, moment in moments_of(assessment.entries).items()}
    lines = [
        HistoryLine(
            entry.id,
            days[entry.id],
            entry.kind,
            Sentence("history.line", {"kind": entry.kind, "typed": typed_in_words(entry)}),
            entry.id in struck,
            entry.by,
        )
        for entry in assessment.entries
        if entry.kind not in ("load", "reading", "strike")
        and _is_about(assessment.book, entry, days[entry.id], thing, names)
    ]
    return tuple(sorted(lines, key=lambda line: (line.happened, line.entry), reverse=True))
