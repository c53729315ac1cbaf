"""What a length of hole takes of the rods by ground and by curve, for an estimate."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from rodhand.book.bore.taken_where import taken_where
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.moments import RADII
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
LEAST_BORES = 3
"""Bores behind a figure; with fewer none is told (ours). [-]"""
CURVES = (*(f"{radius:g}" for radius in RADII), "straighter", "not_read", "all")
"""Curves by the radius they are tighter than [m], the rest, what nobody read, and all together."""


@dataclass(frozen=True)
class RateRow:
    """One ground and curve.

    figures: tighter_than and from (radii of the curve, where it has them), bores, length (of
    hole), and where enough bores are behind it lives (rods' lives in 1,000 m) and, with a price of
    a new rod, cost (per metre), each with the least and the most of those bores.
    """

    ground: str
    curve: str
    enough: bool
    figures: Figures


@dataclass(frozen=True)
class RateTable:
    """Rows of one rod type, ground by ground, those with enough bores in front."""

    rod_type: str
    priced: bool
    rows: tuple[RateRow, ...]


@dataclass(frozen=True)
class Stretch:
    """Hole one bore drilled in one curve: length [m], lives taken (low, best, high). [-]"""

    length: float = 0.0
    low: float = 0.0
    best: float = 0.0
    high: float = 0.0

    def plus(self, other: Stretch) -> Stretch:
        """Both together."""
        return Stretch(self.length + other.length, self.low + other.low, self.best + other.best,
                       self.high + other.high)  # fmt: skip


def curve_of(curvature: float) -> str:
    """Which of `CURVES` a mean bend belongs to. [1/m]"""
    if math.isnan(curvature):
        return "not_read"
    radius = math.inf if curvature <= 0.0 else 1.0 / curvature
    return next((f"{each:g}" for each in RADII if radius < each), "straighter")


def curve_radii(curve: str, own: str) -> Figures:
    """Radii of a curve, keys under ``own``: tighter_than and from, where it has them. [m]"""
    radii = [f"{radius:g}" for radius in RADII]
    place = radii.index(curve) if curve in radii else len(RADII) if curve == "straighter" else None
    if place is None:
        return {}
    ends = {"tighter_than": RADII[place : place + 1], "from": RADII[max(place - 1, 0) : place]}
    return {name: Figure(f"{own}.{name}", end[0], "radius", M) for name, end in ends.items() if end}


@lru_cache(maxsize=4)
def wear_rates(assessment: Assessment) -> tuple[RateTable, ...]:
    """What a length of hole took of the rods, by rod type, ground and curve.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    tuple of RateTable
        The curve is the mean bend of each rod's interval of the pilot; lives are those all passes
        took there. The figure is all lives over all length; its range runs from the least bore's
        low to the most bore's high.
    """
    kept: dict[str, dict[tuple[str, str], list[Stretch]]] = defaultdict(lambda: defaultdict(list))
    for name, work in assessment.works.items():
        for curve, stretch in _by_curve(assessment, name, work).items():
            kept[work.rod_type.name][work.bore.ground, curve].append(stretch)
    return tuple(
        RateTable(rod_type, owner_prices(assessment).rod(rod_type) is not None, tuple(
            _row(assessment, rod_type, ground, curve, rows[ground, curve])
            for ground in sorted({ground for ground, _ in rows}, key=lambda each: (
                len(rows[each, "all"]) < LEAST_BORES, each,
            ))
            for curve in CURVES if (ground, curve) in rows
        ))
        for rod_type, rows in sorted(kept.items())
    )  # fmt: skip


def _by_curve(assessment: Assessment, name: str, work: BoreWork) -> dict[str, Stretch]:
    found: dict[str, Stretch] = {}
    for curve, stretch in _stretches(assessment, name, work):
        for each in (curve, "all"):
            found[each] = found.get(each, Stretch()).plus(stretch)
    return {curve: each for curve, each in found.items() if each.length > 0.0}


def _stretches(assessment: Assessment, name: str, work: BoreWork) -> Iterator[tuple[str, Stretch]]:
    rods, taken = work.hole.rods, taken_where(assessment, name)
    for k in range(rods.angle.size):
        start, end = float(rods.edges[k]), float(rods.edges[k + 1])
        low, best, high = (float(each) for each in taken.lives(start, end))
        if all(map(math.isfinite, (low, best, high))):
            bend = math.nan if rods.unread[k] else float(rods.curvature[k])
            yield curve_of(bend), Stretch(end - start, low, best, high)


def _row(
    assessment: Assessment, rod_type: str, ground: str, curve: str, bores: list[Stretch]
) -> RateRow:
    own = f"rates.{rod_type}.{ground}.{curve}"
    whole = Stretch()
    for each in bores:
        whole = whole.plus(each)
    figures = {
        "bores": Figure(f"{own}.bores", float(len(bores)), "count", M),
        "length": Figure(f"{own}.length", whole.length, "distance", M),
    }
    figures |= curve_radii(curve, own)
    enough = len(bores) >= LEAST_BORES
    if enough:
        rates = (whole.best / whole.length, min(each.low / each.length for each in bores),
                 max(each.high / each.length for each in bores))  # fmt: skip
        price = owner_prices(assessment).rod(rod_type)
        best, low, high = (1000.0 * rate for rate in rates)
        figures["lives"] = Figure(f"{own}.lives", best, "rods_used", C, low, high)
        if price is not None:
            cost, least, most = (rate * price for rate in rates)
            figures["cost"] = Figure(f"{own}.cost", cost, "money_per_metre", A, least, most)
    return RateRow(ground, curve, enough, figures)
