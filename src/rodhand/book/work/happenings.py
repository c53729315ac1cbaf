"""What happened to things in bores and asks for a look: spikes, low make-up, over-steers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from rodhand.advice.fitness import Happening, days_between
from rodhand.advice.suspects import is_under_torqued
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.days import day_of, last_day_of
from rodhand.book.work.opened_joints import OpenJoint, opened_bores, opened_joints
from rodhand.book.work.outside import DECLARED, FORMER
from rodhand.book.work.over_limits import LimitedBend
from rodhand.book.work.rod_history import Outside
from rodhand.book.work.stays import found_source
from rodhand.drillstring.ledger import TOUCHING
from rodhand.drillstring.stood import Stood, stood_through
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, MakeupShift
from rodhand.record.book_things import Thing

RETIRED_PLACES = ("at the shop", "sold", "lost in hole", "scrapped", "lent", "found")


@dataclass(frozen=True, eq=False)
class Spike:
    """A torque above make-up torque: which things' joints saw it."""

    bore: str
    station: int
    torque: float
    makeup: float
    things: tuple[str, ...]
    joints: int
    when: str


@dataclass(frozen=True, eq=False)
class LowMakeup:
    """Joints made up low in one shift; ``first`` is the place of the first of them."""

    bore: str
    first: int
    share: float
    things: tuple[str, ...]
    joints: int
    when: str


@dataclass(frozen=True, eq=False)
class OverSteer:
    """A bend over or likely over a limit, with the things that turned through it."""

    bore: str
    bend: LimitedBend
    things: tuple[str, ...]
    in_it: tuple[str, ...]
    when: str


def whereabouts_of(book: Book, key: str, before: str = "") -> str:
    """Where a thing was last said to be, before an ISO day if one is given; '' if never said."""
    last = ""
    for each in book.whereabouts:
        if key in each.things and (not before or day_of(each.origin.happened.start) < before):
            last = each.where
    return last


def saver_sub_of(book: Book, rig: str, day: str) -> Thing | None:
    """The saver sub on a rig on a day: the one put into the book last and not away by then."""
    subs = [
        thing
        for thing in book.things.values()
        if thing.what == "saver sub"
        and thing.rig == rig
        and day_of(thing.origin.happened.start) <= day
        and whereabouts_of(book, thing.key, day) not in RETIRED_PLACES
    ]
    return max(subs, key=lambda thing: thing.origin.happened.start, default=None)


def saver_sub_on(assessment: Assessment, rig: str, day: str) -> Thing | None:
    """The saver sub on a rig on a day; see `saver_sub_of`."""
    return saver_sub_of(assessment.book, rig, day)


def rods_at(assessment: Assessment, bore: str, places: Iterable[int]) -> tuple[str, ...]:
    """Things that stood, or may have stood, in places of a bore's string."""
    who = assessment.who.get(bore)
    found: list[str] = []
    for place in places:
        group = next((g for g in who.groups if place in g.places), None) if who else None
        for key in group.rods if group else ():
            if key in assessment.book.things and key not in found:
                found.append(key)
    return tuple(found)


@lru_cache(maxsize=4)
def spikes(assessment: Assessment) -> tuple[Spike, ...]:
    """Torque readings and events above the make-up torque of the string's joints."""
    found = []
    for name, work in assessment.works.items():
        makeup = work.rod_type.makeup_torque
        if not makeup:
            continue
        seen: dict[int, tuple[float, str]] = {}
        for station, torque, day in _torques(work.bore):
            if torque > makeup:
                seen[station] = max((torque, day), seen.get(station, (0.0, "")))
        for station, (torque, day) in seen.items():
            found.append(_spike(assessment, work.bore, name, station, torque, makeup, day))
    return tuple(found)


def _torques(bore: Bore) -> Iterable[tuple[int, float, str]]:
    """Station, torque [N m] and the last day it may have been of every torque read."""
    for event in bore.events:
        if event.torque is not None and event.station is not None:
            yield int(event.station), event.torque, day_of(event.origin.happened.end)
    for each in bore.passes:
        for reading in each.readings:
            for row in (reading, *reading.alternatives):
                if row.torque is not None:
                    yield int(row.station), row.torque, day_of(row.origin.happened.end)


def _spike(
    assessment: Assessment,
    bore: Bore,
    name: str,
    station: int,
    torque: float,
    makeup: float,
    day: str,
) -> Spike:
    things = list(rods_at(assessment, name, range(1, station + 1)))
    head = assessment.book.thing_named(bore.head, day) if bore.head else None
    saver = saver_sub_on(assessment, bore.rig, day)
    things += [thing.key for thing in (head, saver) if thing is not None]
    return Spike(name, station, torque, makeup, tuple(things), station + 1, day)


@lru_cache(maxsize=4)
def low_makeups(assessment: Assessment) -> tuple[LowMakeup, ...]:
    """Make-ups recorded below the line, with the rods of those joints."""
    found = []
    for name, work in assessment.works.items():
        for shift in work.bore.makeups:
            share = is_under_torqued(shift.torque, shift.share, work.rod_type.makeup_torque)
            if share is not None:
                found.append(_low(assessment, name, shift, share))
    return tuple(found)


def _low(assessment: Assessment, name: str, shift: MakeupShift, share: float) -> LowMakeup:
    first, last = int(shift.from_station), int(shift.to_station)
    things = rods_at(assessment, name, range(first, last + 1))
    return LowMakeup(
        name, first, share, things, last - first + 1, day_of(shift.origin.happened.end)
    )


