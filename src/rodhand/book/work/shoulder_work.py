"""Where the shoulders of a bore's joints open: each pass's pull and bend against their make-up."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.bore_work import BoreWork, ConditionOf, made_harder
from rodhand.book.work.force_work import axis_of, pass_forces
from rodhand.book.work.gauges import pass_gauges, said_of
from rodhand.book.work.joint_makeups import gauge_truth, made_up_shares
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.written_loads import SPARE, largest_written
from rodhand.drillstring.ledger import book_turns
from rodhand.drillstring.shoulder import Needed, needed_makeup, opens
from rodhand.record.book_looks import Comparison
from rodhand.steel.made_up_seat import MadeUpSeat, made_up_seat
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.wear.damage_factors import opening_factors
from rodhand.wear.sections import CurveSet, positions

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class PassShoulders:
    """The joints of one pass.

    Parameters
    ----------
    needed : Needed
        What each stretch asks of the make-up. [1]
    made : (r, 2) array of float
        Made-up share at each member's end away from the rig and toward it; NaN unknown. [1]
    turned : (r, 2, m) array of bool
        Where each of those joints turned.
    sure, open, may : (r, 2, m) array of bool
        Where it turned with its shoulder surely open, open by the best figures, perhaps open.
    pull : (m,) array of float
        Best pull in each stretch; thrust is below zero. [N]
    pull_from : {"gauge", "pass", "none"}
        Where the pull comes from: rows of the gauge marched along the string; one figure for the
        pass, taken whole at every place; or it is unknown and left out.
    """

    needed: Needed
    made: Floats
    turned: Bools
    sure: Bools
    open: Bools
    may: Bools
    pull: Floats
    pull_from: str


def tube_stiffness(work: BoreWork) -> float:
    """E I of the rods' tube. [N m^2]"""
    return ELASTIC_MODULUS * work.rod_type.tube_inertia


def _pulls(
    work: BoreWork, k: int, edges: Floats, comparisons: Iterable[Comparison]
) -> tuple[tuple[Floats, Floats, Floats], str]:
    """Low, best and high pull in each stretch of a pass, and where it comes from."""
    none = np.zeros(len(edges) - 1)
    said, axis = said_of(work, k), axis_of(work)
    if axis is not None and said is not None:
        gauges = pass_gauges(work, k, comparisons)
        if any(reading.force is not None and not reading.free for reading in gauges.readings):
            forces = pass_forces(work, axis, gauges, work.passes[k].leg.kind.away_from_rig)
            if forces.most_pull is not None:
                return _by_stretch(axis.edges, forces.most_pull, edges), "gauge"
    if said is not None and said.pull is not None:
        whole = none + said.pull
        return (none, whole, whole), "pass"
    return (none, none, none), "none"


def _by_stretch(at: Floats, cases: Floats, edges: Floats) -> tuple[Floats, Floats, Floats]:
    """Largest of the edges that touch each stretch, at 5, 50 and 95 %; none where not read."""
    found = []
    for start, end in pairwise(edges):
        inside = (at >= start - 1e-6) & (at <= end + 1e-6)
        near = inside if inside.any() else np.arange(len(at)) == np.abs(at - start).argmin()
        values = np.nan_to_num(cases[near]).max(axis=0)
        found.append(np.quantile(values, (0.05, 0.5, 0.95)))
    low, best, high = np.array(found).reshape(-1, 3).T
    return low, best, high


def _turned(work: BoreWork, each: PassWork, edges: Floats) -> Bools:
    """Where the joints at both ends of each member turned."""
    order = each.leg.order
    joint = work.rod_type.joint_length
    along = np.array(
        [positions(x, min(joint, x / 2.0), work.pin_toward) for x in order.lengths()]
    ).reshape(-1, 5)
    ends = along[:, [0, -1]]
    booked = [book_turns(each.leg, offsets, edges).by_stretch > 0.0 for offsets in
              (ends.min(axis=1), ends.max(axis=1))]  # fmt: skip
    return np.stack(booked, axis=1)


