"""From recorded passes to legs: travel with turns, and who hangs on the string."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.hole_of import Hole
from rodhand.drillstring.handover import lead_rods_off, take_tail_on
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.string import Member, StringOrder
from rodhand.drillstring.travel import Travel, pilot_travel, toward_rig_travel
from rodhand.drillstring.turns import (
    SIGMA_LN_TURNS,
    TurnEvidence,
    TurnRung,
    Turns,
    sigma_of_sum,
    turns_from,
)
from rodhand.record.book_bores import BorePass, Reading

Floats = NDArray[np.float64]

KINDS: Mapping[str, PassKind] = {
    "pilot": PassKind.PILOT,
    "ream": PassKind.REAM,
    "pre-ream": PassKind.PRE_REAM,
    "push-ream": PassKind.PUSH_REAM,
    "swab": PassKind.SWAB,
    "trip": PassKind.TRIP_OUT,
    "pullback": PassKind.PULLBACK,
}


@dataclass(frozen=True)
class Habits:
    """A rig's habits, used where a log leaves turns out. [turns/s], [turns/m]"""

    pilot_speed: float | None = None
    pull_speed: float | None = None
    pilot_per_metre: float | None = None
    pull_per_metre: float | None = None

    def speed(self, kind: PassKind) -> float | None:
        """Usual rotation speed in a pass of this kind. [turns/s]"""
        return self.pilot_speed if kind.away_from_rig else self.pull_speed

    def per_metre(self, kind: PassKind) -> float | None:
        """Usual turns per metre in a pass of this kind. [turns/m]"""
        return self.pilot_per_metre if kind.away_from_rig else self.pull_per_metre


@dataclass(frozen=True, eq=False)
class PassWork:
    """One pass ready for the ledger.

    Parameters
    ----------
    name, what : str
        As recorded.
    leg : Leg
        Travel and members; a member's key is its place in the load, or a tail rod's own key.
    turns : Turns
        All turns of the pass and how well they are known; the worst rung of its rows.
    recorded : bool
        False for a pass nobody recorded: low none, best the rig's habit.
    order_known : bool
        False where nobody recorded the order of the rods in this pass.
    hole_diameter : float or None
        Diameter of the hole the string stands in. [m]
    mean_speed : float or None
        Mean rotation speed, logged or the rig's habit. [turns/s]
    """

    name: str
    what: str
    leg: Leg
    turns: Turns
    recorded: bool
    order_known: bool
    hole_diameter: float | None
    mean_speed: float | None = None

    @property
    def travelled(self) -> float:
        """Length the tool travelled. [m]"""
        return float(abs(self.leg.travel.tool_to - self.leg.travel.tool_from).sum())


def _row_turns(
    row: Reading | None, each: BorePass, kind: PassKind, length: float, habits: Habits, share: float
) -> Turns:
    """Turns of one row; of values nobody has picked between, the one with the most turns."""
    if row is None or not row.alternatives:
        return _turns_of(row, each, kind, length, habits, share)
    said = [row, *row.alternatives]
    found = [_turns_of(_filled(x, said), each, kind, length, habits, share) for x in said]
    return max(found, key=lambda turns: turns.best)


def _filled(one: Reading, said: Sequence[Reading]) -> Reading:
    """One of several things said of a row; what it leaves open is taken from the others."""

    def first(values: Iterable[float | None]) -> float | None:
        return next((value for value in values if value is not None), None)

    rows = (one, *said)
    return replace(
        one,
        turns=first(row.turns for row in rows),
        rpm=first(row.rpm for row in rows),
        rotating_time=first(row.rotating_time for row in rows),
    )


