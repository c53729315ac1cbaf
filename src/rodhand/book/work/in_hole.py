"""Which rods are in the hole now, as far as the record says."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.work.at_hand import at_hand, rods_in_string
from rodhand.book.work.stays import stays_of
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore

IN_THE_HOLE = "in the hole"


@dataclass(frozen=True)
class InHole:
    """A thing in the hole: of which bore, with which others.

    ``bore`` is empty where somebody only said that it is in the hole.
    """

    bore: str
    others: tuple[str, ...]


def _last_at(bore: Bore) -> str:
    """Moment of the last thing known of a bore, as `Origin.at`."""
    origins = [bore.origin]
    for each in bore.passes:
        origins += [row.origin for row in each.readings]
        origins += [each.origin] if each.origin else []
    return max(origin.at for origin in origins)


@dataclass(frozen=True)
class StringInHole:
    """A string that the record leaves in the hole: its bore, pass, rods, and when last told of.

    ``keys`` are those not said to lie elsewhere since; ``last`` is a moment as `Origin.at`;
    ``sure`` says whether the rods are known by mark or row.
    """

    bore: str
    pass_name: str
    keys: tuple[str, ...]
    sure: bool
    last: str


def string_in_hole(book: Book, rig: str) -> StringInHole | None:
    """The string a rig has in the hole by the last that is known; None where it has none.

    Parameters
    ----------
    book : Book
        The book.
    rig : str
        The rig.

    Returns
    -------
    StringInHole or None
        A load of the rig's box, or a word where a thing lies, after the last row of the bore counts
        before the bore.
    """
    at = at_hand(book, rig)
    if not at.bore or at.station == 0:
        return None
    bore = book.bores[at.bore]
    last = _last_at(bore)
    if any(load.rig == bore.rig and load.origin.at > last for load in book.loads):
        return None
    string = rods_in_string(book, bore, at.pass_name, at.station)
    stays = stays_of(book)
    keys = []
    for key in string.keys:
        stay = next(reversed(stays.get(key, ())), None)
        if stay is None or stay.at <= last:
            keys.append(key)
    sure = string.known in ("marked", "by row")
    return StringInHole(bore.name, at.pass_name, tuple(keys), sure, last) if keys else None


def in_hole(book: Book, key: str) -> InHole | None:
    """Whether a thing is in the hole by the last that is known; None when it is not.

    Where only the set is known, no rod is held to be in the hole.
    """
    for rig in book.rigs:
        string = string_in_hole(book, rig)
        if string and string.sure and key in string.keys:
            return InHole(string.bore, string.keys)
    stay = next(reversed(stays_of(book).get(key, ())), None)
    if stay is not None and stay.where == IN_THE_HOLE:
        return InHole("", (key,))
    return None
