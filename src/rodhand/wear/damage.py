"""Damage by the linear rule: turns in bends, section by section, stretch by stretch.

One turn in a bend is one cycle of range S = 2 E r_tube b f: the tube's outer-fibre bending at the
moment b EI of the section, times the section's local factor f. D = sum of turns S^m / a, with
E[b^m] from `rodhand.wear.bend_powers`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.ledger import book_turns
from rodhand.drillstring.meetings import PinToward
from rodhand.drillstring.passes import Leg
from rodhand.steel.curves import MPA, Curve
from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.wear.bend_powers import BendPowers
from rodhand.wear.damage_factors import DamageFactors
from rodhand.wear.sections import (
    SECTIONS,
    Condition,
    CurveSet,
    local_factors,
    positions,
    section_curves,
)

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class DamageRates:
    """Damage by stretch, rows for rods: of one turn, or of all turns made there. [-]

    Parameters
    ----------
    design : (r, m) or (r, 5, m) array of float
        On the design curve at best bends.
    low, best, high : array of float
        Alike, on the mean curve: at low bends and at best bends with reading noise taken off, at
        high bends raw.
    """

    design: Floats
    low: Floats
    best: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class LegDamage:
    """What one leg cost the members of its string.

    Parameters
    ----------
    design, low, best, high : (r, 5) array of float
        Damage of each section (see `DamageRates`). NaN where a member turned in a bend nobody can
        tell. [-]
    by_stretch : (r, 5, m) array of float
        The design damage by stretch of the hole. [-]
    bend_error : (r, 5) array of float
        Standard deviation of ln damage from reading the bends. [-]
    turns : (r,) array of float
        Turns of each member while in the string. [turns]
    """

    design: Floats
    low: Floats
    best: Floats
    high: Floats
    by_stretch: Floats
    bend_error: Floats
    turns: Floats


def stress_per_bend(rod: RodType, factor: float) -> float:
    """Stress range of one turn per bend of the steel: 2 E r_tube f.

    Parameters
    ----------
    rod : RodType
        Tube OD.
    factor : float
        Local factor f of the section. [-]

    Returns
    -------
    float
        Range over moment over EI of the tube. [Pa m]
    """
    return ELASTIC_MODULUS * rod.tube_od * factor


def damage_per_turn(
    stiffness: Floats, power: Mapping[float, Floats], size: Floats, curve: Curve, level: str
) -> Floats:
    """Damage of one turn in each stretch.

    Parameters
    ----------
    stiffness : (r,) array of float
        Stress range per bend, one for each rod (see `stress_per_bend`). [Pa m]
    power : mapping of float to (m,) array of float
        Expected power of the bend, by exponent. [1/m^slope]
    size : (m,) array of float
        The bend, for which of two slopes holds. [1/m]
    curve : Curve
        Fatigue curve.
    level : {"design", "mean"}
        Level of the curve.

    Returns
    -------
    (r, m) array of float
        Damage; NaN where the power is NaN. [-]
    """
    stress = stiffness[:, None] / MPA

    def line(slope: float, log_a: float) -> Floats:
        scale = stress**slope / 10.0 ** (log_a + curve.shift(level))
        return np.asarray(scale * power[slope][None, :])

    rates = line(curve.slope, curve.log_a)
    if curve.second_slope is None or curve.second_log_a is None or curve.knee is None:
        return rates
    beyond = curve.cycles(np.nan_to_num(stiffness[:, None] * size[None, :])) > curve.knee
    return np.where(beyond, line(curve.second_slope, curve.second_log_a), rates)


def damage_rates(stiffness: Floats, powers: BendPowers, section: int, curve: Curve) -> DamageRates:
    """Damage of one turn in each stretch, by design, low, best and high.

    Parameters
    ----------
    stiffness : (r,) array of float
        Stress range per bend. [Pa m]
    powers : BendPowers
        Powers of the steel's bend.
    section : int
        Which of the five.
    curve : Curve
        Fatigue curve of the section.

    Returns
    -------
    DamageRates
        Rows for rods, columns for stretches.
    """
    size = powers.size[section]
    low, best, high = (
        {m: getattr(power, name)[section] for m, power in powers.by_slope.items()}
        for name in ("low", "best", "high")
    )
    return DamageRates(
        design=damage_per_turn(stiffness, best, size, curve, "design"),
        low=damage_per_turn(stiffness, low, size, curve, "mean"),
        best=damage_per_turn(stiffness, best, size, curve, "mean"),
        high=damage_per_turn(stiffness, high, size, curve, "mean"),
    )


def leg_damage(
    leg: Leg,
    powers: BendPowers,
    rods: Sequence[RodType],
    conditions: Sequence[Condition],
    curves: CurveSet,
    pin_toward: PinToward,
    factors: DamageFactors | None = None,
) -> LegDamage:
    """What one leg cost every member, each section at its own place in the rod.

    Parameters
    ----------
    leg : Leg
        Travel and order of the string.
    powers : BendPowers
        What the steel bends, by section and stretch.
    rods : sequence of RodType
        Type of each member of the order; subs take the type of what they are screwed to.
    conditions : sequence of Condition
        State of each member during the leg.
    curves : CurveSet
        Fatigue curves.
    pin_toward : {"head", "rig"}
        Which way the pins look.
    factors : DamageFactors, optional
        What makes turns cost more than their bend alone.

    Returns
    -------
    LegDamage
        One row per member, one column per section.

    Raises
    ------
    ValueError
        If there is not one type and one condition for each member.
    """
    found = damage_by_stretch(leg, powers, rods, conditions, curves, pin_toward, factors)
    along = section_places(leg, rods, pin_toward)
    return LegDamage(
        design=found.design.sum(axis=2),
        low=found.low.sum(axis=2),
        best=found.best.sum(axis=2),
        high=found.high.sum(axis=2),
        by_stretch=found.design,
        bend_error=_bend_error(found.best, powers, rods, curves),
        turns=book_turns(leg, along[:, 0], powers.edges).total,
    )


def damage_by_stretch(
    leg: Leg,
    powers: BendPowers,
    rods: Sequence[RodType],
    conditions: Sequence[Condition],
    curves: CurveSet,
    pin_toward: PinToward,
    factors: DamageFactors | None = None,
) -> DamageRates:
    """What every stretch of the hole cost every member in one leg; see `leg_damage`.

    Returns
    -------
    DamageRates
        Damage of all turns made in a stretch, (members, 5, stretches).

    Raises
    ------
    ValueError
        If there is not one type and one condition for each member.
    """
    members = leg.order.members
    if not len(members) == len(rods) == len(conditions):
        raise ValueError(f"{len(members)} members need as many rod types and conditions")
    shape = (len(members), len(SECTIONS), len(powers.edges) - 1)
    design, low, best, high = (np.zeros(shape) for _ in range(4))
    along = section_places(leg, rods, pin_toward)
    stiffness = section_stiffness(rods, conditions)
    harder = _by_member(factors, shape)
    for j in range(len(SECTIONS)):
        turns = book_turns(leg, along[:, j], powers.edges).by_stretch
        for curve, who in _by_curve(rods, curves, j):
            # nearly all rods of a string are equally stiff, so few rows of rates are worked
            kinds, row = np.unique(stiffness[who, j], return_inverse=True)
            rates = damage_rates(kinds, powers, j, curve)
            made = turns[who]
            design[who, j] = _cost(made * harder.best[who, j], rates.design[row])
            best[who, j] = _cost(made * harder.best[who, j], rates.best[row])
            low[who, j] = _cost(made * harder.low[who, j], rates.low[row])
            high[who, j] = _cost(made * harder.high[who, j], rates.high[row])
    return DamageRates(design, low, best, high)


def _by_member(factors: DamageFactors | None, shape: tuple[int, int, int]) -> DamageFactors:
    """Factors for each member, section and stretch; 1 where there are none."""
    if factors is None:
        return DamageFactors(*[np.broadcast_to(np.ones(()), shape)] * 3)
    low, best, high = (
        np.broadcast_to(each, shape) for each in (factors.low, factors.best, factors.high)
    )
    return DamageFactors(low, best, high)


def _cost(turns: Floats, rate: Floats) -> Floats:
    """Turns times rate; a bend nobody can tell costs nothing to who never turned in it."""
    cost = turns * rate
    if np.isnan(cost).any():
        cost[turns <= 0.0] = 0.0
    return cost


def section_places(leg: Leg, rods: Sequence[RodType], pin_toward: PinToward) -> Floats:
    """Distance of each member's sections from its end that faces away from the rig. (r, 5) [m]"""
    lengths = leg.order.lengths()
    rows = [
        positions(length, min(rod.joint_length, length / 2.0), pin_toward)
        for length, rod in zip(lengths, rods, strict=True)
    ]
    return np.array(rows).reshape(-1, len(SECTIONS))


