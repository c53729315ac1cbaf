"""The order of the rods in each rig's box, from load to load, and where it is in doubt.

An order is confirmed by a load somebody saw or read, or by a bore whose marks were read. Between
two confirmations it is what the last one said, until a slip is seen: then the rods concerned may
have changed places at any time since they were last confirmed, and nobody knows where each stands
until it is confirmed again. A mark read where another rod was expected is a slip too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, Load
from rodhand.record.marks import fold


@dataclass(frozen=True)
class BoxOrder:
    """Order of the rods a bore was drilled with, as the book believes it.

    Parameters
    ----------
    keys : tuple of (str or None)
        Keys by place, the rod behind the tool first, the whole box; None where nobody knows.
    how : {"marked", "by row", "set only", "unknown"}
        How the order as a whole is known.
    read : mapping of int to str
        Places whose rod somebody read the mark of in this bore.
    doubts : tuple of tuple of str
        Rods that may stand in each other's places; every rod in one of them at most.
    loads_ago : int or None
        Bores since the whole order was last confirmed; None when it never was.
    """

    keys: tuple[str | None, ...] = ()
    how: str = "unknown"
    read: Mapping[int, str] = field(default_factory=dict)
    doubts: tuple[tuple[str, ...], ...] = ()
    loads_ago: int | None = None


@dataclass(frozen=True)
class _Change:
    """Rods that changed places at some time up to a bore of the segment, counted from 0."""

    at: int
    rods: frozenset[str]


def orders_of(book: Book) -> dict[str, BoxOrder]:
    """Order of the box in every bore, by name.

    Parameters
    ----------
    book : Book
        Bores with their loads, slips and marks read, in the order of the work.

    Returns
    -------
    dict of str to BoxOrder
        One for each bore.
    """
    found: dict[str, BoxOrder] = {}
    for bores in _segments(book.bores.values()):
        found |= _of_segment(bores)
    return found


def order_of(book: Book, bore: Bore) -> BoxOrder:
    """Order of the box in one bore, from the bores drilled with the same load alone."""
    of_rig = book.bores_by_rig[fold(bore.rig)]
    bores = next(each for each in _segments(of_rig) if any(one.name == bore.name for one in each))
    return _of_segment(bores)[bore.name]


def _of_segment(bores: Sequence[Bore]) -> dict[str, BoxOrder]:
    """Orders of the bores drilled one after another from one load."""
    load = bores[0].load
    if load is not None and load.how == "set only":
        seen = tuple(
            key
            for bore in bores
            for key in (
                *(thing for slip in bore.slips for thing in slip.things),
                *(thing for thing in bore.marks_read.values() if thing not in load.things),
            )
        )
        return {bore.name: _set_only(load, bore, seen) for bore in bores}
    return _from_load(load, bores)


def order_now(book: Book, rig: str) -> BoxOrder:
    """Order of a rig's box after its last bore and load: as the next bore will find it."""
    last = next((bore for bore in reversed([*book.bores.values()]) if bore.rig == rig), None)
    load = load_waiting(book, rig, last)
    if load is not None:
        if load.how == "set only":
            return _set_only(load, None)
        return BoxOrder(load.things, load.how, {}, (), 0)
    if last is None:
        return BoxOrder()
    after = orders_of(book)[last.name]
    ago = None if after.loads_ago is None else after.loads_ago + 1
    how = "by row" if after.how == "marked" else after.how
    return BoxOrder(after.keys, how, {}, after.doubts, ago)


def load_waiting(book: Book, rig: str, last: Bore | None) -> Load | None:
    """The newest load of a rig if it was made after the last bore; None when that bore used it."""
    free = [
        load
        for load in book.loads
        if load.rig == rig and (not load.bore or load.bore not in book.bores)
    ]
    used = last.load if last is not None else None
    if not free or last is None or used is None:
        return free[-1] if free else None
    superseded = used.bore and free[-1].origin.at <= last.origin.at
    is_used = free[-1].origin.entry == used.origin.entry
    return None if is_used or superseded else free[-1]


def _segments(bores: Iterable[Bore]) -> list[list[Bore]]:
    """Bores of each rig drilled one after another from one load, of bores in order of the work."""
    open_ones: dict[str, tuple[str, list[Bore]]] = {}
    found = []
    for bore in bores:
        load = bore.load.origin.entry if bore.load else ""
        known = open_ones.get(bore.rig)
        if known is None or known[0] != load:
            known = (load, [])
            open_ones[bore.rig] = known
            found.append(known[1])
        known[1].append(bore)
    return found


