"""Which rods a sheet comes with: as they lay in the box, as far as the book knows."""

from __future__ import annotations

from rodhand.book.work.box_order import BoxOrder, order_now, orders_of
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, Load
from rodhand.record.marks import fold


class NoSuchRigError(LookupError):
    """The book has no rig of that name."""


def rig_named(book: Book, name: str) -> str:
    """A rig in the book's spelling; the only rig there is where none is named; else empty."""
    if not name.strip():
        return next(iter(book.rigs)) if len(book.rigs) == 1 else ""
    return next((rig for rig in book.rigs if fold(rig) == fold(name)), "")


def latest_load(book: Book, rig: str) -> Load | None:
    """The load a rig's box holds now; None where none was written."""
    loads = [load for load in book.loads if load.rig == rig]
    return loads[-1] if loads else None


def offered_rods(book: Book, bore: Bore) -> tuple[str | None, ...]:
    """Keys of the rods of a bore by place, the first used first; None where nobody knows.

    A box known by its set only says nothing of places.
    """
    order = orders_of(book).get(bore.name, BoxOrder())
    return () if order.how == "set only" else order.keys


def rods_of_rig(book: Book, rig: str) -> tuple[str | None, ...]:
    """Keys of the rods in a rig's box now, first used first; its sets' where no load is known."""
    order = order_now(book, rig)
    if order.keys and order.how != "set only":
        return order.keys
    return tuple(key for each in book.sets.values() if each.rig == rig for key in each.things)


def row_and_place(book: Book, rig: str, number: int) -> tuple[int, int]:
    """Row of the box and place in it of the n-th rod, both counted from 1."""
    known = book.rigs.get(rig)
    per_row = (known.rods_per_row if known else None) or 0
    if per_row <= 0:
        return 1, number
    return (number - 1) // per_row + 1, (number - 1) % per_row + 1
