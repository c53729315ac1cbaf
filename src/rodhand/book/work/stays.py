"""Where each thing was, from when to when, and whose it is."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.choices import GONE
from rodhand.record.origin import Origin

AWAY = (*GONE, "at the shop", "on another rig", "lent", "not known")
"""Whereabouts from which no rod stands in our box."""
FOREIGN = ("rented in", "sub-contractor's")
"""With us, but others': what they did before they came is unknown."""


@dataclass(frozen=True)
class Stay:
    """Where a thing was from a moment on; ``day`` is local, ``at`` puts it in order."""

    where: str
    rig: str
    day: str
    at: str
    origin: Origin


Stays = Mapping[str, tuple[Stay, ...]]


def stays_of(book: Book) -> Stays:
    """Every thing's stays in order; a thing nobody said anything of has none."""
    found: dict[str, list[Stay]] = {}
    for each in book.whereabouts:
        stay = Stay(
            each.where, each.rig, each.origin.happened.start[:10], each.origin.at, each.origin
        )
        for key in each.things:
            found.setdefault(key, []).append(stay)
    return {key: tuple(stays) for key, stays in found.items()}


def stay_on(stays: Stays, key: str, day: str) -> Stay | None:
    """Where a thing was at the end of an ISO day; None when nobody had said by then."""
    known = stays.get(key, ())
    return next((each for each in reversed(known) if each.day <= day), None)


def stay_at(stays: Stays, key: str, at: str) -> Stay | None:
    """Where a thing was at a moment given as an `Origin.at`; None when nobody had said."""
    known: Sequence[Stay] = stays.get(key, ())
    count = bisect_right([each.at for each in known], at)
    return known[count - 1] if count else None


def stay_before(stays: Stays, key: str, bore: Bore) -> Stay | None:
    """Where a thing was when a bore began; None when nobody had said.

    What went away on the bore's own day, no hour given, may have been in that bore first: a rod
    lost in the hole was.
    """
    day = bore.origin.happened.start[:10]
    known = [each for each in stays.get(key, ()) if each.at <= bore.origin.at]
    while known and known[-1].where in AWAY and _on_the_day(known[-1], day):
        known.pop()
    return known[-1] if known else None


def _on_the_day(stay: Stay, day: str) -> bool:
    return stay.day == day and stay.origin.happened.precision != "minute"


def found_source(stay: Stay) -> str:
    """Name of a thing's being fished out of the hole, for a person's word about it."""
    return f"found {stay.day}"


def is_away(book: Book, stay: Stay | None) -> bool:
    """Whether a thing is where it cannot stand in a box of ours."""
    return stay is not None and stay.where in AWAY and not is_ours(book, stay)


def is_ours(book: Book, stay: Stay) -> bool:
    """Whether a stay is on another rig of this book, whose bores say what was done there."""
    return stay.where == "on another rig" and stay.rig in book.rigs


def rods_of_rig(book: Book, stays: Stays, bore: Bore) -> tuple[str, ...]:
    """Rods that may have stood in a bore when nobody said which: the rig's own, or of no rig.

    Rods away at the time are left out, and so are other types than the rig's.
    """
    rig = book.rigs.get(bore.rig)
    wanted = rig.rod_type.casefold() if rig else ""

    def may(key: str) -> bool:
        thing = book.things[key]
        if thing.what != "rod" or (wanted and thing.rod_type.casefold() not in ("", wanted)):
            return False
        stay = stay_before(stays, key, bore) if key in stays else None
        on = stay.rig if stay is not None and stay.rig else thing.rig
        return on in ("", bore.rig) and not (
            stay is not None and stay.where in AWAY and stay.rig != bore.rig
        )

    return tuple(key for key in book.things if may(key))


@dataclass(frozen=True)
class Stretch:
    """Days a thing worked where this book does not see it.

    ``start`` is empty for the time before a rented or lent-in rod came, ``end`` while it is still
    away; ISO days. ``where`` says how; ``origins`` are the entries it rests on.
    """

    where: str
    start: str
    end: str
    origins: tuple[Origin, ...]


def unseen_stretches(
    book: Book, stays: Sequence[Stay], worked: Iterable[str]
) -> tuple[Stretch, ...]:
    """Days of a thing that this book does not see.

    Parameters
    ----------
    book : Book
        For its rigs.
    stays : sequence of Stay
        The thing's stays in order.
    worked : iterable of str
        ISO days of bores it stood in: a rod at work here is no longer away, whether or not
        somebody wrote that it came back.

    Returns
    -------
    tuple of Stretch
        Oldest first. Time in the hole, at the shop or scrapped is no work.
    """
    found: list[Stretch] = []
    days = sorted(worked)
    for number, stay in enumerate(stays):
        after = stays[number + 1] if number + 1 < len(stays) else None
        origins = (stay.origin, *((after.origin,) if after else ()))
        if number == 0 and stay.where in FOREIGN and (not days or days[0] >= stay.day):
            found.append(Stretch(stay.where, "", stay.day, (stay.origin,)))
        unseen = stay.where in ("lent", "on another rig", "not known") or (
            stay.where == "sold" and after is not None
        )
        if unseen and not is_ours(book, stay):
            back = [day for day in days if day > stay.day]
            end = min([*back[:1], *([after.day] if after else [])], default="")
            if stay.where != "sold" or end:
                found.append(Stretch(stay.where, stay.day, end, origins))
    return tuple(found)
