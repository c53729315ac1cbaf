"""Everything anybody entered about one thing, struck entries marked and kept."""

from __future__ import annotations

from collections.abc import Mapping

from rodhand.advice.verdict import Sentence
from rodhand.book.assess import Assessment, day_of
from rodhand.book.views import HistoryLine
from rodhand.record.book import Thing
from rodhand.record.entry import Entry
from rodhand.record.marks import MarksError, expand_marks, fold
from rodhand.record.order import struck_entries
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


def _is_about(entry: Entry, thing: Thing, names: set[str]) -> bool:
    if entry.kind in ("set", "past") and thing.set:
        return fold(str(entry.payload.get("set", ""))) == fold(thing.set)
    if entry.kind == "load" and thing.set and fold(thing.set) in _named_in(entry.payload):
        return True
    return bool(names & _named_in(entry.payload))


def typed_in_words(entry: Entry) -> str:
    """What was typed in an entry, column by column."""
    parts = [f"{_column(column)}: {typed}" for column, typed in entry.payload.items() if typed]
    return "; ".join(parts)


def _column(column: str) -> str:
    key = f"field.{column.split('_')[0]}"
    return say(key) if column.count("_") == 0 and has(key) else column


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
    lines = [
        HistoryLine(
            entry.id,
            day_of(entry.happened),
            entry.kind,
            Sentence("history.line", {"kind": entry.kind, "typed": typed_in_words(entry)}),
            entry.id in struck,
            entry.by,
        )
        for entry in assessment.entries
        if entry.kind not in ("load", "reading", "strike") and _is_about(entry, thing, names)
    ]
    return tuple(sorted(lines, key=lambda line: (line.happened, line.entry), reverse=True))
