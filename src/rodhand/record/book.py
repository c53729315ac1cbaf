"""The book: what the entries say, read back as small frozen records.

The book holds facts, not mechanics: things, sets, rigs, bores with their passes and readings,
looks, dressing, breaks and the rest, each with the entry it came from and when it happened.
All values are base SI; a value nobody typed is None.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from rodhand.steel.rod_type import RodType

if TYPE_CHECKING:
    from rodhand.record.gauge_register import Calibration, GaugeKnown
    from rodhand.record.planned import BookedBore, Plan, PriceGiven, Utility
    from rodhand.record.rig_day import Emergency, GaugePoint, RigCheck, ShiftCheck, ShiftLine, Site


@dataclass(frozen=True)
class Moment:
    """When something was: a span of days or minutes, as sure as it was typed.

    Parameters
    ----------
    start, end : str
        ISO date-times (local to ``zone``) between which it was; equal when known to the minute.
        Empty when unknown.
    precision : {"minute", "day", "week", "between", "unknown"}
        How surely it is known.
    zone : str
        Time zone name or offset as typed; empty when not said.
    """

    start: str
    end: str
    precision: str
    zone: str = ""


@dataclass(frozen=True)
class Origin:
    """Where a fact came from: its entry, when it happened, and by whose key.

    ``happened`` is local to where it was, less the measured error of the device's clock; the
    entry keeps it as typed. ``at`` is the text facts are put in order by: the start of
    ``happened`` in UTC; empty when unknown. Compare ``at``, print ``happened``.
    """

    entry: str
    happened: Moment
    by: str
    device: str
    counter: int
    at: str = ""


@dataclass(frozen=True)
class Problem:
    """Something an entry says that the book cannot use, or not surely.

    Parameters
    ----------
    code : str
        Key of the fault in the words catalogue (``fault.<code>``).
    entry : str
        Id of the entry.
    kind : str
        Kind of the entry.
    column : str
        Column it stands in; empty for the whole entry.
    found : str
        What stood there, as typed.
    values : tuple of (str, str)
        What the catalogue's sentences name.
    """

    code: str
    entry: str
    kind: str
    column: str = ""
    found: str = ""
    values: tuple[tuple[str, str], ...] = ()

    @property
    def refused(self) -> bool:
        """Whether such an entry is refused when it is typed, and kept only from elsewhere."""
        return self.code not in KEPT_WITH_PROBLEM


KEPT_WITH_PROBLEM = frozenset({"rod_unknown", "head_unknown"})
"""Codes of problems with which an entry still makes sense, so that it is taken."""


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
        One of `rodhand.record.kinds.WHAT_THING`.
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
        Of each section, in the order of `rodhand.record.kinds.FORMER_SECTIONS`: sum on the design
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
    note: str = ""


@dataclass(frozen=True)
class Load:
    """The order in which rods stood in the box to go into the hole, first used first."""

    origin: Origin
    rig: str
    bore: str
    things: tuple[str, ...]
    how: str
    loads_ago: int = 0


@dataclass(frozen=True)
class Slip:
    """A slip of the order that was seen: these rods changed places, nobody knows when."""

    origin: Origin
    rig: str
    bore: str
    things: tuple[str, ...]


@dataclass(frozen=True)
class Reading:
    """What was read at one station of one pass; any value nobody read is None.

    ``typed`` keeps every value as typed, by column name; ``thing`` is the key of the rod whose
    mark was read, empty when none or unknown. ``alternatives`` holds other values given for the
    same station and pass that nobody has picked between.
    """

    origin: Origin
    station: float
    typed: Mapping[str, str]
    rod: str = ""
    thing: str = ""
    length: float | None = None
    md: float | None = None
    pitch: float | None = None
    inclination: float | None = None
    azimuth: float | None = None
    heading: float | None = None
    heading_ref: str = ""
    offset: float | None = None
    depth: float | None = None
    push: float | None = None
    push_from: float | None = None
    push_to: float | None = None
    rotating_time: float | None = None
    push_time: float | None = None
    rpm: float | None = None
    turns: float | None = None
    thrust: float | None = None
    pull: float | None = None
    torque: float | None = None
    makeup: float | None = None
    hole_diameter: float | None = None
    remark: str = ""
    signs: str = ""
    alternatives: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class BorePass:
    """One travel of one string in a bore, with its rows in station order."""

    name: str
    what: str
    readings: tuple[Reading, ...]
    origin: Origin | None = None
    from_station: float | None = None
    to_station: float | None = None
    hole_diameter: float | None = None
    tool: str = ""
    product: str = ""
    lead_rods_off: int | None = None
    rpm: float | None = None
    rotating_time: float | None = None
    turns: float | None = None
    tail_turns: str = "unknown"
    tail_rods: tuple[str, ...] = ()
    pull: float | None = None
    mud_pressure: float | None = None
    note: str = ""


@dataclass(frozen=True)
class FreeReading:
    """What the rig's gauges showed while nothing loaded the tool.

    ``motion`` is how the string moved: turning off bottom, pick-up or slack-off.
    """

    origin: Origin
    bore: str
    pass_name: str
    station: float
    motion: str
    thrust: float | None = None
    pull: float | None = None
    torque: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Event:
    """Something odd at a station: a spike, a jerk, a weep, a break."""

    origin: Origin
    bore: str
    pass_name: str
    station: float | None
    what: str
    torque: float | None = None
    note: str = ""


@dataclass(frozen=True)
class MakeupShift:
    """Joints made up between two stations: at what torque or share, with or without compound."""

    origin: Origin
    bore: str
    pass_name: str
    from_station: float
    to_station: float
    torque: float | None = None
    share: float | None = None
    compound_on: str = ""
    result: str = ""
    note: str = ""


@dataclass(frozen=True)
class Remark:
    """A free remark, with the things and place it is about."""

    origin: Origin
    text: str
    bore: str = ""
    station: float | None = None
    things: tuple[str, ...] = ()


@dataclass(frozen=True)
class Photo:
    """A photo of things: the name of its file, which stays where it is, and its SHA-256."""

    origin: Origin
    things: tuple[str, ...]
    photo: str
    sha256: str
    end: str = ""
    item: str = ""
    scale: str = ""
    note: str = ""


@dataclass(frozen=True)
class Bore:
    """One bore with its optional facts, passes, events and remarks."""

    name: str
    rig: str
    origin: Origin
    passes: tuple[BorePass, ...] = ()
    load: Load | None = None
    slips: tuple[Slip, ...] = ()
    events: tuple[Event, ...] = ()
    makeups: tuple[MakeupShift, ...] = ()
    free_readings: tuple[FreeReading, ...] = ()
    remarks: tuple[Remark, ...] = ()
    place: str = ""
    ground: str = "unknown"
    under: str = ""
    head: str = ""
    front_length: float | None = None
    bit_to_sensor: float | None = None
    hole_diameter: float | None = None
    rig_pitch: float | None = None
    salt_or_sour: str = ""
    plan_horizontal_radius: float | None = None
    client: str = ""
    note: str = ""

    def pass_of(self, what: str) -> BorePass | None:
        """The first pass of one kind, or None."""
        return next((each for each in self.passes if each.what == what), None)


@dataclass(frozen=True)
class Check:
    """A look at one end or the tube of things, with the gauge's numbers where taken."""

    origin: Origin
    things: tuple[str, ...]
    item: str
    found: str
    end: str = ""
    reading: float | None = None
    second_reading: float | None = None
    third_reading: float | None = None
    gauge_error: float | None = None
    method: str = ""
    span: float | None = None
    gauge: str = ""
    bore: str = ""
    note: str = ""
    signs: str = ""


