"""Prices nobody gave: what is not told in money for want of each, and where it is typed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

from rodhand.book.work.assess import Assessment
from rodhand.book.work.prices import OwnerPrices, owner_prices
from rodhand.record.choices import DRESSINGS


@dataclass(frozen=True)
class Lacking:
    """A price nobody gave.

    Parameters
    ----------
    what : str
        Of `rodhand.record.choices.PRICED`, or ``lead``: the days a new rod takes to come.
    of : str
        The rod type, or what a bore runs under; empty for any.
    link : str
        The form it is typed in, filled in so far.
    """

    what: str
    of: str
    link: str

    @property
    def key(self) -> str:
        """Key of its sentence; its place ``{of}`` takes the rod type or the work of the yard."""
        if self.what in DRESSINGS:
            return "lacking.work"
        anyone = self.what in ("new rod", "break") and not self.of
        return f"lacking.{self.what.replace(' ', '_')}{'_any' if anyone else ''}"

    @property
    def named(self) -> str:
        """What the sentence names: the work of the yard, else the rod type or what is crossed."""
        return self.what if self.what in DRESSINGS else self.of


def lacking(prices: OwnerPrices, what: str, of: str = "") -> Lacking:
    """A price of something that nobody gave, or ``lead``, the days a new rod takes to come.

    Parameters
    ----------
    prices : OwnerPrices
        Those the owner gave: where all are in one currency, the form has it.
    what, of : str
        As `Lacking` has them.
    """
    priced, focus = ("new rod", "lead_days") if what == "lead" else (what, "price")
    column = "under" if what == "break" else "rod_type"
    currency = "" if what == "lead" or prices.others else prices.currency
    filled = {"what": priced, column: of, "currency": currency, "focus": focus}
    asked = {name: text for name, text in filled.items() if text}
    return Lacking(what, of, f"/enter/price?{urlencode(asked)}")


def lacking_rods(assessment: Assessment, rod_types: Iterable[str]) -> tuple[Lacking, ...]:
    """A new rod of every one of these types that has no price, by name."""
    prices = owner_prices(assessment)
    return tuple(
        lacking(prices, "new rod", each)
        for each in sorted(set(rod_types))
        if prices.rod(each) is None
    )
