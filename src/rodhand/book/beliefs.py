"""From a bore worked through to what the samples are drawn from: bends, hole, turns, make-up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rodhand.book.assess import Assessment
from rodhand.book.bore_work import BoreWork
from rodhand.book.pass_work import PassWork
from rodhand.drillstring.ledger import book_turns
from rodhand.hole.bend_posterior import bend_posterior
from rodhand.hole.best_path import best_path
from rodhand.hole.damage_curvature import LEAST_HOLE_RATIO, UNKNOWN_HOLE_RATIO, lone_bend_relief
from rodhand.wear.damage import section_places, section_stiffness
from rodhand.wear.narrowing import root_of
from rodhand.wear.sample_draws import seed_of
from rodhand.wear.sampling import BoreBelief, PassBelief, Plane
from rodhand.wear.sections import SECTIONS, THREAD_SHARE, MakeUp, magnifications, section_curves

Floats = NDArray[np.float64]

MOST_HOLE_RATIO = 1.8
"""The most of the band of hole over joint OD where nobody measured the hole (proposal). [-]"""
HOLE_RATIOS = (LEAST_HOLE_RATIO, UNKNOWN_HOLE_RATIO, MOST_HOLE_RATIO)
MEASURED_HOLE = (0.95, 1.0, 1.05)
"""Band of a hole measured by its bit or reamer: what the ground lets it cut more or less (ours)."""
LEAST_THREAD = THREAD_SHARE[MakeUp.KNOWN] / THREAD_SHARE[MakeUp.UNKNOWN]
"""Of a joint nobody wrote a torque of: stress if it was made up right, over what is taken. [-]"""


@dataclass(frozen=True, eq=False)
class HoleBelief:
    """Bends of a bore given all its readings, as `BoreBelief` has them; ends of its intervals."""

    edges: Floats
    vertical: Plane
    sideways: Plane
    flat: NDArray[np.bool_]


@lru_cache(maxsize=512)
def hole_belief(work: BoreWork) -> HoleBelief | None:
    """Bends of a bore given all its readings; None where no pitch was read.

    Kept for some hundred bores, for as long as their work is.
    """
    path = best_path(work.hole.readings, sensor_known=work.front.bit_to_sensor is not None)
    if path is None:
        return None
    bends = bend_posterior(path)
    vertical, sideways = (
        Plane(plane.mean / bends.length, root_of(plane.covariance) / bends.length[:, None])
        for plane in (bends.vertical, bends.sideways)
    )
    read = work.hole.readings
    # Before the first reading and past the last nobody can read: no heading is missing there.
    missing = not np.isfinite(read.heading[~read.is_inside]).all()
    return HoleBelief(bends.edges, vertical, sideways, ~path.two_planes & missing)


def belief_of(
    assessment: Assessment,
    name: str,
    keys: Sequence[str],
    sections: Sequence[int] = range(len(SECTIONS)),
) -> BoreBelief | None:
    """What the samples of a bore are drawn from.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        The bore.
    keys : sequence of str
        Members, one row for each: a place of the load (see `place_key`) or a tail rod's key.
    sections : sequence of int
        Sections, by their number in `SECTIONS`.

    Returns
    -------
    BoreBelief or None
        None when no pitch was read.
    """
    work = assessment.works[name]
    hole = hole_belief(work)
    if hole is None:
        return None
    passes = [
        _pass_belief(assessment, work, index, hole, keys, sections)
        for index in range(len(work.passes))
    ]
    seed = seed_of("bore", name)
    length = np.diff(hole.edges)
    return BoreBelief(seed, hole.vertical, hole.sideways, passes, hole.flat, length)


def _pass_belief(
    assessment: Assessment, work: BoreWork, index: int, hole: HoleBelief,
    keys: Sequence[str], sections: Sequence[int],
) -> PassBelief:  # fmt: skip
    each, band, leg = work.passes[index], work.bands[index], work.passes[index].leg
    members = leg.order.members
    condition_of = assessment.conditions[work.bore.name]
    conditions = [condition_of(member.key) for member in members]
    types = [work.rod_type] * len(members)
    along = section_places(leg, types, work.pin_toward)
    stiff = section_stiffness(types, conditions)
    stiff = stiff * work.rod_type.stiff_joint_factor * magnifications(leg.kind)
    row_of = {member.key: row for row, member in enumerate(members)}
    turns = np.zeros((len(keys), len(sections), len(band.best)))
    stiffness = np.ones(turns.shape[:2])
    least = np.ones(turns.shape[:2])
    for at, section in enumerate(sections):
        booked = book_turns(leg, along[:, section], band.edges).by_stretch
        for row, key in enumerate(keys):
            if key in row_of:
                turns[row, at] = booked[row_of[key]]
                stiffness[row, at] = stiff[row_of[key], section]
                if _make_up_unknown(conditions[row_of[key]], section):
                    least[row, at] = LEAST_THREAD
    middle = (band.edges[1:] + band.edges[:-1]) / 2.0
    interval = hole.edges.searchsorted(middle, side="right") - 1
    known = each.hole_diameter is not None
    curves = section_curves(work.rod_type, assessment.curves)
    return PassBelief(
        turns=turns,
        stiffness=stiffness,
        curves=[curves[section] for section in sections],
        interval=interval.clip(0, len(hole.edges) - 2),
        rung=str(each.turns.rung),
        turns_sigma=each.turns.sigma,
        may_be_none=not each.recorded,
        share=_share(work, each, middle, MEASURED_HOLE if known else HOLE_RATIOS),
        least=least,
        share_measured=None if known else _share(work, each, middle, MEASURED_HOLE),
    )


def _make_up_unknown(condition: object, section: int) -> bool:
    ends = {0: "pin_makeup", len(SECTIONS) - 1: "box_makeup"}
    return section in ends and getattr(condition, ends[section]) is MakeUp.UNKNOWN


def _share(work: BoreWork, each: PassWork, middle: Floats, ratios: Sequence[float]) -> Floats:
    """Share of the hole's bend the rod takes at three sizes of the hole; 1 where all three fit."""
    rods, joint = work.hole.rods, work.rod_type.joint_od
    usual = (each.hole_diameter or UNKNOWN_HOLE_RATIO * joint) if ratios is MEASURED_HOLE else joint
    index = (rods.edges.searchsorted(middle, side="right") - 1).clip(0, len(rods.edges) - 2)
    rows = []
    for ratio in ratios:
        relief = _relief(work, max(ratio * usual - joint, 0.0))[index]
        rows.append(np.where(middle > rods.edges[-1], 1.0, relief))
    return np.array(rows)


@lru_cache(maxsize=4096)
def _relief(work: BoreWork, clearance: float) -> Floats:
    return lone_bend_relief(work.hole.rods, clearance)
