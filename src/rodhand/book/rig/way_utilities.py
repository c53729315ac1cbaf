"""Whether the rods of a way back keep their distance from the utilities entered for the bore."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rodhand.book.plan.planned import hole_radius, in_way_of, plan_named, utilities_of
from rodhand.hole.plan_limits import InWay, PlanAsk
from rodhand.hole.plan_shape import Drawn, draw_rods, margins
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType

Floats = NDArray[np.float64]


def ways_of(book: Book, bore: Bore, rod_type: RodType) -> tuple[InWay, ...]:
    """Utilities entered for a bore as a way meets them, from the entry on."""
    radius = hole_radius(plan_named(book, bore.name), rod_type)
    return tuple(in_way_of(each, radius) for each in utilities_of(book, bore.name))


def below_entry(book: Book, bore: Bore, ways: tuple[InWay, ...]) -> tuple[InWay, ...]:
    """Utilities of known depth, their depth counted from the height of the entry."""
    plan = plan_named(book, bore.name)
    slope = plan.exit_height / plan.distance if plan is not None else 0.0
    return tuple(
        replace(way, depth=way.depth - slope * way.at) for way in ways if way.depth is not None
    )


def too_near(
    book: Book, bore: Bore, rod_type: RodType, across: float, depth: float, pitch: Floats,
    sideways: bool = False,
) -> tuple[str, float] | None:  # fmt: skip
    """The utility a run of rods comes nearest to, where that is nearer than it may.

    Returns
    -------
    tuple of str, float, or None
        Its name and by how much too near, NaN where its depth is unknown and the rods pass it;
        None where every distance is kept. The rest as in `nearest_utility`.
    """
    found = nearest_utility(book, bore, rod_type, across, depth, pitch, sideways)
    return None if found is None or found[1] >= 0.0 else (found[0], -found[1])


def nearest_utility(
    book: Book,
    bore: Bore,
    rod_type: RodType,
    across: float,
    depth: float,
    pitch: Floats,
    sideways: bool = False,
) -> tuple[str, float] | None:
    """The utility a run of rods comes nearest to, and what is left beyond the distance to keep.

    Parameters
    ----------
    book : Book
        Its utilities are entered under the bore's name.
    bore : Bore
        The bore.
    rod_type : RodType
        The rods.
    across, depth : float
        Where the rods begin: level from the entry, and below it. [m]
    pitch : ndarray (rods+1,)
        At the start and at the end of each rod. [rad]
    sideways : bool
        Whether where the rods lie sideways is known; one that runs along lies at every offset
        where it is not.

    Returns
    -------
    tuple of str, float, or None
        Its name and what is left, negative where too near, NaN where its depth is unknown and the
        rods pass it; None where none was entered that they come by.

    Notes
    -----
    Without a plan the ground is taken level. One of unknown depth lies at every depth.
    """
    drawn = draw_rods(pitch[None, :], rod_type.length)
    moved = Drawn(drawn.pitch, drawn.across + across, drawn.height - depth, drawn.pieces)
    end = float(moved.across[0, -1])
    plan = plan_named(book, bore.name)
    ways = ways_of(book, bore, rod_type)
    for way in ways:
        if way.depth is None and across - way.keep <= way.to and way.at <= end + way.keep:
            return way.name, math.nan
    known = tuple(way for way in ways if way.depth is not None)
    if sideways:  # the search held those that run along against the offset of every rod
        known = tuple(way for way in known if way.offset is None)
    else:
        known = tuple(replace(way, offset=None) for way in known)
    if not known:
        return None
    distance = plan.distance if plan is not None else end + 1.0
    ask = PlanAsk(
        distance, 1.0, 1.0, rod_type.length, 1.0, plan.exit_height if plan is not None else 0.0,
        in_way=known,
    )  # fmt: skip
    kept = margins(ask, moved, math.inf)[0, 2:]
    worst = int(np.argmin(kept))
    return known[worst].name, float(kept[worst])
