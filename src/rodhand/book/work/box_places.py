"""Rods by where they lie: row of the box and number in the row, which needs no mark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_order import order_now
from rodhand.words import say


def rows_in_words(places: Sequence[int], per_row: int, rods: int) -> str:
    """Places of a box as rows and numbers in them: ``row 1, all 12; row 2 nos. 1..3``.

    Parameters
    ----------
    places : sequence of int
        Places counted from the first rod used, from 1.
    per_row : int
        Rods in a full row.
    rods : int
        Rods in the box, for the last row.

    Returns
    -------
    str
        A dash for none.
    """
    rows: dict[int, list[int]] = {}
    for place in sorted(places):
        rows.setdefault((place - 1) // per_row, []).append((place - 1) % per_row + 1)
    parts = []
    for row, numbers in rows.items():
        full = min(per_row, rods - row * per_row)
        if len(numbers) == full:
            parts.append(say("box.row_all", row=row + 1, count=full))
        else:
            told = names_in_words([f"{number}" for number in numbers])
            parts.append(say("box.row_some", row=row + 1, numbers=told))
    return "; ".join(parts) or say("number.dash")


@lru_cache(maxsize=4)
def places_now(assessment: Assessment) -> Mapping[str, tuple[str, int]]:
    """Rig and place of each rod in its box as it lies now; only where the order is known."""
    found: dict[str, tuple[str, int]] = {}
    for rig in assessment.book.rigs:
        order = order_now(assessment.book, rig)
        if order.how in ("marked", "by row"):
            doubtful = {key for doubt in order.doubts for key in doubt}
            for place, key in enumerate(order.keys, 1):
                if key is not None and key not in doubtful:
                    found[key] = rig, place
    return found


def where_they_lie(assessment: Assessment, names: Sequence[str]) -> str:
    """Rows and numbers of rods without a mark, where all of them lie in one box; else empty."""
    things = [assessment.book.thing_named(name) for name in names]
    known = [each for each in things if each is not None and each.what == "rod"]
    bare = [each for each in known if not each.marks or each.marks[-1].until]
    at = [places_now(assessment).get(each.key) for each in bare]
    places = [place for place in at if place is not None]
    rigs = {rig for rig, _ in places}
    if not bare or len(places) < len(bare) or len(rigs) > 1 or len(known) > len(bare):
        return ""
    rig = rigs.pop()
    per_row = assessment.book.rigs[rig].rods_per_row
    if not per_row:
        return ""
    total = sum(1 for each, _ in places_now(assessment).values() if each == rig)
    return rows_in_words([place for _, place in places], per_row, total)
