"""What the record asks of a planned bore: ends, limits, cover, utilities as the plan meets them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.book.work.rod_types import rod_type_named
from rodhand.hole.plan_limits import (
    COMMON_CLEARANCE,
    HOLE_OVER_JOINT,
    HOLE_OVER_PRODUCT,
    UNKNOWN_SIZE,
    InWay,
    PlanAsk,
    allowance,
)
from rodhand.hole.planned_path import own_path
from rodhand.hole.readings import ReadingError
from rodhand.hole.room_left import room_left
from rodhand.record.book import Book
from rodhand.record.marks import fold
from rodhand.record.planned import Plan, Utility
from rodhand.steel.rod_type import RodType


class NoSuchPlanError(Exception):
    """No plan of this name is entered."""


@dataclass(frozen=True)
class Asked:
    """A plan of the record, ready to be worked.

    Parameters
    ----------
    plan : Plan
        As last entered.
    utilities : tuple of Utility
        Each as last entered, from the entry on.
    rod_type : RodType or None
        Its own, or the rig's; None where nobody said.
    radii : dict
        Least radius by what asks for it: "rod" and "head" with reading error taken off, "steer",
        "product". [m]
    ask : PlanAsk or None
        None where the rods or their limit are unknown, or reading error takes all the room.
    """

    plan: Plan
    utilities: tuple[Utility, ...]
    rod_type: RodType | None
    radii: dict[str, float]
    ask: PlanAsk | None

    @property
    def governs(self) -> str:
        """Which of the radii is the strictest."""
        return max(self.radii, key=lambda name: self.radii[name]) if self.radii else ""


def plans_of(book: Book) -> tuple[Plan, ...]:
    """Plans as last entered, one for each name."""
    return tuple({fold(each.plan): each for each in book.plans}.values())


def plan_named(book: Book, name: str) -> Plan | None:
    """The plan of a name as last entered; None where there is none."""
    return next((each for each in reversed(book.plans) if fold(each.plan) == fold(name)), None)


def utilities_of(book: Book, name: str) -> tuple[Utility, ...]:
    """Utilities of a plan, each as last entered, from the entry on."""
    known = {fold(u.utility): u for u in book.utilities if fold(u.plan) == fold(name)}
    return tuple(sorted(known.values(), key=lambda each: each.at))


def asked_of(book: Book, plan: Plan) -> Asked:
    """A plan with its limits and what is in its way.

    Parameters
    ----------
    book : Book
        The book read back.
    plan : Plan
        One of its plans.

    Returns
    -------
    Asked
        With what is missing left out.
    """
    rig = next((each for each in book.rigs.values() if fold(each.name) == fold(plan.rig)), None)
    named = plan.rod_type or (rig.rod_type if rig is not None else "")
    rod_type = rod_type_named(book, named) if named else None
    utilities = utilities_of(book, plan.plan)
    if rod_type is None or not rod_type.limit_radius:
        return Asked(plan, utilities, rod_type, {}, None)
    radii = _radii(book, plan, rod_type)
    hole = hole_radius(plan, rod_type)
    cover_from, cover_to = plan.cover_from, plan.cover_to
    start = cover_from if cover_from is not None else cover_to
    end = cover_to if cover_to is not None else cover_from
    ask = None
    if np.isfinite(max(radii.values())):
        ask = PlanAsk(
            plan.distance, abs(plan.entry_pitch), abs(plan.exit_pitch), rod_type.length,
            max(radii.values()), plan.exit_height, plan.cover,
            plan.distance / 2.0 if start is None else start,
            plan.distance / 2.0 if end is None else end,
            tuple(in_way_of(each, hole) for each in utilities),
        )  # fmt: skip
    return Asked(plan, utilities, rod_type, radii, ask)


def kept_length(book: Book, plan: Plan) -> float | None:
    """Length along the path that was kept; None before one was. [m]"""
    ask, targets = asked_of(book, plan).ask, plan.target_pitches
    return own_path(ask, np.array(targets)).length if ask is not None and targets else None


def in_way_of(utility: Utility, hole_radius: float) -> InWay:
    """A utility as a path meets it.

    Parameters
    ----------
    utility : Utility
        As entered.
    hole_radius : float
        Of the widest hole. [m]

    Returns
    -------
    InWay
        One whose way is unknown runs across, which lies at every offset.
    """
    size = utility.size if utility.size is not None else UNKNOWN_SIZE
    depth = None if utility.depth_top is None else utility.depth_top + size / 2.0
    outside = size / 2.0 + hole_radius
    along = utility.runs == "along"
    return InWay(
        utility.utility, utility.at, utility.to or utility.at if along else utility.at, depth,
        outside + allowance(utility.how, utility.allowance, depth),
        utility.offset if along else None,
        None if utility.how == "potholed seen" else outside + COMMON_CLEARANCE,
    )  # fmt: skip


def _radii(book: Book, plan: Plan, rod_type: RodType) -> dict[str, float]:
    error = ReadingError()
    sd = float(error.pitch_sd(np.array(0.0)))

    def in_room(radius: float) -> float:
        room = room_left(rod_type.length, radius, sd, sd).room
        return rod_type.length / room if room > 0.0 else np.inf

    radii = {"rod": in_room(rod_type.limit_radius or 0.0)}
    head = book.thing_named(plan.head) if plan.head else None
    if head is not None and head.limit_radius:
        radii["head"] = in_room(head.limit_radius)
    if plan.steer_radius:
        radii["steer"] = plan.steer_radius
    if plan.product_radius:
        radii["product"] = plan.product_radius
    return radii


def hole_radius(plan: Plan | None, rod_type: RodType) -> float:
    """Radius of the widest hole: as planned, else over joint and product. [m]"""
    if plan is not None and plan.hole_diameter:
        return plan.hole_diameter / 2.0
    product = plan.product_od if plan is not None and plan.product_od else 0.0
    return max(HOLE_OVER_JOINT * rod_type.joint_od, HOLE_OVER_PRODUCT * product) / 2.0
