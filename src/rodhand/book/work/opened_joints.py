"""Joints whose shoulder opened in a bore, by the best figures, with what that used of life."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork, place_key
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.book.work.shoulder_work import PassShoulders, could_open, shoulders_of
from rodhand.units import Figure, Standing
from rodhand.wear.sections import SECTIONS, THREAD_SHARE, Section

C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class OpenJoint:
    """A joint whose shoulder opened: the one before a place, counted from the tool.

    Parameters
    ----------
    place : int
        Place of the rod on its side toward the rig.
    made, needed : float
        Share of the full make-up it had, and the most a place asked of it. [1]
    station : int
        Row of the log that holds the place that asked most.
    passes : tuple of str
        Passes it opened in.
    """

    place: int
    made: float
    needed: float
    station: int
    passes: tuple[str, ...]


@lru_cache(maxsize=4)
def opened_bores(assessment: Assessment) -> Mapping[str, tuple[PassShoulders, ...]]:
    """Shoulders of the bores in which one may have opened, by bore."""
    comparisons = tuple(assessment.book.comparisons)
    found = {}
    for name, work in assessment.works.items():
        if could_open(work, comparisons):
            shoulders = shoulders_of(work, comparisons)
            if shoulders is not None and any(each.may.any() for each in shoulders):
                found[name] = shoulders
    return found


@lru_cache(maxsize=64)
def opened_joints(assessment: Assessment, bore: str) -> tuple[OpenJoint, ...]:
    """Joints of a bore that opened by the best figures, from the tool to the rig."""
    shoulders = opened_bores(assessment).get(bore, ())
    work = assessment.works[bore]
    found: dict[int, OpenJoint] = {}
    for number, each in enumerate(shoulders):
        at = work.interval_of(work.bands[number])
        stations = work.hole.rods.station[at]
        for row, member in enumerate(work.passes[number].leg.order.members):
            is_open = each.open[row, 0]
            if not member.key.startswith("place ") or not is_open.any():
                continue
            place = int(member.key.removeprefix("place "))
            worst = int(np.argmax(np.where(is_open, each.needed.best, -1.0)))
            needed, before = float(each.needed.best[worst]), found.get(place)
            passes = (*(before.passes if before else ()), work.passes[number].name)
            if before is not None and before.needed >= needed:
                needed, station = before.needed, before.station
            else:
                station = int(stations[worst])
            found[place] = OpenJoint(place, float(each.made[row, 0]), needed, station, passes)
    return tuple(found[place] for place in sorted(found))


def _used_by_opening(assessment: Assessment, bore: str, place: int, end: int) -> float:
    """Design damage of one end's thread that a closed shoulder would have spared. [1]"""
    work = assessment.works[bore]
    condition = assessment.conditions[bore](place_key(place))
    is_pin = _is_pin(work, end)
    share = THREAD_SHARE[condition.pin_makeup if is_pin else condition.box_makeup]
    spared = 1.0 - float(share**assessment.curves.thread.slope)
    section = SECTIONS.index(Section.PIN_THREAD if is_pin else Section.BOX_THREAD)
    used = 0.0
    for each, done, damage in zip(
        opened_bores(assessment)[bore], work.passes, work.damages, strict=True
    ):
        for row, member in enumerate(done.leg.order.members):
            if member.key == place_key(place):
                used += float(damage.by_stretch[row, section][each.open[row, end]].sum())
    return spared * used


def _is_pin(work: BoreWork, end: int) -> bool:
    """Whether the pin is at a rod's end away from the rig (0) or toward it (1)."""
    return (end == 0) == (work.pin_toward == "head")


def open_facts(assessment: Assessment, key: str, own: str) -> tuple[Sentence, ...]:
    """What open shoulders did to one rod: where, and the share of its thread's life used.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    key : str
        Key of the rod.
    own : str
        Start of the figures' keys.

    Returns
    -------
    tuple of Sentence
        One for each bore and end; nothing where it is in doubt where the rod stood.
    """
    history = assessment.histories.get(key)
    if history is None:
        return ()
    facts = []
    for did in history.bores:
        if did.in_doubt or did.bore not in opened_bores(assessment):
            continue
        facts += _facts_of_bore(assessment, history, did, own)
    return tuple(facts)


def _facts_of_bore(
    assessment: Assessment, history: RodHistory, did: BoreOfRod, own: str
) -> list[Sentence]:
    work, place = assessment.works[did.bore], did.places[0]
    joints = {joint.place: joint for joint in opened_joints(assessment, did.bore)}
    facts = []
    for end in (0, 1):
        joint = joints.get(place + end)
        if joint is None:
            continue
        side = "pin" if _is_pin(work, end) else "box"
        section = SECTIONS.index(Section.PIN_THREAD if side == "pin" else Section.BOX_THREAD)
        whole = history.life.sections[section].design
        used = _used_by_opening(assessment, did.bore, place, end)
        name = f"{own}.open.{did.bore}.{side}"
        values: dict[str, str | Figure] = {
            "bore": did.bore,
            "station": f"{joint.station}",
            "made": Figure(f"{name}.made", joint.made, "share", M),
            "needed": Figure(f"{name}.needed", joint.needed, "share", C),
            "share": Figure(f"{name}.share", used / whole if whole else None, "fine_share", C),
        }
        facts.append(Sentence(f"thing.shoulder_open.{side}", values))
    return facts
