"""The bends rods stand in now: the last one where it is past a limit, and the sharpest of all."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.work.assess import front_of, rod_type_of_bore
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.over_limits import LimitedBend, hold_against
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

TOLD = ("likely", "over")


@dataclass(frozen=True)
class BendsNow:
    """Bends of the pilot so far.

    Parameters
    ----------
    over : Sentence or None
        ``this_rod.over`` or ``this_rod.likely`` with station, share of the limit [-], length [m]
        and radius [m] of the rod read last, where it is past a limit: told until the next is read.
    sharpest : Sentence or None
        The bend with the largest share of its limit, rods stand in or turn through it: station
        and share [-]; None before one was read.
    """

    over: Sentence | None = None
    sharpest: Sentence | None = None


def bends_now(book: Book, bore: Bore, hole: Hole | None, key: str) -> BendsNow:
    """What is said of the bends of a bore at hand.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : Bore
        The bore at hand, its pilot under way.
    hole : Hole or None
        The pilot's hole.
    key : str
        First part of the figures' keys.

    Returns
    -------
    BendsNow
        Empty where no limit is known or nothing was read.
    """
    rod_type = rod_type_of_bore(book, bore)
    if hole is None or rod_type is None or not rod_type.limit_radius or not hole.rods.station.size:
        return BendsNow()
    front = front_of(book, bore)
    held = hold_against(
        hole.bends, hole.rods, rod_type.limit_radius, front.length, front.limit_radius
    )
    last = int(hole.rods.station.max())
    found = [bend for bend in held.notable if bend.station == last and bend.verdict in TOLD]
    read = [bend for bend in (*held.rods, *held.read_inside) if bend.verdict != "unknown"]
    return BendsNow(
        _said(max(found, key=lambda bend: bend.share), key) if found else None,
        _sharpest(max(read, key=lambda bend: bend.share), key) if read else None,
    )


def _sharpest(bend: LimitedBend, key: str) -> Sentence:
    share = Figure(f"{key}.sharpest", bend.share, "share", Standing.COMPUTED)
    return Sentence("this_rod.sharpest", {"station": str(bend.station), "share": share})


def _said(bend: LimitedBend, key: str) -> Sentence:
    own, computed = f"{key}.over", Standing.COMPUTED
    return Sentence(
        f"this_rod.{bend.verdict}",
        {
            "station": str(bend.station),
            "share": Figure(f"{own}.share", bend.share, "share", computed),
            "length": Figure(f"{own}.length", bend.end - bend.start, "length", computed),
            "radius": Figure(f"{own}.radius", bend.radius, "radius", computed),
        },
    )