def _turns_of(
    row: Reading | None, each: BorePass, kind: PassKind, length: float, habits: Habits, share: float
) -> Turns:
    """Turns of one row, from the row itself, the pass as a whole, or the rig's habit."""
    counter = row.turns if row else None
    if counter is None and each.turns is not None:
        counter = each.turns * share
    speed = row.rpm if row and row.rpm is not None else each.rpm
    minutes = row.rotating_time if row else None
    if minutes is None and each.rotating_time is not None:
        minutes = each.rotating_time * share
    return turns_from(
        TurnEvidence(
            kind=kind,
            length=length,
            counter=counter,
            speed=speed / 60.0 if speed is not None else None,
            rotating_time=minutes,
            habit_speed=habits.speed(kind),
            own_per_metre=habits.per_metre(kind),
        )
    )


def turns_together(rows: Sequence[Turns]) -> Turns:
    """All turns of a pass, its sigma, and the rung most of its turns stand on."""
    total = sum(row.best for row in rows)
    weight: dict[TurnRung, float] = {}
    for row in rows:
        weight[row.rung] = weight.get(row.rung, 0.0) + row.best
    rung = max(weight, key=lambda each: weight[each]) if weight else TurnRung.UNKNOWN
    sigma = sigma_of_sum([(row.best, row) for row in rows]) or SIGMA_LN_TURNS[rung]
    return Turns(total, sigma, rung)


def mean_speed_of(each: BorePass, kind: PassKind, habits: Habits) -> float | None:
    """Speed of a pass: mean of its rows, its own, or the rig's habit. [turns/s]"""
    logged = [row.rpm for row in each.readings if row.rpm]
    if logged:
        return sum(logged) / len(logged) / 60.0
    return each.rpm / 60.0 if each.rpm else habits.speed(kind)


def _rows_by_station(each: BorePass) -> dict[int, Reading]:
    return {int(row.station): row for row in each.readings if row.station == int(row.station)}


def pilot_turns(hole: Hole, pilot: BorePass, habits: Habits, drilled: float) -> list[Turns]:
    """Turns of each row of a pilot.

    Parameters
    ----------
    hole, pilot, habits : Hole, BorePass, Habits
        The hole drilled, its pass, the rig's habits.
    drilled : float
        Length that turns written for the pass as a whole are shared by. [m]
    """
    rows = _rows_by_station(pilot)
    lengths = np.diff(hole.stations).tolist()
    return [
        _row_turns(rows.get(n), pilot, PassKind.PILOT, length, habits, length / drilled)
        for n, length in enumerate(lengths, 1)
    ]


def pilot_work(
    hole: Hole,
    pilot: BorePass,
    members: Sequence[Member],
    habits: Habits,
    beside: float = 0.0,
) -> tuple[PassWork, RodsOfBore]:
    """The pilot as a leg, and where the rods are after it.

    Parameters
    ----------
    hole : Hole
        The hole drilled.
    pilot : BorePass
        Its recorded pass.
    members : sequence of Member
        Rods in order of joining, the one behind the head first.
    habits : Habits
        The rig's habits.
    beside : float
        Length of holes left behind, drilled in the same pass: it takes its share of turns that
        were written for the pass as a whole. [m]

    Returns
    -------
    PassWork, RodsOfBore
        For the ledger, and for the pass after it.
    """
    s = np.asarray(hole.stations)
    turns = pilot_turns(hole, pilot, habits, float(s[-1] - s[0]) + beside)
    full = ~hole.readings.is_inside
    known = hole.readings.push_from[full], hole.readings.push_to[full]
    travel = pilot_travel(s, [each.best for each in turns], *known)
    rods = RodsOfBore(at_rig=tuple(members))
    leg, after = run_pass(rods, PassKind.PILOT, travel, front_length=hole.front_length)
    first = next((row.hole_diameter for row in hole.rows if row.hole_diameter), None)
    work = PassWork(
        pilot.name, "pilot", leg, turns_together(turns), True, True,
        pilot.hole_diameter or first, mean_speed_of(pilot, PassKind.PILOT, habits),
    )  # fmt: skip
    return work, after


