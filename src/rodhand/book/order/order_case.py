"""The rods of a rig's box as a case for ordering: who may go in, who stays out, what each costs."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.box_hands import BoxKind, Rows
from rodhand.advice.order_case import OrderCase
from rodhand.book.order.place_work import PlaceWork
from rodhand.book.tasks.standings import all_standings, findings_of, rigs_booked_under
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_order import order_now
from rodhand.book.work.tables import data_text
from rodhand.book.yard.old_new import SPREADING, is_new
from rodhand.record.book_things import Rig
from rodhand.wear.chance_table import chance_table, log_unbroken, spread_of

Floats = NDArray[np.float64]
DEFAULT_KIND = "rows last in first out"
FRONT = 0.25
"""Share of the string in which a rod past the owner's downgrade line must not stand. [-]"""
STAYS_OUT = ("dress", "set aside", "scrap")


@cache
def box_kinds() -> dict[str, BoxKind]:
    """Kinds of boxes by the name a rig is entered with."""
    table = tomllib.loads(data_text("box_kinds.toml"))
    return {name.replace("-", " "): BoxKind(name, **fields) for name, fields in table.items()}


def kind_of(rig: Rig) -> tuple[BoxKind, bool]:
    """Kind of a rig's box, and whether it is assumed."""
    return box_kinds()[rig.box_kind or DEFAULT_KIND], not rig.box_kind


@dataclass(frozen=True)
class StaysOut:
    """A rod that must not go into the next bore, and the code of why."""

    key: str
    why: str


@dataclass(frozen=True, eq=False)
class RigCase:
    """A rig's box and rods for the next bore.

    Parameters
    ----------
    case : OrderCase
        The case, rods by key; `OrderCase.box` holds no rod that stays out.
    lies : tuple of tuple of str
        The box as it lies, with those.
    out : tuple of StaysOut
        Rods of the box that stay out.
    means, spread : array of float
        Damage of each rod of the case on the mean curve, and spread of ln life by section. [-]
    """

    case: OrderCase
    lies: Rows
    out: tuple[StaysOut, ...]
    means: Floats
    spread: Floats


def box_as_it_lies(assessment: Assessment, rig: str) -> Rows:
    """Keys of the rods in a rig's box row by row; empty where their order is not known."""
    order = order_now(assessment.book, rig)
    if order.how not in ("marked", "by row") or None in order.keys:
        return ()
    here = in_use(assessment)
    keys = [key for key in order.keys if key is not None and key in here]
    known = assessment.book.rigs[rig]
    per_row = known.rods_per_row or max(len(keys), 1)
    # Rods that are gone close up; more rods than the rows hold lie in further rows.
    rows = [tuple(keys[k : k + per_row]) for k in range(0, len(keys), per_row)]
    rows += [()] * ((known.box_rows or 0) - len(rows))
    return tuple(rows)


def stays_out(assessment: Assessment, keys: tuple[str, ...]) -> tuple[StaysOut, ...]:
    """Which rods must not go into the next bore: by their standing, or old with new."""
    things = assessment.book.things
    fresh = {key for key in keys if is_new(assessment, things[key])}
    found = []
    for key in keys:
        standing = all_standings(assessment)[key][0]
        bad = any(each.finding in SPREADING for each in findings_of(assessment, key))
        if standing in STAYS_OUT:
            found.append(StaysOut(key, standing))
        elif bad and fresh:
            found.append(StaysOut(key, "bad-end-with-new"))
    return tuple(found)


def rig_case(
    assessment: Assessment, rig: str, work: PlaceWork, break_cost: float, move_cost: float
) -> RigCase | None:
    """The case of a rig's next bore.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig : str
        The rig.
    work : PlaceWork
        What the bore takes of each place.
    break_cost, move_cost : float
        Of one break and of moving one rod, in the same money.

    Returns
    -------
    RigCase or None
        None where the order of the box is not known or no rod may go in.
    """
    lies = box_as_it_lies(assessment, rig)
    inside = tuple(key for row in lies for key in row)
    things = assessment.book.things
    beside = tuple(
        sorted(key for key in in_use(assessment)
               if key not in inside and things[key].what == "rod" and key in assessment.histories
               and where_of(assessment, things[key]) == rig)
    )  # fmt: skip
    out = stays_out(assessment, (*inside, *beside))
    gone = {each.key for each in out} | {key for key in inside if key not in assessment.histories}
    box = tuple(tuple(key for key in row if key not in gone) for row in lies)
    spare = tuple(key for key in beside if key not in gone)
    rods = (*(key for row in box for key in row), *spare)
    if not rods or not any(box):
        return None
    histories = [assessment.histories[key] for key in rods]
    means = np.array([[s.mean for s in each.life.sections] for each in histories])
    spread = spread_of(histories[0].slopes, histories[0].classes)
    design = np.array([each.life.worst.design for each in histories])
    kind, _ = kind_of(assessment.book.rigs[rig])
    capacity = max(assessment.book.rigs[rig].rods_per_row or 0, *(len(row) for row in lies))
    case = OrderCase(
        kind, box, spare, capacity, chance_table(means, work.added, spread),
        (means[:, None, :] + work.added[None]).max(axis=2),
        _forbidden(design, len(work.added), assessment, rig), break_cost, move_cost,
    )  # fmt: skip
    return RigCase(case, lies, tuple(each for each in out if each.key in inside), means, spread)


def _forbidden(design: Floats, places: int, assessment: Assessment, rig: str) -> NDArray[np.bool_]:
    """Where a rod past the downgrade line must not stand: in front, or under a road anywhere."""
    strict = rig in rigs_booked_under(assessment.book)
    return must_not_stand(design, places, assessment.thresholds.downgrade, strict)


def must_not_stand(
    design: Floats, places: int, downgrade: float, strict: bool
) -> NDArray[np.bool_]:
    """Places where rods past the downgrade line must not stand, (rods, places).

    Parameters
    ----------
    design : (rods,) array of float
        Life used on the design curve. [-]
    places : int
        Places of the bore.
    downgrade : float
        The owner's line. [-]
    strict : bool
        Whether no place is allowed, as under a road; else the front of the string.
    """
    front = np.ones(places, dtype=bool) if strict else np.arange(places) < FRONT * places
    return np.asarray((design >= downgrade)[:, None] & front[None, :])


def any_breaks(of: RigCase, added: Floats, order: tuple[str, ...], factor: float) -> float:
    """Chance that any rod of an order breaks in the bore, every class wrong by a factor. [-]"""
    number = {rod: k for k, rod in enumerate(of.case.rods)}
    who = [number[rod] for rod in order[: len(added)]]
    means, more = factor * of.means[who], factor * added[: len(who)]
    change = log_unbroken(means + more, of.spread) - log_unbroken(means, of.spread)
    return float(-np.expm1(change.sum()))
