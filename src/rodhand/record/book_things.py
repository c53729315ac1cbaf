"""Things, sets and rigs, as the book has them."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.record.origin import Origin


@dataclass(frozen=True)
class Mark:
    """What is written on a thing, from when to when (empty: still)."""

    text: str
    since: str
    until: str = ""

    def is_on(self, day: str) -> bool:
        """Whether it was on the thing at the end of an ISO day."""
        return self.since[:10] <= day and (not self.until or day < self.until[:10])


@dataclass(frozen=True)
class LengthSince:
    """A length in force from a moment on (empty: from the first); None when not measured. [m]"""

    length: float | None
    since: str = ""


@dataclass(frozen=True)
class SetSince:
    """The set a thing belongs to from a moment on (empty: from the first)."""

    set: str
    since: str = ""


@dataclass(frozen=True)
class Cut:
    """A re-cut of one end (pin, box, whole, or empty when nobody said which)."""

    end: str
    since: str

    def takes(self, end: str) -> bool:
        """Whether the old thread of an end was cut away; an end nobody named keeps its history."""
        return self.end in (end, "whole")


@dataclass(frozen=True)
class Thing:
    """A rod, sub, saver sub, head, transmitter housing, transmitter, reamer or swivel.

    Parameters
    ----------
    key : str
        Permanent key nobody types.
    what : str
        One of `rodhand.record.choices.WHAT_THING`.
    marks : tuple of Mark
        Marks with their dates; empty for an unmarked rod.
    set : str
        Name of the set it is in now; empty when in none.
    number : int
        Place in its set counted from 1 when the set was entered; 0 for single things.
    rod_type : str
        Name of its rod type; empty when none.
    rig : str
        Rig it belongs to; empty when not said.
    length : float or None
        Length in force now. [m]
    generation : int
        Counted from 1, one more with each re-cut.
    sets, lengths, cuts : tuple
        Sets it was in, lengths in force and re-cuts, oldest first.
    """

    key: str
    what: str
    marks: tuple[Mark, ...]
    origin: Origin
    set: str = ""
    number: int = 0
    rod_type: str = ""
    rig: str = ""
    length: float | None = None
    bit_to_sensor: float | None = None
    limit_radius: float | None = None
    diameter: float | None = None
    serial: str = ""
    value: float | None = None
    generation: int = 1
    note: str = ""
    sets: tuple[SetSince, ...] = ()
    lengths: tuple[LengthSince, ...] = ()
    cuts: tuple[Cut, ...] = ()

    @property
    def name(self) -> str:
        """The mark in force, or set and number for an unmarked rod."""
        if self.marks and not self.marks[-1].until:
            return self.marks[-1].text
        return self._without_mark()

    def _without_mark(self) -> str:
        if self.number:
            return f"{self.sets[0].set if self.sets else self.set} no. {self.number}"
        return f"{self.marks[-1].text} (to {self.marks[-1].until[:10]})"

    def name_on(self, day: str) -> str:
        """The mark in force on an ISO day, or what it answers to without one."""
        on = [mark.text for mark in self.marks if mark.is_on(day)]
        if on:
            return on[-1]
        return self._without_mark() if self.number else self.marks[0].text

    def set_on(self, day: str) -> str:
        """The set it was in on an ISO day; empty when in none."""
        return next((s.set for s in reversed(self.sets) if s.since[:10] <= day), self.set)

    def length_on(self, day: str) -> float | None:
        """Length in force on an ISO day; None when not measured by then. [m]"""
        known = (each.length for each in reversed(self.lengths) if each.since[:10] <= day)
        return next(known, self.length)

    def generation_of(self, end: str, day: str) -> int:
        """Generation of the thread of one end, pin or box, on an ISO day; 1 when as made."""
        return 1 + sum(cut.takes(end) and cut.since[:10] <= day for cut in self.cuts)


@dataclass(frozen=True)
class DeclaredPast:
    """What a crew said of a set's life before the book began; assumed.

    ``rotating_time`` is None where nobody knows it, which is never 0. [s]
    """

    origin: Origin
    rotating_time: float | None
    ground: str
    order: str
    things: tuple[str, ...] = ()
    """Things of the set on the day it is about, in their order."""


@dataclass(frozen=True)
class FormerUse:
    """What a former owner's book says a rod has used; assumed here.

    Parameters
    ----------
    thing : str
        Key of the rod.
    owner : str
        How the former owner's book is named; no person.
    since, until : str
        ISO days of its first and last work there; empty when not said.
    rotating_time : float
        Time it turned there. [s]
    sections : tuple of 5 tuples of float
        Of each section, in the order of `rodhand.record.choices.FORMER_SECTIONS`: sum on the design
        curve, low, best and high sum on the mean curve, standard deviation of ln damage. [-]
    digest : str
        Hash of the file it came in.
    hours : str
        ``unknown`` where that book did not know how much some of the work was.
    length : float or None
        Length there in the end; None when not measured. [m]
    pin_cuts, box_cuts : int
        Re-cuts of each thread there. Their damage is taken off already.
    """

    origin: Origin
    thing: str
    owner: str
    sections: tuple[tuple[float, ...], ...]
    digest: str
    since: str = ""
    until: str = ""
    rotating_time: float = 0.0
    note: str = ""
    hours: str = ""
    length: float | None = None
    pin_cuts: int = 0
    box_cuts: int = 0


@dataclass(frozen=True)
class RodSet:
    """Rods bought and used together; ``things`` are those in it now."""

    name: str
    rod_type: str
    count: int
    origin: Origin
    things: tuple[str, ...]
    bought: str = ""
    rig: str = ""
    past: DeclaredPast | None = None
    note: str = ""


@dataclass(frozen=True)
class Rig:
    """A rig and its habits."""

    name: str
    origin: Origin
    rod_type: str = ""
    pin_toward: str = ""
    units: str = ""
    zone: str = ""
    box_rows: int | None = None
    rods_per_row: int | None = None
    box_kind: str = ""
    pilot_rpm: float | None = None
    pull_rpm: float | None = None
    max_torque: float | None = None
    max_pull: float | None = None
    note: str = ""


@dataclass(frozen=True)
class LimitSince:
    """A rod type's bend limit as a smallest radius, from a moment on. [m]"""

    radius: float
    origin: Origin
