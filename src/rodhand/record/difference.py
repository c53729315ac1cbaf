"""What stands only in a book, and what only in a copy of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rodhand.record.entry import Entry


@dataclass(frozen=True)
class OfKind:
    """Entries of one kind that stand on one side only: how many, and the one that came last."""

    kind: str
    count: int
    newest: Entry


@dataclass(frozen=True)
class Difference:
    """A book compared with a copy.

    Parameters
    ----------
    both : int
        Number of entries that stand in both.
    here, there : tuple of OfKind
        What stands only in the book and only in the copy, most first.
    """

    both: int
    here: tuple[OfKind, ...]
    there: tuple[OfKind, ...]

    @property
    def count_here(self) -> int:
        """How many entries stand only in the book."""
        return sum(each.count for each in self.here)

    @property
    def count_there(self) -> int:
        """How many entries stand only in the copy."""
        return sum(each.count for each in self.there)


def difference(here: Sequence[Entry], there: Sequence[Entry]) -> Difference:
    """Compare the entries of a book with those of a copy.

    Parameters
    ----------
    here, there : sequence of Entry
        Entries of the book and of the copy, each in order of arrival.

    Returns
    -------
    Difference
        By kind; an entry is the same where its hash is, so a changed one stands on both sides.
    """
    in_book = {entry.hash for entry in here}
    in_copy = {entry.hash for entry in there}
    return Difference(
        len(in_book & in_copy),
        _by_kind(entry for entry in here if entry.hash not in in_copy),
        _by_kind(entry for entry in there if entry.hash not in in_book),
    )


def _by_kind(entries: Iterable[Entry]) -> tuple[OfKind, ...]:
    counts: dict[str, int] = {}
    newest: dict[str, Entry] = {}
    for entry in entries:
        counts[entry.kind] = counts.get(entry.kind, 0) + 1
        newest[entry.kind] = entry
    found = [OfKind(kind, count, newest[kind]) for kind, count in counts.items()]
    return tuple(sorted(found, key=lambda each: (-each.count, each.kind)))
