"""What each choice after an over-steer costs every rod: ease the next rods, pull back and drill
anew, or carry on. Each is worked as the whole bore would be, to its end and back."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.assess import Assessment, BoreDone, bore_as_if
from rodhand.book.work.lives import BoreOfRod
from rodhand.hole.way_back import WayBack, depth_gained, way_back
from rodhand.record.book_bores import Bore, BorePass, OldHole, Reading

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Ahead:
    """Where the pilot stands and where it should come to.

    Parameters
    ----------
    station : int
        Rods drilled.
    pitches : tuple of float
        Pitch at the end of each rod drilled, as last read, up positive. [rad]
    depths : tuple of float
        Depth below the entry at the end of each rod drilled, down positive. [m]
    room : float
        Largest change of pitch in one rod, reading error taken off. [rad]
    length : float
        Of a rod. [m]
    wanted_pitch, wanted_depth : float
        At the end of the way, ``rods`` ahead. [rad], [m]
    rods : int
        Rods the way may take from where the tool stands.
    to_drill : int
        Rods still to drill in all, the way among them.
    levels : tuple of float
        Level from the entry at the end of each rod drilled. [m]
    """

    station: int
    pitches: tuple[float, ...]
    depths: tuple[float, ...]
    room: float
    length: float
    wanted_pitch: float
    wanted_depth: float
    rods: int
    to_drill: int
    levels: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False)
class Choice:
    """One choice and what it comes to.

    Parameters
    ----------
    code : {"pull_back", "ease", "carry_on"}
        Which.
    back : int
        Rods pulled back first.
    pitch : (n,) array of float
        At the end of every rod still drilled, from the first one drilled anew. [rad]
    depth : (n,) array of float
        Below the entry there. [m]
    way : WayBack or None
        The way back in it; None for carrying on.
    life : mapping of str to float
        Key of each rod to the design value of life used of its worst section in this bore, the
        unrecorded way back out of the hole with it. [-]
    """

    code: str
    back: int
    pitch: Floats
    depth: Floats
    way: WayBack | None
    life: Mapping[str, float]

    @property
    def worst(self) -> float:
        """The most any rod takes. [-]"""
        return max(self.life.values(), default=math.nan)

    @property
    def together(self) -> float:
        """What all rods take. [-]"""
        return sum(self.life.values())


def choices(assessment: Assessment, bore: Bore, ahead: Ahead, back: int) -> tuple[Choice, ...]:
    """Every choice with its cost, the way that takes least life of the worst rod first.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    bore : Bore
        A bore of it with its pilot under way.
    ahead : Ahead
        Where it stands and where it should come to.
    back : int
        Rods to pull back; 0 leaves that choice out.

    Returns
    -------
    tuple of Choice
        Carrying on stands last whatever it costs, and a way that does not reach the end wanted
        behind one that does.

    Notes
    -----
    Rods still to be drilled turn as the median of those drilled did. Rods pulled back come out
    without turning. The hole left behind counts as one of the record does.
    """
    found = [_drilled(assessment, bore, ahead, "ease", 0)]
    if back:
        found.append(_drilled(assessment, bore, ahead, "pull_back", back))
    found.sort(key=lambda each: (each.way is not None and not each.way.reached, each.worst))
    return (*found, _drilled(assessment, bore, ahead, "carry_on", 0))


def carried_on(assessment: Assessment, bore: Bore, ahead: Ahead) -> BoreDone | None:
    """The bore drilled to its end at the pitch it has now."""
    pilot = bore.pass_of("pilot")
    if pilot is None:
        return None
    pitch = _way(ahead, "carry_on", 0)[0]
    rows = rows_ahead(pilot.readings, ahead.station, pitch)
    return bore_as_if(
        assessment,
        _with_pilot(bore, pilot, replace(pilot, readings=(*pilot.readings, *rows))),
    )


def _drilled(assessment: Assessment, bore: Bore, ahead: Ahead, code: str, back: int) -> Choice:
    first = ahead.station - back
    pitch, depth, way = _way(ahead, code, back)
    pilot = bore.pass_of("pilot")
    assert pilot is not None  # the way ahead was asked for from its last reading
    kept = tuple(row for row in pilot.readings if row.station <= first)
    rows = rows_ahead(pilot.readings, first, pitch)
    drilled = replace(pilot, readings=(*kept, *rows))
    if back:
        left = OldHole(len(pilot.old_holes) + 1, first, pilot.readings, turned="no")
        drilled = replace(drilled, old_holes=(*pilot.old_holes, left))
    done = bore_as_if(assessment, _with_pilot(bore, pilot, drilled))
    return Choice(code, back, pitch, depth, way, _life(assessment, done))


def _way(ahead: Ahead, code: str, back: int) -> tuple[Floats, Floats, WayBack | None]:
    """Pitch and depth at the end of every rod drilled from here on, and the way in them."""
    at = ahead.station - back - 1
    start, here = ahead.pitches[at], ahead.depths[at]
    count, way = ahead.to_drill + back, None
    pitch = np.full(count, start)
    if code != "carry_on":
        rods = ahead.rods + back
        way = way_back(
            start, ahead.wanted_pitch, ahead.wanted_depth - here, rods, ahead.length, ahead.room
        )
        pitch = np.concatenate((way.pitch, np.full(count - rods, way.pitch[-1])))
    return pitch, here + depth_gained(start, pitch, ahead.length), way


def rows_ahead(drilled: Sequence[Reading], after: int, pitch: Floats) -> tuple[Reading, ...]:
    """Rows of rods not drilled yet, turned as the median of those drilled, heading held.

    Parameters
    ----------
    drilled : sequence of Reading
        Rows of the pilot.
    after : int
        Station of the last rod that stays.
    pitch : (n,) array of float
        At the end of each. [rad]
    """
    last = drilled[-1]
    before = next((row for row in reversed(drilled) if row.station <= after), last)

    def usual(name: str) -> float | None:
        known = [value for row in drilled if (value := getattr(row, name)) is not None]
        return median(known) if known else None

    return tuple(
        Reading(
            last.origin, float(after + n), {}, pitch=float(each), heading=before.heading,
            heading_ref=before.heading_ref, rpm=usual("rpm"), turns=usual("turns"),
            rotating_time=usual("rotating_time"),
        )
        for n, each in enumerate(pitch, 1)
    )  # fmt: skip


def _with_pilot(bore: Bore, pilot: BorePass, drilled: BorePass) -> Bore:
    others = tuple(each for each in bore.passes if each is not pilot)
    return replace(bore, passes=(drilled, *others))


def _life(assessment: Assessment, done: BoreDone | None) -> dict[str, float]:
    rods: dict[str, BoreOfRod] = dict(done.rods) if done else {}
    found = {}
    for key, did in rods.items():
        history = assessment.histories.get(key)
        if history is not None:  # every rod the book knows has one
            found[key] = history.life_of(did).worst.design
    return found
