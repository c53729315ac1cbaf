"""Who stood where, without rods that were away, and in a hole left behind."""

from __future__ import annotations

from dataclasses import replace

from rodhand.book.work.box_order import BoxOrder, order_of
from rodhand.book.work.old_holes import bore_of_old
from rodhand.book.work.stays import Stays, is_away, rods_of_rig, stay_before
from rodhand.book.work.who import WhoInBore, who_in_bore
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, OldHole


def who_in_old(book: Book, stays: Stays, bore: Bore, old: OldHole) -> WhoInBore:
    """Who stood where in a hole left behind: as in the bore but where marks read there differ."""
    its = bore_of_old(bore, old)
    as_it_was = replace(book, bores={**book.bores, bore.name: its})
    order = without_the_away(as_it_was, stays, its, order_of(as_it_was, its))
    places = int(max((row.station for row in old.rows), default=0))
    return who_in_bore(order, places, rods_of_rig(book, stays, its))


def without_the_away(book: Book, stays: Stays, bore: Bore, order: BoxOrder) -> BoxOrder:
    """The order of a bore without rods said to be away, unless they were seen in it since."""
    since = bore.load.origin.at if bore.load else ""

    def stands(key: str | None) -> bool:
        if key is None or key in order.read.values():
            return True
        stay = stay_before(stays, key, bore)
        return stay is None or stay.at <= since or not is_away(book, stay)

    if all(stands(key) for key in order.keys):
        return order
    # Who may have changed places with a rod that is away may stand in its place: nobody knows.
    lost = {key for doubt in order.doubts if not all(map(stands, doubt)) for key in doubt}
    lost -= {*order.read.values()}
    keys = tuple(key if stands(key) and key not in lost else None for key in order.keys)
    return replace(order, keys=keys, doubts=tuple(d for d in order.doubts if all(map(stands, d))))
