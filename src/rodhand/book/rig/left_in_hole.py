"""A string that the record leaves in the hole because nobody entered its end."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.rig.pullback import end_pullback, has_ended, last_pullback
from rodhand.book.views import LeftInHole
from rodhand.book.work.at_hand import rig_of
from rodhand.book.work.days import day_of
from rodhand.book.work.in_hole import StringInHole, string_in_hole
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.entry import Draft

SOURCE = "in the hole"


def left_in_hole(book: Book, rig: str, today: str = "") -> LeftInHole | None:
    """The string a rig left in the hole by the record, from the day after its last row on.

    Parameters
    ----------
    book : Book
        The book.
    rig : str
        The rig.
    today : str
        ISO day; that of the clock when empty.

    Returns
    -------
    LeftInHole or None
        None where the string came out, is still worked with, or its rods are known by set only.
    """
    string = string_in_hole(book, rig)
    if string is None or not string.sure:
        return None
    since = day_of(string.last)
    if since >= (today or date.today().isoformat()):
        return None
    return LeftInHole(rig, string.bore, since, _names(book, string))


def say_out(folder: Path, rig: str, by: str = "") -> str:
    """Keep the word that a rig's string is out of the hole; the entry's id.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the end of the pullback where one was begun, else of the word that its rods lie in
        their row. No pass is made up: a pullback nobody entered stays *not recorded*.

    Raises
    ------
    BadInputError
        If the record has no string of that rig in the hole.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    book = book_in(folder)
    name = rig_of(book, rig)
    string = string_in_hole(book, name)
    if string is None:
        raise BadInputError([Fault("left_nothing", name, column="rig")], SOURCE)
    begun = last_pullback(book.bores[string.bore])
    if begun is not None and not has_ended(begun):
        return end_pullback(folder, name, by, bore=string.bore)
    payload = {"things": ", ".join(_names(book, string)), "where": "row"}
    return enter(folder, [Draft("whereabouts", payload, "", "", by)], SOURCE).entries[0].id


def _names(book: Book, string: StringInHole) -> tuple[str, ...]:
    return tuple(book.things[key].name for key in string.keys if key in book.things)
