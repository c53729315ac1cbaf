"""Checks before work and at the end, in walking order: one touch a line, kept as entries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.press import Press
from rodhand.book.opening import book_in
from rodhand.book.source_words import source_in_words
from rodhand.book.tasks.task_parts import link_to
from rodhand.book.work.assess import Assessment
from rodhand.book.work.at_hand import rig_of
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.tables import data_rows
from rodhand.book.work.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.choices import CHECK_STATES, SHIFTS
from rodhand.record.marks import fold
from rodhand.record.rig_day import ShiftCheck
from rodhand.units import Figure, Standing
from rodhand.words import has, say

__all__ = [
    "CHECK_STATES",
    "SHIFTS",
    "SHORT",
    "CheckLine",
    "ChecksView",
    "checks_view",
    "lines_of",
    "said_on",
    "shift_tasks",
    "tell_check",
    "words_of",
]  # fmt: skip

SOURCE = "shift-check"
TOLD_FOR_DAYS = 7
"""A line left undone is told this long. [d]"""
NOT_SAID = ""
SHORT = dict(zip(SHIFTS, ("before", "end"), strict=True))
"""A shift as it stands in an address."""


@dataclass(frozen=True)
class CheckLine:
    """One line of the checks.

    Parameters
    ----------
    item : str
        Key of the table, or an owner's own line as typed.
    words : str
        What is read on the page.
    source : str
        Where it comes from and how sure; for an own line, that it is the owner's and since when.
    state : str
        What was said of it today: done, not done, not looked at; empty when nothing was.
    entry : str
        Id of the entry that said so; empty when none did.
    presses : tuple of Press
        Done, not done, not looked at.
    """

    item: str
    words: str
    source: str
    state: str
    entry: str = ""
    presses: tuple[Press, ...] = ()


@dataclass(frozen=True)
class ChecksView:
    """The checks of one rig for one shift; figures count done and lines."""

    invented: bool
    rig: str
    shift: str
    day: str
    lines: tuple[CheckLine, ...]
    figures: dict[str, Figure]
    caution: Sentence


def words_of(item: str) -> str:
    """Words of a line of the table; an owner's own line as typed."""
    key = f"shift_item.{item}"
    return say(key) if has(key) else item


def _lines(book: Book, rig: str, shift: str, day: str) -> list[tuple[str, str]]:
    """Items of a shift with their sources, in walking order, the owner's own last."""
    found = [
        (row["item"], say("source.look_rule", source=source_in_words(row["source"]),
                          standing=say(f"source.{row['standing_of_number']}")))
        for row in data_rows("shift_checks.csv")
        if row["shift"] == shift
    ]  # fmt: skip
    known = {fold(item) for item, _ in found}
    for each in book.shift_lines:
        begun = day_of(each.origin.happened.start)
        if each.shift == shift and fold(each.rig) == fold(rig) and begun <= day:
            if fold(each.item) not in known:
                found.append((each.item, say("shift.own_line", day=begun)))
            known.add(fold(each.item))
    return found


def said_on(book: Book, rig: str, shift: str, day: str) -> Mapping[str, ShiftCheck]:
    """What was said last of each line on an ISO day, by the item without case."""
    return {
        fold(each.item): each
        for each in book.shift_checks
        if fold(each.rig) == fold(rig)
        and each.shift == shift
        and day_of(each.origin.happened.start) == day
    }


def lines_of(book: Book, rig: str, shift: str, day: str) -> tuple[CheckLine, ...]:
    """Lines of the checks of one rig with what was said of each on a day.

    A line somebody ticked that stands in no table any more is kept at the end.
    """
    said = dict(said_on(book, rig, shift, day))
    rows = []
    for item, source in _lines(book, rig, shift, day):
        check = said.pop(fold(item), None)
        state, entry = (check.state, check.origin.entry) if check else (NOT_SAID, "")
        rows.append(_line(rig, shift, item, source, state, entry))
    rows += [
        _line(rig, shift, each.item, say("source.record"), each.state, each.origin.entry)
        for each in said.values()
    ]
    return tuple(rows)


