"""Bores with their passes, readings, events and loads, as the book has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rodhand.record.origin import Origin


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
class Voice:
    """What one of several entries says of a rod.

    Parameters
    ----------
    origin : Origin
        The entry: who, when, on which device.
    typed : mapping of str to str
        Its columns as typed.
    values : mapping
        Its fields. [SI; angles in rad]
    aside : tuple of str
        Fields on which another value was picked.
    stations : float
        By how much its station was put right. [1]
    """

    origin: Origin
    typed: Mapping[str, str]
    values: Mapping[str, Any]
    aside: tuple[str, ...] = ()
    stations: float = 0.0


@dataclass(frozen=True)
class Pick:
    """That a person picked what one entry says of a rod, where it differs from others."""

    origin: Origin
    entry: str
    against: tuple[str, ...]


@dataclass(frozen=True)
class StationShift:
    """A run of rows of one device, by its count of entries, that stand so many stations on."""

    origin: Origin
    device: str
    from_count: int
    to_count: int
    stations: float


@dataclass(frozen=True)
class Reading:
    """What was read at one station of one pass; any value nobody read is None.

    ``typed`` keeps every value as typed, by column name; ``thing`` is the key of the rod whose
    mark was read, empty when none or unknown. Where several entries told of the rod, ``voices``
    are they, ``open`` the fields on which they contradict each other and nobody has picked,
    ``picks`` what was picked, and ``alternatives`` the reading as each other one of them has it.
    ``anew`` is how often the hole had been drilled anew by then, where the row says so.
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
    anew: int | None = None
    signs: str = ""
    alternatives: tuple[Reading, ...] = ()
    voices: tuple[Voice, ...] = ()
    open: tuple[str, ...] = ()
    picks: tuple[Pick, ...] = ()


@dataclass(frozen=True)
class OldHole:
    """A hole left behind: rods were pulled back and drilled anew beside it.

    Parameters
    ----------
    number : int
        The how manieth time the bore was drilled anew, from 1.
    left_at : int
        Station from which it was drilled anew: rows up to it belong to both holes.
    rows : tuple of Reading
        The hole as it was read until then, in station order, those both holes share among them.
    origin : Origin or None
        The entry that says so; None where only the rows drilled anew tell it.
    turned : {"yes", "no", ""}
        Whether the rods turned while they were pulled back; empty where nobody said.
    turns : float or None
        Turns they made then. [turns]
    """

    number: int
    left_at: int
    rows: tuple[Reading, ...]
    origin: Origin | None = None
    turned: str = ""
    turns: float | None = None
    note: str = ""

    @property
    def abandoned(self) -> tuple[Reading, ...]:
        """Rows of the hole that was left."""
        return tuple(row for row in self.rows if row.station > self.left_at)


@dataclass(frozen=True)
class BorePass:
    """One travel of one string in a bore, with its rows in station order.

    ``readings`` are those of the hole as it is; holes left behind are in ``old_holes``.
    """

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
    shifts: tuple[StationShift, ...] = ()
    old_holes: tuple[OldHole, ...] = ()


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

    @cached_property
    def marks_read(self) -> Mapping[int, str]:
        """Places of the pilot's string -> key of the rod whose mark somebody read there.

        A mark read in two places of one string is a misreading of at least one and counts nowhere.
        """
        pilot = self.pass_of("pilot")
        found: dict[int, str] = {}
        for row in pilot.readings if pilot else ():
            if row.thing and row.station == int(row.station) and row.station >= 1:
                found[int(row.station)] = row.thing
        keys = list(found.values())
        return {place: key for place, key in found.items() if keys.count(key) == 1}

    def pass_of(self, what: str) -> BorePass | None:
        """The first pass of one kind, or None."""
        return next((each for each in self.passes if each.what == what), None)
