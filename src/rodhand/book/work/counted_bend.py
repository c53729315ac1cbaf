"""Lines of one place's section on one pass: turns, and the bend of the steel that counts."""

from __future__ import annotations

import numpy as np

from rodhand.book.work.bore_work import BoreWork
from rodhand.drillstring.ledger import book_turns
from rodhand.steel.curves import Curve
from rodhand.wear.counted_damage import Line, line_that_holds
from rodhand.wear.damage import section_places, stress_per_bend
from rodhand.wear.sections import SECTIONS, Condition, local_factors


def counted_lines(
    work: BoreWork, index: int, member: str, section: int, curve: Curve, condition: Condition
) -> list[tuple[int, Line, float]]:
    """Stretches of one pass in which a member's section turned.

    Parameters
    ----------
    work : BoreWork
        The bore worked through.
    index : int
        Number of the pass.
    member : str
        Key of the member.
    section : int
        Number of the section in `SECTIONS`.
    curve : Curve
        Its fatigue curve.
    condition : Condition
        State of the member in this bore.

    Returns
    -------
    list of (int, Line, float)
        Number of the stretch, its line, and by how much its turns cost more than by their bend
        alone. Empty where the member was not in the pass.
    """
    leg = work.passes[index].leg
    row = next((k for k, each in enumerate(leg.order.members) if each.key == member), None)
    if row is None:
        return []
    powers = work.powers[index]
    edges = powers.edges
    along = section_places(leg, [work.rod_type] * len(leg.order.members), work.pin_toward)
    turns = book_turns(leg, along[:, section], edges).by_stretch[row]
    local = float(local_factors(work.rod_type, condition)[section])
    shape = len(leg.order.members), len(SECTIONS), len(turns)
    harder = np.broadcast_to(work.factors[index].best, shape)[row, section]
    size = powers.size[section]
    found = []
    for k in np.flatnonzero(turns > 0.0):
        reach = stress_per_bend(work.rod_type, local) * (size[k] if np.isfinite(size[k]) else 0.0)
        slope, log_a = line_that_holds(curve, float(reach))
        bend = float(powers.by_slope[slope].best[section, k] ** (1.0 / slope))
        if np.isfinite(bend):
            line = Line(
                float(edges[k]), float(edges[k + 1]), float(turns[k]), bend, local,
                work.rod_type.tube_od, slope, log_a,
            )  # fmt: skip
            found.append((int(k), line, float(harder[k])))
    return found
