"""Different threads in one box: refused before they are made up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from rodhand.book.work.rod_types import type_of_thing
from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.entry import Draft
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


def load_faults(book: Book, drafts: Mapping[str, Draft]) -> list[Fault]:
    """Which loads that are to be entered put different threads into one box.

    Parameters
    ----------
    book : Book
        The book as it would be with them.
    drafts : mapping of str to Draft
        What is to be entered, by the ids of the entries.

    Returns
    -------
    list of Fault
        With the lines of the drafts.
    """
    return [
        replace(each, line=drafts[load.origin.entry].line, column="things")
        for load in book.loads
        if load.origin.entry in drafts
        for each in thread_faults(book, load.things)
    ]
