"""Everything the book knows about one rod's work, bore by bore, and the life it used."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rodhand.advice.fitness import days_between
from rodhand.record.book_things import Cut
from rodhand.record.origin import Origin
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import (
    PRINTED_CLASSES,
    ClassFactor,
    Contribution,
    RodLife,
    rod_life,
)
from rodhand.wear.sections import SECTIONS, CurveSet, section_curves
from rodhand.wear.who_stood import WhoStood

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
    last_day : str
        Last ISO day the bore may have been worked on; empty when not known.
    loads_ago : int or None
        Bores since the order of the box was last confirmed; None when it never was.
    in_doubt : bool
        Whether it may have stood in another place than one, or not at all.
    passes : tuple of str
        Name of the pass of each contribution.
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
    last_day: str = ""
    loads_ago: int | None = None
    in_doubt: bool = False
    passes: tuple[str, ...] = ()

    @property
    def assumed(self) -> bool:
        """Whether it rests on no record of this bore."""
        return self.known in ASSUMED_WHO or all(c.assumed > 0.5 for c in self.contributions)


@dataclass(frozen=True, eq=False)
class Outside:
    """Work of a rod that this book's bores do not hold; all of it assumed.

    Parameters
    ----------
    source : str
        Its name as a source of wear.
    kind : str
        ``declared`` past of its set, ``former`` owner's book, or the whereabouts it worked at.
    start, end : str
        ISO days; empty for from before the book, and for still under way.
    contribution : Contribution
        What it did.
    time : float
        Rotating time it stands for. [s]
    until : str
        ISO day up to which it counts; of a stretch under way the day the book is asked for.
    origins : tuple of Origin
        The entries it rests on.
    """

    source: str
    kind: str
    start: str
    end: str
    contribution: Contribution
    time: float
    until: str = ""
    origins: tuple[Origin, ...] = ()

    def by(self, day: str) -> Contribution | None:
        """The part of it that was done by an ISO day; None when none was."""
        if self.start > day:
            return None
        last = self.end or self.until
        if not self.start or not last or last <= day:
            return self.contribution
        whole = max(days_between(self.start, last), 1)
        return scaled(self.contribution, days_between(self.start, day) / whole)


def scaled(part: Contribution, factor: float) -> Contribution:
    """The same kind of work, so many times of it."""
    return replace(
        part,
        design=part.design * factor,
        low=part.low * factor,
        best=part.best * factor,
        high=part.high * factor,
        high_at_least=None if part.high_at_least is None else part.high_at_least * factor,
    )


ENDS = {"pin": 0, "box": len(SECTIONS) - 1}
"""Section of each end's thread, which a re-cut makes new."""


def after_cuts(part: Contribution, ended: str, cuts: Sequence[Cut], by: str = "") -> Contribution:
    """Work as it still counts once threads were cut away.

    Parameters
    ----------
    part : Contribution
        What the work did.
    ended : str
        ISO day it had ended by; empty when unknown, and then no cut takes any of it.
    cuts : sequence of Cut
        Re-cuts of the rod. One on the day the work ended takes nothing: it may have come before.
    by : str
        Only cuts made by this ISO day; all when empty.
    """
    gone = np.zeros(len(SECTIONS), dtype=bool)
    for cut in cuts:
        day = cut.since[:10]
        if "" < ended < day and (not by or day <= by):
            gone[[section for end, section in ENDS.items() if cut.takes(end)]] = True
    if not gone.any():
        return part
    kept = ~gone
    return replace(
        part,
        design=part.design * kept,
        low=part.low * kept,
        best=part.best * kept,
        high=part.high * kept,
        high_at_least=None if part.high_at_least is None else part.high_at_least * kept,
    )


