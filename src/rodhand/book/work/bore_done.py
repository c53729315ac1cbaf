"""One bore worked through: who stood where, and what it did to each rod."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from rodhand.book.work.bore_work import BoreWork, ConditionOf, Front, work_bore
from rodhand.book.work.bows import BowSeen
from rodhand.book.work.box_order import BoxOrder
from rodhand.book.work.conditions import Bite, condition_in
from rodhand.book.work.days import day_of, last_day_of
from rodhand.book.work.old_holes import bore_of_old, old_hole_name
from rodhand.book.work.pass_work import Habits
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.book.work.rods_of_bore import rods_of_bore
from rodhand.book.work.shoulder_work import with_open_shoulders
from rodhand.book.work.stays import Stays, rods_of_rig
from rodhand.book.work.who import NOBODY, WhoInBore, who_in_bore
from rodhand.book.work.who_stood import who_in_old, without_the_away
from rodhand.drillstring.meetings import PinToward
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, OldHole
from rodhand.record.book_things import Rig
from rodhand.wear.sections import BITE_FACTOR, CurveSet


def front_of(book: Book, bore: Bore) -> Front:
    """Front assembly of a bore: its own figures first, then the head's."""
    day = day_of(bore.origin.happened.start)
    head = book.thing_named(bore.head, day) if bore.head else None
    return Front(
        name=head.name_on(day) if head else bore.head,
        length=bore.front_length
        if bore.front_length is not None
        else head.length
        if head
        else None,
        bit_to_sensor=(
            bore.bit_to_sensor
            if bore.bit_to_sensor is not None
            else head.bit_to_sensor
            if head
            else None
        ),
        limit_radius=head.limit_radius if head else None,
    )


def _pin_toward(rig: Rig | None) -> PinToward:
    return "rig" if rig is not None and rig.pin_toward == "rig" else "head"


def _lengths(book: Book, who: WhoInBore, places: int, day: str) -> list[float | None]:
    """Length of each place's rod in force on the bore's day, where one rod stood there. [m]"""
    found: list[float | None] = [None] * places
    for group in who.groups:
        if len(group.rods) == 1 and group.rods[0] in book.things:
            found[group.places[0] - 1] = book.things[group.rods[0]].length_on(day)
    return found


@dataclass(frozen=True, eq=False)
class Around:
    """What the work of one bore needs of the book around it."""

    book: Book
    curves: CurveSet
    habits: Mapping[str, Habits]
    bitten: Mapping[str, tuple[Bite, ...]]
    bowed: Mapping[str, tuple[BowSeen, ...]]
    stays: Stays
    orders: Mapping[str, BoxOrder]


@dataclass(frozen=True, eq=False)
class BoreDone:
    """One bore worked through: who stood where, and what it did to each rod the book knows.

    ``work`` is None where there is no full row.
    """

    who: WhoInBore
    condition_of: ConditionOf
    work: BoreWork | None
    rods: Mapping[str, BoreOfRod]


def bore_done(around: Around, bore: Bore) -> BoreDone | None:
    """Work one bore through; None where its rods or its pilot are not known."""
    book, curves = around.book, around.curves
    rod_type = rod_type_of_bore(book, bore)
    pilot = bore.pass_of("pilot")
    if rod_type is None or pilot is None or not pilot.readings:
        return None
    places = int(max(row.station for row in pilot.readings))
    happened = day_of(bore.origin.happened.start)
    order = without_the_away(book, around.stays, bore, around.orders[bore.name])
    who = who_in_bore(order, places, rods_of_rig(book, around.stays, bore))
    pin_toward = _pin_toward(book.rigs.get(bore.rig))
    condition_of = condition_in(who, bore, around.bitten, around.bowed, pin_toward)

    def condition_of_old(old: OldHole) -> ConditionOf:
        its = bore_of_old(bore, old)
        there = who_in_old(book, around.stays, bore, old)
        return condition_in(there, its, around.bitten, around.bowed, pin_toward)

    work = work_bore(
        bore, rod_type, curves, front_of(book, bore), around.habits.get(bore.rig, Habits()),
        condition_of, pin_toward, lengths=_lengths(book, who, places, happened),
        condition_of_old=condition_of_old,
    )  # fmt: skip
    if work is None:
        return BoreDone(who, condition_of, None, {})
    comparisons = tuple(book.comparisons)
    left = {old_hole_name(old): old for old in pilot.old_holes}
    olds = [left[each.bore.passes[0].name] for each in work.old_holes]
    opened = tuple(
        with_open_shoulders(each, comparisons, curves, condition_of_old(old))
        for each, old in zip(work.old_holes, olds, strict=True)
    )
    work = with_open_shoulders(work, comparisons, curves, condition_of)
    work = replace(work, old_holes=opened)
    with_bite = {
        key
        for key, bites in around.bitten.items()
        if any(bite.is_there(happened) for bite in bites)
    }
    raised = BITE_FACTOR**curves.tube.slope
    did = rods_of_bore(
        work, who, happened, with_bite, raised, last_day_of(bore),
        [who_in_old(book, around.stays, bore, old) for old in olds],
    )  # fmt: skip
    known = {key: each for key, each in did.items() if not key.startswith(NOBODY)}
    return BoreDone(who, condition_of, work, known)