@lru_cache(maxsize=4)
def untold_open(assessment: Assessment) -> Mapping[str, tuple[OpenJoint, ...]]:
    """Joints whose shoulder opened though nobody told that they were made up low, by bore."""
    told: dict[str, set[int]] = {}
    for low in low_makeups(assessment):
        told.setdefault(low.bore, set()).update(range(low.first, low.first + low.joints))
    found = {}
    for bore in opened_bores(assessment):
        joints = opened_joints(assessment, bore)
        rest = tuple(joint for joint in joints if joint.place not in told.get(bore, ()))
        if rest:
            found[bore] = rest
    return found


def things_beside(
    assessment: Assessment, bore: str, joints: Iterable[OpenJoint]
) -> tuple[str, ...]:
    """Things on both sides of joints."""
    places = sorted({p for joint in joints for p in (joint.place - 1, joint.place) if p > 0})
    return rods_at(assessment, bore, places)


@lru_cache(maxsize=4)
def over_steers(assessment: Assessment) -> tuple[OverSteer, ...]:
    """Bends over or likely over, each with the things that turned through it on any pass."""
    found = []
    for name, work, bend in _bends_of_all_holes(assessment):
        if bend.verdict not in ("over", "likely"):
            continue
        passed: set[int] = set()
        stood: set[int] = set()
        for each in work.passes:
            if not each.recorded:
                continue
            answers = stood_through(each.leg, bend.start, bend.end)
            for member, answer in zip(each.leg.order.members, answers, strict=True):
                if member.key.startswith("place "):
                    place = int(member.key.removeprefix("place "))
                    if answer is Stood.PASSED:
                        passed.add(place)
                    elif answer is Stood.IN_IT:
                        stood.add(place)
        pilot_only = _stood_only(work, bend, passed)
        found.append(
            OverSteer(
                name, bend, rods_at(assessment, name, sorted(passed - pilot_only)),
                rods_at(assessment, name, sorted((stood | pilot_only) - (passed - pilot_only))),
                last_day_of(work.bore),
            )
        )  # fmt: skip
    return tuple(found)


def _bends_of_all_holes(assessment: Assessment) -> Iterator[tuple[str, BoreWork, LimitedBend]]:
    """Notable bends of every bore, and of the holes it left behind beyond where they were left."""
    for name, work in assessment.works.items():
        for hole in (work, *work.old_holes):
            left = 0.0 if hole is work else float(hole.passes[0].leg.travel.tool_from[0])
            for bend in hole.held.notable:
                if bend.end > left + TOUCHING:
                    yield name, hole, bend


def _stood_only(work: BoreWork, bend: LimitedBend, passed: set[int]) -> set[int]:
    """Places that stood in a bend at the end of the pilot and left it the way they came."""
    leg = work.pilot.leg
    answers = stood_through(leg, bend.start, bend.end)
    return {
        place
        for place, answer in enumerate(answers, 1)
        if answer is Stood.IN_IT and place in passed
    }


def happenings_of(assessment: Assessment) -> Mapping[str, tuple[Happening, ...]]:
    """What happened to each thing and asks for a look, by key."""
    found: dict[str, list[Happening]] = {}

    def add(keys: Iterable[str], happening: Happening) -> None:
        for key in keys:
            found.setdefault(key, []).append(happening)

    for spike in spikes(assessment):
        add(
            spike.things,
            Happening("over-torque", spike.when, spike.bore, spike.torque, "torque"),
        )
    for low in low_makeups(assessment):
        add(low.things, Happening("under-torque", low.when, low.bore, low.share, "share"))
    for bore, joints in untold_open(assessment).items():
        made = min(joint.made for joint in joints)
        when = last_day_of(assessment.works[bore].bore)
        add(
            things_beside(assessment, bore, joints),
            Happening("shoulder-open", when, bore, made, "share"),
        )
    for over in over_steers(assessment):
        code = "head-bend" if over.bend.what == "head" else "over-steer"
        add(over.things, Happening(code, over.when, over.bore, over.bend.share, "share"))
    for key, history in assessment.histories.items():
        for outside in history.outside:
            if outside.kind not in (DECLARED, FORMER):
                add([key], _unseen(outside))
    for key, stays in assessment.stays.items():
        for stay in stays:
            if stay.where == "found":
                add(
                    [key],
                    Happening("fished", day_before(stay.day), found_source(stay), None, "count"),
                )
    return {key: tuple(each) for key, each in found.items()}


def _unseen(outside: Outside) -> Happening:
    """Work nobody here saw: no *fit* until a full look after it."""
    when = outside.end or outside.until
    since = outside.start or outside.end
    days = float(days_between(since, when)) * 86400.0 if outside.start and when else None
    code = "worked-elsewhere" if outside.end else "still-away"
    return Happening(
        code, day_before(outside.end) if outside.end else when, outside.source, days, "days",
        "not looked at",
    )  # fmt: skip


def day_before(day: str) -> str:
    """The ISO day before one: a look on a day counts for what had ended by its morning."""
    return (date.fromisoformat(day) - timedelta(1)).isoformat() if day else ""


def is_about_a_wrench(text: str) -> bool:
    """Whether a remark tells of a wrench on a joint; a torque wrench measures and bites nothing."""
    return "wrench" in text.casefold().replace("torque wrench", "")
