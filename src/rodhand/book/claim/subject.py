"""What broke or was lost: the thing or bore asked for, and the entries that tell of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, Event
from rodhand.record.book_things import Thing
from rodhand.record.marks import fold
from rodhand.record.origin import Origin

LOST = "lost in hole"
EVENTS = ("break", "loss")


class NoSuchSubjectError(LookupError):
    """Neither a thing nor a bore of the book carries that name."""


@dataclass(frozen=True)
class Incident:
    """A break, a loss, or an event of that kind, as the record has it.

    Parameters
    ----------
    what : {"break", "loss", "event"}
        Kind of entry it comes from.
    origin : Origin
        Its entry.
    thing, bore : str
        Key and name; empty when not said.
    bore_said : bool
        Whether the entry names the bore; else it is the last its rig had begun by that day.
    station : float or None
        Station at which it happened.
    section, note : str
        As typed.
    """

    what: str
    origin: Origin
    thing: str = ""
    bore: str = ""
    bore_said: bool = True
    station: float | None = None
    section: str = ""
    note: str = ""

    @property
    def day(self) -> str:
        """First ISO day it may have been; empty when unknown."""
        return self.origin.happened.start[:10]


@dataclass(frozen=True)
class Subject:
    """What a file is about: ``kind`` is thing or bore, ``things`` are keys, the first one leads."""

    kind: str
    name: str
    things: tuple[str, ...]
    incidents: tuple[Incident, ...]

    @property
    def lead(self) -> Incident | None:
        """The break the file is about; the loss or event where nothing broke; None for neither."""
        for what in ("break", "loss", "event"):
            of_kind = [each for each in self.incidents if each.what == what]
            if of_kind:
                return of_kind[-1]
        return None

    @property
    def bores(self) -> tuple[str, ...]:
        """Bores it happened in, and the bore asked for."""
        named = [self.name] if self.kind == "bore" else []
        return tuple(dict.fromkeys([*named, *(i.bore for i in self.incidents if i.bore)]))


def day_before(day: str) -> str:
    """The ISO day before another; empty for an unknown one."""
    return (date.fromisoformat(day) - timedelta(1)).isoformat() if day else ""


def bore_of_loss(book: Book, thing: Thing, day: str) -> str:
    """The last bore begun by an ISO day on the rig a thing was with; empty when none is known."""
    rig = thing.rig
    if not rig and thing.set in book.sets:
        rig = book.sets[thing.set].rig
    begun = [
        bore.name
        for bore in book.bores.values()
        if bore.rig == rig and rig and "" < bore.origin.happened.start[:10] <= day
    ]
    return begun[-1] if begun else ""


def incidents_of(book: Book) -> tuple[Incident, ...]:
    """Every break, loss and event of that kind of a book, in the order of the work."""
    found = [
        Incident("break", b.origin, b.thing, b.bore, bool(b.bore), b.station, b.section, b.note)
        for b in book.breaks
    ]
    for each in book.whereabouts:
        if each.where == LOST:
            for key in each.things:
                bore = bore_of_loss(book, book.things[key], each.origin.happened.start[:10])
                found.append(Incident("loss", each.origin, key, bore, False, note=each.note))
    found += [
        Incident("event", event.origin, "", bore.name, True, event.station, "", _said(event))
        for bore in book.bores.values()
        for event in bore.events
        if event.what in EVENTS
    ]
    return tuple(sorted(found, key=lambda each: (each.origin.at, each.origin.counter)))


def _said(event: Event) -> str:
    """What an event was, with its note."""
    return f"{event.what}: {event.note}" if event.note else event.what


def subject_of(book: Book, name: str) -> Subject:
    """What a name stands for.

    Parameters
    ----------
    book : Book
        The facts.
    name : str
        Mark or key of a thing, or a bore. Of several things that carried one mark at different
        times it is the one that broke or was lost last; else the one that carries it now.

    Returns
    -------
    Subject
        The thing, or the bore with the things that broke or were lost in it.

    Raises
    ------
    NoSuchSubjectError
        If neither a thing nor a bore carries that name.
    """
    incidents = incidents_of(book)
    thing = _thing(book, name, incidents)
    if thing is not None:
        own = [each for each in incidents if each.thing == thing.key]
        bores = {each.bore for each in own if each.bore}
        own += [e for e in incidents if e.what == "event" and e.bore in bores and _is_of(e, own)]
        own.sort(key=lambda each: (each.origin.at, each.origin.counter))
        return Subject("thing", thing.name, (thing.key,), tuple(own))
    bore = _bore(book, name)
    if bore is None:
        raise NoSuchSubjectError(name)
    own = [each for each in incidents if each.bore == bore.name]
    things = tuple(dict.fromkeys(each.thing for each in own if each.thing))
    return Subject("bore", bore.name, things, tuple(own))


def _is_of(event: Incident, incidents: Iterable[Incident]) -> bool:
    """Whether an event may be the same happening: same bore and day."""
    return any(e.bore == event.bore and e.day == event.day for e in incidents)


def _thing(book: Book, name: str, incidents: Iterable[Incident]) -> Thing | None:
    carried = {
        key
        for key, thing in book.things.items()
        if fold(name) in {fold(mark.text) for mark in thing.marks}
    }
    hurt = [each.thing for each in incidents if each.thing in carried]
    return book.things[hurt[-1]] if hurt else book.thing_named(name)


def _bore(book: Book, name: str) -> Bore | None:
    return next((bore for bore in book.bores.values() if fold(bore.name) == fold(name)), None)
