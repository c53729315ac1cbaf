"""Further entries folded into a book that was read back, without reading the rest again.

Folded are facts that stand each by itself, rows of a bore and strikes of such. Whatever may move
names, things, clocks or the order of the bores is read back anew; either way the book is the one
`rodhand.record.reading_back.read_book` makes of all the entries.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rodhand.record.book_bores import Bore
from rodhand.record.bores import BORE_FACTS, bore_fact
from rodhand.record.entry import Entry
from rodhand.record.facts import FACTS, fact_of
from rodhand.record.marks import fold
from rodhand.record.order import Said, SortKey, hear
from rodhand.record.origin import Problem
from rodhand.record.passes import ROWS, RowsOf, bore_of_row, read_passes
from rodhand.record.reading_back import ReadBack, read_back, sorted_problems

FOLDED = frozenset({*FACTS, *BORE_FACTS, *ROWS} - {"dressing", "whereabouts"})
"""Kinds that are folded in; dressing and whereabouts change the things themselves."""


class _ReadAnewError(Exception):
    """What is to be folded in may move more than itself."""


def with_more(read: ReadBack, more: Sequence[Entry]) -> ReadBack:
    """A book with further entries.

    Parameters
    ----------
    read : ReadBack
        The book read back; it is left as it is.
    more : sequence of Entry
        Entries that arrived since, in any order.

    Returns
    -------
    ReadBack
        The same as of all entries read back from scratch.
    """
    if not more:
        return read
    try:
        return _Folding(read, more).done()
    except _ReadAnewError:
        return read_back((*read.entries, *more))


class _Folding:
    """Entries on their way into a book: what they change is kept apart until all are in."""

    def __init__(self, read: ReadBack, more: Sequence[Entry]) -> None:
        self._read = read
        self._more = more
        self._new: set[str] = set()
        self._facts: dict[str, list[Any]] = {}
        self._bores: dict[str, Bore] = {}
        self._rows: dict[str, RowsOf] = {}
        self._struck: set[str] = set()
        self._problems: list[Problem] = []

    def done(self) -> ReadBack:
        """The book with all of them. Raises _ReadAnewError where one is not to be folded in."""
        read, heard = self._read, self._read.heard
        aimed_at = {*heard.aimed_at}
        for entry in self._more:
            known = entry.id in self._new or read.place_of(entry.id) is not None
            if known or entry.id in aimed_at:
                raise _ReadAnewError
            if fold(entry.device) not in heard.devices and self._asks_for_a_device():
                raise _ReadAnewError
            self._new.add(entry.id)
            if entry.kind == "strike":
                self._strike(entry, aimed_at)
            elif entry.kind in FOLDED:
                self._add(entry)
            else:
                raise _ReadAnewError
        for name, rows in self._rows.items():
            passes, problems = read_passes(rows, read.yard)
            self._problems += problems
            self._bores[name] = replace(self._bore(name), passes=passes)
        return self._as_read(frozenset(aimed_at))

    def _asks_for_a_device(self) -> bool:
        """Whether a clock was measured of a device that had typed nothing yet."""
        return any(problem.code == "device_unknown" for problem in self._read.book.problems)

    def _as_read(self, aimed_at: frozenset[str]) -> ReadBack:
        read, more = self._read, self._more
        kept = (each for each in read.book.problems if each.entry not in self._struck)
        facts: dict[str, Any] = {name: tuple(found) for name, found in self._facts.items()}
        book = replace(
            read.book,
            bores={**read.book.bores, **self._bores},
            entry_count=read.book.entry_count + len(more),
            entries=read.book.entries.plus(more),
            problems=sorted_problems((*kept, *self._problems)),
            **facts,
        )
        heard = replace(
            read.heard,
            devices=read.heard.devices | {fold(entry.device) for entry in more},
            struck=read.heard.struck | self._struck,
            aimed_at=aimed_at,
        )
        for place, entry in enumerate(more, len(read.entries)):
            read.places[entry.id] = place
        rows = read.rows | self._rows
        return ReadBack(read.entries.plus(more), read.places, heard, read.yard, rows, book)

    def _bore(self, name: str) -> Bore:
        return self._bores.get(name) or self._read.book.bores[name]

    def _rows_of(self, name: str) -> RowsOf:
        return self._rows.get(name) or self._read.rows.get(name) or RowsOf()

    def _facts_in(self, kept_in: str) -> list[Any]:
        return self._facts.setdefault(kept_in, list(getattr(self._read.book, kept_in)))

    def _add(self, entry: Entry) -> None:
        yard, kind = self._read.yard, entry.kind
        said, problems, usable = hear(entry, self._read.heard)
        self._problems += problems
        if not usable:
            return
        if kind in ROWS:
            self._row(said)
        elif kind in FACTS:
            fact, problems = fact_of(said, yard.names)
            self._problems += problems
            if fact is not None:
                insort(self._facts_in(FACTS[kind].kept_in), fact, key=_key_of)
            if kind == "remark" and fact is not None:
                self._of_bore(fact, "remarks")
        else:
            fact, problems = bore_fact(said, yard)
            self._problems += problems
            if fact is not None:
                self._of_bore(fact, BORE_FACTS[kind])

    def _of_bore(self, fact: Any, kept_in: str) -> None:
        if fact.bore in self._read.book.bores:
            bore = self._bore(fact.bore)
            facts = [*getattr(bore, kept_in)]
            insort(facts, fact, key=_key_of)
            changed: dict[str, Any] = {kept_in: tuple(facts)}
            self._bores[fact.bore] = replace(bore, **changed)

    def _row(self, said: Said) -> None:
        name = bore_of_row(self._read.yard, said)
        if name is None:
            self._problems.append(said.problem("bore_unknown", "bore", said.values["bore"]))
            return
        rows, kept_in = self._rows_of(name), ROWS[said.entry.kind]
        self._rows[name] = replace(rows, **{kept_in: _put(getattr(rows, kept_in), said)})

    def _strike(self, strike: Entry, aimed_at: set[str]) -> None:
        """Take out what is struck, where nothing else may come back or go by it."""
        target = strike.payload.get("entry", "")
        place = self._read.place_of(target)
        if target in aimed_at or place is None:
            raise _ReadAnewError
        entry = self._read.entries[place]
        if entry.kind not in FOLDED:
            raise _ReadAnewError
        aimed_at.add(target)
        self._struck.add(target)
        said, _, usable = hear(entry, self._read.heard)
        if not usable:
            return
        if entry.kind in ROWS:
            name = bore_of_row(self._read.yard, said)
            if name is not None:
                rows, kept_in = self._rows_of(name), ROWS[entry.kind]
                self._rows[name] = replace(
                    rows, **{kept_in: _without(getattr(rows, kept_in), said)}
                )
        elif entry.kind in FACTS:
            facts = self._facts_in(FACTS[entry.kind].kept_in)
            facts[:] = [each for each in facts if each.origin.entry != target]
            if entry.kind == "remark":
                self._off_bores(said, "remarks")
        else:
            self._off_bores(said, BORE_FACTS[entry.kind])

    def _off_bores(self, said: Said, kept_in: str) -> None:
        name = bore_of_row(self._read.yard, said) if "bore" in said.values else None
        if name is not None and name in self._read.book.bores:
            bore = self._bore(name)
            left = (each for each in getattr(bore, kept_in) if each.origin.entry != said.entry.id)
            changed: dict[str, Any] = {kept_in: tuple(left)}
            self._bores[name] = replace(bore, **changed)


def _key_of(fact: Any) -> SortKey:
    """Place of a fact in the order of facts; see `rodhand.record.order.listen`."""
    origin = fact.origin
    return (origin.at, origin.counter, origin.device, origin.entry)


def _put(rows: tuple[Said, ...], said: Said) -> tuple[Said, ...]:
    place = bisect_left(rows, said.key, key=lambda each: each.key)
    return (*rows[:place], said, *rows[place:])


def _without(rows: tuple[Said, ...], said: Said) -> tuple[Said, ...]:
    return tuple(each for each in rows if each.entry.id != said.entry.id)
