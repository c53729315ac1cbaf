"""Work of rods that this book's bores do not hold: declared, a former owner's, lent, unseen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

import numpy as np

from rodhand.advice.fitness import days_between
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.rod_history import BoreOfRod, Outside, scaled
from rodhand.book.work.rods_of_bore import rotating_time
from rodhand.book.work.stays import FOREIGN, Stays, Stretch, unseen_stretches
from rodhand.record.book import Book
from rodhand.record.book_things import FormerUse, RodSet
from rodhand.steel.rod_type import RodType
from rodhand.wear.declared_past import Order, declared_past
from rodhand.wear.life_used import Contribution
from rodhand.wear.sections import CurveSet

HOUR = 3600.0
UNSEEN_TIME_PER_DAY = 2.0 * HOUR
"""Rotating time a day of work nobody saw counts for, where this book has too few bores of its own
to go by (ours, assumed). [s]"""
FEWEST_BORES = 5
UNKNOWN_PAST_DAYS = 365.0
"""Days of work a rod of a past nobody knows counts as having done before it came: rented, a
sub-contractor's, or bought with hours unknown (ours, assumed). Such a guess widens the band and
makes the life used an assumed one; no threshold is held against it: its design value is nil. [d]"""
DECLARED, FORMER = "declared", "former"


def past_source(each: RodSet) -> str:
    """Name of a set's declared past as a source of wear."""
    return f"past {each.name}"


def former_source(former: FormerUse) -> str:
    """Name of a former owner's use as a source of wear."""
    return f"former {former.owner}"


def unseen_source(stretch: Stretch) -> str:
    """Name of days nobody saw as a source of wear."""
    return f"{stretch.where} {stretch.start}".strip()


class OutsideWork:
    """Works out what rods did outside the bores of one book; typical work is worked once.

    Parameters
    ----------
    book : Book
        The book.
    curves : CurveSet
        Fatigue curves.
    stays : Stays
        Where things were.
    works : mapping of str to BoreWork
        The book's bores, for how much its rigs turn in a day.
    today : str
        ISO day the book is asked for: what is away still is unseen up to it.
    """

    def __init__(
        self,
        book: Book,
        curves: CurveSet,
        stays: Stays,
        works: Mapping[str, BoreWork],
        today: str,
    ) -> None:
        self._book, self._curves, self._stays, self._today = book, curves, stays, today
        self._per_day = time_per_day(works)
        self._hour: dict[tuple[str, int], Contribution] = {}
        self._declared: dict[str, dict[str, Contribution]] = {}

    def of_rod(
        self, key: str, rod_type: RodType, bores: Sequence[BoreOfRod]
    ) -> tuple[Outside, ...]:
        """All work of one rod outside the book's bores, oldest first."""
        found = [*self._declared_of(key, rod_type)]
        found += [_former(each) for each in self._book.formers if each.thing == key]
        told = bool(found)
        sure = [bore.happened for bore in bores if not bore.in_doubt]
        for stretch in unseen_stretches(self._book, self._stays.get(key, ()), sure):
            if stretch.where not in FOREIGN or not told:
                found.append(self._unseen(key, rod_type, stretch))
        return tuple(sorted(found, key=lambda each: (each.start, each.end, each.source)))

    def _declared_of(self, key: str, rod_type: RodType) -> list[Outside]:
        """Declared pasts of the sets a rod was in; hours nobody knows count as a year's."""
        found = []
        for each in self._book.sets.values():
            past = each.past
            if past is None or key not in past.things:
                continue
            unknown = past.rotating_time is None
            time = past.rotating_time
            if time is None:
                time = UNKNOWN_PAST_DAYS * self._per_day
            if each.name not in self._declared:
                order = cast("Order", past.order)
                parts = declared_past(
                    time, len(past.things), order, rod_type, self._curves, past_source(each)
                )
                self._declared[each.name] = dict(zip(past.things, parts, strict=True))
            part = self._declared[each.name][key]
            if unknown:
                part = _of_unknown_size(part)
            ended = past.origin.happened.end[:10]
            origins = (past.origin,)
            found.append(Outside(part.source, DECLARED, "", ended, part, time, "", origins))
        return found

    def _unseen(self, key: str, rod_type: RodType, stretch: Stretch) -> Outside:
        """Days of work nobody saw: none at least, at best guess as much as our own rods turn."""
        end = stretch.end or self._today
        days = UNKNOWN_PAST_DAYS
        if stretch.start:
            days = max(float(days_between(stretch.start, end)), 0.0) if end else 0.0
        time = days * self._per_day
        thing = self._book.things[key]
        rod_set = self._book.sets.get(thing.set)
        places = max(len(rod_set.things), 1) if rod_set else 1
        hour = self._typical_hour(rod_type, places)
        part = replace(scaled(hour, time / HOUR), source=unseen_source(stretch), may_be_none=True)
        if not stretch.start:
            part = _of_unknown_size(part)
        return Outside(
            part.source, stretch.where, stretch.start, stretch.end, part, time, end, stretch.origins
        )

    def _typical_hour(self, rod_type: RodType, places: int) -> Contribution:
        """What an hour of ordinary bores takes of a rod of a string whose rows are turned."""
        at = rod_type.name, places
        if at not in self._hour:
            self._hour[at] = declared_past(HOUR, places, "turned", rod_type, self._curves, "")[0]
        return self._hour[at]


def _of_unknown_size(part: Contribution) -> Contribution:
    """Work of which nobody knows how much it was: it may be none, and decides no threshold."""
    return replace(part, design=np.zeros_like(part.design), may_be_none=True, unknown_size=True)


def time_per_day(works: Mapping[str, BoreWork]) -> float:
    """Rotating time of a rig of this book in a day of the calendar, work days or not. [s]"""
    days = sorted(work.bore.origin.happened.start[:10] for work in works.values())
    known = [day for day in days if day]
    if len(known) < FEWEST_BORES or days_between(known[0], known[-1]) < FEWEST_BORES:
        return UNSEEN_TIME_PER_DAY
    rigs = {work.bore.rig for work in works.values()}
    turned = sum(
        rotating_time(each, each.turns.best) for w in works.values() for each, _ in w.in_every_hole
    )
    return turned / len(rigs) / (days_between(known[0], known[-1]) + 1)


def _former(former: FormerUse) -> Outside:
    """A former owner's use, as that book's own sums and band have it."""
    design, low, best, high, width = np.array(former.sections).T
    part = Contribution(
        source=former_source(former),
        design=design,
        low=low,
        best=best,
        high=high,
        bend_error=width,
        turns_rung=FORMER,
        turns_sigma=0.0,
        assumed=1.0,
        unknown_size=former.hours == "unknown",
    )
    # Without a first day there it was before this book, from the first.
    return Outside(
        part.source, FORMER, former.since, former.until, part, former.rotating_time, former.until,
        (former.origin,),
    )  # fmt: skip
