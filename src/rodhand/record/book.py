"""The book: what the entries say, read back as small frozen records.

The book holds facts, not mechanics: things, sets, rigs, bores with their passes and readings,
looks, dressing, breaks and the rest, each with the entry it came from and when it happened.
All values are base SI; a value nobody typed is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from rodhand.steel.rod_type import RodType


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

    ``at`` is the text facts are put in order by: the start of ``happened`` in UTC, less the
    measured error of the device's clock; empty when unknown. Compare ``at``, print ``happened``.
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
        Name of the set; empty when in none.
    number : int
        Place in its set counted from 1 when the set was entered; 0 for single things.
    rod_type : str
        Name of its rod type; empty when none.
    rig : str
        Rig it belongs to; empty when not said.
    length : float or None
        Length in force. [m]
    generation : int
        Counted from 1, one more with each re-cut.
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

    @property
    def name(self) -> str:
        """The mark in force, or set and number for an unmarked rod."""
        if self.marks:
            return self.marks[-1].text
        return f"{self.set} no. {self.number}"


@dataclass(frozen=True)
class DeclaredPast:
    """What a crew said of a set's life before the book began; assumed."""

    origin: Origin
    rotating_time: float
    ground: str
    order: str


@dataclass(frozen=True)
class RodSet:
    """Rods bought and used together."""

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

    ``typed`` keeps every value as typed, by column name. ``alternatives`` holds other values
    given for the same station and pass that nobody has picked between.
    """

    origin: Origin
    station: float
    typed: Mapping[str, str]
    rod: str = ""
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
    lead_rods_off: int | None = None
    rpm: float | None = None
    rotating_time: float | None = None
    turns: float | None = None
    tail_turns: str = "unknown"
    tail_rods: tuple[str, ...] = ()
    pull: float | None = None
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
    """Joints made up between two stations at a stated torque or share of it."""

    origin: Origin
    bore: str
    pass_name: str
    from_station: float
    to_station: float
    torque: float | None = None
    share: float | None = None
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
    gauge: str = ""
    bore: str = ""
    note: str = ""


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
class Break:
    """A thing that broke."""

    origin: Origin
    thing: str
    bore: str = ""
    station: float | None = None
    section: str = "unknown"
    note: str = ""


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
class Book:
    """Everything the entries say, up to one moment, in the order of the work.

    ``things`` is keyed by permanent key; ``sets``, ``rigs``, ``rod_types`` and ``bores`` by name.
    ``head`` is the hash that stands for exactly these entries, whatever order they arrived in.
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
    standings: tuple[StandingGiven, ...] = ()
    breaks: tuple[Break, ...] = ()
    comparisons: tuple[Comparison, ...] = ()
    compounds: tuple[Compound, ...] = ()
    settings: tuple[Setting, ...] = ()
    remarks: tuple[Remark, ...] = ()
    recipes: Mapping[str, str] = field(default_factory=dict)
    entry_count: int = 0
    head: str = ""
    as_of: str = ""
    problems: tuple[Problem, ...] = ()

    @cached_property
    def _keys_by_name(self) -> Mapping[str, str]:
        # The first thing to carry a name keeps it; unmarked rods answer to set and number.
        return {
            " ".join(thing.name.split()).casefold(): key
            for key, thing in reversed(tuple(self.things.items()))
        }

    def thing_named(self, mark: str) -> Thing | None:
        """The thing that carries a mark now, or whose key this is; None when nobody does."""
        if mark in self.things:
            return self.things[mark]
        key = self._keys_by_name.get(" ".join(mark.split()).casefold())
        return None if key is None else self.things[key]
