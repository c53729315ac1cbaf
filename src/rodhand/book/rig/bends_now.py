"""The bends rods stand in now: the last one where it is past a limit, and the sharpest of all."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import names_in_words
from rodhand.book.work.at_hand import rods_at_places
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.over_limits import LimitedBend, hold_against
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.book.work.who import WhoInBore
from rodhand.drillstring.places_in import places_in
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing
from rodhand.words import say

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
    rods : tuple of Sentence
        Of the bend past a limit: which rods passed it, and which stand in it now.
    """

    over: Sentence | None = None
    sharpest: Sentence | None = None
    rods: tuple[Sentence, ...] = ()


@dataclass(frozen=True)
class FrontOfString:
    """What is at the front of the string of a pilot under way, and what holds its rods.

    Parameters
    ----------
    names : tuple of str
        Of the rods in the first places, the one behind the head first; a place by its number
        where nobody knows its rod.
    front_length, bit_to_sensor : float
        0 where not given. [m]
    limit_radius : float or None
        The rods' own, in force for the bore. [m]
    rig_pitch : float or None
        Of the rig itself. [rad]
    inside : tuple of tuple
        Readings inside the rod being drilled: station, pitch, heading. [1, rad, rad]
    """

    names: tuple[str, ...]
    front_length: float
    bit_to_sensor: float
    limit_radius: float | None
    rig_pitch: float | None
    inside: tuple[tuple[float, float | None, float | None], ...] = ()

    def named(self, place: int) -> str:
        """The rod in a place, else the place."""
        known = place <= len(self.names)
        return self.names[place - 1] if known else say("this_rod.place", place=place)


PLACES_NAMED = 6
"""Rods at the front that are told by name: a sensor lies less than so many behind the bit. [1]"""


def front_of_string(book: Book, bore: Bore, who: WhoInBore) -> FrontOfString:
    """What a bore's string has in front; ``who`` stood in at least `PLACES_NAMED` places."""
    front, rod_type = front_of(book, bore), rod_type_of_bore(book, bore)
    names = []
    for place in range(1, PLACES_NAMED + 1):
        keys, _ = rods_at_places(book, who, (place,))
        one = len(keys) == 1
        names.append(book.things[keys[0]].name if one else say("this_rod.place", place=place))
    return FrontOfString(
        tuple(names), front.length or 0.0, front.bit_to_sensor or 0.0,
        rod_type.limit_radius if rod_type else None, bore.rig_pitch, _inside(bore),
    )  # fmt: skip


def _inside(bore: Bore) -> tuple[tuple[float, float | None, float | None], ...]:
    pilot = bore.pass_of("pilot")
    rows = pilot.readings if pilot else ()
    full = max((row.station for row in rows if row.station % 1 == 0), default=0.0)
    return tuple((row.station, row.pitch, row.heading) for row in rows if row.station > full)


def bends_now(
    book: Book, bore: Bore, hole: Hole | None, string: FrontOfString, key: str
) -> BendsNow:
    """What is said of the bends of a bore at hand.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : Bore
        The bore at hand, its pilot under way.
    hole : Hole or None
        The pilot's hole.
    string : FrontOfString
        What is in front of it.
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
        hole.bends, hole.rods, rod_type.limit_radius, front.length, front.limit_radius,
        three_rods=False,
    )  # fmt: skip
    last = int(hole.rods.station.max())
    found = [bend for bend in held.notable if bend.station == last and bend.verdict in TOLD]
    read = [bend for bend in (*held.rods, *held.read_inside) if bend.verdict != "unknown"]
    worst = max(found, key=lambda bend: bend.share, default=None)
    return BendsNow(
        _said(worst, key) if worst else None,
        _sharpest(max(read, key=lambda bend: bend.share), key) if read else None,
        _rods(worst, hole, string, rod_type.length) if worst else (),
    )


def _rods(
    bend: LimitedBend, hole: Hole, string: FrontOfString, rod_length: float
) -> tuple[Sentence, ...]:
    """Which rods passed a bend and which stand in it; nobody where only the head does."""
    groups = places_in(bend.start, bend.end, hole.length, string.front_length, rod_length)
    return tuple(
        Sentence(f"this_rod.over_{code}", {"rods": names_in_words([*map(string.named, places)])})
        for code, places in zip(("passed", "in"), groups, strict=True)
        if places
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
