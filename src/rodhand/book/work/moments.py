"""A bore at one moment: where the tool is, where every rod stands, what each took to then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.bore_work import BoreWork, ConditionOf, place_key, work_until
from rodhand.book.work.over_limits import LimitedBend
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.book.work.rods_of_bore import rods_of_bore
from rodhand.book.work.who import WhoInBore
from rodhand.drillstring.ledger import book_turns, turns_tighter_than
from rodhand.drillstring.passes import Leg
from rodhand.drillstring.stood import Stood, stood_through
from rodhand.wear.sections import CurveSet
from rodhand.wear.who_stood import WhoStood, one_to_one

Floats = NDArray[np.float64]
RADII = (30.0, 50.0, 100.0, 200.0, 500.0)
"""Radii turns are counted tighter than. [m]"""


@dataclass(frozen=True, eq=False)
class Moment:
    """A bore as it stood when the tool of one pass had come to a position.

    Parameters
    ----------
    pass_name : str
        Pass under way.
    at : float
        Tool position along the hole. [m]
    work : BoreWork
        The bore's ledger cut at that moment.
    whole : BoreWork
        The whole bore, for what is still to come.
    """

    pass_name: str
    at: float
    work: BoreWork
    whole: BoreWork

    @property
    def leg(self) -> Leg:
        """The leg under way, cut at the moment."""
        return self.work.passes[-1].leg

    @property
    def whole_leg(self) -> Leg:
        """The same leg as recorded to its end."""
        return self.whole.passes[len(self.work.passes) - 1].leg


def moment_of(
    work: BoreWork, pass_name: str, at: float | None, curves: CurveSet, condition_of: ConditionOf
) -> Moment:
    """A bore at a tool position of one pass; the end of the pass when no position is given.

    Raises
    ------
    KeyError
        If the bore has no such pass.
    """
    whole = next((each for each in work.passes if each.name == pass_name), None)
    if whole is None:
        raise KeyError(pass_name)
    travel = whole.leg.travel
    ends = float(travel.tool_from[0]), float(travel.tool_to[-1])
    position = ends[1] if at is None else min(max(at, min(ends)), max(ends))
    cut = work_until(work, pass_name, position, curves, condition_of)
    return Moment(pass_name, position, cut, work)


def places_alone(work: BoreWork, happened: str) -> dict[str, BoreOfRod]:
    """What each place took, exact, whoever stood there; by `place_key`."""
    places = max(hole.rod_count for hole in (work, *work.old_holes))
    keys = [place_key(place) for place in range(1, places + 1)]
    groups = one_to_one(keys, WhoStood.MARKED)
    return rods_of_bore(work, WhoInBore(groups, groups), happened)


def turns_tighter(work: BoreWork) -> Mapping[int, Floats]:
    """Turns of each place's mid tube tighter than `RADII`, all passes of the work together.

    Counted by each station interval's mean bend; a stretch not read counts as not tighter.
    """
    rods = work.hole.rods
    bend = np.where(rods.unread, np.nan, rods.curvature)
    found: dict[int, Floats] = {}
    for each in work.passes:
        booked = book_turns(each.leg, each.leg.order.lengths() / 2.0, rods.edges)
        tighter = turns_tighter_than(booked.by_stretch, bend, RADII)
        for row, member in enumerate(each.leg.order.members):
            if member.key.startswith("place "):
                place = int(member.key.removeprefix("place "))
                found[place] = found.get(place, np.zeros(len(RADII))) + tighter[row]
    return found


@dataclass(frozen=True)
class Stands:
    """Where one place's rod stands along the hole, and whether any of it is in the hole. [m]"""

    start: float
    end: float
    in_hole: bool


def where_places_stand(moment: Moment) -> dict[int, Stands]:
    """Where the rod of each place stands at the moment; places not in the string are left out."""
    leg = moment.leg
    ends = moment.at - leg.order.head_ends()
    lengths = leg.order.lengths()
    count = len(leg.travel)
    found = {}
    for row, member in enumerate(leg.order.members):
        joined = leg.joined[row] < count or count == 0
        if not member.key.startswith("place ") or not joined:
            continue
        end = float(ends[row])
        start = end - float(lengths[row])
        place = int(member.key.removeprefix("place "))
        found[place] = Stands(max(start, 0.0), end, end > 1e-6)
    return found


@dataclass(frozen=True)
class Concerned:
    """Places a bend concerns at one moment, each in one list."""

    passed: tuple[int, ...]
    in_it: tuple[int, ...]
    to_come: tuple[int, ...]


def concerned(moment: Moment, bend: LimitedBend) -> Concerned:
    """Which places turned through a bend, stand in it, or come to it later in the pass under way.

    A place that stands in the bend at the end of a pass is in it; one that passed it earlier and
    comes through again counts as passed.
    """
    passed: set[int] = set()
    for each in moment.work.passes[:-1]:
        found = _places(each.leg, stood_through(each.leg, bend.start, bend.end))
        passed |= {place for place, stood in found.items() if stood is Stood.PASSED}
    now = float(len(moment.leg.travel))
    if now and moment.at != float(moment.whole_leg.travel.tool_to[-1]):
        now = _moves_done(moment)
    current = _places(moment.whole_leg, stood_through(moment.whole_leg, bend.start, bend.end, now))
    in_it = {place for place, stood in current.items() if stood is Stood.IN_IT}
    passed |= {place for place, stood in current.items() if stood is Stood.PASSED}
    to_come = {place for place, stood in current.items() if stood is Stood.TO_COME}
    passed -= in_it
    return Concerned(
        tuple(sorted(passed)), tuple(sorted(in_it)), tuple(sorted(to_come - passed - in_it))
    )


def _moves_done(moment: Moment) -> float:
    """Moves of the whole leg done, the last one by the share of its length."""
    done = len(moment.leg.travel)
    if done == 0:
        return 0.0
    whole, cut = moment.whole_leg.travel, moment.leg.travel
    length = abs(float(whole.tool_to[done - 1] - whole.tool_from[done - 1]))
    made = abs(float(cut.tool_to[-1] - cut.tool_from[-1]))
    return done - 1 + (made / length if length > 0.0 else 1.0)


def _places(leg: Leg, stood: Sequence[Stood]) -> dict[int, Stood]:
    return {
        int(member.key.removeprefix("place ")): each
        for member, each in zip(leg.order.members, stood, strict=True)
        if member.key.startswith("place ")
    }