@dataclass(frozen=True)
class Dressing:
    """Work done on things' ends: dressed, refaced, re-cut and so on."""

    origin: Origin
    things: tuple[str, ...]
    what: str
    end: str = ""
    removed: float | None = None
    new_length: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Whereabouts:
    """Where things are from this moment on; separate from their standing."""

    origin: Origin
    things: tuple[str, ...]
    where: str
    rig: str = ""
    row: int | None = None
    note: str = ""


@dataclass(frozen=True)
class StandingGiven:
    """A standing given by a person, with the reason."""

    origin: Origin
    things: tuple[str, ...]
    standing: str
    why: str


@dataclass(frozen=True)
class StandingHeld:
    """A standing kept because only a changed rule would make it better.

    ``why`` names the change; ``before`` and ``after`` its two values.
    """

    origin: Origin
    things: tuple[str, ...]
    standing: str
    why: str
    before: str = ""
    after: str = ""
    note: str = ""


@dataclass(frozen=True)
class LimitSince:
    """A rod type's bend limit as a smallest radius, from a moment on. [m]"""

    radius: float
    origin: Origin


@dataclass(frozen=True)
class Break:
    """A thing that broke."""

    origin: Origin
    thing: str
    bore: str = ""
    station: float | None = None
    section: str = "unknown"
    note: str = ""
    cause: str = "unknown"