def _shoulders(
    work: BoreWork, k: int, made: Floats, seat: MadeUpSeat, comparisons: Iterable[Comparison]
) -> PassShoulders:
    each, band = work.passes[k], work.bands[k]
    pulls, pull_from = _pulls(work, k, band.edges, comparisons)
    needed = needed_makeup(seat, tube_stiffness(work), work.powers[k].joint_bends(), pulls)
    turned = _turned(work, each, band.edges)
    sure, open_, may = (turned & each_one for each_one in opens(made, needed))
    return PassShoulders(needed, made, turned, sure, open_, may, pulls[1], pull_from)


def made_of(work: BoreWork, comparisons: Iterable[Comparison]) -> tuple[Floats, ...]:
    """Made-up shares of a bore's joints, pass by pass; all unknown without a make-up torque."""
    full = work.rod_type.makeup_torque
    if not full:
        return tuple(np.full((len(p.leg.order.members), 2), math.nan) for p in work.passes)
    truth = gauge_truth(comparisons, work.bore.rig, work.bore.origin.happened.start[:10])
    return made_up_shares(work.bore, work.passes, full, truth)


def shoulders_of(
    work: BoreWork, comparisons: tuple[Comparison, ...]
) -> tuple[PassShoulders, ...] | None:
    """The joints of every pass of a bore.

    Parameters
    ----------
    work : BoreWork
        The bore.
    comparisons : tuple of Comparison
        Of gauges, in order of the work.

    Returns
    -------
    tuple of PassShoulders or None
        None where seat, thread or make-up torque of the rods are not known.
    """
    seat = made_up_seat(work.rod_type)
    if seat is None:
        return None
    made = made_of(work, comparisons)
    return tuple(_shoulders(work, k, made[k], seat, comparisons) for k in range(len(work.passes)))


def _may_open(work: BoreWork, k: int, made: Floats, seat: MadeUpSeat) -> bool:
    """Whether any joint could open at all: the sharpest bend with more than the largest pull."""
    if not np.isfinite(made).any():
        return False
    sharpest = np.nan_to_num(work.powers[k].joint_bends()[2]).max(initial=0.0)
    pull = SPARE * largest_written(work, k).pull
    most = needed_makeup(
        seat, tube_stiffness(work), (np.array([sharpest]),) * 3, (np.array([pull]),) * 3
    )
    return bool(opens(np.array([np.nanmin(made)]), most)[2].any())


def could_open(work: BoreWork, comparisons: tuple[Comparison, ...]) -> bool:
    """Whether any shoulder of a bore could open at all; a quick look that never misses one."""
    seat = made_up_seat(work.rod_type)
    return seat is not None and any(
        _may_open(work, k, made, seat) for k, made in enumerate(made_of(work, comparisons))
    )


def with_open_shoulders(
    work: BoreWork,
    comparisons: tuple[Comparison, ...],
    curves: CurveSet,
    condition_of: ConditionOf,
) -> BoreWork:
    """A bore whose threads carry all of the load where their shoulder opens.

    Parameters
    ----------
    work : BoreWork
        The bore, worked out with every shoulder closed.
    comparisons : tuple of Comparison
        Of gauges.
    curves, condition_of
        As for `rodhand.book.work.bore_work.work_bore`.

    Returns
    -------
    BoreWork
        The same where no shoulder opens or nothing is known of it.
    """
    seat = made_up_seat(work.rod_type)
    if seat is None:
        return work
    added = {}
    for k, made in enumerate(made_of(work, comparisons)):
        if not _may_open(work, k, made, seat):
            continue
        found = _shoulders(work, k, made, seat, comparisons)
        if found.may.any():
            conditions = [condition_of(m.key) for m in work.passes[k].leg.order.members]
            added[k] = opening_factors(
                found.sure, found.open, found.may, conditions, curves.thread.slope,
                work.pin_toward,
            )  # fmt: skip
    return made_harder(work, added, curves, condition_of) if added else work
