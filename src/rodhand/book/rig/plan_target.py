"""What the plan of the bore at hand asks of this rod, and how far the hole lies off its line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.plan.driven import side_of_line
from rodhand.book.plan.planned import plan_named
from rodhand.book.rig.way_plan import plan_at
from rodhand.book.work.hole_of import Hole
from rodhand.record.book import Book
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing

Figures = dict[str, Figure]


@dataclass(frozen=True)
class PlanTarget:
    """The plan at this rod.

    Parameters
    ----------
    told : tuple of Sentence
        The pitch it ends this rod at, whether that is inside the room, how far the hole is off.
    figures : Figures
        ``plan`` (pitch at the end of this rod), ``off`` (below the plan's line, negative above).
    """

    told: tuple[Sentence, ...]
    figures: Figures


def plan_target(
    book: Book, bore: str, rod_type: RodType | None, hole: Hole | None, station: int,
    room: Figures, key: str,
) -> PlanTarget | None:  # fmt: skip
    """The plan's pitch at the end of this rod, held against the room left.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : str
        The bore, which is its plan's name.
    rod_type : RodType or None
        Its rods.
    hole : Hole or None
        The pilot so far.
    station : int
        Number of this rod.
    room : Figures
        ``from`` and ``to`` where the room is known.
    key : str
        First part of the figures' keys.

    Returns
    -------
    PlanTarget or None
        None without a plan whose path was kept, and past its last rod. The plan's pitch is where
        its line goes, not the way back onto it.
    """
    plan = plan_named(book, bore)
    targets = plan.target_pitches if plan is not None else ()
    if rod_type is None or not 0 < station <= len(targets):
        return None
    wanted = targets[station - 1]
    figures = {"plan": Figure(f"{key}.plan", wanted, "slope", Standing.ASSUMED)}
    told = [Sentence("this_rod.plan", {"pitch": figures["plan"]})]
    low, high = (room[name].value if name in room else None for name in ("from", "to"))
    if low is not None and high is not None and not low <= wanted <= high:
        told.append(Sentence("this_rod.plan_outside"))
    off = _below_the_line(book, bore, rod_type, hole, len(targets))
    if off is not None:
        figures["off"] = Figure(f"{key}.off", off, "length", Standing.COMPUTED)
        apart = Figure(f"{key}.apart", abs(off), "length", Standing.COMPUTED)
        told.append(Sentence(f"this_rod.plan_{side_of_line(off)}", {"off": apart}))
    return PlanTarget(tuple(told), figures)


def _below_the_line(
    book: Book, bore: str, rod_type: RodType, hole: Hole | None, rods: int
) -> float | None:
    """How far the hole's end lies below the plan's line at the same distance; None past it. [m]"""
    path = hole.path if hole is not None else None
    if path is None:
        return None
    ends = [plan_at(book, bore, rod_type, n) for n in range(1, rods + 1)]
    places = [each for each in ends if each is not None]
    level = np.array([0.0, *(each.along for each in places)])
    depth = np.array([0.0, *(each.depth for each in places)])
    north, east, down = path.positions[-1]
    along = float(np.hypot(north, east))
    if not 0.0 < along <= level[-1]:
        return None
    return float(down - np.interp(along, level, depth))
