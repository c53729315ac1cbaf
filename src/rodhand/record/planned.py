"""What the office says of a bore before it is drilled: plan, utilities in its way, booking."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.record.origin import Origin
from rodhand.record.plan_checks import read_targets


@dataclass(frozen=True)
class Plan:
    """A bore as it is wanted; entered again under its name it replaces what was said before.

    Parameters
    ----------
    plan : str
        Its name: the bore's own, once the bore is entered.
    rig, rod_type, head : str
        Who drills it, with which rods and head; empty where nobody said.
    distance : float
        Level distance from entry to exit. [m]
    exit_height : float
        The exit lies so much above the entry; below 0: lower. [m]
    entry_pitch, exit_pitch : float
        How steep the rig stands, and the steepest it may come out, either sign. [rad]
    cover : float or None
        Least ground above the hole between ``cover_from`` and ``cover_to``. [m]
    product_od, product_radius : float or None
        Of the product: outside diameter, and the least radius it may be bent to. [m]
    product_mass, product_pull : float or None
        Of a metre of it as it is pulled, with what it is filled with; and its safe pull.
        [kg/m], [N]
    reams : int or None
        Reaming passes between pilot and pullback; None where nobody said.
    hole_diameter : float or None
        Of the last pass. [m]
    steer_radius : float or None
        Tightest curve the head is known to make in this ground. [m]
    chosen : str
        Which candidate the targets are, "own" for typed ones; empty before one was chosen.
    pitches, headings : str
        Targets at the end of each rod as typed: percent up positive, degrees right positive.
    """

    origin: Origin
    plan: str
    distance: float
    entry_pitch: float
    exit_pitch: float
    rig: str = ""
    rod_type: str = ""
    head: str = ""
    exit_height: float = 0.0
    cover: float | None = None
    cover_from: float | None = None
    cover_to: float | None = None
    product_od: float | None = None
    product_radius: float | None = None
    product_mass: float | None = None
    product_pull: float | None = None
    reams: int | None = None
    hole_diameter: float | None = None
    steer_radius: float | None = None
    chosen: str = ""
    pitches: str = ""
    headings: str = ""
    note: str = ""

    @property
    def target_pitches(self) -> tuple[float, ...]:
        """Pitch wanted at the end of each rod, up positive. [rad]"""
        return tuple(math.atan(each / 100.0) for each in read_targets(self.pitches) or ())

    @property
    def target_headings(self) -> tuple[float, ...]:
        """Heading wanted at the end of each rod, right of the entry's line positive. [rad]"""
        return tuple(math.radians(each) for each in read_targets(self.headings) or ())


@dataclass(frozen=True)
class Utility:
    """A utility near a planned bore; entered again under its name it replaces what was said.

    Parameters
    ----------
    plan, utility : str
        Of which plan; its name there.
    what, how : str
        What it carries; how it was found.
    at : float
        Where along the line from entry to exit it lies, or begins. [m]
    runs : {"across", "along", "unknown"}
        Which way. What is not known is taken as across: it then lies at every offset.
    to : float or None
        Where one that runs along ends. [m]
    offset : float or None
        Of one that runs along: right of the line is plus. [m]
    depth_top : float or None
        From the ground above it to its top. [m]
    size : float or None
        Outside diameter, or height of a bank of ducts. [m]
    allowance : float or None
        Owner's own distance to keep from it; by how it was found where none is given. [m]
    """

    origin: Origin
    plan: str
    utility: str
    what: str
    how: str
    at: float
    runs: str = "unknown"
    to: float | None = None
    offset: float | None = None
    depth_top: float | None = None
    size: float | None = None
    allowance: float | None = None
    note: str = ""


@dataclass(frozen=True)
class BookedBore:
    """A bore booked to be drilled; entered again under its name it replaces what was said before.

    Parameters
    ----------
    bore, rig : str
        Its name, and who is to drill it.
    length : float
        Along the hole. [m]
    ground, under : str
        As of a bore; ``unknown`` and empty where nobody said.
    day : str
        ISO day it is to begin; empty where nobody said.
    turn : int or None
        Its place in the order of the booked work where no day tells.
    plan : str
        Name of its plan where that is not the bore's own.
    """

    origin: Origin
    bore: str
    rig: str
    length: float
    ground: str = "unknown"
    under: str = ""
    day: str = ""
    turn: int | None = None
    plan: str = ""
    note: str = ""


@dataclass(frozen=True)
class PriceGiven:
    """A price the owner gave, in force from a moment on.

    Parameters
    ----------
    what : str
        One of `rodhand.record.choices.PRICED`.
    price : float or None
        In ``currency``, as typed; None where only the lead time was given.
    currency : str
        As typed; empty where nobody said.
    rod_type : str
        Of which rods; empty for all.
    under : str
        For a break: under what; empty for anywhere.
    lead_days : int or None
        For a new rod: days from order to rig.
    """

    origin: Origin
    what: str
    price: float | None = None
    currency: str = ""
    rod_type: str = ""
    under: str = ""
    lead_days: int | None = None
    note: str = ""
