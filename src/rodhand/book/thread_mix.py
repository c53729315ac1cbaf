"""Different threads in one box: refused before they are made up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from rodhand.book.assess import type_of_thing
from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.entry import Draft
from rodhand.record.marks import MarksError, expand_marks
from rodhand.steel.rod_type import RodType
from rodhand.steel.thread_fit import thread_differences
from rodhand.words import say


def thread_faults(book: Book, keys: Iterable[str]) -> list[Fault]:
    """Why things cannot be made up with each other: threads known to differ.

    Parameters
    ----------
    book : Book
        The book.
    keys : iterable of str
        Keys of the things; unknown ones are passed over.

    Returns
    -------
    list of Fault
        One for each pair of rod types whose threads differ; empty where nothing is known.
    """
    types: dict[str, RodType] = {}
    for key in keys:
        thing = book.things.get(key)
        rod_type = type_of_thing(book, thing) if thing else None
        if rod_type is not None:
            types.setdefault(rod_type.name, rod_type)
    known = list(types.values())
    faults = []
    for number, one in enumerate(known):
        for other in known[number + 1 :]:
            apart = thread_differences(one.joint, other.joint)
            if apart:
                told = ", ".join(say(f"old_new.thread.{name}") for name in apart)
                faults.append(Fault("threads_differ", f"{one.name}, {other.name}", values={
                    "apart": told}))  # fmt: skip
    return faults


def load_faults(book: Book, drafts: Iterable[Draft]) -> list[Fault]:
    """Which loads among some drafts put different threads into one box.

    Parameters
    ----------
    book : Book
        The book that knows the rods.
    drafts : iterable of Draft
        What is to be entered.

    Returns
    -------
    list of Fault
        With the line of the draft; marks that cannot be read are told elsewhere.
    """
    found = []
    for draft in drafts:
        said = {column.strip().casefold(): text for column, text in draft.payload.items()}
        if draft.kind != "load" or not said.get("things"):
            continue
        try:
            marks = expand_marks(said["things"])
        except MarksError:
            continue
        named = (book.thing_named(mark) for mark in marks)
        differ = thread_faults(book, (thing.key for thing in named if thing))
        found += [replace(each, line=draft.line, column="things") for each in differ]
    return found