def section_stiffness(rods: Sequence[RodType], conditions: Sequence[Condition]) -> Floats:
    """Stress range over bend of the steel of each member's sections. (r, 5) [Pa m]"""
    rows = [
        stress_per_bend(rod, 1.0) * local_factors(rod, condition)
        for rod, condition in zip(rods, conditions, strict=True)
    ]
    return np.array(rows).reshape(-1, len(SECTIONS))


def _by_curve(
    rods: Sequence[RodType], curves: CurveSet, section: int
) -> list[tuple[Curve, Integers]]:
    """Members that share a curve at a section, so that each curve is worked once."""
    own = [section_curves(rod, curves)[section] for rod in rods]
    groups: dict[str, list[int]] = {}
    for k, curve in enumerate(own):
        groups.setdefault(curve.name, []).append(k)
    return [(own[who[0]], np.array(who, dtype=np.int64)) for who in groups.values()]


def _bend_error(
    best: Floats, powers: BendPowers, rods: Sequence[RodType], curves: CurveSet
) -> Floats:
    """SD of ln damage: what each factor of the bore's bends does to the sum, as squares.

    First order: neighbouring bends share a reading, and so they share factors.
    """
    whole = best.sum(axis=2)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(whole[:, :, None] > 0.0, best / whole[:, :, None], 0.0)
    error = np.zeros_like(whole)
    relative = np.nan_to_num(powers.scatter.relative)
    for j in range(len(SECTIONS)):
        for curve, who in _by_curve(rods, curves, j):
            moved = share[who, j] @ relative[j]
            error[who, j] = curve.slope * np.linalg.norm(moved, axis=1)
    return np.asarray(error)