def _set_only(load: Load, bore: Bore | None, slipped: Sequence[str] = ()) -> BoxOrder:
    """Any rod of the load in any place; one a slip or a mark tells of may have stood there too."""
    doubts = (tuple(dict.fromkeys(slipped)),) if slipped else ()
    return BoxOrder(load.things, "set only", bore.marks_read if bore else {}, doubts)


def _from_load(load: Load | None, bores: Sequence[Bore]) -> dict[str, BoxOrder]:
    """Orders of the bores drilled from one load whose order somebody gave, or from none."""
    order: list[str | None] = list(load.things) if load else []
    reads = [bore.marks_read for bore in bores]
    changes = [
        _Change(number, frozenset(slip.things))
        for number, bore in enumerate(bores)
        for slip in bore.slips
    ]
    orders: list[tuple[str | None, ...]] = []
    for number, read in enumerate(reads):
        before = tuple(order)
        if read:
            _put(order, read)
            changes += [_Change(number, rods) for rods in _moved(before, order)]
        orders.append(tuple(order) if read else before)
    ago = None if load is None else -1
    found = {}
    for number, (bore, read, keys) in enumerate(zip(bores, reads, orders, strict=True)):
        full = bool(read) and len(read) == _places(bore)
        ago = 0 if full else None if ago is None else ago + 1
        fresh = load is not None and number == 0
        how = load.how if fresh and load else "by row" if any(keys) else "unknown"
        doubts = _doubts(changes, number, reads, orders)
        found[bore.name] = BoxOrder(keys, how, read, doubts, ago)
    return found


def _places(bore: Bore) -> int:
    pilot = bore.pass_of("pilot")
    return int(max((row.station for row in pilot.readings), default=0)) if pilot else 0


def _put(order: list[str | None], read: Mapping[int, str]) -> None:
    """Put rods whose mark was read where they were read; who stood there takes their place.

    Who is displaced by a rod from outside the box is in the box no more.
    """
    order += [None] * (max(read, default=0) - len(order))
    for place, key in read.items():
        there = order[place - 1]
        if there != key:
            if key in order:
                order[order.index(key)] = there
            order[place - 1] = key


def _moved(before: Sequence[str | None], after: Sequence[str | None]) -> list[frozenset[str]]:
    """Rods that stand elsewhere than they did, drawn together by the places they share."""
    pairs = []
    padded = [*before, *[None] * (len(after) - len(before))]
    for old, new in zip(padded, after, strict=True):
        if old != new and old is not None:
            pairs.append([key for key in (old, new) if key is not None])
    return [frozenset(group) for group in _together(pairs) if len(group) > 1]


def _together(groups: Iterable[Iterable[str]]) -> list[tuple[str, ...]]:
    """Groups that share a member made one; members sorted, groups by their first member."""
    found: list[set[str]] = []
    for group in groups:
        one = set(group)
        apart = []
        for other in found:
            if other & one:
                one |= other
            else:
                apart.append(other)
        found = [*apart, one]
    return sorted(tuple(sorted(one)) for one in found)


def _doubts(
    changes: Sequence[_Change],
    bore: int,
    reads: Sequence[Mapping[int, str]],
    orders: Sequence[Sequence[str | None]],
) -> tuple[tuple[str, ...], ...]:
    """Rods in doubt in one bore of a segment, by who may stand in whose place."""
    open_ones = []
    for change in changes:
        sure = _sure_before if bore < change.at else _sure_after
        known: Callable[[str], bool] = sure(change.at, bore, reads, orders)
        rods = [key for key in change.rods if not known(key)]
        if len(rods) > 1:
            open_ones.append(rods)
    return tuple(_together(open_ones))


def _sure_before(
    at: int,
    bore: int,
    reads: Sequence[Mapping[int, str]],
    orders: Sequence[Sequence[str | None]],
) -> Callable[[str], bool]:
    """Whether a rod was read in its place in or after a bore, before the change was seen."""

    def known(key: str) -> bool:
        if key not in orders[bore]:
            return False
        place = orders[bore].index(key) + 1
        return any(reads[later].get(place) == key for later in range(bore, at))

    return known


def _sure_after(
    at: int,
    bore: int,
    reads: Sequence[Mapping[int, str]],
    _orders: Sequence[Sequence[str | None]],
) -> Callable[[str], bool]:
    """Whether a rod was read since the change was seen."""

    def known(key: str) -> bool:
        return any(key in reads[later].values() for later in range(at, bore + 1))

    return known
