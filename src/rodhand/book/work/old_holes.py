"""Holes left behind when a bore was drilled anew: what drilling them and coming back out did.

The string drilled the old hole from where both holes part to its end and was pulled back over it;
then it drilled on beside it. Both are passes of their own in the old hole: the pilot of the hole
as it is holds all the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from rodhand.book.work.hole_of import Hole, hole_of
from rodhand.book.work.pass_work import (
    Habits,
    PassWork,
    mean_speed_of,
    pilot_turns,
    turns_together,
)
from rodhand.drillstring.passes import PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member, StringOrder
from rodhand.drillstring.travel import Travel, pilot_travel, toward_rig_travel
from rodhand.drillstring.turns import TurnEvidence, Turns, turns_from
from rodhand.record.book_bores import Bore, BorePass, OldHole


def old_hole_name(old: OldHole) -> str:
    """What a hole left behind is called."""
    return f"old hole {old.number}"


def bore_of_old(bore: Bore, old: OldHole) -> Bore:
    """The bore as if its pilot had drilled the old hole alone, under that hole's name."""
    pilot = bore.pass_of("pilot")
    assert pilot is not None  # its holes left behind are kept with it
    its = replace(pilot, name=old_hole_name(old), readings=old.rows, old_holes=())
    return replace(bore, passes=(its,))


def length_left(hole: Hole, left_at: int) -> float:
    """Length of a hole beyond where it was left. [m]"""
    return float(hole.stations[-1] - hole.stations[left_at])


def hole_left(
    bore: Bore, old: OldHole, rod_length: float, front: tuple[float | None, ...]
) -> Hole | None:
    """The old hole as it was read; None where no rod of it was left.

    Parameters
    ----------
    bore, old : Bore, OldHole
        The bore and a hole it left.
    rod_length : float
        Of a rod whose row gives none. [m]
    front : tuple of float or None
        Length of the front assembly and bit to sensor. [m]
    """
    pilot = bore_of_old(bore, old).passes[0]
    hole = hole_of(pilot, rod_length, front[0], front[1], bore.rig_pitch)
    return hole if hole is not None and len(hole.stations) - 1 > old.left_at else None


def passes_of_old(
    hole: Hole, pilot: BorePass, old: OldHole, members: Sequence[Member], habits: Habits,
    drilled: float,
) -> tuple[PassWork, PassWork]:  # fmt: skip
    """Drilling the part that was left, and pulling back over it.

    Parameters
    ----------
    hole, pilot : Hole, BorePass
        The old hole, and the pass that drilled it.
    old : OldHole
        What the record says of it.
    members : sequence of Member
        Rods that stood in it, the one behind the head first.
    habits : Habits
        The rig's habits.
    drilled : float
        Length drilled in the pilot in all, holes left behind too. [m]

    Returns
    -------
    tuple of PassWork
        Pulled back without turning only where somebody said so; where nobody did, low takes none
        and best the rig's habit, as for any pass nobody recorded.
    """
    near, s = old.left_at, np.asarray(hole.stations)
    turns = pilot_turns(hole, pilot, habits, drilled)
    full = ~hole.readings.is_inside
    whole = pilot_travel(
        s, [each.best for each in turns], hole.readings.push_from[full],
        hole.readings.push_to[full],
    )  # fmt: skip
    first = int(np.searchsorted(whole.row, near, side="right"))
    standing = RodsOfBore(StringOrder(rig_side=tuple(members[:near])), tuple(members[near:]))
    leg, rods = run_pass(
        standing, PassKind.PILOT, whole.part(first, len(whole)), front_length=hole.front_length
    )
    diameter = pilot.hole_diameter or next(
        (row.hole_diameter for row in hole.rows if row.hole_diameter), None
    )
    drilling = PassWork(
        pilot.name, "pilot", leg, turns_together(turns[near:]), True, True, diameter,
        mean_speed_of(pilot, PassKind.PILOT, habits),
    )  # fmt: skip
    back = _turns_back(old, length_left(hole, near), habits)
    shares = np.diff(s[near:]) / length_left(hole, near)
    out = toward_rig_travel(s[near:], back.best * shares)
    out = Travel(out.tool_from, out.tool_to, out.turns, out.row + near)
    leg, _ = run_pass(rods, PassKind.TRIP_OUT, out, front_length=hole.front_length)
    said = bool(old.turned) or old.turns is not None
    pulled = PassWork(
        f"{pilot.name}, back", "trip", leg, back, said, True, None,
        habits.speed(PassKind.TRIP_OUT),
    )  # fmt: skip
    return drilling, pulled


def _turns_back(old: OldHole, length: float, habits: Habits) -> Turns:
    """Turns made while the rods were pulled back, on the best rung there is."""
    counter = 0.0 if old.turned == "no" and old.turns is None else old.turns
    kind = PassKind.TRIP_OUT
    return turns_from(
        TurnEvidence(kind, length, counter=counter, own_per_metre=habits.per_metre(kind))
    )