@dataclass(frozen=True)
class Comparison:
    """A gauge compared with a reference."""

    origin: Origin
    rig: str
    gauge: str
    shown: float
    reference: float
    note: str = ""


@dataclass(frozen=True)
class Compound:
    """The thread compound in use on a rig from this moment on."""

    origin: Origin
    rig: str
    compound: str
    friction_factor: float | None = None


@dataclass(frozen=True)
class Setting:
    """An owner's limit, class or habit in force from this moment on."""

    origin: Origin
    name: str
    value: str
    why: str = ""


@dataclass(frozen=True)
class ClassCalibration:
    """What the owner's own breaks said of the classes, kept by a person.

    Of each class: ``factor`` on the damage of the printed class, ``sigma`` the standard deviation
    of its ln, and how many breaks and survivors went in; None where nothing was kept of the class.
    ``model`` is the version of life used it was worked out under; ``rods``, ``entries`` and
    ``digest`` say from what.
    """

    origin: Origin
    model: int
    why: str
    tube_factor: float | None = None
    tube_sigma: float | None = None
    tube_breaks: int | None = None
    tube_survivors: int | None = None
    upset_factor: float | None = None
    upset_sigma: float | None = None
    upset_breaks: int | None = None
    upset_survivors: int | None = None
    weld_factor: float | None = None
    weld_sigma: float | None = None
    weld_breaks: int | None = None
    weld_survivors: int | None = None
    thread_factor: float | None = None
    thread_sigma: float | None = None
    thread_breaks: int | None = None
    thread_survivors: int | None = None
    rods: int | None = None
    entries: int | None = None
    digest: str = ""

    def of_class(self, name: str) -> tuple[float, float] | None:
        """Factor on damage and standard deviation of its ln of one class; None where none. [-]"""
        factor, sigma = getattr(self, f"{name}_factor"), getattr(self, f"{name}_sigma")
        return None if factor is None or sigma is None else (float(factor), float(sigma))


