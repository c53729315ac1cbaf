"""Which rod stood in which place of a bore's string, as sure as the record has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.book.work.box_order import BoxOrder
from rodhand.wear.who_stood import Group, WhoStood

NOBODY = "nobody known"
"""Prefix of the stand-in for a place whose rod nobody recorded."""


@dataclass(frozen=True)
class WhoInBore:
    """Groups of rods and places of one bore; every place in one group.

    ``unordered`` holds the same rods as one group, for passes whose order nobody recorded.
    ``loads_ago`` counts bores since the box's order was last confirmed; None when it never was.
    """

    groups: tuple[Group, ...]
    unordered: tuple[Group, ...]
    loads_ago: int | None = None

    def at(self, place: int) -> Group:
        """The group that holds a place."""
        return next(group for group in self.groups if place in group.places)


def who_in_bore(order: BoxOrder, places: int, others: Sequence[str] = ()) -> WhoInBore:
    """Groups of rods and places of a bore.

    Parameters
    ----------
    order : BoxOrder
        The order of its box; see `rodhand.book.work.box_order.orders_of`.
    places : int
        Rods in its string.
    others : sequence of str
        Rods that may stand where the order names none: the rig's own that are not away.

    Returns
    -------
    WhoInBore
        Rods in doubt share the places they may stand in; those in doubt with a rod that stayed in
        the box may have taken nothing. A load known by set only is one group of all its rods. A
        place of which nobody said anything is shared by the rig's other rods, and where there are
        too few of them held by stand-ins that no rod's history counts.
    """
    if order.how == "set only":
        groups = _set_only(order, places, others)
    else:
        groups = _by_order(order, places, others)
    rods = tuple(dict.fromkeys(rod for group in groups for rod in group.rods))
    known = (
        WhoStood.UNKNOWN
        if any(group.known is WhoStood.UNKNOWN for group in groups)
        else WhoStood.SET_ONLY
    )
    together = Group(rods, tuple(range(1, places + 1)), known)
    return WhoInBore(groups, (together,), order.loads_ago)


def asks_for_others(order: BoxOrder, places: int) -> bool:
    """Whether an order leaves a place open, so that the rig's other rods may have stood there."""
    return order.how == "set only" or len(order.keys) < places or None in order.keys[:places]


def _set_only(order: BoxOrder, places: int, others: Sequence[str]) -> tuple[Group, ...]:
    """All rods of the load share all places but those whose mark was read."""
    read = {place: key for place, key in order.read.items() if place <= places}
    groups = [Group((key,), (place,), WhoStood.MARKED) for place, key in read.items()]
    open_places = [place for place in range(1, places + 1) if place not in read]
    rods = [key for key in order.keys if key is not None and key not in order.read.values()]
    known = WhoStood.SET_ONLY
    more = [key for doubt in order.doubts for key in doubt]
    if len(rods) < len(open_places) or None in order.keys:
        # Some of the places hold a rod that is not of the load, nobody knows which.
        more += others
        known = WhoStood.UNKNOWN
    rods += [key for key in dict.fromkeys(more) if key not in {*rods, *order.read.values()}]
    if open_places:
        groups.append(_filled(rods, open_places, known))
    return tuple(groups)


def _by_order(order: BoxOrder, places: int, others: Sequence[str]) -> tuple[Group, ...]:
    keys = [*order.keys[:places], *[None] * (places - len(order.keys))]
    place_of = {key: place for place, key in enumerate(keys, 1) if key is not None}
    placed = {key for key in order.keys if key is not None}
    spare = [key for key in others if key not in placed]
    unknown = [place for place, key in enumerate(keys, 1) if key is None]
    shared = []
    for doubt in order.doubts:
        where = sorted(place_of[key] for key in doubt if key in place_of)
        if unknown and not set(doubt).isdisjoint(spare):
            # One of them may stand where nobody knows who does: one doubt with those places.
            spare += [key for key in doubt if key not in spare]
            unknown = sorted({*unknown, *where})
        elif where:
            shared.append(Group(tuple(doubt), tuple(where), WhoStood.BY_ROW))
    taken = {place for group in shared for place in group.places} | set(unknown)
    known = WhoStood.MARKED if order.how == "marked" else WhoStood.BY_ROW
    groups = [
        Group((key,), (place,), WhoStood.MARKED if place in order.read else known)
        for place, key in enumerate(keys, 1)
        if key is not None and place not in taken
    ]
    if unknown:
        groups.append(_filled(spare, unknown, WhoStood.UNKNOWN))
    return (*groups, *shared)


def _filled(rods: Sequence[str], places: Sequence[int], known: WhoStood) -> Group:
    """A group of rods, with stand-ins for places there are too few rods for."""
    short = len(places) - len(rods)
    nobody = [f"{NOBODY} {place}" for place in list(places)[len(places) - max(short, 0) :]]
    return Group((*rods, *nobody), tuple(places), known)
