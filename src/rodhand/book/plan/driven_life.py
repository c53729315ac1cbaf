"""What driven bends took of life against the plan's: by place of the string and by station."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.plan.plan_views import LifeRow
from rodhand.book.plan.planned_bore import Steering, headings_of, planned_state
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork, plan_curvature
from rodhand.book.work.conditions import NO_CONDITION
from rodhand.book.work.laid_strings import bore_powers
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.planned import Plan
from rodhand.units import Figure, Standing
from rodhand.wear.damage import LegDamage, leg_damage

Floats = NDArray[np.float64]
C, U = Standing.COMPUTED, Standing.UNKNOWN
TOLD_FROM = 1.5
"""Stations that took more than this times the plan are told (ours). [1]"""
TOLD_SHARE = 0.05
"""A bend is told where it took so much of the bore's planned life beyond its own (ours). [1]"""
MOST_NAMED = 3
"""Rods named in the sentence."""


@dataclass(frozen=True, eq=False)
class DrivenLife:
    """Life taken by the bends as driven and as planned, with the same travel and turns.

    Parameters
    ----------
    driven, planned : ndarray (places, 5)
        By place of the string and section: best. [-]
    there, there_planned : ndarray (stations,)
        By rod's length of hole: what it took of all rods together, each at its own worst section.
        NaN where a bend cannot be told. [-]
    rods : tuple of str
        Who stood in each place; empty where more than one may have.
    """

    driven: Floats
    planned: Floats
    there: Floats
    there_planned: Floats
    rods: tuple[str, ...]

    @property
    def by_place(self) -> tuple[Floats, Floats]:
        """Life taken of each place's worst section, driven and planned. [-]"""
        which = np.argmax(np.nan_to_num(self.driven), axis=1)[:, None]
        return (
            np.take_along_axis(self.driven, which, 1)[:, 0],
            np.take_along_axis(self.planned, which, 1)[:, 0],
        )

    @property
    def times_there(self) -> Floats:
        """What each station took over what the plan would have taken there; NaN untold. [1]"""
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.asarray(np.where(self.there_planned > 0.0, self.there / self.there_planned,
                                       np.nan))  # fmt: skip


def driven_life(
    assessment: Assessment, name: str, plan: Plan, path: PlannedPath, steering: Steering
) -> DrivenLife | None:
    """A bore's string laid once into the hole as driven, once into the plan's path.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        The bore.
    plan, path, steering : Plan, PlannedPath, Steering
        Its plan; the path it is held against, with the crew's usual wander beside it.

    Returns
    -------
    DrivenLife or None
        None before a pitch was read. So far: only passes recorded, over the length they came.
        Straight on where the hole is longer than the path.
    """
    work = assessment.works.get(name)
    if work is None or not np.isfinite(work.hole.readings.pitch).any():
        return None
    planned = _as_planned(assessment, name, plan, path, steering)
    places = work.rod_count
    return DrivenLife(
        _by_place(work.damages, work, places), _by_place(planned, work, places),
        *_by_station(work, planned), _who(assessment, name, places),
    )  # fmt: skip


def _as_planned(
    assessment: Assessment, name: str, plan: Plan, path: PlannedPath, steering: Steering
) -> tuple[LegDamage, ...]:
    """What each pass of the bore would have cost in the planned hole; all else as it was."""
    work = assessment.works[name]
    rod_type, rods = work.rod_type, len(work.hole.stations) + 1
    more = max(rods - path.rods, 0)
    headings = headings_of(plan, path)
    longer = PlannedPath(
        path.name, np.append(path.pitch, np.full(more, path.pitch[-1])), path.across, path.height,
        path.pieces, path.length, path.comes_out, path.margins,
    )  # fmt: skip
    headings = np.append(headings, np.full(more, headings[-1]))
    length = rod_type.length
    state = planned_state(longer, length, headings, steering.curvature(length))
    powers = bore_powers(
        work.bore, rod_type, work.hole, plan_curvature(work.bore), work.passes, work.bands,
        assessment.curves, work.pin_toward, states=(state,),
    )  # fmt: skip
    condition_of = assessment.conditions.get(name)
    found = []
    for each, bent, harder in zip(work.passes, powers, work.factors, strict=True):
        members = each.leg.order.members
        conditions = [
            condition_of(member.key) if condition_of else NO_CONDITION for member in members
        ]
        found.append(leg_damage(
            each.leg, bent, [rod_type] * len(members), conditions, assessment.curves,
            work.pin_toward, harder,
        ))  # fmt: skip
    return tuple(found)


