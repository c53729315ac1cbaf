"""The string of every pass of a bore laid into its hole: what the steel of each section bends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rodhand.book.work.hole_of import Hole
from rodhand.book.work.laid_memory import digest_of, keep, kept
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.string_state import axial_force, hole_around
from rodhand.drillstring.lateral import weight_in_mud
from rodhand.drillstring.meetings import PinToward
from rodhand.drillstring.section_bend import FEWER_PHASES, Laid, SteelBends, steel_bends
from rodhand.drillstring.string_beam import RodBeam
from rodhand.hole.bend_states import BendState, plain_state, posterior_state
from rodhand.hole.damage_curvature import (
    LEAST_HOLE_RATIO,
    UNKNOWN_HOLE_RATIO,
    CurvatureBand,
    vertical_wander,
)
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType
from rodhand.wear.bend_powers import BendPowers, Power, laid_powers, read_powers, slopes_of
from rodhand.wear.sections import CurveSet

MOST_HOLE_RATIO = 1.8
"""The most of the band of hole over joint where nobody measured the hole (proposal)."""


@dataclass(frozen=True, eq=False)
class _Alike:
    """What strings of one hole and force bend: best, in other holes, in other sizes of it."""

    best: SteelBends
    beside: list[SteelBends | None]
    sizes: list[SteelBends | None]


def bore_powers(
    bore: Bore,
    rod_type: RodType,
    hole: Hole,
    plan_curvature: float,
    passes: Sequence[PassWork],
    bands: Sequence[CurvatureBand],
    curves: CurveSet,
    pin_toward: PinToward,
    forces: Sequence[float | None] | None = None,
    states: tuple[BendState, ...] | None = None,
) -> tuple[BendPowers, ...]:
    """What the steel bends in each pass, by section and stretch.

    Parameters
    ----------
    bore, rod_type, hole : Bore, RodType, Hole
        What was drilled, with what.
    plan_curvature : float
        Sideways curvature of the plan, 0 where none is known. [1/m]
    passes, bands : sequence of PassWork, sequence of CurvatureBand
        The passes, and the hole's curvature as read for each: its stretches, and model 1 where
        the string cannot be laid.
    curves : CurveSet
        Decide the exponents.
    pin_toward : {"head", "rig"}
        Which way the pins look.
    forces : sequence of float or None, optional
        Axial force of each pass, pull positive; else as logged. [N]
    states : tuple of BendState, optional
        The hole to lay into instead of the one read: a planned one.

    Returns
    -------
    tuple of BendPowers
        Of model 2; of model 1 where no pitch was read or thrust buckles the string.

    Notes
    -----
    One axial force holds along the whole string: the median of the thrust or pull logged in the
    pass, none where none was. Worked once for the same content, then remembered.
    """
    slopes = slopes_of(curves)
    read = [
        read_powers(band, rod_type, each.leg.kind, slopes)
        for each, band in zip(passes, bands, strict=True)
    ]
    if not np.isfinite(hole.readings.pitch).any():
        return tuple(read)
    around = [hole_around(bore, rod_type, passes, each) for each in passes]
    logged = forces or [axial_force(bore, each) for each in passes]
    force = [each or 0.0 for each in logged]
    key = digest_of(
        hole.readings, hole.front_length, hole.assumed, rod_type, plan_curvature,
        [band.edges for band in bands], around, force, slopes, pin_toward,
        *([list(states)] if states is not None else []),
    )  # fmt: skip
    found = kept(key)
    if found is None:
        found = _worked(
            rod_type, hole, states or hole_states(hole, plan_curvature), around, force, bands,
            slopes, read, pin_toward,
        )  # fmt: skip
        keep(key, found)
    return tuple(one or other for one, other in zip(found, read, strict=True))


def _worked(
    rod_type: RodType,
    hole: Hole,
    states: tuple[BendState, ...] | None,
    around: Sequence[float | None],
    force: Sequence[float],
    bands: Sequence[CurvatureBand],
    slopes: Sequence[float],
    read: Sequence[BendPowers],
    pin_toward: PinToward,
) -> tuple[BendPowers | None, ...]:
    """Each pass laid; None where it cannot be. Passes that stand alike are worked once."""
    if states is None:
        return tuple(None for _ in bands)
    rods = [RodBeam.of(rod_type, float(length)) for length in np.diff(hole.stations)]
    tool, weight = float(hole.stations[-1]) - hole.front_length, weight_in_mud(rod_type)
    alike: dict[tuple[float | None, float], _Alike | None] = {}
    found: list[BendPowers | None] = []
    for entered, axial, band, plain in zip(around, force, bands, read, strict=True):
        if (entered, axial) not in alike:
            alike[entered, axial] = _laid(states, rods, rod_type, entered, tool, axial, weight)
        bends = alike[entered, axial]
        if bends is None:
            found.append(None)
            continue
        beside = [each for each in bends.beside if each is not None]
        sizes = [each for each in bends.sizes if each is not None]
        by_hole = sizes if len(sizes) == len(bends.sizes) else []
        powers = laid_powers(band.edges, bends.best, [*beside, *sizes], slopes, pin_toward, by_hole)
        whole = len(beside) == len(bends.beside) and len(sizes) == len(bends.sizes)
        found.append(powers if whole else _widened(powers, plain))
    return tuple(found)


def hole_states(hole: Hole, plan_curvature: float) -> tuple[BendState, ...] | None:
    """The hole given all readings, then what it may be as well; None where no pitch was read.

    Parameters
    ----------
    hole : Hole
        As read.
    plan_curvature : float
        Sideways curvature of the plan, 0 where none is known. [1/m]

    Notes
    -----
    It may have no sideways bend or the plan's where nobody read any, and be sharper inside a rod
    where that was read or pushed.
    """
    posterior = hole.posterior
    if posterior is None or hole.best is None:
        return None
    seen = hole.best.two_planes
    if np.isfinite(hole.readings.offset).any():
        seen = np.ones_like(seen)
    wander = vertical_wander(hole.rods)
    states = [posterior_state(posterior, seen, wander)]
    if not seen.all():
        states.append(posterior_state(posterior, seen, 0.0))
        if plan_curvature:
            states.append(posterior_state(posterior, seen, wander, plan_curvature))
    fine = hole.bends
    if len(fine.edges) != len(hole.rods.edges):
        bent = np.stack((fine.vertical, fine.horizontal), axis=1) / fine.length[:, None]
        states.append(plain_state(fine.edges, np.nan_to_num(bent)))
    return tuple(states)


def _laid(
    states: Sequence[BendState],
    rods: Sequence[RodBeam],
    rod_type: RodType,
    entered: float | None,
    tool: float,
    axial: float,
    weight: float,
) -> _Alike | None:
    """What a string of the same hole and force bends; None where thrust buckles it."""

    def laid(state: BendState, diameter: float) -> Laid:
        return Laid(rods, state, diameter, tool, axial, weight)

    diameter = entered or UNKNOWN_HOLE_RATIO * rod_type.joint_od
    best = steel_bends(laid(states[0], diameter))
    if best is None:
        return None
    ratios = (LEAST_HOLE_RATIO, MOST_HOLE_RATIO) if entered is None else ()
    return _Alike(
        best,
        [steel_bends(laid(each, diameter), FEWER_PHASES) for each in states[1:]],
        [steel_bends(laid(states[0], ratio * rod_type.joint_od), FEWER_PHASES) for ratio in ratios],
    )


def _widened(laid: BendPowers, read: BendPowers) -> BendPowers:
    """Low and high as wide as model 1 has them, where one of the holes could not be worked."""
    by_slope = {
        m: Power(
            np.fmin(power.low, read.by_slope[m].low),
            power.best,
            np.fmax(power.high, read.by_slope[m].high),
        )
        for m, power in laid.by_slope.items()
    }
    return replace(laid, by_slope=by_slope)
