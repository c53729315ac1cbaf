"""Where a pilot under way stands: its rods as read, the room of the next, what is in its way."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.rig.this_rod import pilot_and_room
from rodhand.book.rig.way_utilities import ways_of
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.hole.plan_limits import InWay
from rodhand.hole.way_around import Place
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PilotStand:
    """A pilot that may be steered on.

    Parameters
    ----------
    hole : Hole
        As read.
    rod_type : RodType
        Its rods.
    places : tuple of Place
        At the end of each rod drilled; pitches nobody read lie between those read. Headings and
        offsets are 0 where sideways is not known.
    room, across : float
        Largest change of pitch in one rod, and of direction sideways; the second infinite where
        sideways is not known. [rad]
    sideways : bool
        Whether headings from the line were read up to the last rod.
    in_way : tuple of InWay
        Utilities entered, depths from the height of the entry.
    figures : dict of str to Figure
        Of the room.
    """

    hole: Hole
    rod_type: RodType
    places: tuple[Place, ...]
    room: float
    across: float
    sideways: bool
    in_way: tuple[InWay, ...]
    figures: dict[str, Figure]

    @property
    def here(self) -> Place:
        """Where the tool stands."""
        return self.places[-1]

    @property
    def station(self) -> int:
        """Rods drilled."""
        return len(self.places)


def pilot_stand(book: Book, bore: Bore, key: str) -> PilotStand | Sentence:
    """Where the pilot of a bore stands, or why no way on can be worked.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : Bore
        One of its bores.
    key : str
        First part of the figures' keys.
    """
    if any(each.what != "pilot" for each in bore.passes):
        return Sentence("this_rod.pilot_done")
    hole, room = pilot_and_room(book, bore, key)
    rod_type = rod_type_of_bore(book, bore)
    figures = room.figures
    if "room" not in figures:
        return room.told
    if hole is None or hole.path is None or rod_type is None:
        return Sentence("way.no_path")
    sideways = "heading" in figures and hole.readings.heading_reference == "relative"
    now, heading = _value(figures, "last"), _value(figures, "heading") if sideways else 0.0
    across = math.inf
    if sideways:
        across = _value(figures, "sideways") * max(math.cos(now), 0.1)
    return PilotStand(
        hole, rod_type, _places(hole, now, heading, sideways), _value(figures, "room"), across,
        sideways, ways_of(book, bore, rod_type), figures,
    )  # fmt: skip


def _value(figures: dict[str, Figure], name: str) -> float:
    return figures[name].value or 0.0


def _places(hole: Hole, now: float, heading: float, sideways: bool) -> tuple[Place, ...]:
    assert hole.path is not None  # asked before
    path, ends = hole.path, np.asarray(hole.stations[1:])
    full = ~hole.readings.is_inside
    pitch = _between(hole.readings.pitch[full])
    toward = _between(hole.readings.heading[full]) if sideways else np.zeros_like(pitch)
    along, offset, depth = (np.interp(ends, path.edges, column) for column in path.positions.T)
    ahead = hole.length - float(path.edges[-1])  # the path ends at the sensor read last
    pitch[-1], toward[-1] = now, heading
    along[-1] += ahead * math.cos(now) * math.cos(heading)
    offset[-1] += ahead * math.cos(now) * math.sin(heading)
    depth[-1] -= ahead * math.sin(now)
    if not sideways:  # headings from north, or none: how far, and no side
        along, offset = np.hypot(along, offset), np.zeros_like(offset)
    rows = zip(along, offset, depth, pitch, toward, strict=True)
    return tuple(Place(*(float(value) for value in row)) for row in rows)


def _between(read: Floats) -> Floats:
    """Values nobody read lie between those read."""
    known = np.flatnonzero(np.isfinite(read))
    return np.interp(np.arange(read.size), known, read[known])
