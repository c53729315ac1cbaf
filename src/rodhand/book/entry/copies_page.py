"""The page of copies: what is known, what a copy and the book do not share, the way back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.copies import (
    DAY,
    CopyKnown,
    age_of,
    copies_of,
    last_copy,
    read_notes,
    same_disk,
    sticks,
)
from rodhand.faults import CannotReadError, DamagedError
from rodhand.record.backup import compare_copy, open_copy
from rodhand.record.damage import whole_entries
from rodhand.record.difference import Difference, OfKind
from rodhand.record.entry import Entry
from rodhand.record.kept_open import journal_of
from rodhand.units import Figure, Standing

COPY_EVERY_DAYS = 7.0


@dataclass(frozen=True)
class CopyRow:
    """One copy in the table: figures age, entries; ``there`` yes, away or gone."""

    path: str
    made: str
    digest: str
    there: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class CopiesView:
    """The page of copies.

    Parameters
    ----------
    target : str
        Folder the next copy goes to; empty when none was chosen.
    same_disk : bool
        Whether it is on the book's own disk.
    sticks : tuple of str
        Folders of sticks and other disks that are in now.
    damaged : str
        What shows that the book's file is damaged; empty when it holds.
    invented : bool
        Whether the book says of itself that it is invented.
    figures : dict
        copy_age.
    copies : tuple of CopyRow
        Newest first.
    """

    target: str
    same_disk: bool
    sticks: tuple[str, ...]
    damaged: str
    invented: bool
    figures: dict[str, Figure]
    copies: tuple[CopyRow, ...]


@dataclass(frozen=True)
class KindRow:
    """Entries of one kind on one side only: how many, and the one that came last."""

    kind: str
    count: int
    happened: str
    entered: str
    id: str


@dataclass(frozen=True)
class CompareView:
    """A copy beside the book.

    ``state`` is same, book_ahead, copy_ahead, both_ahead or damaged (the book is).
    """

    path: str
    made: str
    digest: str
    state: str
    damaged: str
    invented: bool
    figures: dict[str, Figure]
    here: tuple[KindRow, ...]
    there: tuple[KindRow, ...]


def copy_age(folder: Path) -> Figure:
    """Age of the last copy of a book; unknown when none is known."""
    last = last_copy(folder)
    age = age_of(last) if last else None
    return Figure("week.copy_age", age, "days", Standing.MEASURED)


def copy_note(folder: Path, every_days: float = COPY_EVERY_DAYS) -> Sentence | None:
    """What is told of the last copy on the first page; nothing while it is young enough."""
    age = copy_age(folder)
    if age.value is None:
        return Sentence("copies.note_none")
    if age.value <= every_days * DAY:
        return None
    limit = Figure("week.copy_limit", every_days * DAY, "days", Standing.ASSUMED)
    return Sentence("copies.note_old", {"age": age, "limit": limit})


def says_invented(entries: Sequence[Entry]) -> bool:
    """Whether a book says of itself that it is invented: a rig's note does."""
    return any(
        entry.kind == "rig" and entry.payload.get("note", "").casefold() == "invented"
        for entry in entries
    )


def copies_view(folder: Path) -> CopiesView:
    """What the page of copies shows; a damaged book is told here and not refused."""
    damaged, book_id, invented = "", "", False
    try:
        invented = says_invented(whole_entries(folder))
        book_id = journal_of(folder).book_id
    except DamagedError as error:
        damaged = error.reason
    except CannotReadError:
        pass  # no book yet: there is nothing to copy, and copies may be brought back
    notes = read_notes(folder)
    known = copies_of(folder, book_id)
    return CopiesView(
        target=notes.target,
        same_disk=bool(notes.target) and same_disk(folder, Path(notes.target)),
        sticks=tuple(each for each in sticks() if each != notes.target),
        damaged=damaged,
        invented=invented,
        figures={"copy_age": copy_age(folder)},
        copies=tuple(_row(number, each) for number, each in enumerate(known, 1)),
    )


def _row(number: int, known: CopyKnown) -> CopyRow:
    copy, key = known.copy, f"copy.{number}"
    figures = {
        "copy_age": Figure(f"{key}.age", age_of(copy), "days", Standing.MEASURED),
        "entries": Figure(f"{key}.entries", float(copy.entry_count), "count", Standing.MEASURED),
    }
    return CopyRow(copy.path, copy.made, copy.digest, known.there, figures)


def kind_rows(parts: tuple[OfKind, ...]) -> tuple[KindRow, ...]:
    """Entries of one side by kind, as rows."""
    return tuple(
        KindRow(
            each.kind, each.count, each.newest.happened, each.newest.entered[:16],
            each.newest.id[:8],
        )
        for each in parts
    )  # fmt: skip


def compare_view(folder: Path, copy: Path) -> CompareView:
    """A copy proved whole and laid beside the book; neither is changed.

    Parameters
    ----------
    folder : Path
        The book's folder; without a book everything stands only in the copy.
    copy : Path
        Folder or ``.zip`` file of the copy.

    Returns
    -------
    CompareView
        What stands on one side only, by kind.

    Raises
    ------
    BadInputError
        If the copy is of another book.
    DamagedError
        If the copy does not hold.
    CannotReadError
        If the copy or the book cannot be read.
    """
    opened = open_copy(copy)
    damaged = ""
    found = Difference(0, (), ())
    try:
        found = compare_copy(opened, folder)
    except DamagedError as error:
        damaged = error.reason
    measured = Standing.MEASURED
    return CompareView(
        path=str(copy),
        made=opened.manifest.made,
        digest=opened.manifest.digest,
        state="damaged" if damaged else _state(found),
        damaged=damaged,
        invented=says_invented(opened.entries),
        figures={
            "entries": Figure("copy.entries", float(len(opened.entries)), "count", measured),
            "both": Figure("copy.both", float(found.both), "count", measured),
            "here": Figure("copy.here", float(found.count_here), "count", measured),
            "there": Figure("copy.there", float(found.count_there), "count", measured),
        },
        here=kind_rows(found.here),
        there=kind_rows(found.there),
    )


def _state(found: Difference) -> str:
    if found.here and found.there:
        return "both_ahead"
    if found.here:
        return "book_ahead"
    return "copy_ahead" if found.there else "same"
