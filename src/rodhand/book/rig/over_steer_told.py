"""Whether the rod read last was steered past a limit: told until the next rod is read."""

from __future__ import annotations

from rodhand.advice.verdict import Sentence
from rodhand.book.work.assess import front_of, rod_type_of_bore
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.over_limits import LimitedBend, hold_against
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

TOLD = ("likely", "over")


def over_steer_told(book: Book, bore: Bore, hole: Hole | None, key: str) -> Sentence | None:
    """What is said of the rod read last, where it bends past the limit of rods or head.

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
    Sentence or None
        ``this_rod.over`` or ``this_rod.likely`` with station, share of the limit [-], length [m]
        and radius [m]; None where the rod is within its limits, was not read, or no limit is known.
    """
    rod_type = rod_type_of_bore(book, bore)
    if hole is None or rod_type is None or not rod_type.limit_radius or not hole.rods.station.size:
        return None
    front = front_of(book, bore)
    held = hold_against(
        hole.bends, hole.rods, rod_type.limit_radius, front.length, front.limit_radius
    )
    last = int(hole.rods.station.max())
    found = [bend for bend in held.notable if bend.station == last and bend.verdict in TOLD]
    return _said(max(found, key=lambda bend: bend.share), key) if found else None


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
