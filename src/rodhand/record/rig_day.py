"""What a rig's owner enters beforehand for the day at the rig, and what the crew ticks off."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.record.origin import Origin


@dataclass(frozen=True)
class GaugePoint:
    """One row of a rig's own table: the gauge's pressure [Pa] and the torque it stands for [N m].

    It holds for one gear and one hydraulic circuit of that rig.
    """

    origin: Origin
    rig: str
    gear: str
    pressure: float
    torque: float
    circuit: str = ""
    note: str = ""


@dataclass(frozen=True)
class Emergency:
    """The owner's own words for a struck utility, and the number to call."""

    origin: Origin
    rig: str
    what: str
    words: str
    telephone: str = ""
    note: str = ""


@dataclass(frozen=True)
class Site:
    """Where a rig stands, as it is read out on the telephone: for one bore, or till changed."""

    origin: Origin
    rig: str
    address: str
    bore: str = ""
    note: str = ""


@dataclass(frozen=True)
class ShiftLine:
    """A line the owner adds to the checks before or at the end of a shift."""

    origin: Origin
    rig: str
    shift: str
    item: str
    note: str = ""


@dataclass(frozen=True)
class ShiftCheck:
    """What was said of one line of the checks: done, not done, not looked at."""

    origin: Origin
    rig: str
    shift: str
    item: str
    state: str
    note: str = ""


@dataclass(frozen=True)
class RigCheck:
    """A look at a part of the rig: a key of the rule table and what was found, as typed."""

    origin: Origin
    rig: str
    item: str
    found: str
    note: str = ""
