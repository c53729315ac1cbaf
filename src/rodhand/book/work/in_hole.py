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


def in_hole(book: Book, key: str) -> InHole | None:
    """Whether a thing is in the hole by the last that is known; None when it is not.

    Parameters
    ----------
    book : Book
        The book.
    key : str
        The thing.

    Returns
    -------
    InHole or None
        A word where a thing lies, or a load of the rig's box, after the last row of the bore
        counts before the bore.
        Where only the set is known, no rod is held to be in the hole.
    """
    stay = next(reversed(stays_of(book).get(key, ())), None)
    for rig in book.rigs:
        at = at_hand(book, rig)
        if not at.bore or at.station == 0:
            continue
        bore = book.bores[at.bore]
        last = _last_at(bore)
        loaded = any(load.rig == bore.rig and load.origin.at > last for load in book.loads)
        if loaded or (stay is not None and stay.at > last):
            continue
        string = rods_in_string(book, bore, at.pass_name, at.station)
        if key in string.keys and string.known in ("marked", "by row"):
            return InHole(bore.name, string.keys)
    if stay is not None and stay.where == IN_THE_HOLE:
        return InHole("", (key,))
    return None
