"""Which utilities entered for a bore a run of rods passes, and what is left of their distance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rodhand.book.plan.planned import hole_radius, in_way_of, plan_named, utilities_of
from rodhand.hole.clear_of import clear_of
from rodhand.hole.plan_limits import InWay
from rodhand.hole.run import PIECES, Run
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType


@dataclass(frozen=True)
class Passing:
    """A run of rods where it comes nearest to a utility.

    Parameters
    ----------
    name : str
        Of the utility.
    depth, offset : float
        Of the hole there: below the entry, right of the line. [m]
    left : float
        Beyond the distance to keep, negative where too near; NaN where its depth is unknown. [m]
    """

    name: str
    depth: float
    offset: float
    left: float

    @property
    def is_too_near(self) -> bool:
        """Whether the distance is not kept, or may not be."""
        return not self.left >= 0.0


def ways_of(book: Book, bore: Bore, rod_type: RodType) -> tuple[InWay, ...]:
    """Utilities entered for a bore as a way meets them, their depth from the height of the entry.

    Without a plan the ground is taken level.
    """
    plan = plan_named(book, bore.name)
    radius = hole_radius(plan, rod_type)
    slope = plan.exit_height / plan.distance if plan is not None else 0.0
    ways = (in_way_of(each, radius) for each in utilities_of(book, bore.name))
    return tuple(
        way if way.depth is None else replace(way, depth=way.depth - slope * way.at)
        for way in ways
    )  # fmt: skip


def known_of(ways: Sequence[InWay]) -> tuple[InWay, ...]:
    """Those of known depth: a way is only sought around these."""
    return tuple(way for way in ways if way.depth is not None)


def passings(ways: Sequence[InWay], run: Run, sideways: bool) -> tuple[Passing, ...]:
    """Every utility a run of rods comes by, the nearest first.

    Parameters
    ----------
    ways : sequence of InWay
        Their depths from the height of the entry; one of unknown depth lies at every depth.
    run : Run
        The rods.
    sideways : bool
        Whether where they lie sideways is known; one that runs along lies at every offset where
        it is not.
    """
    first, last = float(run.along[0]), float(run.along[-1])
    found = []
    for way in ways:
        if not (first - way.keep <= way.to and way.at <= last + way.keep):
            continue
        here = way if sideways else replace(way, offset=None)
        kept = clear_of(run.pieces[:, None, :], [replace(here, depth=way.depth or 0.0)])[0, :, 0]
        worst = int(np.argmin(kept))
        level = run.pieces[0]
        at = float(np.clip(level[worst : worst + 2].mean(), way.at, way.to))
        depth, offset = (float(np.interp(at, level, run.pieces[n])) for n in (2, 1))
        left = math.nan if way.depth is None else float(kept[worst])
        found.append(Passing(way.name, depth, offset, left))
    return tuple(sorted(found, key=lambda each: -math.inf if math.isnan(each.left) else each.left))


def stretch_of(run: Run, rods: int) -> Run:
    """The first rods of a run."""
    ends = slice(rods + 1)
    return Run(
        run.pitch[ends], run.heading[ends], run.along[ends], run.offset[ends], run.depth[ends],
        run.pieces[:, : PIECES * rods + 1],
    )  # fmt: skip
