"""Which rods something odd in a bore concerns, and what to look at on them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rodhand.book.work.at_hand import InString, rods_in_string
from rodhand.book.work.days import day_of
from rodhand.book.work.happenings import saver_sub_of
from rodhand.book.work.tables import data_rows
from rodhand.book.work.who import WhoInBore
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, Event, MakeupShift
from rodhand.record.origin import Origin

NO_TORQUE = "no torque"
"""A joint that would not torque up: told as the result of a make-up, and no event of the hole."""
AT_THE_RIG = "at-rig"
RODS_AT_THE_RIG = 2


@dataclass(frozen=True)
class EventCheck:
    """One look an event asks for: a key of the rule table, and where that comes from."""

    event: str
    which: str
    item: str
    source: str
    standing_of_number: str


@dataclass(frozen=True)
class OddThing:
    """Something odd in a bore, whichever kind of entry told it.

    ``station`` is how many rods were in the hole; None when nobody wrote it. ``torque`` [N m].
    """

    origin: Origin
    bore: str
    pass_name: str
    station: int | None
    what: str
    torque: float | None = None
    note: str = ""


@dataclass(frozen=True)
class ConcernedBy:
    """What an odd thing concerns.

    Parameters
    ----------
    which : str
        ``string`` for every rod in the hole, ``at-rig`` for the two next to the rig.
    rods : InString
        Those rods.
    others : tuple of str
        Keys of the saver sub and the head, where they saw it and are in the book.
    """

    which: str
    rods: InString
    others: tuple[str, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of all of them."""
        return (*self.rods.keys, *self.others)

    @property
    def joints(self) -> int | None:
        """Joints it concerns, those to the saver sub and the head counted; None if unknown."""
        if not self.rods.places:
            return self.rods.places
        return self.rods.places + (1 if self.which == "string" else 0)


@cache
def event_checks() -> tuple[EventCheck, ...]:
    """The table of looks after events that comes with the program."""
    return tuple(
        EventCheck(
            row["event"], row["which"], row["item"], row["source"], row["standing_of_number"]
        )
        for row in data_rows("event_checks.csv")
    )


def checks_after(what: str) -> tuple[EventCheck, ...]:
    """Looks an event asks for, most telling first; none for an event without a line."""
    return tuple(each for each in event_checks() if each.event == what)


def odd_things(bore: Bore) -> tuple[OddThing, ...]:
    """What of a bore's events and make-ups asks for a look, in order of the work."""
    found = [_of_event(event) for event in bore.events if checks_after(event.what)]
    found += [_of_makeup(each) for each in bore.makeups if each.result]
    return tuple(sorted(found, key=lambda each: (each.origin.at, each.origin.counter)))


def _of_event(event: Event) -> OddThing:
    station = None if event.station is None else int(event.station)
    return OddThing(
        event.origin, event.bore, event.pass_name, station, event.what, event.torque, event.note
    )


def _of_makeup(shift: MakeupShift) -> OddThing:
    return OddThing(
        shift.origin, shift.bore, shift.pass_name, int(shift.to_station), NO_TORQUE, shift.torque,
        shift.note,
    )  # fmt: skip


def concerned_by(book: Book, odd: OddThing, known: WhoInBore | None = None) -> ConcernedBy:
    """Rods and other things an odd thing concerns, as the record has the string.

    Parameters
    ----------
    book : Book
        The book.
    odd : OddThing
        What happened.
    known : WhoInBore, optional
        Who stood in the pilot's places, where that was worked out before.

    Returns
    -------
    ConcernedBy
        A rod that may have stood there counts; how surely is said.
    """
    bore = book.bores[odd.bore]
    which = next((each.which for each in checks_after(odd.what)), "string")
    few = RODS_AT_THE_RIG if which == AT_THE_RIG else 0
    rods = rods_in_string(book, bore, odd.pass_name, odd.station, few, known)
    day = day_of(odd.origin.happened.end)
    sub = saver_sub_of(book, bore.rig, day)
    head = book.thing_named(bore.head, day) if bore.head and which == "string" else None
    others = tuple(thing.key for thing in (sub, head) if thing is not None)
    return ConcernedBy(which, rods, others)
