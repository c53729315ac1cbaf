"""Pulling a planned bore's product back: the load, what holds it, and what mends too much."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rodhand.book.work.force_work import strand_of
from rodhand.drillstring.pullback_load import (
    GROUND_FRICTION,
    MUD,
    Product,
    PullbackLoad,
    pullback_load,
)
from rodhand.drillstring.soft_string import Axis
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.book import Book
from rodhand.record.book_things import Rig
from rodhand.record.marks import fold
from rodhand.record.planned import Plan
from rodhand.steel.rod_type import RodType

TURNING = 100.0 / 60.0
"""Where nobody said how fast the rig turns (common practice). [turns/s]"""
YIELD_SHARE = 0.8
"""Of the tube's yield, taken as the most rods are pulled with (common practice, no source). [1]"""
HALVINGS = 20


@dataclass(frozen=True)
class PullLimit:
    """The most that may be pulled.

    Parameters
    ----------
    what : {"product", "rods", "rig"}
        Which of them: the product's safe pull as entered, the tube of the rods, the rig as entered.
    force : float
        Pull. [N]
    """

    what: str
    force: float


@dataclass(frozen=True)
class PullChange:
    """One change that alone brings the best figure of the pull within every limit.

    Parameters
    ----------
    what : str
        "rollers" (product on rollers outside the hole), "ballast" (filled to a mass of a metre),
        "stronger" (what governs takes so much).
    value : float
        What it comes to: pull left, mass of a metre, pull to be taken. [N], [kg/m]
    """

    what: str
    value: float


@dataclass(frozen=True, eq=False)
class PlannedPull:
    """What pulling the product back along one path takes.

    Parameters
    ----------
    load : PullbackLoad
        Low, best and high.
    limits : tuple of PullLimit
        The strictest first: the one whose load takes the most of it.
    """

    load: PullbackLoad
    limits: tuple[PullLimit, ...]

    @property
    def needed(self) -> tuple[float, float, float]:
        """Held against the strictest limit: low, best and high. [N]"""
        return held_against(self.load, self.limits[0])

    @property
    def too_much(self) -> bool:
        """Whether the best figure is past the strictest limit."""
        return self.needed[1] > self.limits[0].force

    @property
    def may_be_too_much(self) -> bool:
        """Whether the high end is past a limit and no best figure is."""
        past = any(held_against(self.load, each)[2] > each.force for each in self.limits)
        return past and not self.too_much


def held_against(load: PullbackLoad, limit: PullLimit) -> tuple[float, float, float]:
    """What a limit is held against: pull on the product's head, or at the rig. [N]"""
    low, best, high = load.product if limit.what == "product" else load.at_rig
    return float(low), float(best), float(high)


def rig_of(book: Book, plan: Plan) -> Rig | None:
    """The rig a plan names; None where it is none of the book's."""
    return next((each for each in book.rigs.values() if fold(each.name) == fold(plan.rig)), None)


def axis_of_path(path: PlannedPath) -> Axis:
    """A planned path as the axis of a string, cut at its rods' ends and where it comes out."""
    rods = len(path.pitch)
    edges = np.linspace(0.0, path.length, rods)
    pitch = np.interp(edges, np.arange(rods) * (path.length / (rods - 1)), path.pitch)
    return Axis(edges, np.stack((np.cos(pitch), np.zeros(rods), -np.sin(pitch)), axis=1))


def product_of(plan: Plan) -> Product | None:
    """The product of a plan; None where its diameter or its mass is unknown."""
    if not plan.product_od or not plan.product_mass:
        return None
    return Product(plan.product_od, plan.product_mass)


def planned_pull(
    book: Book, plan: Plan, rod_type: RodType, path: PlannedPath,
    ground: tuple[float, float, float] = GROUND_FRICTION,
) -> PlannedPull | None:  # fmt: skip
    """Loads of the pullback of a plan along one of its paths, with the limits they are held to.

    Parameters
    ----------
    book : Book
        Its rig counts.
    plan, rod_type, path : Plan, RodType, PlannedPath
        The plan, its rods, one path.
    ground : tuple of float
        Friction of the product outside the hole: low, best, high. [1]

    Returns
    -------
    PlannedPull or None
        None where the product's diameter or mass is unknown: then so is its pull.
    """
    product = product_of(plan)
    if product is None:
        return None
    rig = rig_of(book, plan)
    speed = rig.pull_rpm / 60.0 if rig is not None and rig.pull_rpm else TURNING
    load = pullback_load(
        axis_of_path(path), strand_of(rod_type), rod_type.tube_od, product, speed, ground
    )
    limits = [PullLimit("rods", YIELD_SHARE * rod_type.tube_area * rod_type.yield_stress)]
    if rig is not None and rig.max_pull:
        limits.append(PullLimit("rig", rig.max_pull))
    if plan.product_pull:
        limits.append(PullLimit("product", plan.product_pull))
    limits.sort(key=lambda each: each.force / held_against(load, each)[1])
    return PlannedPull(load, tuple(limits))


def pull_changes(
    book: Book, plan: Plan, rod_type: RodType, path: PlannedPath
) -> tuple[PullChange, ...]:
    """Changes each of which alone brings a pull that is too much within its limits.

    Parameters
    ----------
    book, plan, rod_type, path : Book, Plan, RodType, PlannedPath
        As `planned_pull`.

    Returns
    -------
    tuple of PullChange
        Each worked again with the change; the least ballast that is enough.
    """
    pull, product = planned_pull(book, plan, rod_type, path), product_of(plan)
    if pull is None or product is None:
        return ()
    found = []
    rollers = planned_pull(book, plan, rod_type, path, (GROUND_FRICTION[0],) * 3)
    if rollers is not None and not rollers.too_much:
        found.append(PullChange("rollers", rollers.needed[1]))

    def filled(mass: float) -> bool:
        heavier = planned_pull(book, replace(plan, product_mass=mass), rod_type, path)
        return heavier is not None and not heavier.too_much

    low, high = product.mass, MUD[1] * product.displaced  # it floats until it weighs so much
    if high > low and filled(high):
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            low, high = (low, middle) if filled(middle) else (middle, high)
        found.append(PullChange("ballast", high))
    return (*found, PullChange("stronger", pull.needed[1]))
