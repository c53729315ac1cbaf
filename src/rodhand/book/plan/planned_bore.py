"""A planned path worked as a driven bore is: its strings laid into the hole as it is planned."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.plan_pull import planned_pull, rig_of
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.bore_work import BoreWork, work_bore
from rodhand.book.work.conditions import NO_CONDITION
from rodhand.book.work.habits import habits_of
from rodhand.book.work.hole_of import hole_of
from rodhand.book.work.in_force import default_curves
from rodhand.book.work.pass_work import Habits
from rodhand.book.work.rod_types import in_order_of_work, rod_type_of_bore
from rodhand.drillstring.meetings import PinToward
from rodhand.hole.bend_states import BendState
from rodhand.hole.best_path import USUAL_VERTICAL
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass, Reading
from rodhand.record.marks import fold
from rodhand.record.planned import Plan
from rodhand.steel.rod_type import RodType

Floats = NDArray[np.float64]
LEARNT_FROM = 6
"""The rig's last bores a crew's steering is learnt from (ours). [-]"""
LEAST_ROWS = 8
"""Rows of a pilot from which its steering tells anything (ours). [-]"""


@dataclass(frozen=True)
class Steering:
    """How much a crew's hole wanders about the path it was to take.

    Parameters
    ----------
    wander : float
        Bend of a rod beside the path is this times the root of its length. [rad/m^0.5]
    bores : int
        Driven bores it is the median of; 0: assumed.
    """

    wander: float
    bores: int

    def curvature(self, length: float) -> float:
        """One standard deviation of the curvature of a rod of that length. [1/m]"""
        return self.wander / math.sqrt(length)


def steering_of(book: Book, rig: str) -> Steering:
    """A crew's steering as this rig's last driven bores show it, reading error taken off.

    Parameters
    ----------
    book : Book
        The book read back.
    rig : str
        Who drills; empty where nobody said.

    Returns
    -------
    Steering
        The usual wander, assumed, where the rig has no bore with rows enough.
    """
    found: list[float] = []
    for bore in reversed(in_order_of_work(book)):
        if len(found) == LEARNT_FROM:
            break
        if not rig or fold(bore.rig) != fold(rig):
            continue
        wander = _wander(book, bore)
        if wander is not None:
            found.append(wander)
    if not found:
        return Steering(USUAL_VERTICAL.usual.wander, 0)
    return Steering(median(found), len(found))


def _wander(book: Book, bore: Bore) -> float | None:
    pilot, rod_type = bore.pass_of("pilot"), rod_type_of_bore(book, bore)
    if pilot is None or rod_type is None or len(pilot.readings) < LEAST_ROWS:
        return None
    front = front_of(book, bore)
    hole = hole_of(pilot, rod_type.length, front.length, front.bit_to_sensor, bore.rig_pitch)
    best = hole.best if hole is not None else None
    return None if best is None else best.vertical.scales.wander


def planned_state(path: PlannedPath, rod_length: float, headings: Floats, sd: float) -> BendState:
    """The hole as planned, its bends exact, each rod's moved by the crew's steering on its own.

    Parameters
    ----------
    path : PlannedPath
        The path.
    rod_length : float
        Of a rod. [m]
    headings : ndarray (rods+1,)
        At the rig and at the end of each rod, right positive. [rad]
    sd : float
        One standard deviation of a rod's curvature, upright and sideways. [1/m]
    """
    rods = path.rods
    lift = np.cos((path.pitch[1:] + path.pitch[:-1]) / 2.0)
    bend = np.stack((path.change, np.diff(headings) * lift), axis=1)
    factors = np.zeros((rods, 2, 2 * rods))
    which = np.arange(rods)
    factors[which, 0, which] = factors[which, 1, rods + which] = sd
    return BendState(rod_length * np.arange(rods + 1.0), bend / rod_length, factors)


def headings_of(plan: Plan, path: PlannedPath) -> Floats:
    """Heading at the rig and at the end of each rod; all 0 but for a kept path that turns. [rad]"""
    own = plan.target_headings if path.name == "kept" else ()
    found = np.zeros(path.rods + 1)
    known = min(len(own), path.rods)
    found[1 : known + 1] = own[:known]
    found[known + 1 :] = own[known - 1] if known else 0.0
    return found


def planned_bore(
    book: Book,
    plan: Plan,
    rod_type: RodType,
    path: PlannedPath,
    steering: Steering,
) -> BoreWork:
    """Work a planned path through as if it had been driven.

    Parameters
    ----------
    book : Book
        Its rig's habits count.
    plan : Plan
        The plan.
    rod_type : RodType
        Its rods.
    path : PlannedPath
        One of its paths.
    steering : Steering
        The crew's.

    Returns
    -------
    BoreWork
        Places as of a driven bore; turns of this rig's past, else the published range. Reaming
        passes as the plan says, none where it says nothing; the pullback with its product's pull,
        none where that is unknown.
    """
    turned = headings_of(plan, path)
    rows = tuple(
        Reading(
            plan.origin, float(rod), {}, length=rod_type.length, pitch=float(path.pitch[rod]),
            heading=float(turned[rod]), heading_ref="relative",
        )
        for rod in range(1, path.rods + 1)
    )  # fmt: skip
    last = plan.hole_diameter
    pulled = planned_pull(book, plan, rod_type, path)
    pull = None if pulled is None else float(pulled.load.at_rig[1])
    reaming = [
        BorePass(f"ream {n}", "ream", (), plan.origin, hole_diameter=last)
        for n in range(1, (plan.reams or 0) + 1)
    ]
    passes = (
        BorePass("pilot", "pilot", rows, plan.origin),
        *reaming,
        BorePass("pullback", "pullback", (), plan.origin, hole_diameter=last, pull=pull),
    )
    bore = Bore(
        plan.plan, plan.rig, plan.origin, passes, head=plan.head, rig_pitch=-abs(plan.entry_pitch)
    )
    rig = rig_of(book, plan)
    habits = next((h for name, h in habits_of(book).items() if fold(name) == fold(plan.rig)), None)
    pin: PinToward = "rig" if rig is not None and rig.pin_toward == "rig" else "head"
    sd = steering.curvature(rod_type.length)
    state = planned_state(path, rod_type.length, turned, sd)
    work = work_bore(
        bore, rod_type, default_curves(), front_of(book, bore), habits or Habits(),
        lambda key: NO_CONDITION, pin, states=(state,),
    )  # fmt: skip
    assert work is not None  # a path has at least one rod
    return work
