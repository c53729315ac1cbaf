"""What is shown of several devices that tell of one bore."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.press import Press
from rodhand.units import Figure

Typed = tuple[str, str, str]
"""Field, text as typed, unit suffix."""


@dataclass(frozen=True)
class Teller:
    """Who told a value: when, by whom, on which device."""

    entry: str
    happened: str
    by: str
    device: str
    device_name: str


@dataclass(frozen=True)
class Side:
    """One of the values told of a rod.

    Parameters
    ----------
    typed : tuple of Typed
        What it says of the fields that differ.
    told_by : tuple of Teller
        Everybody who says so.
    state : str
        ``counts`` until somebody picks, ``picked``, ``aside``, or empty.
    press : Press or None
        Picks it; None once it is picked.
    """

    typed: tuple[Typed, ...]
    told_by: tuple[Teller, ...]
    state: str
    press: Press | None


@dataclass(frozen=True)
class PickedBy:
    """A pick in force."""

    entry: str
    happened: str
    by: str


@dataclass(frozen=True)
class RodTold:
    """A rod of which several values were told.

    ``told`` says what counts until somebody picks, or that somebody did.
    """

    pass_name: str
    station: str
    told: Sentence
    sides: tuple[Side, ...]
    picks: tuple[PickedBy, ...]


@dataclass(frozen=True)
class Move:
    """One correction of a run of one device: what it says, and the press that keeps it."""

    told: Sentence
    press: Press


@dataclass(frozen=True)
class DeviceOut:
    """Two devices whose last rows stand some stations apart.

    ``own`` is what each of the two devices says of itself, by its key.
    """

    told: Sentence
    sure: Sentence
    own: Mapping[str, Sentence]
    moves: tuple[Move, ...]


@dataclass(frozen=True)
class PutRight:
    """A correction in force."""

    entry: str
    told: Sentence


@dataclass(frozen=True)
class TwoDevices:
    """What several devices say of one bore.

    Parameters
    ----------
    bore : str
        The bore.
    open, settled : tuple of RodTold
        Rods whose values differ: nobody picked yet, somebody did. Newest rod first.
    out : tuple of DeviceOut
        Devices some stations out.
    put_right : tuple of PutRight
        Corrections in force.
    confirmed : Figure
        Rods of which several devices say the same.
    """

    bore: str
    open: tuple[RodTold, ...]
    settled: tuple[RodTold, ...]
    out: tuple[DeviceOut, ...]
    put_right: tuple[PutRight, ...]
    confirmed: Figure