@dataclass(frozen=True, eq=False)
class RodHistory:
    """Everything the book knows about one rod's work.

    Parameters
    ----------
    rod_type : RodType
        Its type, whose curves decide the exponents.
    outside : tuple of Outside
        Work this book's bores do not hold: declared past, former owner, lent.
    bores : tuple of BoreOfRod
        In order of the work.
    curves : CurveSet
        Fatigue curves.
    cuts : tuple of Cut
        Re-cuts of its ends: what was cut away takes its damage with it.
    classes : tuple of ClassFactor
        What is held of the class of each section.
    """

    rod_type: RodType
    outside: tuple[Outside, ...]
    bores: tuple[BoreOfRod, ...]
    curves: CurveSet
    cuts: tuple[Cut, ...] = ()
    classes: tuple[ClassFactor, ...] = PRINTED_CLASSES

    @cached_property
    def slopes(self) -> tuple[float, ...]:
        """m of each section's curve. [-]"""
        return tuple(curve.slope for curve in section_curves(self.rod_type, self.curves))

    @cached_property
    def past(self) -> tuple[Contribution, ...]:
        """Work outside the book's bores as it still counts."""
        return tuple(after_cuts(each.contribution, each.end, self.cuts) for each in self.outside)

    @cached_property
    def past_time(self) -> float:
        """Rotating time of that work. [s]"""
        return sum(each.time for each in self.outside)

    def counting(self, bore: BoreOfRod) -> tuple[Contribution, ...]:
        """What of a bore still counts: all but threads cut away since."""
        return tuple(after_cuts(each, bore.last_day, self.cuts) for each in bore.contributions)

    @cached_property
    def contributions(self) -> tuple[Contribution, ...]:
        """Work outside and all bores, as they still count."""
        return (*self.past, *(c for bore in self.bores for c in self.counting(bore)))

    @cached_property
    def life(self) -> RodLife:
        """Life used of all its history."""
        return rod_life(self.contributions, self.slopes, classes=self.classes)

    def contributions_by(self, day: str, bores: Sequence[BoreOfRod]) -> tuple[Contribution, ...]:
        """Work outside done by an ISO day and all of some bores, as they counted that day."""
        parts = [(each.by(day), each.end) for each in self.outside]
        parts += [(each, bore.last_day) for bore in bores for each in bore.contributions]
        return tuple(
            after_cuts(part, ended, self.cuts, day) for part, ended in parts if part is not None
        )

    def life_on(self, day: str) -> RodLife:
        """Life used by the end of an ISO day."""
        done = [bore for bore in self.bores if bore.happened <= day]
        return rod_life(self.contributions_by(day, done), self.slopes, classes=self.classes)

    def before_bore(self, bore: str, day: str) -> tuple[Contribution, ...]:
        """Everything before a bore, in the order of the work, as it counted on its ISO day."""
        names = [each.bore for each in self.bores]
        count = names.index(bore) if bore in names else len(names)
        return self.contributions_by(day, self.bores[:count])

    def life_before(self, day: str) -> RodLife:
        """Life used by the end of the day before an ISO date."""
        done = [bore for bore in self.bores if bore.happened < day]
        return rod_life(self.contributions_by(day, done), self.slopes, classes=self.classes)

    def of_sources(self, names: Collection[str]) -> RodHistory:
        """The same rod with those bores and works outside alone that are named."""
        return replace(
            self,
            outside=tuple(each for each in self.outside if each.source in names),
            bores=tuple(bore for bore in self.bores if bore.bore in names),
        )

    def life_of(self, bore: BoreOfRod) -> RodLife:
        """Life used in one bore alone, as it still counts."""
        return rod_life(self.counting(bore), self.slopes, classes=self.classes)

    @cached_property
    def metres(self) -> float:
        """Metres of hole travelled in the book's bores. [m]"""
        return sum(bore.metres for bore in self.bores)

    @cached_property
    def rotating_time(self) -> float:
        """Time turned in the book's bores. [s]"""
        return sum(bore.rotating_time for bore in self.bores)

    @property
    def unknown_before(self) -> bool:
        """Whether nobody knows how much some of its work was."""
        return self.life.worst.at_least

    @cached_property
    def known_share(self) -> float | None:
        """Share of its work, by rotating time, that is not assumed; 1 with no work at all. [-]

        None where nobody knows how much the rest was.
        """
        if self.unknown_before:
            return None
        whole = self.past_time + self.rotating_time
        if whole <= 0.0:
            return 1.0
        known = sum(bore.rotating_time for bore in self.bores if not bore.assumed)
        return known / whole
