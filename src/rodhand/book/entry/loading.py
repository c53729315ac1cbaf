"""A box confirmed in a few touches: its rods as the book believes they lie, and a slip seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import Entered, enter
from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.box_order import BoxOrder, order_now
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.stays import is_away, stay_at, stays_of
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.units import Figure, Standing

What = Literal["by row", "marked", "slip", "swap"]
WAYS: tuple[What, ...] = ("by row", "marked", "slip", "swap")
SOURCE = "load"
FOR_GOOD = "9999"


@dataclass(frozen=True)
class RodInBox:
    """One rod where it is believed to lie; ``doubt`` numbers the rods it may have changed with."""

    key: str
    name: str
    place: int
    doubt: int


@dataclass(frozen=True)
class RowInBox:
    """One row of a box, the rod used first in front."""

    label: Sentence
    rods: tuple[RodInBox, ...]


@dataclass(frozen=True)
class LoadingView:
    """A rig's box as the book believes it.

    Parameters
    ----------
    rows : tuple of RowInBox
        None where the order is not known: there is nothing to confirm then.
    how : str
        How the order is known; ``bore`` is the last bore drilled from it, empty for none.
    things : str
        The rods in order, as they are entered when confirmed.
    away : tuple of str
        Rods of the order that are written down as away, and so are not in ``things``.
    figures : dict
        rods, loads_ago (None when never confirmed).
    """

    invented: bool
    rig: str
    rows: tuple[RowInBox, ...]
    how: str
    bore: str
    things: str
    away: tuple[str, ...]
    figures: dict[str, Figure]


def _last_bore(book: Book, rig: str) -> Bore | None:
    return next((bore for bore in reversed([*book.bores.values()]) if bore.rig == rig), None)


def loading_view(folder: Path, rig: str) -> LoadingView:
    """A rig's box as it should lie now, row by row.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book = journal_of(folder).book()
    name = rig_named(book, rig) if rig.strip() else ""
    if not name:
        raise NoSuchRigError(rig)
    order, stays = order_now(book, name), stays_of(book)
    known = order.how in ("marked", "by row") and None not in order.keys
    keys = [key for key in order.keys if key is not None] if known else []
    away = [key for key in keys if is_away(book, stay_at(stays, key, FOR_GOOD))]
    keys = [key for key in keys if key not in away]
    names = [book.things[key].name for key in keys]
    last = _last_bore(book, name)
    ago = None if order.loads_ago is None else float(order.loads_ago)
    return LoadingView(
        invented=is_invented(book),
        rig=name,
        rows=_rows(book, name, keys, order),
        how=order.how,
        bore=last.name if last else "",
        things=", ".join(names),
        away=tuple(book.things[key].name for key in away),
        figures={
            "rods": Figure("load.rods", float(len(keys)), "count", Standing.MEASURED),
            "loads_ago": Figure("load.loads_ago", ago, "count", Standing.COMPUTED),
        },
    )


def _rows(book: Book, rig: str, keys: Sequence[str], order: BoxOrder) -> tuple[RowInBox, ...]:
    per_row = book.rigs[rig].rods_per_row or max(len(keys), 1)
    doubt = {key: number for number, group in enumerate(order.doubts, 1) for key in group}
    rods = [
        RodInBox(key, book.things[key].name, place, doubt.get(key, 0))
        for place, key in enumerate(keys, 1)
    ]
    return tuple(
        RowInBox(
            Sentence("yard.row", {"row": f"{start // per_row + 1}"}),
            tuple(rods[start : start + per_row]),
        )
        for start in range(0, len(rods), per_row)
    )


def tell_load(
    folder: Path, rig: str, what: str, things: str, touched: Sequence[str], by: str = ""
) -> Entered:
    """Confirm a box as shown, or tell which rods do not lie as shown.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    what : {"by row", "marked", "slip", "swap"}
        The box is as shown, its rows counted or every mark read; the touched rods lie elsewhere,
        nobody knows where; or the two touched ones lie in each other's place and all is else as
        shown.
    things : str
        Rods in order as they were shown: what a person saw is what is entered.
    touched : sequence of str
        Names of the rods touched.
    by : str
        Key of who says it.

    Returns
    -------
    Entered
        A load, a slip seen after the rig's last bore, or both. All are dated today as a day, so
        that a bore of today entered later uses them.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    view = loading_view(folder, rig)
    shown, day = [name.strip() for name in things.split(",")], date.today().isoformat()
    if what not in WAYS:
        raise BadInputError([Fault("load_what", what, column="what")], SOURCE)
    load = {"rig": view.rig, "things": things, "how": "by row"}
    if what in ("by row", "marked"):
        return enter(folder, [Draft("load", {**load, "how": what}, day, "", by)], SOURCE)
    _check_slip(view, what, shown, touched)
    slip = {"rig": view.rig, "bore": view.bore, "things": ", ".join(touched)}
    drafts = [Draft("slip", slip, day, "", by)]
    if what == "swap":
        one, other = (shown.index(name) for name in touched)
        shown[one], shown[other] = shown[other], shown[one]
        drafts.append(Draft("load", {**load, "things": ", ".join(shown)}, day, "", by))
    return enter(folder, drafts, SOURCE)


def _check_slip(view: LoadingView, what: str, shown: Sequence[str], touched: Sequence[str]) -> None:
    faults = []
    if not view.bore:
        faults.append(Fault("load_no_bore", view.rig, column="touched"))
    wanted = len(touched) == 2 if what == "swap" else len(touched) >= 2
    if not wanted:
        code = "load_touch_two" if what == "swap" else "load_touch_some"
        faults.append(Fault(code, ", ".join(touched), column="touched"))
    faults += [Fault("load_not_shown", name, column="touched") for name in touched
               if name not in shown]  # fmt: skip
    if faults:
        raise BadInputError(faults, SOURCE)
