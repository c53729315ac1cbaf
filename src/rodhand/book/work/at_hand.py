"""What a rig has at hand: its bore, the pass under way, the station, and who is in the string."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.box_order import order_of
from rodhand.book.work.days import day_of
from rodhand.book.work.stays import rods_of_rig, stays_of
from rodhand.book.work.who import WhoInBore, asks_for_others, who_in_bore
from rodhand.book.work.who_stood import without_the_away
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass
from rodhand.record.marks import fold
from rodhand.wear.who_stood import WhoStood

PILOT = "pilot"
LEAST_SURE = (WhoStood.MARKED, WhoStood.BY_ROW, WhoStood.SET_ONLY, WhoStood.UNKNOWN)


@dataclass(frozen=True)
class AtHand:
    """What a rig works on.

    Parameters
    ----------
    rig : str
        The rig, in the book's spelling.
    bore : str
        Its bore; empty when it has none yet.
    pass_name : str
        Pass under way, the pilot where none was entered; empty without a bore.
    station : int or None
        Rods in the hole behind the tool; None where the record does not say.
    """

    rig: str
    bore: str = ""
    pass_name: str = ""
    station: int | None = None


@dataclass(frozen=True)
class InString:
    """Rods of a string at one moment, the one behind the tool first.

    ``known`` is how surely they are known, as sure as the least sure of them: marked, by row,
    set only or unknown. ``places`` is how many rods the string had; None when nobody knows.
    """

    keys: tuple[str, ...]
    known: str
    places: int | None


def rig_of(book: Book, name: str) -> str:
    """A rig in the book's spelling. Raises NoSuchRigError if there is none of that name."""
    found = rig_named(book, name) if name.strip() else ""
    if not found:
        raise NoSuchRigError(name)
    return found


def bores_of(book: Book, rig: str, today: str = "") -> tuple[Bore, ...]:
    """Bores of a rig that have begun by an ISO day (today when empty), in order of the work."""
    return tuple(_newest_first(book, rig, today))[::-1]


def _newest_first(book: Book, rig: str, today: str) -> Iterator[Bore]:
    until = today or date.today().isoformat()
    for bore in reversed(book.bores_by_rig.get(fold(rig), ())):
        if day_of(bore.origin.happened.start) <= until:
            yield bore


def entered_last(passes: Iterable[BorePass]) -> BorePass | None:
    """Of some passes the one that began last; None where none was entered as such."""
    entered = [(each.origin.at, each.origin.counter, each) for each in passes if each.origin]
    return max(entered, key=lambda row: row[:2])[2] if entered else None


def pass_under_way(bore: Bore) -> BorePass | None:
    """The pass entered last after the pilot, else the pilot; None before its first row."""
    later = entered_last(each for each in bore.passes if each.what != PILOT)
    return later or bore.pass_of(PILOT)


def station_of(bore: Bore, each: BorePass | None) -> int | None:
    """Rods in the hole behind the tool of a pass, by its last row; None where nobody wrote one."""
    if each is None:
        return 0
    rows = [row.station for row in each.readings]
    if each.what in (PILOT, "push-ream"):
        return int(max(rows, default=0))
    if each.to_station is not None and each.from_station is not None:
        return int(each.to_station)
    return int(min(rows)) if rows else None


def at_hand(book: Book, rig: str, bore: str = "", today: str = "") -> AtHand:
    """What a rig works on: the bore named, else the last one that has begun.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    """
    name = rig_of(book, rig)
    newest_first = _newest_first(book, name, today)
    one = next(newest_first, None)
    if one is None:
        return AtHand(name)
    if bore and fold(one.name) != fold(bore):
        one = next((each for each in newest_first if fold(each.name) == fold(bore)), one)
    under_way = pass_under_way(one)
    return AtHand(
        name, one.name, under_way.name if under_way else PILOT, station_of(one, under_way)
    )


def who_stood_in(book: Book, bore: Bore, places: int) -> WhoInBore:
    """Which rods stood in a bore's places; see `rodhand.book.work.who.who_in_bore`."""
    stays = stays_of(book)
    order = without_the_away(book, stays, bore, order_of(book, bore))
    others = rods_of_rig(book, stays, bore) if asks_for_others(order, places) else ()
    return who_in_bore(order, places, others)


def drilled_by(bore: Bore) -> int:
    """Rods the pilot of a bore used, by its last row; 0 before the first."""
    pilot = bore.pass_of(PILOT)
    return int(max((row.station for row in pilot.readings), default=0)) if pilot else 0


def rods_in_string(
    book: Book,
    bore: Bore,
    pass_name: str,
    station: int | None,
    last_few: int = 0,
    known: WhoInBore | None = None,
) -> InString:
    """Rods of a bore's string when so many of them were in the hole.

    Parameters
    ----------
    book, bore : Book, Bore
        The book and the bore.
    pass_name : str
        The pass; its lead rods off are not in the string.
    station : int or None
        Rods in the hole behind the tool; None takes every rod the pilot used.
    last_few : int
        Only so many rods next to the rig; all when 0.
    known : WhoInBore, optional
        Who stood in the pilot's places, where that was worked out before.

    Returns
    -------
    InString
        Empty where no rod was in the hole, or nobody wrote how many.
    """
    drilled = drilled_by(bore)
    each = next((one for one in bore.passes if fold(one.name) == fold(pass_name)), None)
    off = (each.lead_rods_off or 0) if each and each.what != PILOT else 0
    last = drilled if station is None else station + off
    if last <= 0:
        return InString((), WhoStood.UNKNOWN.value, None if station is None else 0)
    who = known if known and last <= drilled else who_stood_in(book, bore, max(last, drilled))
    first = max(off + 1, last - last_few + 1) if last_few else off + 1
    places = range(first, last + 1)
    return InString(*rods_at_places(book, who, places), len(places))


def rods_at_places(
    book: Book, who: WhoInBore, places: Sequence[int]
) -> tuple[tuple[str, ...], str]:
    """Keys of the rods that stood, or may have stood, in places, and the least sure of how."""
    keys: list[str] = []
    known = WhoStood.MARKED
    for place in places:
        group = who.at(place)
        keys += [key for key in group.rods if key in book.things and key not in keys]
        known = max(known, group.known, key=LEAST_SURE.index)
    return tuple(keys), known.value if keys else WhoStood.UNKNOWN.value
