"""Which row of the box leads next, and what turning the rows is expected to give."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.order import turned_rows
from rodhand.book.assess import Assessment
from rodhand.book.set_tasks import bores_of_rig, leading_on, replay_on
from rodhand.book.standings import all_standings
from rodhand.book.task_parts import names_of
from rodhand.book.telling import names_in_words
from rodhand.book.yard import latest_load


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


def _bores_since_load(assessment: Assessment, rig: str) -> int:
    """Bores a rig has worked since its box was last loaded anew."""
    load = latest_load(assessment, rig)
    if load is None:
        return 0
    return sum(
        1
        for name in bores_of_rig(assessment, rig)
        if (used := assessment.book.bores[name].load) is not None
        and used.origin.entry == load.origin.entry
    )


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
    for name, each in assessment.book.rigs.items():
        if rig and name.casefold() != rig.casefold():
            continue
        leads = leading_on(assessment, name)
        gain = replay_on(assessment, name)
        since = _bores_since_load(assessment, name)
        rows = turned_rows(each.box_rows, min(since, 1)).rows if each.box_rows else ()
        load = latest_load(assessment, name)
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
