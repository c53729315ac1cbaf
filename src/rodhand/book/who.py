"""Which rod stood in which place of a bore's string, as sure as the record has it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rodhand.record.book import Book, Bore, Load, Slip
from rodhand.wear.who_stood import Group, WhoStood

NOBODY = "nobody known"
"""Prefix of the stand-in for a place whose rod nobody recorded."""


@dataclass(frozen=True)
class WhoInBore:
    """Groups of rods and places of one bore; every place in one group.

    ``unordered`` holds the same rods as one group, for passes whose order nobody recorded.
    """

    groups: tuple[Group, ...]
    unordered: tuple[Group, ...]

    def at(self, place: int) -> Group:
        """The group that holds a place."""
        return next(group for group in self.groups if place in group.places)


def slips_of_load(book: Book, load: Load | None) -> tuple[Slip, ...]:
    """Slips seen in any bore worked from one load: the order is in doubt back to that load."""
    if load is None:
        return ()
    return tuple(
        slip
        for bore in book.bores.values()
        if bore.load is not None and bore.load.origin.entry == load.origin.entry
        for slip in bore.slips
    )


def _marked(bore: Bore, book: Book) -> dict[int, str]:
    """Places whose rod somebody read the mark of, by place."""
    pilot = bore.pass_of("pilot")
    found: dict[int, str] = {}
    for row in pilot.readings if pilot else ():
        thing = book.thing_named(row.rod) if row.rod else None
        if thing is not None and row.station == int(row.station) and row.station >= 1:
            found[int(row.station)] = thing.key
    return found


def who_in_bore(book: Book, bore: Bore, places: int) -> WhoInBore:
    """Groups of rods and places of a bore.

    Parameters
    ----------
    book : Book
        The book, for loads and slips.
    bore : Bore
        The bore.
    places : int
        Rods in its string.

    Returns
    -------
    WhoInBore
        Marks read in the log go before the load; a load known by set only is one group of all its
        rods; a place beyond the load is held by a stand-in that no rod's history counts.
    """
    load = bore.load
    marked = _marked(bore, book)
    if load is not None and load.how == "set only":
        return _set_only(load.things, places, marked)
    keys = _in_order(load.things if load else (), places, marked)
    known = WhoStood.MARKED if load and load.how == "marked" else WhoStood.BY_ROW
    doubtful = _doubtful(slips_of_load(book, load), keys, marked)
    groups = []
    for place, key in enumerate(keys, 1):
        if place in doubtful:
            continue
        how = WhoStood.MARKED if place in marked else known
        groups.append(Group((key,), (place,), WhoStood.UNKNOWN if _is_nobody(key) else how))
    if doubtful:
        rods = tuple(keys[place - 1] for place in doubtful)
        groups.append(Group(rods, tuple(doubtful), WhoStood.BY_ROW))
    return WhoInBore(tuple(groups), _one_group(keys))


def _is_nobody(key: str) -> bool:
    return key.startswith(NOBODY)


def _in_order(load: Sequence[str], places: int, marked: Mapping[int, str]) -> list[str]:
    """Keys by place: the load's order, with rods whose mark was read put where they were read."""
    keys = list(load[:places])
    keys += [f"{NOBODY} {place}" for place in range(len(keys) + 1, places + 1)]
    for place, key in marked.items():
        if place > places or keys[place - 1] == key:
            continue
        if key in keys:
            keys[keys.index(key)] = keys[place - 1]
        keys[place - 1] = key
    return keys


def _doubtful(
    slips: Sequence[Slip], keys: Sequence[str], marked: Mapping[int, str]
) -> tuple[int, ...]:
    """Places whose rod is in doubt after slips; a mark read in the log is not."""
    named = {thing for slip in slips for thing in slip.things}
    return tuple(place for place, key in enumerate(keys, 1) if key in named and place not in marked)


def _one_group(keys: Sequence[str]) -> tuple[Group, ...]:
    return (Group(tuple(keys), tuple(range(1, len(keys) + 1)), WhoStood.SET_ONLY),)


def _set_only(rods: Sequence[str], places: int, marked: Mapping[int, str]) -> WhoInBore:
    """All rods of the load share all places but those whose mark was read."""
    exact = {p: key for p, key in marked.items() if p <= places}
    rest = [key for key in rods if key not in exact.values()]
    open_places = [place for place in range(1, places + 1) if place not in exact]
    short = len(open_places) - len(rest)
    rest += [f"{NOBODY} {place}" for place in open_places[-short:]] if short > 0 else []
    groups = [Group((key,), (place,), WhoStood.MARKED) for place, key in exact.items()]
    if open_places:
        groups.append(Group(tuple(rest), tuple(open_places), WhoStood.SET_ONLY))
    everyone = (*exact.values(), *rest)
    together = Group(everyone, tuple(range(1, places + 1)), WhoStood.SET_ONLY)
    return WhoInBore(tuple(groups), (together,))
