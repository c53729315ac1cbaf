"""Taking entries in: checked whole, written whole or not at all."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from typing import Protocol

from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.facts import names_asked
from rodhand.record.folding import with_more
from rodhand.record.moment import read_moment
from rodhand.record.origin import Problem
from rodhand.record.reading_back import ReadBack, read_back, read_book
from rodhand.record.validate import canonical, read_payload

LONGEST_KEY = 100
SHORTEST_ID = 6
"""Fewest first characters by which an entry may be named."""

_DEFINING = frozenset({"rod-type", "rig", "set", "thing", "mark", "bore"})
"""Kinds that later rows of one file may refer to."""


Also = Callable[[Book, Mapping[str, Draft]], list[Fault]]
"""What is wrong with a book, by the ids of the entries that are to be taken in."""


class Session(Protocol):
    """A write in progress: nothing is kept unless it ends well."""

    def entries(self) -> Sequence[Entry]:
        """All entries so far, in order of arrival."""

    def chain(self, device: str = "") -> Chain:
        """The end of a device's chain; of this device's own when none is named."""

    def insert(self, entries: Sequence[Entry]) -> None:
        """Add entries."""


class Intake(ABC):
    """What every journal can do; how entries are kept is left to the journal."""

    def __init__(self) -> None:
        self._read: ReadBack | None = None
        self._then: tuple[int, str, Book] | None = None

    @abstractmethod
    def entries(self) -> Sequence[Entry]:
        """All entries, in order of arrival."""

    @abstractmethod
    def _writing(self) -> AbstractContextManager[Session]:
        """Start a write that is kept whole or not at all."""

    def book(self, as_of: str | None = None) -> Book:
        """The book read back from all entries; see `rodhand.record.reading_back.read_book`."""
        entries = self.entries()
        if not as_of:
            return self._read_back(entries).book
        # Entries are only ever added, so their number stands for all of them.
        if self._then is None or self._then[:2] != (len(entries), as_of):
            self._then = (len(entries), as_of, read_book(entries, as_of))
        return self._then[2]

    def _read_back(self, entries: Sequence[Entry]) -> ReadBack:
        """The book of all entries; what came since the last time is folded in."""
        read = self._read  # another thread may put a later one in its place meanwhile
        if read is None or len(read.entries) > len(entries):
            read = read_back(entries)
        self._read = read = with_more(read, entries[len(read.entries) :])
        return read

    def write(
        self,
        kind: str,
        payload: Mapping[str, str],
        happened: str = "",
        by: str = "",
        zone: str = "",
        entered: str = "",
    ) -> Entry:
        """Check and keep one entry.

        Parameters
        ----------
        kind : str
            Kind of entry.
        payload : mapping of str to str
            Column name to the text as typed.
        happened : str, optional
            As typed; now when empty.
        by : str, optional
            Key of who says it.
        zone : str, optional
            Zone of ``happened``; the device's when empty.
        entered : str, optional
            The device's clock, ISO with offset; now when empty.

        Returns
        -------
        Entry
            The entry, on disk.

        Raises
        ------
        BadInputError
            With every fault; then nothing is kept.
        CannotReadError
            If it cannot be written; then nothing is kept.
        """
        return self.write_many([Draft(kind, payload, happened, zone, by)], kind, entered)[0]

    def write_many(
        self,
        drafts: Iterable[Draft],
        source: str = "",
        entered: str = "",
        also: Also | None = None,
        device: str = "",
    ) -> tuple[Entry, ...]:
        """Check and keep several entries, all or none; see `write`.

        Later drafts may refer to names that earlier or later ones of the same call define. What
        ``also`` finds wrong with the book as it would be refuses them as well. With ``device``
        they were pressed on that one and follow its chain; a draft whose id is in the journal
        already is refused (``entry_id_taken``).
        """
        rows = list(drafts)
        faults = [fault for draft in rows for fault in _faults_of(draft)]
        bad_lines = {id(draft) for draft in rows if _faults_of(draft)} if faults else set()
        if any(draft.kind in _DEFINING for draft in rows if id(draft) in bad_lines):
            # What such a row should have defined would now be told as unknown everywhere.
            raise BadInputError(faults, source)
        with self._writing() as session:
            entries, chain = session.entries(), session.chain(device)
            read = self._read_back(entries)
            faults += _taken_before(rows, read)
            good = [draft for draft in rows if id(draft) not in bad_lines]
            made = [
                chain.add(_whole_ids(_spelled(draft), entries), draft.entered or entered, draft.id)
                for draft in good
            ]
            lines = {entry.id: draft.line for entry, draft in zip(made, good, strict=True)}
            after = with_more(read, made)
            before = set(read.book.problems)
            # A strike may leave readings without their bore until it is entered again.
            strikes = any(entry.kind == "strike" for entry in made)
            faults += [
                as_fault(problem, lines.get(problem.entry))
                for problem in after.book.problems
                if problem.refused and problem not in before
                if problem.entry in lines or not strikes
            ]
            for draft in (each for each in rows if id(each) in bad_lines):
                faults += _names_unknown(draft, after)
            if also is not None and not faults:
                faults += also(
                    after.book, dict(zip((entry.id for entry in made), good, strict=True))
                )
            if faults:
                raise BadInputError(faults, source)
            session.insert(made)
        self._read = after
        return tuple(made)

    def strike(self, entry: str, why: str, by: str = "") -> Entry:
        """Strike an entry, named by its id or the first characters of it; see `write`."""
        return self.write("strike", {"entry": entry, "why": why}, by=by)

    def append(self, entries: Iterable[Entry]) -> int:
        """Keep entries made elsewhere; those already here are passed over.

        Parameters
        ----------
        entries : iterable of Entry
            In any order. What they say is not checked: it is kept, and what the book cannot
            use is listed in its problems.

        Returns
        -------
        int
            How many were new. All are on disk.

        Raises
        ------
        BadInputError
            If an entry was changed since it was made, or its id stands for another one.
        CannotReadError
            If they cannot be written; then none is kept.
        """
        with self._writing() as session:
            given = tuple(entries)
            ids = {entry.id for entry in given}
            known = {entry.id: entry.hash for entry in session.entries() if entry.id in ids}
            new: list[Entry] = []
            faults = []
            for entry in given:
                if not entry.holds():
                    faults.append(Fault("entry_changed", entry.id))
                elif known.get(entry.id, entry.hash) != entry.hash:
                    faults.append(Fault("entry_id_taken", entry.id))
                elif entry.id not in known:
                    known[entry.id] = entry.hash
                    new.append(entry)
            if faults:
                raise BadInputError(faults, "entries")
            session.insert(new)
        return len(new)


def as_fault(problem: Problem, line: int | None = None) -> Fault:
    """A problem of the book as the fault of a line, told with the same words."""
    return Fault(
        problem.code, problem.found, line, problem.column or None, values=dict(problem.values)
    )


def flags_of(drafts: Iterable[Draft]) -> list[Fault]:
    """What is kept as typed but should be asked about, by line."""
    return [
        Fault(flag.code, flag.found, draft.line, flag.column, flag.values)
        for draft in drafts
        for flag in read_payload(draft.kind, draft.payload).flags
    ]


def _faults_of(draft: Draft) -> list[Fault]:
    found = list(read_payload(draft.kind, draft.payload).faults)
    if draft.happened.strip():
        try:
            read_moment(draft.happened, draft.zone)
        except ValueError:
            found.append(Fault("entry_happened", draft.happened[:60], column="happened"))
    for column, text in (("by", draft.by), ("zone", draft.zone)):
        if len(text) > LONGEST_KEY or not text.isprintable():
            found.append(Fault("entry_key", text[:60], column=column))
    return [Fault(f.code, f.found, draft.line, f.column, f.values) for f in found]


def _names_unknown(draft: Draft, read: ReadBack) -> list[Fault]:
    """Names that what can be read of a faulty row asks for and nobody gave: told with its rest."""
    values = read_payload(draft.kind, draft.payload).values
    return [
        Fault("thing_unknown" if name == "things" else f"{name}_unknown", typed, draft.line, name)
        for name, typed in read.yard.names.unknown(values, names_asked(draft.kind))
    ]


def _spelled(draft: Draft) -> Draft:
    return replace(draft, payload=canonical(draft.kind, draft.payload))


def _taken_before(rows: Sequence[Draft], read: ReadBack) -> list[Fault]:
    """Ids made on a device that stand in the journal, or twice among the drafts."""
    seen: set[str] = set()
    found = []
    for draft in (each for each in rows if each.id):
        if draft.id in seen or read.place_of(draft.id) is not None:
            found.append(Fault("entry_id_taken", draft.id, draft.line))
        seen.add(draft.id)
    return found


def _whole_ids(draft: Draft, entries: Sequence[Entry]) -> Draft:
    """A strike names an entry by the start of its id; the journal keeps the whole id."""
    if draft.kind != "strike":
        return draft
    start = draft.payload["entry"].strip().lower()
    if len(start) < SHORTEST_ID:
        return draft
    matches = [entry.id for entry in entries if entry.id.startswith(start)]
    if len(matches) != 1:
        return draft
    return replace(draft, payload={**draft.payload, "entry": matches[0]})
