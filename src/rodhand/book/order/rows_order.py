"""Which row of the box leads next, and what turning the rows is expected to give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.advice.order import turned_rows
from rodhand.book.tasks.set_tasks import bores_of_rig, leading_on, replay_on
from rodhand.book.tasks.standings import all_standings
from rodhand.book.tasks.task_parts import names_of
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_of import latest_load
from rodhand.record.book import Book


@dataclass(frozen=True)
class RowsOrder:
    """One rig's rows for the next bore.

    Parameters
    ----------
    rig : str
        The rig.
    rows : tuple of int
        Rows in order of use, counted from the near side as loaded now; empty when not on record.
    led, bores, leaders : int, int, str
        How often the same rods led, of how many bores, and which; 0 when the lead changes.
    replayed, gain, worst_same, worst_turned
        Own bores replayed and what turning gives; None with too few bores. [1]
    leave_out : str
        Rods of the load that are set aside or scrap.
    """

    rig: str
    rows: tuple[int, ...]
    led: int
    bores: int
    leaders: str
    replayed: int
    gain: float | None
    worst_same: float | None
    worst_turned: float | None
    leave_out: str


def rows_next(book: Book, rig: str, worked: Sequence[str]) -> tuple[int, ...]:
    """Rows of a rig's box in order of use for its next bore; empty where the box has none.

    Parameters
    ----------
    book : Book
        The book.
    rig : str
        The rig.
    worked : sequence of str
        Its bores that were drilled.

    Returns
    -------
    tuple of int
        Counted from the near side as loaded now. Row 1 moves back once the box has been used.
    """
    rows = book.rigs[rig].box_rows
    loads = [load for load in book.loads if load.rig == rig]
    used = sum(
        1
        for name in worked
        if loads
        and (load := book.bores[name].load) is not None
        and load.origin.entry == loads[-1].origin.entry
    )
    return turned_rows(rows, min(used, 1)).rows if rows else ()


def rows_orders(assessment: Assessment, rig: str = "") -> tuple[RowsOrder, ...]:
    """Order of rows for each rig's next bore; needs no rod to carry a mark.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig : str
        Only this rig; all when empty.

    Returns
    -------
    tuple of RowsOrder
        One for each rig.
    """
    orders = []
    for name in assessment.book.rigs:
        if rig and name.casefold() != rig.casefold():
            continue
        leads = leading_on(assessment, name)
        gain = replay_on(assessment, name)
        rows = rows_next(assessment.book, name, bores_of_rig(assessment, name))
        load = latest_load(assessment.book, name)
        bad = [
            key
            for key in (load.things if load else ())
            if all_standings(assessment).get(key, ("",))[0] in ("set aside", "scrap")
        ]
        orders.append(
            RowsOrder(
                name, rows, leads.led if leads else 0, leads.bores if leads else 0,
                names_in_words(names_of(assessment, leads.things)) if leads else "",
                gain.bores if gain else 0, gain.gain if gain else None,
                gain.worst_same if gain else None, gain.worst_turned if gain else None,
                names_in_words(names_of(assessment, bad)) if bad else "",
            )
        )  # fmt: skip
    return tuple(orders)
