"""How far each joint of a string was made up: by its log, as told, put right by the gauge's truth.

The joint of a place is the one at its rod's end away from the rig, made when the rod went on. It
stays as it was made until the string comes apart there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.suspects import GaugeLook, gauge_faults
from rodhand.book.work.pass_work import PassWork
from rodhand.drillstring.string import Member
from rodhand.record.book_bores import Bore, BorePass
from rodhand.record.book_looks import Comparison
from rodhand.record.marks import fold

Floats = NDArray[np.float64]
Pair = tuple[str, str]
FRONT = ""
"""Stands for the tool in a pair of members."""
MAKE_UP_GAUGE = "make-up"
"""Gauges whose name holds this word show make-up torque."""


def gauge_truth(comparisons: Iterable[Comparison], rig: str, day: str) -> float:
    """True over shown of a rig's make-up gauge on an ISO day; 1 where nothing is known against it.

    Parameters
    ----------
    comparisons : iterable of Comparison
        Of the whole book, in order of the work.
    rig : str
        The rig.
    day : str
        ISO day.

    Returns
    -------
    float
        The least share of any fault that day: from the good comparison before it until the one
        that found it off, and on until it was mended. [1]
    """
    looks: dict[str, list[GaugeLook]] = {}
    for each in comparisons:
        if fold(each.rig) == fold(rig) and MAKE_UP_GAUGE in fold(each.gauge) and each.shown > 0:
            look = GaugeLook(each.origin.happened.start[:10], each.shown, each.reference)
            looks.setdefault(fold(each.gauge), []).append(look)
    faults = [fault for rows in looks.values() for fault in gauge_faults(rows)]
    at = [
        fault.share
        for fault in faults
        if fault.last_good < day and (day <= fault.when or not fault.mended or day < fault.mended)
    ]
    return min(at, default=1.0)


def told_by_station(
    said: BorePass | None, bore: Bore, full: float, truth: float, tightest: bool = False
) -> dict[int, float]:
    """Share of the full make-up of the joint made at each station of a pass, where it is on record.

    Parameters
    ----------
    said : BorePass or None
        The recorded pass.
    bore : Bore
        Its bore, for joints told in a run.
    full : float
        Full make-up torque. [N m]
    truth : float
        True over shown of the make-up gauge. [1]
    tightest : bool
        Whether of several values for one joint the largest is wanted, and not the least.

    Returns
    -------
    dict of int to float
        Two values that differ are both kept in the record, and the worse counts. A share told
        outright is no gauge reading and is left as told. [1]
    """
    found: dict[int, float] = {}

    def put(station: int, share: float) -> None:
        worse = max if tightest else min
        found[station] = worse(share, found.get(station, share))

    if said is None:
        return found
    for reading in said.readings:
        for row in (reading, *reading.alternatives):
            if row.makeup is not None:
                put(int(row.station), row.makeup * truth / full)
    for run in bore.makeups:
        if fold(run.pass_name or "pilot") != fold(said.name):
            continue
        share = run.share
        if share is None and run.torque is not None:
            share = run.torque * truth / full
        for station in range(int(run.from_station), int(run.to_station) + 1):
            if share is not None:
                put(station, share)
    return found


def made_up_shares(
    bore: Bore, passes: Sequence[PassWork], full: float, truth: float
) -> tuple[Floats, ...]:
    """Made-up share of the joints at both ends of every member, pass by pass.

    Parameters
    ----------
    bore : Bore
        As recorded.
    passes : sequence of PassWork
        In order of the work.
    full, truth : float
        As `told_by_station`.

    Returns
    -------
    tuple of (r, 2) array of float
        At the end away from the rig and at the end toward it; NaN unknown. A joint made up in an
        earlier pass counts as it was made, as long as its two members stayed side by side; the
        joint on the tool is unknown once the tool was changed. [1]
    """
    found = []
    before: dict[Pair, float] = {}
    for each in passes:
        said = next((one for one in bore.passes if one.name == each.name), None)
        side, tail = each.leg.order.rig_side, each.leg.order.tail
        if each.leg.kind.away_from_rig:
            told = told_by_station(said, bore, full, truth)
            now = {
                pair: told[k] for k, pair in enumerate(_pairs(side), 1) if k in told
            }  # member k went on at station k
        else:
            now = {pair: share for pair, share in before.items() if FRONT not in pair}
        found.append(_at_ends(side, len(tail), now))
        before = now
    return tuple(found)


def _pairs(side: Sequence[Member]) -> list[Pair]:
    """Each member with what stands before it, the tool first."""
    keys = [FRONT, *(member.key for member in side)]
    return list(pairwise(keys))


def _at_ends(side: Sequence[Member], tail: int, joints: dict[Pair, float]) -> Floats:
    made = np.full((len(side) + tail, 2), np.nan)
    for k, pair in enumerate(_pairs(side)):
        share = joints.get(pair, math.nan)
        made[k, 0] = share
        if k > 0:
            made[k - 1, 1] = share
    return made
