"""In what condition each rod was in a bore: jaw bites, bows, how its joints were made up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.looks import FoundWord, words_in
from rodhand.book.work.bore_work import ConditionOf
from rodhand.book.work.bows import BowSeen, bow_on
from rodhand.book.work.days import day_of
from rodhand.book.work.who import WhoInBore
from rodhand.drillstring.meetings import PinToward
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.wear.sections import Condition, MakeUp

BITE_GONE = ("bite blended", "re-cut", "replaced")


NO_CONDITION = Condition()


@dataclass(frozen=True)
class Bite:
    """A jaw bite on a tube: ISO day it was seen ('' unknown) and was dressed ('' not yet)."""

    seen: str
    dressed: str

    def is_there(self, day: str) -> bool:
        """Whether the tube turned with it on a day; on a day nobody knows, it did."""
        return not day or (self.seen <= day and (not self.dressed or self.dressed > day))


def bitten_of(book: Book, words: tuple[FoundWord, ...]) -> dict[str, tuple[Bite, ...]]:
    """Jaw bites on the tube of each thing, oldest first; see `Bite`."""
    seen: dict[str, set[str]] = {}
    for check in book.checks:
        if any(word.finding == "jaw bite" for word in words_in(check.found, words)):
            for key in check.things:
                seen.setdefault(key, set()).add(day_of(check.origin.happened.start))
    gone: dict[str, list[str]] = {}
    for each in book.dressings:
        if each.what in BITE_GONE:
            for key in each.things:
                gone.setdefault(key, []).append(day_of(each.origin.happened.start))
    found: dict[str, tuple[Bite, ...]] = {}
    for key, days in seen.items():
        bites: list[Bite] = []
        for day in sorted(days):
            dressed = min((each for each in gone.get(key, ()) if each >= day > ""), default="")
            if not bites or (bites[-1].dressed and bites[-1].dressed < day):
                bites.append(Bite(day, dressed))
        found[key] = tuple(bites)
    return found


def condition_in(
    who: WhoInBore,
    bore: Bore,
    bitten: Mapping[str, tuple[Bite, ...]],
    bowed: Mapping[str, tuple[BowSeen, ...]],
    pin_toward: PinToward,
) -> ConditionOf:
    """Condition of each member of a bore's string."""
    day = day_of(bore.origin.happened.start)
    recorded = any(row.makeup is not None for each in bore.passes for row in each.readings)
    told = {
        station
        for run in bore.makeups
        if (run.share is not None or run.torque is not None) and run.pass_name in ("", "pilot")
        for station in range(int(run.from_station), int(run.to_station) + 1)
    }
    toward_head = pin_toward == "head"

    def made_up(station: int | None) -> MakeUp:
        return MakeUp.KNOWN if recorded or station in told else MakeUp.UNKNOWN

    def has_bite(key: str) -> bool:
        return any(bite.is_there(day) for bite in bitten.get(key, ()))

    def condition(key: str) -> Condition:
        rods: tuple[str, ...] = (key,)
        place = int(key.removeprefix("place ")) if key.startswith("place ") else None
        if place is not None:
            stood = [group.rods for group in who.groups if place in group.places]
            rods = stood[0] if stood else ()  # only a hole left behind was so long
        # the joint away from the rig was made when the rod went on, the other with the next rod
        ends = made_up(place), made_up(place + 1 if place is not None else None)
        pin, box = ends if toward_head else ends[::-1]
        bow = max((bow_on(bowed.get(rod, ()), day) for rod in rods), default=0.0)
        return Condition(any(has_bite(rod) for rod in rods), pin, box, bow)

    return condition