def _by_place(damages: tuple[LegDamage, ...], work: BoreWork, places: int) -> Floats:
    found = np.zeros((places, 5))
    for each, damage in zip(work.passes, damages, strict=True):
        for row, member in enumerate(each.leg.order.members):
            if member.key.startswith("place "):
                found[int(member.key.removeprefix("place ")) - 1] += damage.best[row]
    return found


def _by_station(work: BoreWork, planned: tuple[LegDamage, ...]) -> tuple[Floats, Floats]:
    """What each rod's length of hole took, at the section that is each rod's worst as driven."""
    intervals = len(work.hole.rods.edges) - 1
    driven_there, planned_there = np.zeros(intervals), np.zeros(intervals)
    for band, one, other in zip(work.bands, work.damages, planned, strict=True):
        which = work.interval_of(band)
        rows = np.arange(len(one.design))
        worst = np.argmax(np.nan_to_num(one.design), axis=1)
        for damage, there in ((one, driven_there), (other, planned_there)):
            taken = damage.by_stretch[rows, worst].sum(axis=0)
            there += np.bincount(which, weights=taken, minlength=intervals)
    return driven_there, planned_there


def _who(assessment: Assessment, name: str, places: int) -> tuple[str, ...]:
    """Name of the rod in each place, where one alone stood there."""
    who, things = assessment.who.get(name), assessment.book.things
    found = []
    for place in range(1, places + 1):
        group = next((g for g in who.groups if place in g.places), None) if who else None
        rods = group.rods if group is not None else ()
        alone = len(rods) == 1 and rods[0] in things
        found.append(things[rods[0]].name if alone else "")
    return tuple(found)


def life_told(life: DrivenLife, stations: tuple[int, ...], key: str) -> tuple[Sentence, ...]:
    """The bend that took most beyond the plan, and which rods paid most of it.

    Parameters
    ----------
    life : DrivenLife
        Driven against planned.
    stations : tuple of int
        Station at the end of each rod's length of hole.
    key : str
        First part of the figures' keys.

    Returns
    -------
    tuple of Sentence
        One; that nowhere more was taken, where that is so; none where nothing can be told.
    """
    times = life.times_there[: len(stations)]
    if not np.isfinite(times).any():
        return ()
    whole = float(np.nansum(life.there)) / float(np.nansum(life.there_planned))
    all_of_it = Figure(f"{key}.all", whole, "factor", C)
    over = np.nan_to_num(times) > TOLD_FROM
    ends = np.flatnonzero(np.diff(np.concatenate(([0], over.astype(int), [0]))))
    excess = life.there - life.there_planned
    runs = [slice(int(one), int(end)) for one, end in zip(ends[::2], ends[1::2], strict=True)]
    part = max(runs, key=lambda run: float(np.nansum(excess[run])), default=None)
    least = TOLD_SHARE * float(np.nansum(life.there_planned))
    if part is None or float(np.nansum(excess[part])) < least:
        return (Sentence("plan.life_within", {"times": all_of_it}),)
    taken = float(np.nansum(life.there[part])) / float(np.nansum(life.there_planned[part]))
    driven, planned = life.by_place
    paid = [int(k) for k in np.argsort(-np.nan_to_num(driven - planned))[:MOST_NAMED]]
    names = ", ".join(life.rods[k] or str(k + 1) for k in paid if driven[k] > planned[k])
    values: dict[str, str | Figure] = {
        "from": str(stations[part.start]), "to": str(stations[part.stop - 1]),
        "times": Figure(f"{key}.times", taken, "factor", C), "all": all_of_it,
        "rods": names or "-",
    }  # fmt: skip
    return (Sentence("plan.life_one" if part.stop - part.start == 1 else "plan.life_bend", values),)


def life_rows(life: DrivenLife, stations: tuple[int, ...], key: str) -> tuple[LifeRow, ...]:
    """One row for each rod of the string.

    Parameters
    ----------
    life, stations, key : DrivenLife, tuple of int, str
        As `life_told`.
    """
    driven, planned = life.by_place
    found = []
    for k, station in enumerate(stations[: len(driven)]):
        own = f"{key}.{station}"
        figures = {
            "life_plan": Figure(f"{own}.life_plan", float(planned[k]), "life", C),
            "life_driven": Figure(f"{own}.life_driven", float(driven[k]), "life", C),
            "times": _times(f"{own}.times", driven[k], planned[k]),
            "there": _times(f"{own}.there", life.there[k], life.there_planned[k]),
        }
        found.append(LifeRow(station, life.rods[k], figures))
    return tuple(found)


def _times(key: str, driven: float, planned: float) -> Figure:
    if not (np.isfinite(driven) and np.isfinite(planned) and planned > 0.0):
        return Figure(key, None, "factor", U)
    return Figure(key, float(driven / planned), "factor", C)
