"""What the page of a bore's joints shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure


@dataclass(frozen=True)
class JointRow:
    """One joint in one pass.

    Parameters
    ----------
    place : int
        The joint on the side toward the tool of the rod in this place.
    state : str
        open, may_open, closed, unknown (make-up), no_bend, not_turned.
    station : int or None
        Row of the log that holds the place that asked most; None where it never turned.
    rods : str
        Rods on both sides.
    figures : dict
        needed, made_up, seat_margin: shares of the full make-up.
    """

    place: int
    state: str
    station: int | None
    rods: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class AskedRow:
    """One rod's length of hole in one pass: what it asks of joints that stand in it.

    figures: needed, pull, bend_radius, opened, may_open.
    """

    station: int
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class JointsPass:
    """One pass: its joints from the tool to the rig, and what each place asks.

    scale: marks of the picture's scale, shares of the full make-up. [1]
    """

    name: str
    what: str
    recorded: bool
    figures: Mapping[str, Figure]
    notes: tuple[Sentence, ...]
    joints: tuple[JointRow, ...]
    places: tuple[AskedRow, ...]
    scale: tuple[Figure, ...]


@dataclass(frozen=True)
class JointsView:
    """The shoulders of one bore's joints; no passes where nothing can be worked out."""

    name: str
    rig: str
    rod_type: str
    happened: str
    invented: bool
    figures: Mapping[str, Figure]
    passes: tuple[JointsPass, ...]
    warnings: tuple[Sentence, ...]
