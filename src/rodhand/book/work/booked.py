"""The booked work: bores to come, in the order they are to be drilled."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.plan.planned import kept_length
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.marks import fold
from rodhand.record.planned import BookedBore, Plan

LATER = "9999-12-31"


@dataclass(frozen=True)
class BoreToCome:
    """One bore to come.

    Parameters
    ----------
    name, rig, ground, under : str
        As booked, or as entered of the bore itself; ``unknown`` and empty where nobody said.
    length : float or None
        Along the hole; None where nobody said. [m]
    day : str
        ISO day it is to begin; empty where nobody said.
    turn : int or None
        Its place in the order where no day tells.
    plan : Plan or None
        Its plan, where one is entered.
    """

    name: str
    rig: str
    length: float | None
    ground: str = "unknown"
    under: str = ""
    day: str = ""
    turn: int | None = None
    plan: Plan | None = None


def booked_work(book: Book) -> tuple[BoreToCome, ...]:
    """Every bore booked and not yet begun, first to come first.

    Parameters
    ----------
    book : Book
        The facts.

    Returns
    -------
    tuple of BoreToCome
        By day, then by place in the order, then as booked; what has neither comes last. A bore
        entered without a row counts as booked, and so does a plan of a rig once a path of it is
        kept: its length is the kept path's, none where neither is there. A bore's own
        ground and what it runs under stand before those of the booking. A bore with a row of any
        pass is begun and is in no booked work.
    """
    plans = {fold(each.plan): each for each in book.plans}
    entered = {fold(name): bore for name, bore in book.bores.items()}
    booked: dict[str, BoreToCome] = {}
    for each in book.booked:
        booked[fold(each.bore)] = _to_come(each, plans, entered.get(fold(each.bore)))
    for name, bore in entered.items():
        if has_begun(bore):
            booked.pop(name, None)
        elif name not in booked:
            plan = plans.get(name)
            booked[name] = BoreToCome(
                bore.name, bore.rig, _length(book, plan), bore.ground, bore.under, plan=plan
            )
    named = {fold(each.plan) for each in book.booked}
    for name, plan in plans.items():
        if name not in {*entered, *named} and name not in booked and plan.rig and plan.chosen:
            booked[name] = BoreToCome(plan.plan, plan.rig, _length(book, plan), plan=plan)
    return tuple(sorted(booked.values(), key=_place))


def _length(book: Book, plan: Plan | None) -> float | None:
    return None if plan is None else kept_length(book, plan)


def has_begun(bore: Bore) -> bool:
    """Whether a row of any pass of a bore is on record."""
    return any(each.readings for each in bore.passes)


def booked_of_begun(book: Book, rig: str = "", entry: str = "") -> tuple[Sentence, ...]:
    """What is said of bookings entered after their bore was begun: kept, counting for nothing.

    Parameters
    ----------
    book : Book
        The facts.
    rig : str, optional
        Only bores of this rig.
    entry : str, optional
        Only the booking of this entry.

    Returns
    -------
    tuple of Sentence
        Each with the bore. A booking entered before the first row of its bore is none of them.
    """
    entered = {fold(name): bore for name, bore in book.bores.items()}
    of_begun = {
        each.origin.entry: bore
        for each in book.booked
        if (bore := entered.get(fold(each.bore))) and has_begun(bore)
        and (not rig or bore.rig == rig) and (not entry or each.origin.entry == entry)
    }  # fmt: skip
    if not of_begun:
        return ()
    place = {each.id: at for at, each in enumerate(book.entries)}
    return tuple(
        Sentence("booked.begun", {"bore": bore.name})
        for booking, bore in of_begun.items()
        if min(place[row] for row in _rows(bore)) < place[booking]
    )


def _rows(bore: Bore) -> list[str]:
    """Entries of the rows of a bore."""
    return [row.origin.entry for each in bore.passes for row in each.readings]


def _to_come(booked: BookedBore, plans: dict[str, Plan], bore: Bore | None) -> BoreToCome:
    ground = bore.ground if bore and bore.ground != "unknown" else booked.ground
    return BoreToCome(
        booked.bore, bore.rig if bore else booked.rig, booked.length, ground,
        (bore.under if bore else "") or booked.under, booked.day, booked.turn,
        plans.get(fold(booked.plan or booked.bore)),
    )  # fmt: skip


def _place(bore: BoreToCome) -> tuple[str, int]:
    return bore.day or LATER, bore.turn if bore.turn is not None else 10**9