def _span(each: BorePass, hole: Hole, off: int) -> tuple[int, int]:
    """Farthest and nearest station of a pass, by its rows or as stated; else the whole hole."""
    rows = _rows_by_station(each)
    count = len(hole.stations) - 1
    stated = [int(x) for x in (each.from_station, each.to_station) if x is not None]
    far = max(rows) if rows else max(stated, default=count - off)
    near = min(rows) - 1 if rows else min(stated) if len(stated) == 2 else 0
    far = min(far, count)
    return far, min(max(near, 0), far - 1)


def kind_of(each: BorePass) -> PassKind:
    """Kind of a recorded pass; a trip goes into the hole when it ends farther than it began."""
    if each.what == "trip" and (each.to_station or 0.0) > (each.from_station or 0.0):
        return PassKind.TRIP_IN
    return KINDS[each.what]


def later_work(
    hole: Hole,
    each: BorePass,
    rods: RodsOfBore,
    load: Sequence[Member],
    habits: Habits,
    tail: Sequence[Member] = (),
) -> tuple[PassWork, RodsOfBore]:
    """Any pass after the pilot as a leg, and where the rods are after it.

    Parameters
    ----------
    hole : Hole
        The hole.
    each : BorePass
        The recorded pass, with or without rows.
    rods : RodsOfBore
        Where the rods are before it.
    load : sequence of Member
        Rods of the bore in order of joining; used when nobody recorded how they came into the
        hole again.
    habits : Habits
        The rig's habits.
    tail : sequence of Member
        Rods added at the exit in this pass, first added first.

    Returns
    -------
    PassWork, RodsOfBore
        For the ledger, and for the pass after it.
    """
    kind = kind_of(each)
    off = min(each.lead_rods_off or 0, len(rods.order.rig_side))
    rods = lead_rods_off(rods, off)
    order_known = True
    if not kind.away_from_rig and not rods.order.rig_side:
        # The string came back into the hole and nobody wrote how: taken in the pilot's order.
        order_known = False
        rods = RodsOfBore(order=StringOrder(rig_side=tuple(load[off:])))
    if kind is PassKind.PRE_REAM and not tail:
        kind = PassKind.REAM
    rods = RodsOfBore(rods.order, rods.at_rig, tuple(tail) or rods.at_exit, rods.lost)
    if kind.away_from_rig:
        rods = RodsOfBore(StringOrder(), tuple(load), (), rods.lost)
    far, near = _span(each, hole, off)
    s = np.asarray(hole.stations)[: far + 1]
    rows = _rows_by_station(each)
    span = float(s[far] - s[near]) or 1.0
    turns = [
        _row_turns(
            rows.get(n), each, kind, float(s[n] - s[n - 1]), habits, float(s[n] - s[n - 1]) / span
        )
        for n in range(near + 1, far + 1)
    ]
    travel = _travel(kind, s, near, [t.best for t in turns])
    leg, after = run_pass(rods, kind, travel)
    if kind is PassKind.PRE_REAM and not after.order.rig_side:
        after = take_tail_on(after)
    work = PassWork(
        each.name, each.what, leg, turns_together(turns), each.origin is not None or bool(rows),
        order_known, each.hole_diameter, mean_speed_of(each, kind, habits),
    )  # fmt: skip
    return work, after


def _travel(kind: PassKind, s: Floats, near: int, turns: Sequence[float]) -> Travel:
    if kind.away_from_rig:
        return pilot_travel(s[near:], turns)
    travel = toward_rig_travel(s[near:], turns)
    return Travel(travel.tool_from, travel.tool_to, travel.turns, travel.row + near)


def unrecorded_pullback(
    hole: Hole, rods: RodsOfBore, load: Sequence[Member], habits: Habits
) -> PassWork:
    """A pullback nobody recorded: the string had to come back, at this rig's habit."""
    empty = BorePass(name="pullback", what="pullback", readings=())
    return later_work(hole, empty, rods, load, habits)[0]
