"""What a book holds of a rig for a make-up: its compound in use and how hard it turns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rodhand.book.work.days import day_of
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.damage import whole_entries
from rodhand.record.marks import fold
from rodhand.record.reading_back import read_book


@dataclass(frozen=True)
class RigForMakeup:
    """A rig's part in a make-up.

    Parameters
    ----------
    rig : str
        The rig.
    compound, since : str
        Compound in use and the day it came into use; empty when none is entered.
    friction_factor : float or None
        Factor of that compound as entered. [-]
    max_torque : float or None
        Torque the rig turns at most, as entered. [N m]
    entry : str
        Id of the compound's entry; empty when none is entered.
    """

    rig: str
    compound: str
    since: str
    friction_factor: float | None
    max_torque: float | None
    entry: str = ""

    def turns_less(self, wanted: float) -> bool:
        """Whether the rig is known to turn less than a torque. [N m]"""
        return self.max_torque is not None and self.max_torque < wanted


def rig_for_makeup(folder: Path, name: str, day: str = "") -> RigForMakeup:
    """A rig's part in a make-up on a day.

    Parameters
    ----------
    folder : Path
        The book's folder; it is only read.
    name : str
        The rig.
    day : str
        ISO day; today when empty. The last compound entered for it or before counts.

    Returns
    -------
    RigForMakeup
        As entered.

    Raises
    ------
    BadInputError
        If the book has no such rig.
    DamagedError
        If the book is damaged.
    CannotReadError
        If there is no book in the folder or it cannot be read.
    """
    return rig_in_book(read_book(whole_entries(folder)), name, day)


def rig_in_book(book: Book, name: str, day: str = "") -> RigForMakeup:
    """The same from a book already read. Raises BadInputError if it has no such rig."""
    rig = next((each for each in book.rigs.values() if fold(each.name) == fold(name)), None)
    if rig is None:
        names = ", ".join(book.rigs)
        raise BadInputError([Fault("makeup_rig_not_known", name, values={"names": names})])
    until = day or date.today().isoformat()
    used = [
        each
        for each in book.compounds
        if fold(each.rig) == fold(rig.name) and day_of(each.origin.happened.start) <= until
    ]
    last = max(used, key=lambda each: each.origin.at, default=None)
    if last is None:
        return RigForMakeup(rig.name, "", "", None, rig.max_torque)
    since = day_of(last.origin.happened.start)
    return RigForMakeup(
        rig.name, last.compound, since, last.friction_factor, rig.max_torque, last.origin.entry
    )
