"""What each choice after an over-steer costs every rod: ease the next rods, pull back and drill
anew, or carry on. Each is worked as the whole bore would be, to its end and back."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np
from numpy.typing import NDArray

from rodhand.book.rig.way_search import MOST_SIDEWAYS, worked_way
from rodhand.book.work.assess import Assessment, bore_as_if
from rodhand.book.work.bore_done import BoreDone
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.hole.plan_limits import InWay
from rodhand.hole.run import Run, run_from
from rodhand.hole.way_around import Place
from rodhand.record.book_bores import Bore, BorePass, OldHole, Reading

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Ahead:
    """Where the pilot stands and where it should come to.

    Parameters
    ----------
    places : tuple of Place
        At the end of each rod drilled, as last read; headings of 0 where they are not known.
    wanted : Place
        At the end of the way, ``rods`` ahead.
    room : float
        Largest change of direction in one rod, reading error taken off. [rad]
    length : float
        Of a rod. [m]
    rods : int
        Rods the way may take from where the tool stands.
    to_drill : int
        Rods still to drill in all, the way among them.
    sideways : bool
        Whether heading and offset are known.
    in_way : tuple of InWay
        Utilities of known depth, from the height of the entry.
    """

    places: tuple[Place, ...]
    wanted: Place
    room: float
    length: float
    rods: int
    to_drill: int
    sideways: bool = False
    in_way: tuple[InWay, ...] = ()

    @property
    def station(self) -> int:
        """Rods drilled."""
        return len(self.places)


@dataclass(frozen=True, eq=False)
class Choice:
    """One choice and what it comes to.

    Parameters
    ----------
    code : {"pull_back", "ease", "carry_on"}
        Which.
    back : int
        Rods pulled back first.
    run : Run
        Every rod still drilled, from the first one drilled anew.
    reached : bool or None
        Whether the end wanted is met; None for carrying on.
    life : mapping of str to float
        Key of each rod to the design value of life used of its worst section in this bore, the
        unrecorded way back out of the hole with it. [-]
    """

    code: str
    back: int
    run: Run
    reached: bool | None
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
    found.sort(key=lambda each: (each.reached is False, each.worst))
    return (*found, _drilled(assessment, bore, ahead, "carry_on", 0))


def carried_on(assessment: Assessment, bore: Bore, ahead: Ahead) -> BoreDone | None:
    """The bore drilled to its end at the pitch it has now."""
    pilot = bore.pass_of("pilot")
    if pilot is None:
        return None
    run = run_of(ahead, "carry_on", 0)[0]
    rows = rows_ahead(pilot.readings, ahead.station, run.pitch[1:])
    return bore_as_if(
        assessment,
        _with_pilot(bore, pilot, replace(pilot, readings=(*pilot.readings, *rows))),
    )


def _drilled(assessment: Assessment, bore: Bore, ahead: Ahead, code: str, back: int) -> Choice:
    first = ahead.station - back
    run, reached = run_of(ahead, code, back)
    pilot = bore.pass_of("pilot")
    assert pilot is not None  # the way ahead was asked for from its last reading
    kept = tuple(row for row in pilot.readings if row.station <= first)
    headings = run.heading[1:] if ahead.sideways else None
    rows = rows_ahead(pilot.readings, first, run.pitch[1:], headings)
    drilled = replace(pilot, readings=(*kept, *rows))
    if back:
        left = OldHole(len(pilot.old_holes) + 1, first, pilot.readings, turned="no")
        drilled = replace(drilled, old_holes=(*pilot.old_holes, left))
    done = bore_as_if(assessment, _with_pilot(bore, pilot, drilled))
    return Choice(code, back, run, reached, _life(assessment, done))


def run_of(ahead: Ahead, code: str, back: int) -> tuple[Run, bool | None]:
    """Every rod drilled from here on, and whether the end wanted is met.

    A way that keeps every distance goes before one that does not.
    """
    start, count = ahead.places[ahead.station - back - 1], ahead.to_drill + back
    if code == "carry_on":
        return run_from(start, np.full(count, start.pitch), None, ahead.length), None
    rods = ahead.rods + back
    sideways = ahead.sideways and rods <= MOST_SIDEWAYS
    asked = (start, ahead.wanted, rods, ahead.length, ahead.room)
    way = worked_way(*asked, ahead.in_way, sideways) or worked_way(*asked, (), sideways)
    assert way is not None  # with nothing in the way there is a nearest
    pitch = np.append(way.pitch, np.full(count - rods, way.pitch[-1]))
    heading = None
    if way.heading is not None:
        heading = np.append(way.heading, np.full(count - rods, way.heading[-1]))
    return run_from(start, pitch, heading, ahead.length), way.reached


def rows_ahead(
    drilled: Sequence[Reading], after: int, pitch: Floats, heading: Floats | None = None
) -> tuple[Reading, ...]:
    """Rows of rods not drilled yet, turned as the median of those drilled.

    Parameters
    ----------
    drilled : sequence of Reading
        Rows of the pilot.
    after : int
        Station of the last rod that stays.
    pitch : (n,) array of float
        At the end of each. [rad]
    heading : (n,) array of float or None
        At the end of each; None holds the one read last. [rad]
    """
    last = drilled[-1]
    before = next((row for row in reversed(drilled) if row.station <= after), last)
    headings = [before.heading] * len(pitch) if heading is None else heading.tolist()

    def usual(name: str) -> float | None:
        known = [value for row in drilled if (value := getattr(row, name)) is not None]
        return median(known) if known else None

    return tuple(
        Reading(
            last.origin, float(after + n), {}, pitch=float(each), heading=toward,
            heading_ref=before.heading_ref, rpm=usual("rpm"), turns=usual("turns"),
            rotating_time=usual("rotating_time"),
        )
        for n, (each, toward) in enumerate(zip(pitch, headings, strict=True), 1)
    )  # fmt: skip


def _with_pilot(bore: Bore, pilot: BorePass, drilled: BorePass) -> Bore:
    others = tuple(each for each in bore.passes if each is not pilot)
    return replace(bore, passes=(drilled, *others))


def life_if(
    assessment: Assessment, bore: Bore, pitch: Floats, heading: Floats | None
) -> dict[str, float]:
    """Life each rod uses in a bore if so many rods more end so, and come back. [-]

    Parameters
    ----------
    assessment : Assessment
        The book worked through, this bore at least.
    bore : Bore
        With its pilot under way.
    pitch, heading : (n,) array of float
        At the end of each rod still to come; None holds the heading read last. [rad]
    """
    pilot = bore.pass_of("pilot")
    if pilot is None:
        return {}
    rows = rows_ahead(pilot.readings, len_of(pilot), pitch, heading)
    drilled = replace(pilot, readings=(*pilot.readings, *rows))
    return _life(assessment, bore_as_if(assessment, _with_pilot(bore, pilot, drilled)))


def len_of(pilot: BorePass) -> int:
    """Rods a pass has drilled."""
    return int(max(row.station for row in pilot.readings))


def _life(assessment: Assessment, done: BoreDone | None) -> dict[str, float]:
    rods: dict[str, BoreOfRod] = dict(done.rods) if done else {}
    found = {}
    for key, did in rods.items():
        history = assessment.histories.get(key)
        if history is not None:  # every rod the book knows has one
            found[key] = history.life_of(did).worst.design
    return found
