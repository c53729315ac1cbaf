"""The booked plan's line at the end of a rod: where the way back should come to."""

from __future__ import annotations

import numpy as np

from rodhand.book.plan.planned import plan_named
from rodhand.hole.way_around import Place
from rodhand.record.book import Book
from rodhand.steel.rod_type import RodType


def plan_at(book: Book, name: str, rod_type: RodType, rods: int) -> Place | None:
    """Where the plan of a bore has the hole once so many rods are in.

    Parameters
    ----------
    book : Book
        The book read back.
    name : str
        The bore, which is its plan's name.
    rod_type : RodType
        The rods.
    rods : int
        Rods in the hole then.

    Returns
    -------
    Place or None
        None without a plan, before its path was kept, and past its last rod.

    Notes
    -----
    Each rod goes the way half between its targets. A plan without headings runs straight.
    """
    plan = plan_named(book, name)
    targets = plan.target_pitches if plan is not None else ()
    if plan is None or not 0 < rods <= len(targets):
        return None
    pitch = np.array([-abs(plan.entry_pitch), *targets[:rods]])
    given = plan.target_headings
    heading = np.array([0.0, *given[:rods]]) if len(given) == len(targets) else np.zeros(rods + 1)
    level, toward = (pitch[1:] + pitch[:-1]) / 2.0, (heading[1:] + heading[:-1]) / 2.0
    step = rod_type.length * np.cos(level)
    return Place(
        float(np.sum(step * np.cos(toward))), float(np.sum(step * np.sin(toward))),
        float(-np.sum(rod_type.length * np.sin(level))), float(pitch[-1]), float(heading[-1]),
    )  # fmt: skip
