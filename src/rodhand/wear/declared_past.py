"""A past nobody logged: hours declared for a set, turned into damage by place.

The hours are filled with ordinary bores of the standard mix, from 20 rods up to the whole set,
pilot and pullback each. That is assumed from end to end, so every result carries standing
"assumed" and a band of times or over 3. Where nobody knows whether the rods kept their places, a
rod's share is the set's mean and its band reaches from the least to the worst place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.meetings import PinToward
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import pilot_travel, toward_rig_travel
from rodhand.hole.damage_curvature import CurvatureBand
from rodhand.steel.rod_type import RodType
from rodhand.wear.bend_powers import BendPowers, read_powers, slopes_of
from rodhand.wear.damage import leg_damage
from rodhand.wear.life_used import DECLARED_SIGMA, Contribution
from rodhand.wear.sections import SECTIONS, Condition, CurveSet
from rodhand.wear.standard_mix import (
    LEAST_RODS,
    PILOT_RATE,
    PILOT_SPEED,
    PULL_RATE,
    PULL_SPEED,
    MixBore,
    ordinary_bore,
)

Floats = NDArray[np.float64]

Order = Literal["same", "turned", "unknown"]
"""Whether the rods kept their places all that time, the rows were turned, or nobody knows."""
BORE_LENGTHS = 5
"""Lengths of bore the hours are shared among, evenly from short to long."""
DECLARED = "declared past"


@dataclass(frozen=True, eq=False)
class BoreDamage:
    """What one invented bore costs each place.

    Parameters
    ----------
    design, mean : (n, 5) array of float
        Damage on the design and on the mean curve. [-]
    turns : (n,) array of float
        Turns of each place. [turns]
    """

    design: Floats
    mean: Floats
    turns: Floats


def bore_legs(
    bore: MixBore,
    pilot_per_metre: float = PILOT_SPEED / PILOT_RATE,
    pull_per_metre: float = PULL_SPEED / PULL_RATE,
) -> tuple[Leg, ...]:
    """Pilot, pre-ream where there is one, and pullback of a bore, same rods throughout.

    Parameters
    ----------
    bore : MixBore
        The bore.
    pilot_per_metre, pull_per_metre : float
        Turns per metre on the way out and on the way back; those of the mix when not given.
        [turns/m]

    Returns
    -------
    tuple of Leg
        In a pre-ream the same rods are taken to stand behind the reamer again for the pullback.
    """
    rods = len(bore.bend)
    stations = bore.rod_length * np.arange(rods + 1, dtype=float)
    members = tuple(Member(str(k), "rod", bore.rod_length) for k in range(1, rods + 1))
    pilot = np.full(rods, pilot_per_metre * bore.rod_length)
    pull = np.full(rods, pull_per_metre * bore.rod_length)
    first, in_hole = run_pass(
        RodsOfBore(at_rig=members), PassKind.PILOT, pilot_travel(stations, pilot)
    )
    last, _ = run_pass(in_hole, PassKind.PULLBACK, toward_rig_travel(stations, pull))
    return (first, last, last) if bore.severity.pre_ream else (first, last)


def bore_damage(
    bore: MixBore,
    rod: RodType,
    curves: CurveSet,
    pin_toward: PinToward,
    condition: Condition,
    laid: BendPowers | None = None,
    legs: tuple[Leg, ...] | None = None,
) -> BoreDamage:
    """What an invented bore costs each place, all passes together.

    Parameters
    ----------
    bore : MixBore
        The bore; its bends are taken as exact.
    rod : RodType
        Rod of every place.
    curves : CurveSet
        Fatigue curves.
    pin_toward : {"head", "rig"}
        Which way the pins look.
    condition : Condition
        State of every rod.
    laid : BendPowers, optional
        What the steel bends, the same in every pass; the hole's bend times the assumed factors of
        model 1 when left out.
    legs : tuple of Leg, optional
        Its passes; those of `bore_legs` when left out.

    Returns
    -------
    BoreDamage
        One row per place.
    """
    rods = len(bore.bend)
    bends = bore.bend
    band = CurvatureBand(
        edges=bore.rod_length * np.arange(rods + 1, dtype=float),
        best=bends,
        low=bends,
        high=bends,
        error=np.zeros(rods),
        planes=np.full(rods, 2, dtype=np.int64),
        unread=np.zeros(rods, dtype=bool),
    )
    each = [
        leg_damage(
            leg, laid or read_powers(band, rod, leg.kind, slopes_of(curves)), [rod] * rods,
            [condition] * rods, curves, pin_toward,
        )
        for leg in legs or bore_legs(bore)
    ]  # fmt: skip
    return BoreDamage(
        design=np.sum([d.design for d in each], axis=0),
        mean=np.sum([d.best for d in each], axis=0),
        turns=np.sum([d.turns for d in each], axis=0),
    )


def declared_past(
    rotating_time: float,
    places: int,
    order: Order,
    rod: RodType,
    curves: CurveSet,
    source: str,
    pin_toward: PinToward = "head",
) -> tuple[Contribution, ...]:
    """Damage of a declared past by place.

    Parameters
    ----------
    rotating_time : float
        Declared rotating time of the set. [s]
    places : int
        Rods in the set; place 1 leads.
    order : {"same", "turned", "unknown"}
        "same": each place keeps its own; "turned": every place gets the mean of all; "unknown":
        the mean, with a band from the least place to the worst.
    rod : RodType
        Rods of the set.
    curves : CurveSet
        Fatigue curves.
    source : str
        Key of the declaration.
    pin_toward : {"head", "rig"}
        Which way the pins look.

    Returns
    -------
    tuple of Contribution
        One per place, all of it assumed.

    Raises
    ------
    ValueError
        If the time is negative or not finite, or there is no place.

    Notes
    -----
    How the joints were made up is not known, so the threads take the share for that.
    """
    if not (np.isfinite(rotating_time) and rotating_time >= 0.0 and places >= 1):
        raise ValueError(f"declared past needs a time and places, got {rotating_time} s, {places}")
    lengths = np.unique(
        np.linspace(min(LEAST_RODS, places), places, BORE_LENGTHS).round().astype(int)
    )
    bores = [ordinary_bore(rod, int(n)) for n in lengths]
    time = sum(bore.rotating_time for bore in bores)
    design, mean = np.zeros((places, len(SECTIONS))), np.zeros((places, len(SECTIONS)))
    for bore in bores:
        cost = bore_damage(bore, rod, curves, pin_toward, Condition())
        design[: len(bore.bend)] += cost.design
        mean[: len(bore.bend)] += cost.mean
    design, mean = design * (rotating_time / time), mean * (rotating_time / time)
    low = high = mean
    if order != "same":
        shape = mean.shape
        least, worst = mean.min(axis=0), mean.max(axis=0)
        design = np.broadcast_to(design.mean(axis=0), shape)
        low = high = mean = np.broadcast_to(mean.mean(axis=0), shape)
        if order == "unknown":
            low, high = np.broadcast_to(least, shape), np.broadcast_to(worst, shape)
    return tuple(_assumed(design[k], low[k], mean[k], high[k], source) for k in range(places))


def _assumed(design: Floats, low: Floats, best: Floats, high: Floats, source: str) -> Contribution:
    return Contribution(
        source=source,
        design=design,
        low=low,
        best=best,
        high=high,
        bend_error=np.zeros(len(SECTIONS)),
        turns_rung=DECLARED,
        turns_sigma=DECLARED_SIGMA,
        assumed=1.0,
    )
