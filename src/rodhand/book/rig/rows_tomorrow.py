"""Where each rod lies in the rows of its box for the next bore, once some were set aside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.book.work.box_of import row_and_place
from rodhand.book.work.box_order import order_now
from rodhand.book.work.stays import is_away, stay_at, stays_of
from rodhand.record.book import Book

FOR_GOOD = "9999"


@dataclass(frozen=True)
class RodTomorrow:
    """One rod, the row and number it will lie at, and those it had; None if they are the same."""

    name: str
    row: int
    number: int
    before: tuple[int, int] | None


@dataclass(frozen=True)
class RowTomorrow:
    """One row of the box, the rod used first in front."""

    row: int
    rods: tuple[RodTomorrow, ...]


@dataclass(frozen=True)
class RowsTomorrow:
    """A box as it lies once the rods that stay out are gone.

    Parameters
    ----------
    rows : tuple of RowTomorrow
        Rods behind one that stays out close up, one place forward.
    things : str
        The rods in order, as they are entered when confirmed.
    aside : tuple of (str, str)
        Rods that stay out, and why, as a person said last.
    away : tuple of str
        Rods of the order that are written down as away.
    """

    rows: tuple[RowTomorrow, ...]
    things: str
    aside: tuple[tuple[str, str], ...]
    away: tuple[str, ...]


def rows_tomorrow(book: Book, rig: str) -> RowsTomorrow | None:
    """The box of a rig for its next bore.

    Parameters
    ----------
    book : Book
        The book.
    rig : str
        The rig, in the book's spelling.

    Returns
    -------
    RowsTomorrow or None
        None where the order of the box is not known.

    Notes
    -----
    It says what lies in the box: a rod stays out once a person set it aside or scrapped it. What
    the figures advise to leave out still lies in its row; the yard tells it.
    """
    order = order_now(book, rig)
    if order.how not in ("marked", "by row") or None in order.keys:
        return None
    stays = stays_of(book)
    keys = [key for key in order.keys if key is not None]
    away = [key for key in keys if is_away(book, stay_at(stays, key, FOR_GOOD))]
    words = _last_words(book)
    out = {key: words.get(key, "") for key in keys if key not in away}
    kept = [key for key in keys if key in out and not out[key]]
    return RowsTomorrow(
        _rows(book, rig, keys, kept),
        ", ".join(book.things[key].name for key in kept),
        tuple((book.things[key].name, why) for key, why in out.items() if why),
        tuple(book.things[key].name for key in away),
    )


def _last_words(book: Book) -> dict[str, str]:
    """Why each thing stays out that a person set aside or scrapped last, by key."""
    found: dict[str, str] = {}
    for word in book.standings:
        for key in word.things:
            found[key] = word.why if word.standing in ("set aside", "scrap") else ""
    return found


def _rows(
    book: Book, rig: str, before: Sequence[str], kept: Sequence[str]
) -> tuple[RowTomorrow, ...]:
    rows: dict[int, list[RodTomorrow]] = {}
    for number, key in enumerate(kept, 1):
        was = row_and_place(book, rig, before.index(key) + 1)
        row, place = row_and_place(book, rig, number)
        moved = None if was == (row, place) else was
        rows.setdefault(row, []).append(RodTomorrow(book.things[key].name, row, place, moved))
    return tuple(RowTomorrow(row, tuple(rods)) for row, rods in rows.items())
