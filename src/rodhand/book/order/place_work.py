"""What the next bore is expected to take of each place of the string."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.planned_wear import planned_wear
from rodhand.book.tasks.set_tasks import bores_of_rig
from rodhand.book.work.assess import Assessment, classes_of
from rodhand.book.work.booked import BoreToCome
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.moments import places_alone
from rodhand.book.work.rod_types import rod_type_named
from rodhand.steel.rod_type import RodType
from rodhand.units import Standing
from rodhand.wear.declared_past import bore_damage
from rodhand.wear.sections import SECTIONS, Condition
from rodhand.wear.standard_mix import MOST_RODS, ordinary_bore

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PlaceWork:
    """Life a bore takes of each place.

    Parameters
    ----------
    added : (p, 5) array of float
        On the mean curve, times what is held of the class, the lead place first. [-]
    bores : int
        Own bores it is the mean of; 0 for a plan or an invented ordinary bore.
    standing : Standing
        Computed from own bores or a plan, or assumed.
    plan : str
        Name of the plan it is worked from; empty where it is not.
    """

    added: Floats
    bores: int
    standing: Standing
    plan: str = ""


@lru_cache(maxsize=64)
def mean_by_place(assessment: Assessment, bore: str) -> Floats:
    """What a drilled bore took of each place on the mean curve, all passes, (places, 5). [-]"""
    work = assessment.works[bore]
    alone = places_alone(work, "")
    factor = np.array([each.factor for each in classes_of(assessment, work.rod_type)])
    found = np.zeros((work.rod_count, len(SECTIONS)))
    for place in range(1, work.rod_count + 1):
        did = alone.get(place_key(place))
        if did is not None:
            found[place - 1] = sum((c.best for c in did.contributions), np.zeros(len(SECTIONS)))
    return np.asarray(found * factor)


def rod_type_of_rig(assessment: Assessment, rig: str) -> RodType | None:
    """Rod type a rig drilled its last bore with, or that it is entered with."""
    names = bores_of_rig(assessment, rig)
    if names:
        return assessment.works[names[-1]].rod_type
    known = assessment.book.rigs.get(rig)
    sets = [each.rod_type for each in assessment.book.sets.values() if each.rig == rig]
    name = (known.rod_type if known else "") or (sets[0] if sets else "")
    return rod_type_named(assessment.book, name)


def expected_work(
    assessment: Assessment, rig: str, places: int = 0, bore: BoreToCome | None = None
) -> PlaceWork | None:
    """What the next bore of a rig is expected to take of each place.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig : str
        The rig.
    places : int
        Rods the bore is to use; 0 where nobody said.
    bore : BoreToCome, optional
        The bore, where it is booked or planned.

    Returns
    -------
    PlaceWork or None
        What its plan takes, where it has one a path of which is possible. Else the mean of the
        rig's own bores: place by place where the length is not known, a bore that was shorter
        adding nothing further back; else by the share of the string. Without a bore of its own
        an ordinary bore of the standard mix, assumed. None where no rod type is known.
    """
    wear = planned_wear(assessment, bore.plan) if bore is not None and bore.plan else None
    if bore is not None and wear is not None:
        factor = np.array([each.factor for each in classes_of(assessment, wear.work.rod_type)])
        added = _over(wear.summed("best") * factor, places or wear.places, True)
        return PlaceWork(added, 0, Standing.COMPUTED, wear.plan.plan)
    own = [mean_by_place(assessment, name) for name in bores_of_rig(assessment, rig)]
    if own:
        count = places or max(map(len, own))
        added = np.mean([_over(each, count, bool(places)) for each in own], axis=0)
        return PlaceWork(np.asarray(added), len(own), Standing.COMPUTED)
    rod = rod_type_of_rig(assessment, rig)
    if rod is None:
        return None
    cost = bore_damage(ordinary_bore(rod, places or MOST_RODS), rod, assessment.curves, "head",
                       Condition())  # fmt: skip
    factor = np.array([each.factor for each in classes_of(assessment, rod)])
    return PlaceWork(cost.mean * factor, 0, Standing.ASSUMED)


def _over(by_place: Floats, places: int, by_share: bool) -> Floats:
    """A bore's places on a string of another length: by share of the string, or from the lead."""
    if not by_share:
        found = np.zeros((places, by_place.shape[1]))
        found[: len(by_place)] = by_place
        return found
    at = (np.arange(places) + 0.5) / places
    known = (np.arange(len(by_place)) + 0.5) / len(by_place)
    return np.stack([np.interp(at, known, column) for column in by_place.T], axis=1)
