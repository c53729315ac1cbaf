"""A utility struck: the rig's own emergency words, the number to call and where the rig stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rodhand.book.opening import book_in
from rodhand.book.work.at_hand import at_hand
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import is_invented
from rodhand.record.book import Book
from rodhand.record.choices import UTILITIES
from rodhand.record.marks import fold

FIRST = UTILITIES[:3]
"""Electric, gas and unknown come first, whether or not words were entered for them."""


@dataclass(frozen=True)
class WordsFor:
    """The owner's words for one struck utility; ``words`` is empty where none were entered.

    ``since`` is the ISO day they were entered for; ``telephone`` is empty where none was given.
    """

    what: str
    words: str
    telephone: str
    since: str


@dataclass(frozen=True)
class StrikeView:
    """The screen of a utility strike.

    Parameters
    ----------
    rig, bore : str
        The rig and its bore at hand.
    words : tuple of WordsFor
        Electric, gas and unknown first.
    telephones : tuple of str
        Numbers entered, each once, in the order of the words.
    address : str
        Where the rig stands; empty where nobody entered it.
    address_of : {"bore", "rig", "place", ""}
        Whether it was entered for this bore or for the rig, or is the place of the bore.
    address_since : str
        ISO day it was entered for; empty when not known.
    """

    invented: bool
    rig: str
    bore: str
    words: tuple[WordsFor, ...]
    telephones: tuple[str, ...]
    address: str
    address_of: str
    address_since: str

    @property
    def entered(self) -> bool:
        """Whether the owner entered any words at all."""
        return any(each.words for each in self.words)


def strike_view(folder: Path, rig: str, bore: str = "") -> StrikeView:
    """The screen of a utility strike of one rig.

    Parameters
    ----------
    folder : Path
        The book's folder; it is only read.
    rig : str
        The rig.
    bore : str
        One of its bores; the one at hand when empty.

    Returns
    -------
    StrikeView
        As the owner entered it; nothing is made up where nothing was entered.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    words = words_for(book, at.rig)
    telephones = tuple(dict.fromkeys(each.telephone for each in words if each.telephone))
    address, of, since = _address(book, at.rig, at.bore)
    return StrikeView(is_invented(book), at.rig, at.bore, words, telephones, address, of, since)


def words_for(book: Book, rig: str) -> tuple[WordsFor, ...]:
    """The words in force for each utility: the last entered; the first three always stand here."""
    last = {each.what: each for each in book.emergencies if fold(each.rig) == fold(rig)}
    found = []
    for what in UTILITIES:
        each = last.get(what)
        if each is not None:
            since = day_of(each.origin.happened.start)
            found.append(WordsFor(what, each.words, each.telephone, since))
        elif what in FIRST:
            found.append(WordsFor(what, "", "", ""))
    return tuple(found)


def _address(book: Book, rig: str, bore: str) -> tuple[str, str, str]:
    """Address, for what it was entered, and since when.

    What was entered for this bore; else for the rig since this bore began; else the bore's place;
    else the last address of the rig, which may be of the site before: its day is always shown.
    """
    own = [each for each in book.sites if fold(each.rig) == fold(rig)]
    of_bore = [each for each in own if each.bore and fold(each.bore) == fold(bore)]
    of_rig = [each for each in own if not each.bore]
    if of_bore:
        return of_bore[-1].address, "bore", day_of(of_bore[-1].origin.happened.start)
    known = book.bores.get(bore)
    begun = day_of(known.origin.happened.start) if known else ""
    last = of_rig[-1] if of_rig else None
    older = last is None or day_of(last.origin.happened.start) < begun
    if known is not None and known.place and older:
        return known.place, "place", begun
    return (last.address, "rig", day_of(last.origin.happened.start)) if last else ("", "", "")
