"""Days of the work: when a thing happened, and the newest of a book."""

from __future__ import annotations

from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.origin import Origin


def day_of(moment_start: str) -> str:
    """ISO day of a moment; an unknown one sorts before all."""
    return moment_start[:10]


def origins_of(bore: Bore) -> tuple[Origin, ...]:
    """Where everything recorded of a bore's work came from."""
    passes = [each.origin for each in bore.passes if each.origin is not None]
    rows = [row.origin for each in bore.passes for row in each.readings]
    olds = [old for each in bore.passes for old in each.old_holes]
    left = [old.origin for old in olds if old.origin is not None]
    left += [row.origin for old in olds for row in old.abandoned]
    return (bore.origin, *passes, *rows, *left)


def last_day_of(bore: Bore) -> str:
    """The last ISO day a bore may have been worked on; empty when that is not known."""
    days = [origin.happened.end for origin in origins_of(bore)]
    return day_of(max(days)) if all(days) else ""


def newest_day(book: Book) -> str:
    """Day of the newest thing that happened in the book."""
    days = [bore.origin.happened.start for bore in book.bores.values()]
    days += [check.origin.happened.start for check in book.checks]
    days += [each.origin.happened.start for each in book.breaks]
    days += [each.origin.happened.start for each in book.comparisons]
    return day_of(max(days, default=""))
