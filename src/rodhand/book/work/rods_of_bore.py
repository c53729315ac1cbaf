"""What one bore did to each rod: contributions with who stood where."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.rod_history import ASSUMED_WHO, BoreOfRod
from rodhand.book.work.who import WhoInBore
from rodhand.drillstring.turns import ASSUMED_RUNGS
from rodhand.wear.damage import LegDamage
from rodhand.wear.life_used import (
    Contribution,
)
from rodhand.wear.sections import SECTIONS, Section
from rodhand.wear.who_stood import Group, Share, WhoStood, shares

Floats = NDArray[np.float64]


def _over_places(work: PassWork, values: Floats, places: int) -> Floats:
    """Values of a leg's members put at the places of the load; places not in the leg take none."""
    result = np.zeros((places, values.shape[1]))
    for row, member in enumerate(work.leg.order.members):
        if member.key.startswith("place "):
            result[int(member.key.removeprefix("place ")) - 1] = values[row]
    return result


def _groups_for(who: WhoInBore, work: PassWork) -> tuple[Group, ...]:
    return who.groups if work.order_known else who.unordered


COUNT = len(SECTIONS)


DESIGN, LOW, BEST, HIGH, ERROR = (slice(k * COUNT, (k + 1) * COUNT) for k in range(5))
"""Where each quantity of a place stands, side by side, its turns last."""


def _side_by_side(damage: LegDamage) -> Floats:
    """Design, low, best, high and bend error by section, and turns, one row per member."""
    parts = (damage.design, damage.low, damage.best, damage.high, damage.bend_error)
    return np.hstack([*(np.nan_to_num(part) for part in parts), damage.turns[:, None]])


def _contribution(
    bore: str, work: PassWork, share: Share, group: Group, bite: float
) -> Contribution:
    """One pass of one bore as it counts for one rod.

    Where the rod's place is in doubt, low is the least place and high the worst, and the bends are
    as unsure as the least sure of the places: saying less must not narrow the band. ``bite`` is
    what the mid tube's low was raised by for a jaw bite that not all rods of the group have.
    """
    assumed = not work.recorded or work.turns.rung in ASSUMED_RUNGS or group.known in ASSUMED_WHO
    without = np.ones(COUNT)
    without[SECTIONS.index(Section.MID_TUBE)] = 1.0 / bite
    return Contribution(
        source=bore,
        design=share.best[DESIGN],
        low=share.low[LOW] * without,
        best=share.best[BEST],
        high=share.high[HIGH],
        bend_error=share.high[ERROR],
        turns_rung=str(work.turns.rung),
        turns_sigma=work.turns.sigma,
        assumed=1.0 if assumed else 0.0,
        may_be_none=not work.recorded,
        high_at_least=share.low[HIGH] * without if is_shared(group) else None,
    )


def is_shared(group: Group) -> bool:
    """Whether it is in doubt which of some rods stood in which of some places."""
    return len(group.rods) > 1


def rotating_time(work: PassWork, turns: float) -> float:
    """Time of so many turns at the pass's mean speed, 100 rpm where none is known. [s]"""
    return turns / (work.mean_speed or 100.0 / 60.0)