def _line(rig: str, shift: str, item: str, source: str, state: str, entry: str) -> CheckLine:
    presses = tuple(check_press(rig, shift, item, each) for each in CHECK_STATES)
    return CheckLine(item, words_of(item), source, state, entry, presses)


def check_press(rig: str, shift: str, item: str, state: str) -> Press:
    """What the touch of one line keeps."""
    payload = {"rig": rig, "shift": shift, "item": item, "state": state}
    return Press(state, "shift-check", payload)


def checks_view(folder: Path, rig: str, shift: str, day: str = "") -> ChecksView:
    """The checks of one rig.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    shift : {"before work", "end of work"}
        Which of the two.
    day : str
        ISO day; today when empty.

    Raises
    ------
    BadInputError
        If there is no such shift.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read.
    """
    _check_shift(shift)
    book = book_in(folder)
    name, day = rig_of(book, rig), day or date.today().isoformat()
    lines = lines_of(book, name, shift, day)
    done = sum(line.state == "done" for line in lines)
    return ChecksView(
        is_invented(book), name, shift, day, lines,
        {
            "done": Figure("shift.done", float(done), "count", Standing.MEASURED),
            "lines": Figure("shift.lines", float(len(lines)), "count", Standing.MEASURED),
        },
        caution("rods"),
    )  # fmt: skip


def _check_shift(shift: str) -> None:
    if shift not in SHIFTS:
        raise BadInputError([Fault("shift_which", shift, column="shift")], SOURCE)


def tell_check(
    folder: Path, rig: str, shift: str, item: str, state: str, by: str = "", happened: str = ""
) -> str:
    """Keep what was said of one line, and give the entry's id.

    Raises
    ------
    BadInputError
        If there is no such shift or state, or no item; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    _check_shift(shift)
    if state not in CHECK_STATES:
        raise BadInputError([Fault("shift_state", state, column="state")], SOURCE)
    name = rig_of(book_in(folder), rig)
    press = check_press(name, shift, item, state)
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id


def shift_tasks(assessment: Assessment) -> list[Task]:
    """Lines of each rig's last shifts that were not done, or not all of them touched."""
    tasks = []
    for rig in assessment.book.rigs:
        for shift in SHIFTS:
            day = _last_day(assessment.book, rig, shift)
            if not day or day < _first_day_told(assessment.today):
                continue
            open_ones = [
                line for line in lines_of(assessment.book, rig, shift, day) if line.state != "done"
            ]
            if open_ones:
                minutes = 2.0 * len(open_ones)
                verdict = _verdict(rig, shift, day, open_ones)
                link = link_to(f"rig-checks/{SHORT[shift]}", rig)
                tasks.append(Task(5, say("role.driller"), (), rig, verdict, minutes, link))
    return tasks


def _first_day_told(today: str) -> str:
    return (date.fromisoformat(today[:10]) - timedelta(TOLD_FOR_DAYS)).isoformat()


def _last_day(book: Book, rig: str, shift: str) -> str:
    """Last ISO day a line of a shift was touched on a rig; empty when never."""
    return max(
        (
            day_of(each.origin.happened.start)
            for each in book.shift_checks
            if fold(each.rig) == fold(rig) and each.shift == shift
        ),
        default="",
    )


def _verdict(rig: str, shift: str, day: str, lines: Sequence[CheckLine]) -> Verdict:
    by_state = {
        state: ", ".join(line.words for line in lines if line.state == state)
        for state in ("not done", "not looked at", NOT_SAID)
        if any(line.state == state for line in lines)
    }
    parts = [
        say(f"shift.told_{state.replace(' ', '_') or 'not_said'}", items=items)
        for state, items in by_state.items()
    ]
    key = f"shift.{rig}.{shift.replace(' ', '_')}"
    count = Figure(f"{key}.open", float(len(lines)), "count", Standing.MEASURED)
    word = say(f"shift.{shift.replace(' ', '_')}")
    return Verdict(
        "note",
        Sentence("shift.what", {"rig": rig, "shift": word, "day": day}),
        Sentence("shift.why", {"count": count, "items": ". ".join(parts)}),
        Sentence("shift.do"),
        say("source.record"),
        caution("rods"),
    )
