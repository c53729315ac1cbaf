"""Measured bows of rods through time: what a bore's rods had when they turned in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.advice.card import Taken, bow_of
from rodhand.record.book import Book
from rodhand.record.book_looks import Check

BOW_GONE = ("straightened", "replaced")
"""Work after which a measured bow no longer counts."""


@dataclass(frozen=True)
class BowSeen:
    """A measured bow.

    Parameters
    ----------
    share : float
        Height over span; 0 where it was not told from straight. [m/m]
    seen, gone : str
        ISO days it was measured ('' unknown) and straightened ('' not).
    """

    share: float
    seen: str
    gone: str


def taken_of_check(check: Check) -> Taken:
    """Readings of a kept look, as the card takes them."""
    numbers = (check.reading, check.second_reading, check.third_reading)
    readings = tuple(each for each in numbers if each is not None)
    return Taken(readings, check.gauge_error, check.method, check.span)


def bows_of(book: Book) -> dict[str, tuple[BowSeen, ...]]:
    """Measured bows of each thing, oldest first.

    Parameters
    ----------
    book : Book
        The book.
    """
    mended: dict[str, list[str]] = {}
    for each in book.dressings:
        if each.what in BOW_GONE:
            for key in each.things:
                mended.setdefault(key, []).append(each.origin.happened.start[:10])
    found: dict[str, list[BowSeen]] = {}
    for check in book.checks:
        bow = bow_of(taken_of_check(check)) if check.item == "straightness" else None
        if bow is None:
            continue
        day = check.origin.happened.start[:10]
        share = bow.share if bow.told_from_straight else 0.0
        for key in check.things:
            gone = min((each for each in mended.get(key, ()) if each >= day > ""), default="")
            found.setdefault(key, []).append(BowSeen(share, day, gone))
    return {key: tuple(sorted(bows, key=lambda bow: bow.seen)) for key, bows in found.items()}


def bow_on(bows: Sequence[BowSeen], day: str) -> float:
    """Bow of a thing on an ISO day, as last measured by then. [m/m]

    Parameters
    ----------
    bows : sequence of BowSeen
        Of one thing, oldest first.
    day : str
        ISO day; '' unknown, when every bow may have been there.

    Returns
    -------
    float
        0 where none was measured or it was straightened since: an unmeasured bow adds nothing.
    """
    known = [bow for bow in bows if not day or bow.seen <= day]
    if not known or (day and "" < known[-1].gone <= day):
        return 0.0
    return known[-1].share
