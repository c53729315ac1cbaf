"""What all bores together did to each rod: contributions with who stood where."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodhand.book.bore_work import BoreWork
from rodhand.book.pass_work import PassWork
from rodhand.book.who import WhoInBore
from rodhand.drillstring.turns import ASSUMED_RUNGS
from rodhand.steel.rod_type import RodType
from rodhand.wear.damage import LegDamage
from rodhand.wear.life_used import Contribution, RodLife, rod_life
from rodhand.wear.sections import SECTIONS, CurveSet, section_curves
from rodhand.wear.who_stood import Group, Share, WhoStood, shares

Floats = NDArray[np.float64]
ASSUMED_WHO = (WhoStood.UNKNOWN,)


@dataclass(frozen=True, eq=False)
class BoreOfRod:
    """What one bore did to one rod.

    Parameters
    ----------
    bore, happened : str
        Name and ISO date of the bore.
    known : WhoStood
        How it is known that the rod stood there.
    places : tuple of int
        Place, or the places it may have stood in.
    contributions : tuple of Contribution
        One for each pass it was in.
    turns, metres, rotating_time : float
        Turns, metres of hole its string travelled, and time it turned, best guess.
        [turns], [m], [s]
    tightest : float
        Tightest curvature it turned in; NaN when unknown. [1/m]
    """

    bore: str
    happened: str
    known: WhoStood
    places: tuple[int, ...]
    contributions: tuple[Contribution, ...]
    turns: float
    metres: float
    rotating_time: float
    tightest: float

    @property
    def assumed(self) -> bool:
        """Whether it rests on no record of this bore."""
        return self.known in ASSUMED_WHO or all(c.assumed > 0.5 for c in self.contributions)


@dataclass(frozen=True, eq=False)
class RodHistory:
    """Everything the book knows about one rod's work.

    Parameters
    ----------
    rod_type : RodType
        Its type, whose curves decide the exponents.
    past : tuple of Contribution
        Its share of the declared past.
    past_time : float
        Rotating hours declared for its set. [s]
    bores : tuple of BoreOfRod
        In order of the work.
    curves : CurveSet
        Fatigue curves.
    """

    rod_type: RodType
    past: tuple[Contribution, ...]
    past_time: float
    bores: tuple[BoreOfRod, ...]
    curves: CurveSet

    @cached_property
    def slopes(self) -> tuple[float, ...]:
        """m of each section's curve. [-]"""
        return tuple(curve.slope for curve in section_curves(self.rod_type, self.curves))

    @cached_property
    def contributions(self) -> tuple[Contribution, ...]:
        """Declared past and all bores."""
        return (*self.past, *(c for bore in self.bores for c in bore.contributions))

    @cached_property
    def life(self) -> RodLife:
        """Life used of all its history."""
        return rod_life(self.contributions, self.slopes)

    def life_before(self, day: str) -> RodLife:
        """Life used by the end of the day before an ISO date."""
        kept = [c for bore in self.bores if bore.happened < day for c in bore.contributions]
        return rod_life([*self.past, *kept], self.slopes)

    def of_sources(self, names: Collection[str]) -> RodHistory:
        """The same rod with those bores and declared pasts alone that are named."""
        past = tuple(part for part in self.past if part.source in names)
        return replace(
            self, past=past, bores=tuple(bore for bore in self.bores if bore.bore in names)
        )

    def life_of(self, bore: BoreOfRod) -> RodLife:
        """Life used in one bore alone."""
        return rod_life(bore.contributions, self.slopes)

    @cached_property
    def metres(self) -> float:
        """Metres of hole travelled in the book's bores. [m]"""
        return sum(bore.metres for bore in self.bores)

    @cached_property
    def rotating_time(self) -> float:
        """Time turned in the book's bores. [s]"""
        return sum(bore.rotating_time for bore in self.bores)

    @cached_property
    def known_share(self) -> float:
        """Share of its work, by rotating time, that is not assumed; 1 with no work at all. [-]"""
        whole = self.past_time + self.rotating_time
        if whole <= 0.0:
            return 1.0
        known = sum(bore.rotating_time for bore in self.bores if not bore.assumed)
        return known / whole


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


def _contribution(bore: str, work: PassWork, share: Share, known: WhoStood) -> Contribution:
    """One pass of one bore as it counts for one rod.

    Where the rod's place is in doubt, low is the least place and high the worst, and the bends are
    as unsure as the least sure of the places: saying less must not narrow the band.
    """
    assumed = not work.recorded or work.turns.rung in ASSUMED_RUNGS or known in ASSUMED_WHO
    return Contribution(
        source=bore,
        design=share.best[DESIGN],
        low=share.low[LOW],
        best=share.best[BEST],
        high=share.high[HIGH],
        bend_error=share.high[ERROR],
        turns_rung=str(work.turns.rung),
        turns_sigma=work.turns.sigma,
        assumed=1.0 if assumed else 0.0,
        may_be_none=not work.recorded,
    )


def rotating_time(work: PassWork, turns: float) -> float:
    """Time of so many turns at the pass's mean speed, 100 rpm where none is known. [s]"""
    return turns / (work.mean_speed or 100.0 / 60.0)


def rods_of_bore(work: BoreWork, who: WhoInBore, happened: str) -> dict[str, BoreOfRod]:
    """What a bore did to each rod that stood in it, or may have.

    Parameters
    ----------
    work : BoreWork
        The bore worked through, whole or to some moment.
    who : WhoInBore
        Who stood where.
    happened : str
        ISO date of the bore.

    Returns
    -------
    dict of str to BoreOfRod
        By key of the rod; stand-ins for unknown rods are included under their own key.
    """
    places = work.rod_count
    found: dict[str, list[tuple[PassWork, Contribution, float, Group]]] = {}
    for each, damage in zip(work.passes, work.damages, strict=True):
        groups = _groups_for(who, each)
        values = _over_places(each, _side_by_side(damage), places)
        by_rod = shares(groups, values, values, values)
        for group in groups:
            for rod in group.rods:
                turns = float(by_rod[rod].best[-1])
                if turns > 0.0 or rod in found:
                    made = _contribution(work.bore.name, each, by_rod[rod], group.known)
                    found.setdefault(rod, []).append((each, made, turns, group))
        for rod, made, turns in _tail(work.bore.name, each, damage):
            group = Group((rod,), (1,), WhoStood.BY_ROW)
            found.setdefault(rod, []).append((each, made, turns, group))
    return {rod: _bore_of_rod(work, rows, happened) for rod, rows in found.items()}


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


def _bore_of_rod(
    work: BoreWork, rows: Sequence[tuple[PassWork, Contribution, float, Group]], happened: str
) -> BoreOfRod:
    first = rows[0][3]
    return BoreOfRod(
        bore=work.bore.name,
        happened=happened,
        known=first.known,
        places=first.places,
        contributions=tuple(made for _, made, _, _ in rows),
        turns=sum(turns for _, _, turns, _ in rows),
        metres=sum(each.travelled for each, _, turns, _ in rows if turns > 0.0),
        rotating_time=sum(rotating_time(each, turns) for each, _, turns, _ in rows),
        tightest=float(np.fmax.reduce(work.tightest_by_place[[p - 1 for p in first.places]])),
    )
