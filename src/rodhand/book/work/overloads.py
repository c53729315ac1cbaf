"""Overloads: steel past yield, or near enough that it may have taken a lasting set.

Three events are told apart. An over-steer is a bend past the maker's limit: a fatigue limit, it
costs life. An over-torque is a torque past make-up torque. An overload is none of these by
itself: the steel of tube or joint reached yield, by bend, by loads together or by torque alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.days import last_day_of
from rodhand.book.work.force_places import (
    Limits,
    Loads,
    PlaceLoad,
    SteelBend,
    place_loads,
    shares_of,
)
from rodhand.book.work.force_work import axis_of, pass_forces
from rodhand.book.work.gauges import pass_gauges, said_of
from rodhand.book.work.happenings import over_steers, rods_at, spikes
from rodhand.book.work.written_loads import SPARE, largest_written
from rodhand.drillstring.stood import Stood, stood_through
from rodhand.record.book_looks import Comparison
from rodhand.steel.tube import yield_radius

YIELD_LIKE = 1.5
"""Times the radius at which the tube's outside yields, inside which a bend counts as yield-like
(proposal): a bend is read over a rod, and is sharper somewhere in it. [1]"""
OF_STEEL = {"tube": "tube", "envelope": "joint"}
"""Checks of a place that are against yield, and what yields."""


@dataclass(frozen=True, eq=False)
class Overload:
    """One overload.

    Parameters
    ----------
    bore, pass_name : str
        Where; the pass is empty for a bend of the hole, which every pass went through.
    cause : {"bend", "tube", "joint", "torque"}
        A yield-like bend; pull, torque, bend and pressure together past yield of the tube, or
        past the joint's envelope; a torque past the joint's own yield.
    station : int
        Row of the log that holds the worst place.
    share : float
        Of yield there, best figure. [1]
    verdict : {"over", "likely"}
        Over: the low end of the band is past it as well.
    things : tuple of str
        Keys of what stood in or turned through it.
    when : str
        Last ISO day it may have been.
    """

    bore: str
    pass_name: str
    cause: str
    station: int
    share: float
    verdict: str
    things: tuple[str, ...]
    when: str


@lru_cache(maxsize=4)
def overloads(assessment: Assessment) -> tuple[Overload, ...]:
    """Overloads of all bores, in order of the work.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    tuple of Overload
        One for each yield-like bend, torque past yield, and pass with loads past yield of tube
        or joint. A jerk and a measured bow are told by their own entries.
    """
    comparisons = tuple(assessment.book.comparisons)
    found: list[Overload] = []
    twisted = _by_torque(assessment)
    for name, work in assessment.works.items():
        found += _by_bend(assessment, name, work)
        here = [each for each in twisted if each.bore == name]
        found += here
        for number in range(len(work.passes)):
            for each in _by_loads(assessment, name, number, comparisons):
                if not (each.cause == "joint" and here):
                    found.append(each)
    return tuple(found)


def _by_bend(assessment: Assessment, name: str, work: BoreWork) -> list[Overload]:
    """Bends over the limit that are inside the yield-like radius too."""
    rod = work.rod_type
    at_yield = yield_radius(rod.tube_od, rod.yield_stress)
    return [
        Overload(
            name, "", "bend", over.bend.station, at_yield / over.bend.radius, over.bend.verdict,
            tuple(dict.fromkeys((*over.things, *over.in_it))), over.when,
        )
        for over in over_steers(assessment)
        if over.bore == name
        and over.bend.what != "head"
        and over.bend.radius < YIELD_LIKE * at_yield
    ]  # fmt: skip


def _by_torque(assessment: Assessment) -> list[Overload]:
    """Torques read that are past the joint's own yield, as the maker has it."""
    found = []
    for spike in spikes(assessment):
        limit = assessment.works[spike.bore].rod_type.joint_torsional_yield
        if limit is not None and spike.torque >= limit:
            found.append(
                Overload(
                    spike.bore, "", "torque", spike.station, spike.torque / limit, "over",
                    spike.things, spike.when,
                )
            )  # fmt: skip
    return found


def _may_yield(work: BoreWork, number: int) -> bool:
    """Whether tube or joint could be past yield at all: all the largest at one place."""
    written, said = largest_written(work, number), said_of(work, number)
    most = float(np.nan_to_num(work.powers[number].section_bends()[2]).max(initial=0.0))
    loads = Loads(
        *(np.full(1, SPARE * each) for each in (written.pull, -written.thrust, written.torque))
    )
    pressure = said.mud_pressure if said is not None else None
    shares = shares_of(
        Limits.of(work.rod_type), loads, SteelBend((most,) * 3, (most,) * 3), pressure
    )
    return any(each.high >= 1.0 for each in shares if each.check in OF_STEEL)


def _by_loads(
    assessment: Assessment, name: str, number: int, comparisons: Iterable[Comparison]
) -> list[Overload]:
    """Loads of one pass past yield of tube or joint, at their worst place."""
    work = assessment.works[name]
    axis = axis_of(work)
    if axis is None or not _may_yield(work, number):
        return []
    each = work.passes[number]
    gauges = pass_gauges(work, number, comparisons)
    forces = pass_forces(work, axis, gauges, each.leg.kind.away_from_rig)
    places = place_loads(work, number, axis, forces, said_of(work, number))
    found = []
    for check, cause in OF_STEEL.items():
        past = [
            (share.best, share.low, place)
            for place in places
            for share in place.shares
            if share.check == check and share.best >= 1.0
        ]
        if past:
            best, _, worst = max(past, key=lambda one: one[0])
            verdict = "over" if max(low for _, low, _ in past) >= 1.0 else "likely"
            things = _through(assessment, name, number, [place for *_, place in past])
            found.append(
                Overload(
                    name, each.name, cause, worst.station, best, verdict, things,
                    last_day_of(work.bore),
                )
            )  # fmt: skip
    return found


def _through(
    assessment: Assessment, name: str, number: int, places: Iterable[PlaceLoad]
) -> tuple[str, ...]:
    """Things that stood in or turned through places on a pass."""
    leg = assessment.works[name].passes[number].leg
    numbers: set[int] = set()
    for place in places:
        answers = stood_through(leg, place.start, place.end)
        for member, answer in zip(leg.order.members, answers, strict=True):
            if member.key.startswith("place ") and answer in (Stood.PASSED, Stood.IN_IT):
                numbers.add(int(member.key.removeprefix("place ")))
    return rods_at(assessment, name, sorted(numbers))
