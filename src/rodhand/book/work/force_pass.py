"""One pass of a bore worked through: its gauges, its forces, the loads of its places."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.force_places import PlaceLoad, place_loads
from rodhand.book.work.force_work import PassForces, pass_forces
from rodhand.book.work.gauges import PassGauges, comparison_of, free_of, gauges_of, said_of
from rodhand.book.work.pass_work import PassWork
from rodhand.drillstring.soft_string import Axis
from rodhand.record.book_bores import BorePass, FreeReading
from rodhand.record.book_looks import Comparison


@dataclass(frozen=True, eq=False)
class PassWorked:
    """One pass worked through: what was recorded of it, its gauges, its forces, its places."""

    each: PassWork
    said: BorePass | None
    free: tuple[FreeReading, ...]
    comparison: Comparison | None
    gauges: PassGauges
    forces: PassForces
    places: tuple[PlaceLoad, ...]


def pass_worked(assessment: Assessment, work: BoreWork, axis: Axis, number: int) -> PassWorked:
    """Force and torque of one pass of a bore, by its number."""
    each = work.passes[number]
    said, free = said_of(work, number), free_of(work, number)
    comparison = comparison_of(work, assessment.book.comparisons)
    gauges = gauges_of(work, each, said, free, comparison)
    forces = pass_forces(work, axis, gauges, each.leg.kind.away_from_rig)
    places = place_loads(work, number, axis, forces, said)
    return PassWorked(each, said, free, comparison, gauges, forces, places)
