"""The largest loads anybody wrote for a pass: quick bounds before a string is marched."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.gauges import said_of, tension

SPARE = 1.5
"""Times what was written: no case of the string's own load comes out above that, gauges that
nobody compared included. [1]"""


@dataclass(frozen=True)
class Written:
    """Largest pull, thrust and torque written for a pass; 0 where nobody wrote one. [N], [N m]"""

    pull: float
    thrust: float
    torque: float


def largest_written(work: BoreWork, number: int) -> Written:
    """The largest loads written for one pass of a bore.

    Parameters
    ----------
    work : BoreWork
        The bore.
    number : int
        Which of its passes.
    """
    said = said_of(work, number)
    if said is None:
        return Written(0.0, 0.0, 0.0)
    away = work.passes[number].leg.kind.away_from_rig
    forces = [tension(row.thrust, row.pull, away) for row in said.readings]
    known = [0.0, *(force for force in forces if force is not None)]
    return Written(
        max(*known, said.pull or 0.0),
        -min(known),
        max([0.0, *(row.torque for row in said.readings if row.torque is not None)]),
    )
