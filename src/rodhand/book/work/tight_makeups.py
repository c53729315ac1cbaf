"""Joints made up past their make-up torque: an over-torque made at the rig's own wrench."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rodhand.advice.suspects import OVER_TORQUE_ABOVE
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import last_day_of
from rodhand.book.work.happenings import rods_at
from rodhand.book.work.joint_makeups import gauge_truth, told_by_station


@dataclass(frozen=True, eq=False)
class TightMakeup:
    """Joints of one bore made up past make-up torque.

    Parameters
    ----------
    bore : str
        The bore.
    stations : tuple of int
        Stations at which those joints were made.
    share : float
        The largest, of the make-up torque, put right by the gauge's truth. [1]
    things : tuple of str
        Things on both sides of the joints.
    when : str
        Last ISO day it may have been.
    """

    bore: str
    stations: tuple[int, ...]
    share: float
    things: tuple[str, ...]
    when: str


@lru_cache(maxsize=4)
def tight_makeups(assessment: Assessment) -> tuple[TightMakeup, ...]:
    """Joints made up past make-up torque by more than a good gauge may be off, bore by bore."""
    comparisons = tuple(assessment.book.comparisons)
    found = []
    for name, work in assessment.works.items():
        full = work.rod_type.makeup_torque
        if not full:
            continue
        truth = gauge_truth(comparisons, work.bore.rig, work.bore.origin.happened.start[:10])
        over: dict[int, float] = {}
        for said in work.bore.passes:
            told = told_by_station(said, work.bore, full, truth, tightest=True)
            for station, share in told.items():
                if share > OVER_TORQUE_ABOVE:
                    over[station] = max(share, over.get(station, 0.0))
        if over:
            places = sorted({p for station in over for p in (station - 1, station) if p > 0})
            found.append(
                TightMakeup(
                    name, tuple(sorted(over)), max(over.values()),
                    rods_at(assessment, name, places), last_day_of(work.bore),
                )
            )  # fmt: skip
    return tuple(found)
