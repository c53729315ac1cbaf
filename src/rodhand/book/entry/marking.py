"""Marks given after the fact: a whole row at once, from a day on, nothing rewritten before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import Entered, enter
from rodhand.book.work.box_order import order_now
from rodhand.book.work.in_force import is_invented
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.book_things import Thing
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import MarksError, count_up, expand_marks
from rodhand.units import Figure, Standing

SOURCE = "marks"


@dataclass(frozen=True)
class RodToMark:
    """One rod where it lies; ``number`` is its name without a mark. Without one, mark is empty."""

    key: str
    number: str
    mark: str
    since: str


@dataclass(frozen=True)
class RowToMark:
    """One row of a box, or rods of a set that lie in none.

    unmarked: the rods still without a mark, as a list to type; first: a first mark proposed.
    figures: unmarked (how many).
    """

    label: Sentence
    rods: tuple[RodToMark, ...]
    unmarked: str
    first: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class MarksView:
    """Rods where they lie, with what is written on them."""

    invented: bool
    boxes: tuple[tuple[str, tuple[RowToMark, ...]], ...]
    figures: dict[str, Figure]


def number_name(thing: Thing) -> str:
    """What a rod answers to for good, marked or not; its mark where it has no number."""
    if not thing.number:
        return thing.name
    return f"{thing.sets[0].set if thing.sets else thing.set} no. {thing.number}"


def marks_view(folder: Path) -> MarksView:
    """Every rod of a book where it lies, row by row.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    book = journal_of(folder).book()
    boxes: list[tuple[str, tuple[RowToMark, ...]]] = []
    placed: set[str] = set()
    for rig, each in book.rigs.items():
        keys = [key for key in order_now(book, rig).keys if key is not None and key in book.things]
        per_row = each.rods_per_row or max(len(keys), 1)
        rows = [keys[start : start + per_row] for start in range(0, len(keys), per_row)]
        placed |= set(keys)
        if rows:
            numbered = enumerate(rows, 1)
            labelled = [_row(book, Sentence("yard.row", {"row": f"{n}"}), r) for n, r in numbered]
            boxes.append((rig, tuple(labelled)))
    for name, rod_set in book.sets.items():
        rest = [key for key in rod_set.things if key not in placed]
        if rest:
            boxes.append((name, (_row(book, Sentence("yard.not_in_box"), rest),)))
    rods = [each for each in book.things.values() if each.what == "rod"]
    bare = sum(1 for each in rods if _mark_now(each) == ("", ""))
    figures = {
        "rods": Figure("marks.rods", float(len(rods)), "count", Standing.MEASURED),
        "unmarked": Figure("marks.unmarked", float(bare), "count", Standing.MEASURED),
    }
    return MarksView(is_invented(book), tuple(boxes), figures)


def _mark_now(thing: Thing) -> tuple[str, str]:
    """The mark on a thing and the day it came there; both empty without one."""
    if not thing.marks or thing.marks[-1].until:
        return "", ""
    return thing.marks[-1].text, thing.marks[-1].since[:10]


def _row(book: Book, label: Sentence, keys: Sequence[str]) -> RowToMark:
    things = [book.things[key] for key in keys]
    rods = tuple(RodToMark(each.key, number_name(each), *_mark_now(each)) for each in things)
    bare = [each for each in things if _mark_now(each) == ("", "")]
    first = f"{bare[0].set}-{bare[0].number:02d}" if bare else ""
    # Runs are spelled by number: a row may hold rods of several sets, or one out of its place.
    unmarked = ", ".join(_runs([number_name(each) for each in bare]))
    own = f"marks.{number_name(things[0])}"
    count = Figure(f"{own}.unmarked", float(len(bare)), "count", Standing.MEASURED)
    return RowToMark(label, rods, unmarked, first, {"unmarked": count})


def _runs(names: Sequence[str]) -> list[str]:
    """Names in their order, with those that count up by one drawn together as a range."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    return [run[0] if len(run) == 1 else f"{run[0]}..{run[-1]}" for run in runs]


def _follows(before: str, after: str) -> bool:
    try:
        return count_up(before, 2)[1] == after
    except MarksError:
        return False


def give_marks(folder: Path, rods: str, first: str, happened: str = "", by: str = "") -> Entered:
    """Mark rods in their order, counting up from a first mark, from a day on; all or none.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rods : str
        Rods as a list with ranges, for example ``S1 no. 13..S1 no. 24``.
    first : str
        First mark; for more than one rod it ends in digits.
    happened : str
        Day the marks were put on; today when empty. Before it the rods stay known as they were.
    by : str
        Key of who says it.

    Returns
    -------
    Entered
        One entry for each rod.

    Raises
    ------
    BadInputError
        With every fault, in the columns ``rods``, ``first`` and ``happened``; nothing is kept.
    CannotReadError
        If the book is not there or cannot be written.
    """
    journal_of(folder)  # marking never makes a book
    faults = []
    names: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    try:
        names = expand_marks(rods)
    except MarksError as error:
        faults.append(Fault(error.code, error.found, column="rods", values={"part": error.found}))
    try:
        marks = (first.strip(),) if len(names) == 1 else count_up(first, max(len(names), 1))
    except MarksError as error:
        faults.append(Fault(error.code, error.found, column="first", values={"part": error.found}))
    if not first.strip():
        faults = [fault for fault in faults if fault.column != "first"]
        faults.append(Fault("entry_missing", column="first", values={"kind": "mark"}))
    if faults:
        raise BadInputError(faults, SOURCE)
    day = happened.strip() or date.today().isoformat()
    drafts = [
        Draft("mark", {"thing": name, "mark": mark}, day, "", by)
        for name, mark in zip(names, marks, strict=True)
    ]
    try:
        return enter(folder, drafts, SOURCE)
    except BadInputError as error:
        columns = {"thing": "rods", "mark": "first"}
        told = {
            (fault.code, fault.found): Fault(
                fault.code, fault.found, None, columns.get(fault.column or "", fault.column),
                fault.values,
            )
            for fault in error.faults
        }  # fmt: skip
        raise BadInputError(list(told.values()), SOURCE) from error
