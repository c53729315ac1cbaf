"""What the rods of a pass stand in and are pushed or pulled with, as far as anybody wrote it."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from rodhand.book.work.pass_work import PassWork
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType


def hole_around(
    bore: Bore, rod_type: RodType, passes: Sequence[PassWork], each: PassWork
) -> float | None:
    """Diameter of the hole the rods of a pass stand in, as entered; None where nobody did. [m]

    Parameters
    ----------
    bore, rod_type : Bore, RodType
        The bore's own hole diameter counts until a pass gives another.
    passes : sequence of PassWork
        All passes in order of the work, the pilot first.
    each : PassWork
        One of them.

    Notes
    -----
    Behind a tool that goes away from the rig that is its own hole; ahead of one that comes back,
    the hole that was there before. A hole narrower than the joint was mistyped.
    """
    now = passes[0].hole_diameter or bore.hole_diameter
    for one in passes:
        if one.leg.kind.away_from_rig and one.what != "trip":
            now = one.hole_diameter or now
        if one is each:
            break
        now = one.hole_diameter or now
    return now if now is not None and now > rod_type.joint_od else None


def axial_force(bore: Bore, each: PassWork) -> float | None:
    """Median of the logged thrust (below zero) or pull of a pass; None where none was. [N]

    Parameters
    ----------
    bore : Bore
        As recorded.
    each : PassWork
        The pass, worked.
    """
    recorded = next((p for p in bore.passes if p.name == each.name), None)
    if recorded is None:
        return None
    if each.leg.kind.away_from_rig:
        thrusts = [row.thrust for row in recorded.readings if row.thrust is not None]
        return -median(thrusts) if thrusts else None
    pulls = [row.pull for row in recorded.readings if row.pull is not None]
    pulls += [recorded.pull] if recorded.pull is not None else []
    return median(pulls) if pulls else None


def largest_pull(bore: Bore, each: PassWork) -> float:
    """Largest pull written for a pass, for its rows or for the whole; 0 where none was. [N]"""
    recorded = next((p for p in bore.passes if p.name == each.name), None)
    if recorded is None:
        return 0.0
    pulls = [row.pull for row in recorded.readings if row.pull is not None]
    return max([0.0, recorded.pull or 0.0, *pulls])