def rods_of_bore(
    work: BoreWork,
    who: WhoInBore,
    happened: str,
    bitten: Collection[str] = (),
    raised: float = 1.0,
    last_day: str = "",
    who_in_old: Sequence[WhoInBore] = (),
) -> dict[str, BoreOfRod]:
    """What a bore did to each rod that stood in it, or may have.

    Parameters
    ----------
    work : BoreWork
        The bore worked through, whole or to some moment.
    who : WhoInBore
        Who stood where.
    happened : str
        ISO date of the bore.
    bitten : collection of str
        Keys of the rods that turned with a jaw bite.
    raised : float
        What a bite multiplies the damage of the mid tube by. [-]
    last_day : str
        Last ISO day it may have been worked on; empty when not known.
    who_in_old : sequence of WhoInBore
        Who stood where in each hole left behind; when not given ``who``, which then names every
        place of those too.

    Returns
    -------
    dict of str to BoreOfRod
        By key of the rod; stand-ins for unknown rods are included under their own key.
    """
    found: dict[str, list[tuple[PassWork, Contribution, float, Group]]] = {}
    for each, damage, stood, places in _passes_with_who(work, who, who_in_old):
        groups = _groups_for(stood, each)
        values = _over_places(each, _side_by_side(damage), places)
        by_rod = shares(groups, values, values, values)
        for group in groups:
            some = 0 < sum(rod in bitten for rod in group.rods) < len(group.rods)
            for rod in group.rods:
                turns = float(by_rod[rod].best[-1])
                if turns > 0.0 or rod in found:
                    made = _contribution(
                        work.bore.name, each, by_rod[rod], group, raised if some else 1.0
                    )
                    found.setdefault(rod, []).append((each, made, turns, group))
        for rod, made, turns in _tail(work.bore.name, each, damage):
            group = Group((rod,), (1,), WhoStood.BY_ROW)
            found.setdefault(rod, []).append((each, made, turns, group))
    return {
        rod: replace(_bore_of_rod(work, rows, happened), last_day=last_day, loads_ago=who.loads_ago)
        for rod, rows in found.items()
    }


def _passes_with_who(
    work: BoreWork, who: WhoInBore, who_in_old: Sequence[WhoInBore]
) -> Iterator[tuple[PassWork, LegDamage, WhoInBore, int]]:
    """Every pass, who stood in it and how many places there are for that, old holes last."""
    stood = (who, *(who_in_old or [who] * len(work.old_holes)))
    for hole, those in zip((work, *work.old_holes), stood, strict=True):
        places = max(hole.rod_count, max(p for group in those.groups for p in group.places))
        for each, damage in zip(hole.passes, hole.damages, strict=True):
            yield each, damage, those, places


def _tail(bore: str, each: PassWork, damage: LegDamage) -> list[tuple[str, Contribution, float]]:
    """Rods of a tail string: named in the record one by one."""
    rows = []
    for row, member in enumerate(each.leg.order.members):
        if member.key.startswith("place "):
            continue
        made = Contribution(
            source=bore,
            design=damage.design[row],
            low=damage.low[row],
            best=damage.best[row],
            high=damage.high[row],
            bend_error=damage.bend_error[row],
            turns_rung=str(each.turns.rung),
            turns_sigma=each.turns.sigma,
            assumed=float(each.turns.rung in ASSUMED_RUNGS),
            may_be_none=not each.recorded,
        )
        rows.append((member.key, made, float(damage.turns[row])))
    return rows


def _tightest(work: BoreWork, places: Sequence[int]) -> float:
    """Tightest bend a rod in one of these places turned through, in any hole; NaN if none. [1/m]"""
    found = [
        float(hole.tightest_by_place[place - 1])
        for hole in (work, *work.old_holes)
        for place in places
        if place <= hole.rod_count
    ]
    return float(np.fmax.reduce(found, initial=math.nan))


def _bore_of_rod(
    work: BoreWork, rows: Sequence[tuple[PassWork, Contribution, float, Group]], happened: str
) -> BoreOfRod:
    first = rows[0][3]
    return BoreOfRod(
        bore=work.bore.name,
        happened=happened,
        known=first.known,
        places=first.places,
        in_doubt=is_shared(first) or len(first.places) != 1,
        contributions=tuple(made for _, made, _, _ in rows),
        passes=tuple(each.name for each, _, _, _ in rows),
        turns=sum(turns for _, _, turns, _ in rows),
        metres=sum(each.travelled for each, _, turns, _ in rows if turns > 0.0),
        rotating_time=sum(rotating_time(each, turns) for each, _, turns, _ in rows),
        tightest=_tightest(work, first.places),
    )
