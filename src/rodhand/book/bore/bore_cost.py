"""What a bore took of its rods: lives spent, and their cost at the owner's price of a new rod."""

from __future__ import annotations

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.expected_wear import KINDS, taken_by_place
from rodhand.book.work.assess import Assessment
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing


def spent(assessment: Assessment, name: str) -> tuple[float, float, float]:
    """Rods' lives a bore took: low, best and high, worst section of each place, summed. [-]"""
    taken = taken_by_place(assessment, name)
    low, best, high = (
        float(taken[:, KINDS.index(kind)].max(axis=1).sum()) for kind in ("low", "best", "high")
    )
    return low, best, high


def bore_cost(assessment: Assessment, name: str) -> Sentence:
    """What a bore took of its rods, and per length at the owner's price of a new rod.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        A bore that was worked through.

    Returns
    -------
    Sentence
        Without a price of a new rod of the type, lives spent alone.
    """
    work, prices = assessment.works[name], owner_prices(assessment)
    low, best, high = spent(assessment, name)
    own, length, price = f"bore.{name}.cost", work.hole.length, prices.rod(work.rod_type.name)
    lives = Figure(f"{own}.lives", best, "rods_used", Standing.COMPUTED, low, high)
    if price is None or length <= 0.0:
        return Sentence("bore_cost.lives", {"lives": lives})
    ends = [each * price / length for each in (best, low, high)]
    cost = Figure(f"{own}.per_metre", ends[0], "money_per_metre", Standing.ASSUMED, *ends[1:])
    values: dict[str, str | Figure] = {"lives": lives, "cost": cost, "currency": prices.currency}
    return Sentence("bore_cost.money" if prices.currency else "bore_cost.bare", values)
