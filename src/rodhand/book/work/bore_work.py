"""One bore worked through: its hole, its passes, and what each place of the string took."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.hole_of import Hole, hole_of
from rodhand.book.work.laid_strings import bore_powers
from rodhand.book.work.old_holes import bore_of_old, hole_left, length_left, passes_of_old
from rodhand.book.work.over_limits import HeldAgainst, hold_against
from rodhand.book.work.pass_work import (
    Habits,
    PassWork,
    later_work,
    pilot_work,
    unrecorded_pullback,
)
from rodhand.book.work.string_state import axial_force, hole_around, largest_pull
from rodhand.drillstring.meetings import PinToward
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import travel_until
from rodhand.hole.bend_states import BendState
from rodhand.hole.damage_curvature import (
    UNKNOWN_HOLE_RATIO,
    CurvatureBand,
    curvature_band,
    pushed_relief,
)
from rodhand.record.book_bores import Bore, OldHole
from rodhand.steel.rod_type import RodType
from rodhand.wear.bend_powers import BendPowers
from rodhand.wear.damage import LegDamage, leg_damage
from rodhand.wear.damage_factors import DamageFactors, ground_factors
from rodhand.wear.mean_stress_factors import bow_stress, mean_stress_factors
from rodhand.wear.sections import Condition, CurveSet

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
ConditionOf = Callable[[str], Condition]
"""Condition of a member by its key."""


def place_key(place: int) -> str:
    """Key of the member in a place of the load, counted from 1 behind the head."""
    return f"place {place}"


@dataclass(frozen=True, eq=False)
class Front:
    """The front assembly: what leads, its lengths and its own bend limit. [m]"""

    name: str = ""
    length: float | None = None
    bit_to_sensor: float | None = None
    limit_radius: float | None = None


@dataclass(frozen=True, eq=False)
class BoreWork:
    """A bore ready to be asked what it did.

    Parameters
    ----------
    bore, rod_type, front : Bore, RodType, Front
        What was drilled, with what.
    hole : Hole
        The hole as read.
    passes : tuple of PassWork
        In order of the work; a pullback nobody recorded is last.
    bands : tuple of CurvatureBand
        Curvature of the hole as read, one for each pass.
    powers : tuple of BendPowers
        What the steel bends, one for each pass.
    damages : tuple of LegDamage
        What each pass cost its members.
    factors : tuple of DamageFactors
        What made turns cost more than their bend alone, one for each pass.
    old_holes : tuple of BoreWork
        Holes left behind, each with two passes: drilling it beyond where it was left, and pulling
        back over that.
    """

    bore: Bore
    rod_type: RodType
    front: Front
    hole: Hole
    passes: tuple[PassWork, ...]
    bands: tuple[CurvatureBand, ...]
    powers: tuple[BendPowers, ...]
    damages: tuple[LegDamage, ...]
    pin_toward: PinToward
    factors: tuple[DamageFactors, ...]
    old_holes: tuple[BoreWork, ...] = ()

    @property
    def in_every_hole(self) -> tuple[tuple[PassWork, LegDamage], ...]:
        """Every pass with what it cost, those in holes left behind last."""
        return tuple(
            each
            for work in (self, *self.old_holes)
            for each in zip(work.passes, work.damages, strict=True)
        )

    @property
    def pilot(self) -> PassWork:
        """The pilot."""
        return self.passes[0]

    @cached_property
    def held(self) -> HeldAgainst:
        """Its bends against the limits of rods and head."""
        return hold_against(
            self.hole.bends,
            self.hole.rods,
            self.rod_type.limit_radius,
            self.front.length,
            self.front.limit_radius,
        )

    def interval_of(self, band: CurvatureBand) -> Integers:
        """Index of the rod's interval that holds each stretch of a curvature band."""
        middle = (band.edges[1:] + band.edges[:-1]) / 2
        edges = self.hole.rods.edges
        return (edges.searchsorted(middle, side="right") - 1).clip(0, len(edges) - 2)

    @cached_property
    def tightest_by_place(self) -> Floats:
        """Tightest mean bend each place's rod turned through on the pilot; NaN if none. [1/m]"""
        bend = self.hole.rods.curvature[self.interval_of(self.bands[0])]
        passed = self.damages[0].by_stretch.sum(axis=1) > 0.0
        known = np.where(passed & np.isfinite(bend), bend, -1.0).max(axis=1)
        return np.where(known < 0.0, np.nan, known)

    @property
    def rod_count(self) -> int:
        """Rods of the pilot's string."""
        return len(self.hole.stations) - 1