@dataclass(frozen=True)
class Book:
    """Everything the entries say, up to one moment, in the order of the work.

    ``things`` is keyed by permanent key; ``sets``, ``rigs``, ``rod_types`` and ``bores`` by name.
    ``hashes`` are those of its entries, sorted.
    """

    rod_types: Mapping[str, RodType] = field(default_factory=dict)
    things: Mapping[str, Thing] = field(default_factory=dict)
    sets: Mapping[str, RodSet] = field(default_factory=dict)
    rigs: Mapping[str, Rig] = field(default_factory=dict)
    bores: Mapping[str, Bore] = field(default_factory=dict)
    loads: tuple[Load, ...] = ()
    checks: tuple[Check, ...] = ()
    dressings: tuple[Dressing, ...] = ()
    whereabouts: tuple[Whereabouts, ...] = ()
    formers: tuple[FormerUse, ...] = ()
    standings: tuple[StandingGiven, ...] = ()
    breaks: tuple[Break, ...] = ()
    comparisons: tuple[Comparison, ...] = ()
    rig_checks: tuple[RigCheck, ...] = ()
    gauges: tuple[GaugeKnown, ...] = ()
    calibrations: tuple[Calibration, ...] = ()
    compounds: tuple[Compound, ...] = ()
    gauge_tables: tuple[GaugePoint, ...] = ()
    emergencies: tuple[Emergency, ...] = ()
    sites: tuple[Site, ...] = ()
    shift_lines: tuple[ShiftLine, ...] = ()
    shift_checks: tuple[ShiftCheck, ...] = ()
    settings: tuple[Setting, ...] = ()
    class_calibrations: tuple[ClassCalibration, ...] = ()
    held: tuple[StandingHeld, ...] = ()
    limits: Mapping[str, tuple[LimitSince, ...]] = field(default_factory=dict)
    remarks: tuple[Remark, ...] = ()
    photos: tuple[Photo, ...] = ()
    plans: tuple[Plan, ...] = ()
    utilities: tuple[Utility, ...] = ()
    booked: tuple[BookedBore, ...] = ()
    prices: tuple[PriceGiven, ...] = ()
    recipes: Mapping[str, str] = field(default_factory=dict)
    entry_count: int = 0
    hashes: tuple[str, ...] = field(default=(), repr=False)
    as_of: str = ""
    problems: tuple[Problem, ...] = ()

    @cached_property
    def head(self) -> str:
        """The hash that stands for exactly these entries, whatever order they arrived in."""
        return digest_of_sorted(self.hashes)

    @cached_property
    def _carriers(self) -> Mapping[str, tuple[tuple[Mark, str], ...]]:
        """Every mark ever given -> (mark, key) in the order they were put on."""
        found: dict[str, list[tuple[Mark, str]]] = {}
        for key, thing in self.things.items():
            for mark in thing.marks:
                found.setdefault(_folded(mark.text), []).append((mark, key))
        return {
            name: tuple(sorted(pairs, key=lambda pair: pair[0].since))
            for name, pairs in found.items()
        }

    @cached_property
    def _without_mark(self) -> Mapping[str, str]:
        """What things answer to without a mark: set and number, or the mark they last carried."""
        numbered = {
            _folded(f"{thing.sets[0].set} no. {thing.number}"): key
            for key, thing in self.things.items()
            if thing.number and thing.sets
        }
        return {_folded(thing.name): key for key, thing in self.things.items()} | numbered

    def thing_named(self, mark: str, on: str = "") -> Thing | None:
        """The thing that carries a mark, or whose key this is.

        Parameters
        ----------
        mark : str
            Mark, set and number of an unmarked rod, or key.
        on : str
            ISO day: who carried it then; now when empty.

        Returns
        -------
        Thing or None
            Who carries it on the day; where nobody does, the last who did before, or the first
            who did after; None when nobody ever carried it.
        """
        if mark in self.things:
            return self.things[mark]
        day, name = on or _FOR_GOOD, _folded(mark)
        carried = self._carriers.get(name, ())
        known = [key for each, key in carried if each.is_on(day)]
        known = known or [key for each, key in carried if each.since[:10] <= day]
        key = known[-1] if known else carried[0][1] if carried else self._without_mark.get(name)
        return None if key is None else self.things[key]


def digest_of_sorted(hashes: Iterable[str]) -> str:
    """One digest for a set of entries, of their hashes in order."""
    return hashlib.sha256("".join(hashes).encode("ascii", "replace")).hexdigest()


_FOR_GOOD = "9999-12-31"


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
