"""What a planned path would take: time, the string's own force and torque, life used by place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.plan_pull import (
    TURNING,
    PlannedPull,
    axis_of_path,
    planned_pull,
    rig_of,
)
from rodhand.book.plan.planned_bore import Steering
from rodhand.book.plan.planned_wear import life_by_place, wear_of_path
from rodhand.book.work.force_work import strand_of
from rodhand.book.work.habits import habits_of
from rodhand.drillstring.passes import PassKind
from rodhand.drillstring.pullback_load import STRING_FRICTION
from rodhand.drillstring.soft_string import Motion, Strand, from_tool, rotating, sliding
from rodhand.drillstring.turns import TurnEvidence, TurnRung, Turns, turns_from
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass
from rodhand.record.book_things import Rig
from rodhand.record.marks import fold
from rodhand.record.planned import Plan
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import LifeUsed

Floats = NDArray[np.float64]
PUBLISHED_SPEED = (0.3 / 60.0, 3.0 / 60.0)
"""Advance of pilot and pullback: assumed, the range behind the published turns. [m/s]"""


@dataclass(frozen=True)
class Range:
    """A number with its ends and whether this rig's own past told it. [SI]"""

    best: float
    low: float
    high: float
    own: bool = False


@dataclass(frozen=True, eq=False)
class PlanWork:
    """What a path takes.

    Parameters
    ----------
    time : Range
        Pilot, reaming passes and pullback, handling and waiting not in it. [s]
    thrust, pull, torque : Range
        At the rig with the string all in, of the string alone: pushed without turning, pulled
        without turning, turned. [N], [N], [N m]
    pullback : PlannedPull or None
        With the product; None where there is none or its mass or diameter is unknown.
    life : tuple of LifeUsed
        By place from the head, worst section; every pass, the string laid into the planned hole
        with the crew's steering.
    steering : Steering
        The crew's.
    turns : Turns
        Of the pilot.
    """

    time: Range
    thrust: Range
    pull: Range
    torque: Range
    pullback: PlannedPull | None
    life: tuple[LifeUsed, ...]
    steering: Steering
    turns: Turns


def plan_work(
    book: Book, plan: Plan, rod_type: RodType, path: PlannedPath, steering: Steering
) -> PlanWork:
    """What a planned path would take.

    Parameters
    ----------
    book : Book
        Its rig's past is looked up there.
    plan : Plan
        The plan.
    rod_type : RodType
        The rods.
    path : PlannedPath
        The path.
    steering : Steering
        How much the crew's hole will wander about it.
    """
    rig = plan.rig
    habits = next((h for name, h in habits_of(book).items() if fold(name) == fold(rig)), None)
    kept = rig_of(book, plan)
    turns = [
        turns_from(TurnEvidence(kind, path.length, own_per_metre=own))
        for kind, own in (
            (PassKind.PILOT, habits.pilot_per_metre if habits else None),
            (PassKind.PULLBACK, habits.pull_per_metre if habits else None),
        )
    ]
    own_bores = [b for b in book.bores.values() if rig and fold(b.rig) == fold(rig)]
    passes = ("pilot", *["ream"] * (plan.reams or 0), "pullback")
    time = _together([_time(own_bores, path.length, what) for what in passes])
    thrust, pull, torque = _string(path, strand_of(rod_type), kept)
    pullback = planned_pull(book, plan, rod_type, path)
    life = life_by_place(wear_of_path(book, plan, path, steering))
    return PlanWork(time, thrust, pull, torque, pullback, life, steering, turns[0])


def is_own(turns: Turns) -> bool:
    """Whether turns come from the rig's own past."""
    return turns.rung is TurnRung.OWN_PAST


def _together(times: Sequence[Range]) -> Range:
    return Range(
        sum(each.best for each in times), sum(each.low for each in times),
        sum(each.high for each in times), all(each.own for each in times),
    )  # fmt: skip


def _time(bores: Sequence[Bore], length: float, what: str) -> Range:
    """Time of one pass over a length, at the pace of the rig's own bores or the published one."""
    paces = [
        pace
        for bore in bores
        for each in bore.passes
        if each.what == what
        and (pace := _pace(bore, each)) is not None
    ]  # fmt: skip
    if paces:
        best = float(np.median(paces))
        return Range(best * length, min(paces) * length, max(paces) * length, own=True)
    slow, fast = PUBLISHED_SPEED
    return Range(length / math.sqrt(slow * fast), length / fast, length / slow)


def _pace(bore: Bore, each: BorePass) -> float | None:
    """Seconds a metre of one pass, rotating and pushing; None where nobody timed it. [s/m]"""
    rows = [
        (row.rotating_time + (row.push_time or 0.0), row.length)
        for row in each.readings
        if row.rotating_time is not None and row.length is not None and row.length > 0.0
    ]
    if rows:
        return sum(time for time, _ in rows) / sum(length for _, length in rows)
    pilot = bore.pass_of("pilot")
    drilled = sum(row.length or 0.0 for row in pilot.readings) if pilot else 0.0
    whole = each.from_station is None and each.to_station is None and each.rotating_time
    return each.rotating_time / drilled if whole and drilled and each.rotating_time else None


def _string(path: PlannedPath, strand: Strand, rig: Rig | None) -> tuple[Range, Range, Range]:
    axis, friction = axis_of_path(path), np.array(STRING_FRICTION)
    speed = (rig.pilot_rpm / 60.0) if rig is not None and rig.pilot_rpm else TURNING
    turning = rotating(-1, 1.0 / 60.0, speed, strand.radius)

    def at_rig(motion: Motion, what: str) -> Range:
        loads = from_tool(axis, strand, friction, motion, 0.0)
        low, best, high = np.abs(getattr(loads, what)[0]).tolist()
        return Range(best, low, high)

    return (
        at_rig(sliding(-1), "force"), at_rig(sliding(1), "force"), at_rig(turning, "torque")
    )  # fmt: skip