def work_bore(
    bore: Bore,
    rod_type: RodType,
    curves: CurveSet,
    front: Front,
    habits: Habits,
    condition_of: ConditionOf,
    pin_toward: PinToward = "head",
    expect_pullback: bool = True,
    lengths: Sequence[float | None] = (),
    states: tuple[BendState, ...] | None = None,
    condition_of_old: Callable[[OldHole], ConditionOf] | None = None,
) -> BoreWork | None:
    """Work a bore through from its recorded rows.

    Parameters
    ----------
    bore : Bore
        The bore as recorded.
    rod_type : RodType
        Rods of its string.
    curves : CurveSet
        Fatigue curves.
    front : Front
        Its front assembly.
    habits : Habits
        The rig's habits.
    condition_of : callable
        Condition of a member by key (see `place_key`; tail rods by their own key).
    pin_toward : {"head", "rig"}
        Which way the rig's pins look.
    expect_pullback : bool
        Whether a pass toward the rig must have happened: in a book yes, in a lone log no.
    lengths : sequence of float or None
        Measured lengths of the rods by place, where known. [m]
    states : tuple of BendState, optional
        The hole the string is laid into instead of the one read: a planned one.
    condition_of_old : callable, optional
        Conditions of those that stood in a hole left behind; the same places' when not given.

    Returns
    -------
    BoreWork or None
        None when there is no pilot with a full row.
    """
    pilot = bore.pass_of("pilot")
    if pilot is None:
        return None
    hole = hole_of(pilot, rod_type.length, front.length, front.bit_to_sensor, bore.rig_pitch)
    if hole is None:
        return None
    members = _members(hole, rod_type, lengths)
    left = [
        (old, old_hole)
        for old in pilot.old_holes
        if (old_hole := hole_left(bore, old, rod_type.length, (front.length, front.bit_to_sensor)))
    ]
    beside = sum(length_left(old_hole, old.left_at) for old, old_hole in left)
    work, rods = pilot_work(hole, pilot, members, habits, beside)
    passes = [work]
    for each in bore.passes:
        if each.what == "pilot":
            continue
        tail = [
            Member(key, "rod", rod_type.length, each.tail_turns != "no") for key in each.tail_rods
        ]
        work, rods = later_work(hole, each, rods, members, habits, tail)
        passes.append(work)
    if expect_pullback and not any(p.what in ("pullback", "trip") for p in passes):
        missing = unrecorded_pullback(hole, rods, members, habits)
        passes.append(replace(missing, recorded=False))
    drilled = hole.stations[-1] - hole.stations[0] + beside
    found = []
    for old, old_hole in left:
        its = bore_of_old(bore, old)
        members = _members(old_hole, rod_type, lengths)
        both = passes_of_old(old_hole, its.passes[0], old, members, habits, drilled)
        condition = condition_of_old(old) if condition_of_old else condition_of
        found.append(_worked(its, rod_type, front, old_hole, both, curves, condition, pin_toward))
    whole = _worked(bore, rod_type, front, hole, passes, curves, condition_of, pin_toward, states)
    return replace(whole, old_holes=tuple(found))


def _worked(
    bore: Bore, rod_type: RodType, front: Front, hole: Hole, passes: Sequence[PassWork],
    curves: CurveSet, condition_of: ConditionOf, pin_toward: PinToward,
    states: tuple[BendState, ...] | None = None,
) -> BoreWork:  # fmt: skip
    """Passes through one hole: what their strings bend there, and what that costs."""
    bands = tuple(
        _band(hole, rod_type, hole_around(bore, rod_type, passes, each), plan_curvature(bore))
        for each in passes
    )
    powers = bore_powers(
        bore, rod_type, hole, plan_curvature(bore), passes, bands, curves, pin_toward,
        states=states,
    )  # fmt: skip
    ground = ground_factors(rod_type, curves, bore.salt_or_sour == "yes")
    factors = tuple(
        ground * _mean_stress(bore, rod_type, passes, k, bent, curves, condition_of)
        for k, bent in enumerate(powers)
    )
    damages = tuple(
        _damage(each, bent, rod_type, curves, condition_of, pin_toward, harder)
        for each, bent, harder in zip(passes, powers, factors, strict=True)
    )
    return BoreWork(
        bore, rod_type, front, hole, tuple(passes), bands, powers, damages, pin_toward, factors
    )


def plan_curvature(bore: Bore) -> float:
    """Sideways curvature of the plan; 0 where none is known. [1/m]"""
    return 1.0 / bore.plan_horizontal_radius if bore.plan_horizontal_radius else 0.0


def _mean_stress(
    bore: Bore,
    rod_type: RodType,
    passes: Sequence[PassWork],
    number: int,
    powers: BendPowers,
    curves: CurveSet,
    condition_of: ConditionOf,
) -> DamageFactors:
    """What the pull of a pass and the bows of its rods add: low none, best and high as written."""
    each = passes[number]
    hole = hole_around(bore, rod_type, passes, each) or UNKNOWN_HOLE_RATIO * rod_type.joint_od
    bows = [
        bow_stress(rod_type, condition_of(member.key).bow, hole, member.length)
        for member in each.leg.order.members
    ]
    best = max(axial_force(bore, each) or 0.0, 0.0)
    high = max(largest_pull(bore, each), best)
    return mean_stress_factors(rod_type, curves, powers.size, (0.0, best, high), bows)


