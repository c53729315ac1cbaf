"""What the samples of a bore are drawn from: its bends, hole, force, turns and make-up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import median

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork, plan_curvature
from rodhand.book.work.laid_strings import bore_powers, hole_states
from rodhand.book.work.string_state import axial_force
from rodhand.drillstring.ledger import book_turns
from rodhand.wear.belief import LAID, READ, BoreBelief, PassBelief
from rodhand.wear.bend_powers import BendPowers, Scatter
from rodhand.wear.damage import section_places, section_stiffness
from rodhand.wear.damage_factors import DamageFactors
from rodhand.wear.sample_draws import seed_of
from rodhand.wear.sections import SECTIONS, THREAD_SHARE, MakeUp, section_curves

Floats = NDArray[np.float64]

LEAST_THREAD = THREAD_SHARE[MakeUp.KNOWN] / THREAD_SHARE[MakeUp.UNKNOWN]
"""Of a joint nobody wrote a torque of: stress if it was made up right, over what is taken. [-]"""


@dataclass(frozen=True, eq=False)
class _HoleBelief:
    """What moves the sideways bends of a bore, and which of them nobody read."""

    sideways: Floats
    flat: NDArray[np.bool_]
    length: Floats


@lru_cache(maxsize=512)
def _hole_belief(work: BoreWork) -> _HoleBelief | None:
    """Of the hole given all its readings; None where no pitch was read."""
    states = hole_states(work.hole, plan_curvature(work.bore))
    if states is None or work.hole.best is None:
        return None
    state, read = states[0], work.hole.readings
    # Before the first reading and past the last nobody can read: no heading is missing there.
    missing = not np.isfinite(read.heading[~read.is_inside]).all()
    flat = ~work.hole.best.two_planes & missing
    return _HoleBelief(state.factors[:, 1, :], flat, np.diff(state.edges))


def belief_of(
    assessment: Assessment,
    name: str,
    keys: Sequence[str],
    sections: Sequence[int] = range(len(SECTIONS)),
    with_force: bool = False,
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
    with_force : bool
        Whether thrust and pull nobody wrote may have been any up to the usual ones: the strings
        are laid once more for that. Else none is taken, as in life used.

    Returns
    -------
    BoreBelief or None
        None when no pitch was read, or nobody can tell the bends of some pass.
    """
    work = assessment.works[name]
    hole = _hole_belief(work)
    if hole is None or any(np.isnan(each.size).any() for each in work.powers):
        return None
    forced = _at_usual_force(assessment, work) if with_force else (None,) * len(work.passes)
    passes = [
        _pass_belief(assessment, work, index, keys, list(sections), forced[index])
        for index in range(len(work.passes))
    ]
    return BoreBelief(seed_of("bore", name), passes, hole.sideways, hole.flat, hole.length)


def _pass_belief(
    assessment: Assessment,
    work: BoreWork,
    index: int,
    keys: Sequence[str],
    sections: list[int],
    forced: BendPowers | None,
) -> PassBelief:
    each, powers, leg = work.passes[index], work.powers[index], work.passes[index].leg
    members = leg.order.members
    condition_of = assessment.conditions[work.bore.name]
    conditions = [condition_of(member.key) for member in members]
    types = [work.rod_type] * len(members)
    along = section_places(leg, types, work.pin_toward)
    stiff = section_stiffness(types, conditions)
    harder = _each_member(work.factors[index], (len(members), len(SECTIONS), powers.size.shape[1]))
    row_of = {member.key: row for row, member in enumerate(members)}
    turns = np.zeros((3, len(keys), len(sections), powers.size.shape[1]))
    stiffness = np.ones(turns.shape[1:3])
    least = np.ones(turns.shape[1:3])
    for at, section in enumerate(sections):
        booked = book_turns(leg, along[:, section], powers.edges).by_stretch
        for row, key in enumerate(keys):
            if key in row_of:
                member = row_of[key]
                turns[:, row, at] = booked[member] * harder[:, member, section]
                stiffness[row, at] = stiff[member, section]
                if _make_up_unknown(conditions[member], section):
                    least[row, at] = LEAST_THREAD
    curves = section_curves(work.rod_type, assessment.curves)
    usual = {m: power.best[sections] for m, power in powers.by_slope.items()}
    narrow, wide = [{m: hole[m][sections] for m in usual} for hole in powers.by_hole] or [
        usual,
        usual,
    ]
    return PassBelief(
        turns=turns,
        stiffness=stiffness,
        curves=[curves[section] for section in sections],
        scatter=Scatter(powers.scatter.bend[sections], powers.scatter.factors[sections]),
        size=powers.size[sections],
        powers={m: np.stack((narrow[m], usual[m], wide[m])) for m in usual},
        rung=str(each.turns.rung),
        turns_sigma=each.turns.sigma,
        may_be_none=not each.recorded,
        least=least,
        by_force=(
            {m: power.best[sections] for m, power in forced.by_slope.items()} if forced else {}
        ),
        force_written=axial_force(work.bore, each) is not None,
        factors=LAID if powers.laid else READ,
    )


def _each_member(factors: DamageFactors, shape: tuple[int, int, int]) -> Floats:
    """Low, best and high for every member, section and stretch. (3, r, 5, m)"""
    ends = (factors.low, factors.best, factors.high)
    return np.stack([np.broadcast_to(end, shape) for end in ends])


def _make_up_unknown(condition: object, section: int) -> bool:
    ends = {0: "pin_makeup", len(SECTIONS) - 1: "box_makeup"}
    return section in ends and getattr(condition, ends[section]) is MakeUp.UNKNOWN


@lru_cache(maxsize=64)
def _at_usual_force(assessment: Assessment, work: BoreWork) -> tuple[BendPowers | None, ...]:
    """Each pass nobody wrote the force of, at the force usual for its way; None for the others."""
    usual = _usual_forces(assessment)
    logged = [axial_force(work.bore, each) for each in work.passes]
    forces = [
        usual.get(each.leg.kind.away_from_rig) if force is None else None
        for each, force in zip(work.passes, logged, strict=True)
    ]
    wanted = [k for k, force in enumerate(forces) if force is not None and work.powers[k].laid]
    found: list[BendPowers | None] = [None] * len(work.passes)
    if wanted:
        powers = bore_powers(
            work.bore, work.rod_type, work.hole, plan_curvature(work.bore), work.passes,
            work.bands, assessment.curves, work.pin_toward,
            [forces[k] if k in wanted else logged[k] for k in range(len(forces))],
        )  # fmt: skip
        for k in wanted:
            found[k] = powers[k] if powers[k].laid else None
    return tuple(found)


@lru_cache(maxsize=16)
def _usual_forces(assessment: Assessment) -> dict[bool, float]:
    """Median over the book's passes of what was written, away from the rig and toward it. [N]"""
    written: dict[bool, list[float]] = {}
    for work in assessment.works.values():
        for each in work.passes:
            force = axial_force(work.bore, each)
            if force is not None:
                written.setdefault(each.leg.kind.away_from_rig, []).append(force)
    return {away: median(forces) for away, forces in written.items()}
