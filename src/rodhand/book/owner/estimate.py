"""What lengths of hole take of the rods at the owner's own rates: the arithmetic of an estimate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.book.owner.wear_rates import CURVES, RateTable
from rodhand.book.views import Figures
from rodhand.units import Figure, Standing

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
TYPED_CURVES = tuple(each for each in CURVES if each != "not_read")
"""Curves a length may be typed in; ``all`` where nobody knows the curve."""


@dataclass(frozen=True)
class Part:
    """A length of hole in one ground and one curve of `TYPED_CURVES`. [m]"""

    ground: str
    curve: str
    length: float


@dataclass(frozen=True)
class PartTaken:
    """What one length takes.

    figures: length; bores and behind (their hole), on which its rate rests; with enough of them
    lives (low to high) and, with a price of a new rod, cost.
    """

    ground: str
    curve: str
    enough: bool
    figures: Figures


def take(table: RateTable, part: Part, number: int, price: float | None) -> PartTaken:
    """What a length takes: its length times the rate of its ground and curve.

    Parameters
    ----------
    table : RateTable
        Rates of one rod type.
    part : Part
        The length. [m]
    number : int
        Its place in the estimate.
    price : float or None
        Of a new rod; None where nobody gave it. [money]

    Returns
    -------
    PartTaken
        The range runs from the rate of the least bore to that of the most. Without a rate (too
        few bores) neither lives nor cost.
    """
    own = f"estimate.{number}"
    row = next((r for r in table.rows if (r.ground, r.curve) == (part.ground, part.curve)), None)
    bores, behind = (row.figures[name].value if row else 0.0 for name in ("bores", "length"))
    figures = {
        "length": Figure(f"{own}.length", part.length, "distance", M),
        "bores": Figure(f"{own}.bores", bores, "count", M),
        "behind": Figure(f"{own}.behind", behind, "distance", M),
    }
    if row is None or not row.enough:
        return PartTaken(part.ground, part.curve, False, figures)
    rate = row.figures["lives"]  # in 1,000 m
    best, low, high = (
        part.length * (each or 0.0) / 1000.0 for each in (rate.value, rate.low, rate.high)
    )
    figures["lives"] = Figure(f"{own}.lives", best, "fine_rods_used", C, low, high)
    if price is not None:
        ends = (best * price, low * price, high * price)
        figures["cost"] = Figure(f"{own}.cost", ends[0], "money", A, *ends[1:])
    return PartTaken(part.ground, part.curve, True, figures)


def together(taken: Sequence[PartTaken], rod_length: float) -> Figures:
    """All lengths as one bore.

    Parameters
    ----------
    taken : sequence of PartTaken
        At least one.
    rod_length : float
        Of one rod. [m]

    Returns
    -------
    Figures
        length, string (rods that long), untold (lengths with too few bores behind them); of the
        others lives, share (mean life of each rod of the string), cost and per_metre. The upper
        end of a range is open where a length is not told; where none is, lives is unknown.
    """
    told = [each.figures for each in taken if each.enough]
    whole = math.fsum(each.figures["length"].value or 0.0 for each in taken)
    of_told = math.fsum(each["length"].value or 0.0 for each in told)
    string = float(math.ceil(whole / rod_length - 1e-9))
    untold, lives = len(taken) - len(told), [each["lives"] for each in told]
    figures = {
        "length": Figure("estimate.length", whole, "distance", M),
        "string": Figure("estimate.string", string, "count", C),
        "untold": Figure("estimate.untold", float(untold), "count", C),
        "lives": _sum("estimate.lives", "fine_rods_used", C, lives, untold),
    }
    if told:
        figures["share"] = _over(figures["lives"], "estimate.share", "fine_share", string)
    if told and all("cost" in each for each in told):
        cost = _sum("estimate.cost", "money", A, [each["cost"] for each in told], untold)
        figures["cost"] = cost
        figures["per_metre"] = _over(cost, "estimate.per_metre", "money_per_metre", of_told)
    return figures


def _sum(
    key: str, quantity: str, standing: Standing, parts: Sequence[Figure], untold: int
) -> Figure:
    """Parts added up; unknown without one, its upper end open where a part is not told."""
    if not parts:
        return Figure(key, None, quantity, Standing.UNKNOWN)
    best, low, high = (
        math.fsum(getattr(each, end) for each in parts) for end in ("value", "low", "high")
    )
    return Figure(key, best, quantity, standing, low, None if untold else high)


def _over(figure: Figure, key: str, quantity: str, by: float) -> Figure:
    """A figure divided by a number above 0, its range with it."""
    best, low, high = (
        None if each is None else each / by for each in (figure.value, figure.low, figure.high)
    )
    return Figure(key, best, quantity, figure.standing, low, high)
