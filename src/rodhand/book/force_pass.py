"""One pass of a bore worked through: its gauges, its forces, the loads of its places."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.assess import Assessment, day_of
from rodhand.book.bore_work import BoreWork
from rodhand.book.force_places import PlaceLoad, place_loads
from rodhand.book.force_work import PassForces, pass_forces
from rodhand.book.gauges import PassGauges, gauges_of, last_comparison
from rodhand.book.pass_work import PassWork
from rodhand.drillstring.soft_string import Axis
from rodhand.record.book import BorePass, Comparison, FreeReading
from rodhand.record.marks import fold


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
    said = next((p for p in work.bore.passes if p.name == each.name), None)
    free = tuple(
        one for one in work.bore.free_readings if fold(one.pass_name or "pilot") == fold(each.name)
    )
    day = day_of(work.bore.origin.happened.start)
    comparison = last_comparison(assessment.book.comparisons, work.bore.rig, day)
    gauges = gauges_of(work, each, said, free, comparison)
    forces = pass_forces(work, axis, gauges, each.leg.kind.away_from_rig)
    places = place_loads(work, number, axis, forces, said)
    return PassWorked(each, said, free, comparison, gauges, forces, places)