def made_harder(
    work: BoreWork,
    added: Mapping[int, DamageFactors],
    curves: CurveSet,
    condition_of: ConditionOf,
) -> BoreWork:
    """The same bore with more that makes turns cost more than their bend alone.

    Parameters
    ----------
    work : BoreWork
        The bore.
    added : mapping of int to DamageFactors
        By index of the pass; times what is there already.
    curves, condition_of
        As for `work_bore`.

    Returns
    -------
    BoreWork
        The passes named worked out anew.
    """
    factors, damages = list(work.factors), list(work.damages)
    for k, more in added.items():
        factors[k] = factors[k] * more
        damages[k] = _damage(
            work.passes[k], work.powers[k], work.rod_type, curves, condition_of,
            work.pin_toward, factors[k],
        )  # fmt: skip
    return replace(work, factors=tuple(factors), damages=tuple(damages))


def _members(hole: Hole, rod_type: RodType, lengths: Sequence[float | None]) -> list[Member]:
    """Rods by place; the row's own length first, then the rod's, then the type's."""
    by_row = {int(row.station): row.length for row in hole.rows if row.length is not None}
    members = []
    for place in range(1, len(hole.stations)):
        own = lengths[place - 1] if place <= len(lengths) else None
        members.append(Member(place_key(place), "rod", by_row.get(place) or own or rod_type.length))
    return members


def _band(hole: Hole, rod_type: RodType, diameter: float | None, plan: float) -> CurvatureBand:
    """Curvature for wear: each rod's mean bend for best and low, the sharper inside for high.

    A bend inside a rod is the hole's; the rod spreads it over its own length, so only the upper
    end of the band takes it: as the hole had it where it was read, as a rod can at most take it
    where only a pushed length was written.
    """
    rods = curvature_band(hole.rods, rod_type.joint_od, diameter, plan)
    if len(hole.rods.edges) == len(hole.bends.edges):
        return rods
    fine = curvature_band(hole.bends, rod_type.joint_od, diameter, plan)
    high = fine.high * pushed_relief(hole.bends, rod_type.joint_od, diameter)
    middle = (fine.edges[1:] + fine.edges[:-1]) / 2
    index = (rods.edges.searchsorted(middle, side="right") - 1).clip(0, len(rods.best) - 1)
    ahead = middle > rods.edges[-1]
    return replace(
        fine,
        best=np.where(ahead, fine.best, rods.best[index]),
        low=np.where(ahead, fine.low, rods.low[index]),
        high=np.where(ahead, fine.high, high.clip(rods.best[index])),
        error=np.where(ahead, fine.error, rods.error[index]),
        planes=rods.planes[index],
    )


def _damage(
    each: PassWork,
    powers: BendPowers,
    rod_type: RodType,
    curves: CurveSet,
    condition_of: ConditionOf,
    pin_toward: PinToward,
    factors: DamageFactors,
) -> LegDamage:
    members = each.leg.order.members
    conditions = [condition_of(member.key) for member in members]
    rods = [rod_type] * len(members)
    return leg_damage(each.leg, powers, rods, conditions, curves, pin_toward, factors)


def work_until(
    work: BoreWork, pass_name: str, at: float, curves: CurveSet, condition_of: ConditionOf
) -> BoreWork:
    """The same bore as it stood when the tool of one pass had come to a position.

    Parameters
    ----------
    work : BoreWork
        The whole bore.
    pass_name : str
        Pass under way; those before it are whole, those after it have not begun.
    at : float
        Tool position along the hole. [m]
    curves, condition_of
        As for `work_bore`.

    Returns
    -------
    BoreWork
        Its ledger cut at that moment, computed anew from the travel, not interpolated.

    Raises
    ------
    KeyError
        If there is no such pass.
    """
    index = next((k for k, each in enumerate(work.passes) if each.name == pass_name), None)
    if index is None:
        raise KeyError(pass_name)
    now = work.passes[index]
    leg = now.leg.until(travel_until(now.leg.travel, at))
    cut = replace(now, leg=leg)
    damage = _damage(
        cut, work.powers[index], work.rod_type, curves, condition_of, work.pin_toward,
        work.factors[index],
    )  # fmt: skip
    return replace(
        work,
        passes=(*work.passes[:index], cut),
        bands=work.bands[: index + 1],
        powers=work.powers[: index + 1],
        factors=work.factors[: index + 1],
        damages=(*work.damages[:index], damage),
        old_holes=tuple(
            old for old in work.old_holes
            if index > 0 or float(old.pilot.leg.travel.tool_from[0]) <= at
        ),
    )  # fmt: skip
