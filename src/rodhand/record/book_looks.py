"""Looks at things, work on them, what was given or set, as the book has it."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.record.origin import Origin


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
