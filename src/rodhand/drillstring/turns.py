"""Where the turns of a pass come from: the best rung of a ladder, and how wide it leaves them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from rodhand.drillstring.passes import PassKind


class TurnRung(StrEnum):
    """Where a number of turns comes from, best first."""

    COUNTER = "counter"
    RPM_MINUTES = "rpm x logged minutes"
    HABIT_TIME = "rpm habit x time between entries"
    OWN_PAST = "this rig's own turns per metre"
    PUBLISHED = "published range"
    UNKNOWN = "unknown"


SIGMA_LN_TURNS = {
    TurnRung.COUNTER: 0.02,
    TurnRung.RPM_MINUTES: 0.10,
    TurnRung.HABIT_TIME: 0.35,
    TurnRung.OWN_PAST: 0.45,
    TurnRung.PUBLISHED: 0.9,
    TurnRung.UNKNOWN: 1.2,
}
"""Standard deviation of the logarithm of the turns on each rung (ours, to be changed by the
owner)."""

PUBLISHED_PILOT = (40.0, 270.0)
PUBLISHED_PULL = (60.0, 400.0)
"""Turns per metre, from 80 to 120 rpm at 0.3 to 3 m/min: assumed. [turns/m]"""

ASSUMED_RUNGS = (TurnRung.PUBLISHED, TurnRung.UNKNOWN)
"""Rungs on which nothing of the bore or the rig itself stands."""


@dataclass(frozen=True)
class TurnEvidence:
    """What is on record about the turns of one row or one pass; None where nothing is.

    Parameters
    ----------
    kind : PassKind or None
        Kind of pass; None if nobody recorded it.
    length : float
        Travel of the tool, strokes not counted twice. [m]
    counter : float, optional
        Turns read off a counter. [turns]
    speed : float, optional
        Rotation speed as logged. [turns/s]
    rotating_time : float, optional
        Time rotated as logged. [s]
    habit_speed : float, optional
        This rig's usual speed in such a pass. [turns/s]
    elapsed : float, optional
        Time between two entries, idle time left out. [s]
    own_per_metre : float, optional
        Turns per metre of this rig's own past by ground, tool and pass. [turns/m]
    """

    kind: PassKind | None
    length: float
    counter: float | None = None
    speed: float | None = None
    rotating_time: float | None = None
    habit_speed: float | None = None
    elapsed: float | None = None
    own_per_metre: float | None = None


@dataclass(frozen=True)
class Turns:
    """A number of turns and how well it is known.

    Parameters
    ----------
    best : float
        Median estimate. [turns]
    sigma : float
        Standard deviation of its natural logarithm. [-]
    rung : TurnRung
        Where it comes from.
    """

    best: float
    sigma: float
    rung: TurnRung


def published_middle(kind: PassKind | None) -> float:
    """Middle of the published range by ratio, the median of a lognormal. [turns/m]

    Parameters
    ----------
    kind : PassKind or None
        Kind of pass; an unknown one takes the pull range, which holds more turns.
    """
    low, high = PUBLISHED_PILOT if kind and kind.away_from_rig else PUBLISHED_PULL
    return math.sqrt(low * high)


def turns_from(evidence: TurnEvidence) -> Turns:
    """Turns on the best rung the evidence reaches; a row is never dropped.

    Parameters
    ----------
    evidence : TurnEvidence
        What is on record.

    Returns
    -------
    Turns
        Turns with the rung's band. A logged 0 (a row pushed whole) is a number and stays 0; what
        is missing is never taken as 0.

    Notes
    -----
    A pass of unknown kind stands on the last rung: the published middle with the widest band.
    """
    e = evidence
    candidates = (
        (TurnRung.COUNTER, e.counter),
        (TurnRung.RPM_MINUTES, _product(e.speed, e.rotating_time)),
        (TurnRung.HABIT_TIME, _product(e.speed or e.habit_speed, e.rotating_time or e.elapsed)),
        (TurnRung.OWN_PAST, _product(e.own_per_metre, e.length)),
    )
    for rung, turns in candidates:
        if turns is not None:
            return Turns(turns, SIGMA_LN_TURNS[rung], rung)
    rung = TurnRung.UNKNOWN if e.kind is None else TurnRung.PUBLISHED
    return Turns(published_middle(e.kind) * e.length, SIGMA_LN_TURNS[rung], rung)


def _product(first: float | None, second: float | None) -> float | None:
    return None if first is None or second is None else first * second


def sigma_of_sum(parts: Iterable[tuple[float, Turns]]) -> float:
    """Standard deviation of ln of a weighted sum of turns.

    Parameters
    ----------
    parts : iterable of (float, Turns)
        Weight (for example the damage the turns did, or the turns themselves) and the turns.

    Returns
    -------
    float
        Errors on the same rung go together (one wrong habit is wrong everywhere), errors on
        different rungs are independent; 0 if all weights are 0. [-]
    """
    by_rung: dict[TurnRung, float] = {}
    weight_of_all = 0.0
    for weight, turns in parts:
        by_rung[turns.rung] = by_rung.get(turns.rung, 0.0) + weight * turns.sigma
        weight_of_all += weight
    if weight_of_all == 0.0:
        return 0.0
    return math.sqrt(sum(x * x for x in by_rung.values())) / weight_of_all
