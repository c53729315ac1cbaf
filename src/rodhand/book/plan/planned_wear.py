"""What a planned bore is expected to take of each place of the string: for order and forecast."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.planned import asked_of
from rodhand.book.plan.planned_bore import Steering, planned_bore, steering_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork, place_key
from rodhand.book.work.in_force import default_curves
from rodhand.book.work.moments import places_alone
from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.planned_path import PlannedPath, own_path, plan_paths
from rodhand.record.book import Book
from rodhand.record.planned import Plan
from rodhand.wear.life_used import (
    PRINTED_CLASSES,
    ClassFactor,
    Contribution,
    LifeUsed,
    rod_life,
)
from rodhand.wear.sections import section_curves

Floats = NDArray[np.float64]
KEPT_PLAN, USUAL = "kept", "easiest"


@dataclass(frozen=True, eq=False)
class PlannedWear:
    """What one path of a plan takes.

    Parameters
    ----------
    plan, path : Plan, PlannedPath
        Which.
    steering : Steering
        What the bends are expected to wander about the path.
    work : BoreWork
        The path worked as a driven bore is.
    parts : tuple of tuple of Contribution
        By place from the tool: one part for each pass.
    """

    plan: Plan
    path: PlannedPath
    steering: Steering
    work: BoreWork
    parts: tuple[tuple[Contribution, ...], ...]

    @property
    def places(self) -> int:
        """Rods in the hole."""
        return len(self.parts)

    @property
    def wanders(self) -> bool:
        """Whether the crew's steering is learnt from driven bores, not assumed."""
        return self.steering.bores > 0

    def summed(self, kind: str) -> Floats:
        """``design``, ``low``, ``best`` or ``high`` of each place, all passes, (places, 5). [-]"""
        return np.array([sum(getattr(c, kind) for c in each) for each in self.parts])


@lru_cache(maxsize=64)
def candidates(ask: PlanAsk) -> tuple[PlannedPath, ...]:
    """The three paths of what is asked, worked once; empty where none keeps it."""
    return plan_paths(ask)


def path_in_force(ask: PlanAsk, plan: Plan) -> PlannedPath | None:
    """The kept path of a plan, else the one easiest on the rods; None where none is possible."""
    targets = plan.target_pitches
    if targets:
        return own_path(ask, np.array(targets), KEPT_PLAN)
    return next((each for each in candidates(ask) if each.name == USUAL), None)


def wear_of_path(
    book: Book,
    plan: Plan,
    path: PlannedPath,
    steering: Steering | None = None,
) -> PlannedWear:
    """What one path takes of each place; see `planned_bore`. Steering is looked up when None."""
    rod_type = asked_of(book, plan).rod_type
    assert rod_type is not None
    steering = steering or steering_of(book, plan.rig)
    work = planned_bore(book, plan, rod_type, path, steering)
    alone = places_alone(work, "")
    parts = tuple(
        alone[place_key(place)].contributions if place_key(place) in alone else ()
        for place in range(1, work.rod_count + 1)
    )
    return PlannedWear(plan, path, steering, work, parts)


@lru_cache(maxsize=64)
def planned_wear(assessment: Assessment, plan: Plan) -> PlannedWear | None:
    """What a plan takes of each place, on the path kept, else on the easiest.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    plan : Plan
        One of its plans.

    Returns
    -------
    PlannedWear or None
        None where rods or their limit are unknown, or no path keeps what is asked.
    """
    book = assessment.book
    ask = asked_of(book, plan).ask
    path = path_in_force(ask, plan) if ask is not None else None
    return None if path is None else wear_of_path(book, plan, path)


def life_by_place(
    wear: PlannedWear, classes: Sequence[ClassFactor] = PRINTED_CLASSES
) -> tuple[LifeUsed, ...]:
    """Life each place uses in the planned bore, worst section: best with its band, design. [-]"""
    slopes = [curve.slope for curve in section_curves(wear.work.rod_type, default_curves())]
    return tuple(rod_life(parts, slopes, classes=classes).worst for parts in wear.parts)
