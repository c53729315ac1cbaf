"""The book read back from the entries: the same book in whatever order they arrived."""

from __future__ import annotations

import operator
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rodhand.record.book import Book
from rodhand.record.book_looks import Setting
from rodhand.record.bores import read_bores
from rodhand.record.entry import Entry
from rodhand.record.facts import FACTS, fact_of
from rodhand.record.grown import Grown
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said, known_by, listen
from rodhand.record.origin import Problem
from rodhand.record.passes import RowsOf
from rodhand.record.things import Yard, dress, read_formers, read_yard


@dataclass(frozen=True, eq=False)
class ReadBack:
    """A book read back, with what it takes to fold a further entry in.

    Parameters
    ----------
    entries : Grown of Entry
        Those it was read from, one that stands twice too.
    places : dict of str to int
        Where each stands among them, by id. Shared by the books that were folded from one
        another, so a place may be of an entry that came later or was not kept: see `place_of`.
    heard : Heard
        Clocks, devices and strikes; what was heard is in the rest.
    yard : Yard
        Things and names.
    rows : mapping of str to RowsOf
        What was said of the passes of each bore.
    book : Book
        What they say.
    """

    entries: Grown[Entry]
    places: dict[str, int]
    heard: Heard
    yard: Yard
    rows: dict[str, RowsOf]
    book: Book

    def place_of(self, entry: str) -> int | None:
        """Where an entry stands, by its id; None where there is none."""
        place = self.places.get(entry, len(self.entries))
        there = place < len(self.entries) and self.entries[place].id == entry
        return place if there else None


def read_book(entries: Iterable[Entry], as_of: str | None = None) -> Book:
    """Read the book back from its entries.

    Parameters
    ----------
    entries : iterable of Entry
        In any order; an entry that stands twice counts once.
    as_of : str, optional
        ISO date. Only entries typed by the end of that day count, so that a paper prints again
        as it was, even where something earlier was typed later.

    Returns
    -------
    Book
        What the entries say. Nothing is dropped silently: what cannot be used is in
        ``problems``.

    Notes
    -----
    Facts are in order of when they happened, less the measured error of the device's clock, then
    of the device's counter. Readings are in order of bore, pass and station. The time an entry
    was typed never decides.
    """
    return read_back(tuple(entries), as_of).book


def read_back(entries: Sequence[Entry], as_of: str | None = None) -> ReadBack:
    """Read the book back from its entries, to be gone on with; see `read_book`."""
    known = known_by(entries, as_of)
    heard = listen(known)
    yard = read_yard(heard)
    for said in heard.by_kind["bore"]:  # names first: a remark may come before its bore
        yard.names.bores.setdefault(fold(said.values["bore"]), said.values["bore"])
    found: dict[str, Any] = {}
    problems: list[Problem] = []
    for kind, (kept_in, _) in FACTS.items():
        facts = [fact_of(said, yard.names) for said in heard.by_kind[kind]]
        found[kept_in] = tuple(fact for fact, _ in facts if fact is not None)
        problems += [problem for _, told in facts for problem in told]
    ground = read_bores(heard, yard, found["remarks"])
    formers = read_formers(yard, heard)
    dress(yard, found["dressings"])
    book = Book(
        **found,
        rod_types=yard.rod_types,
        things=yard.things,
        sets=yard.sets,
        rigs=yard.rigs,
        bores=ground.bores,
        loads=ground.loads,
        formers=formers,
        settings=tuple(_setting(said) for said in heard.by_kind["setting"]),
        limits={name: tuple(limits) for name, limits in yard.limits.items()},
        recipes={said.values["name"]: said.values["mapping"] for said in heard.by_kind["recipe"]},
        clocks={device: tuple(measured) for device, measured in heard.clocks.items()},
        entry_count=len(known),
        entries=Grown(known),
        as_of=as_of or "",
        problems=sorted_problems([*heard.problems, *yard.problems, *ground.problems, *problems]),
    )
    told = replace(heard, by_kind={}, problems=[])
    places = {entry.id: place for place, entry in enumerate(entries)}
    return ReadBack(Grown(entries), places, told, yard, ground.rows, book)


def sorted_problems(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems each once, in an order that no arrival changes."""
    by = operator.attrgetter("entry", "code", "column", "found", "values")
    return tuple(sorted(set(problems), key=by))


def _setting(said: Said) -> Setting:
    values = said.values
    return Setting(said.origin, values["setting"], values["value"], values.get("why", ""))
