"""The owner's prices in force: new rods, moves, breaks, the rig's time and the yard's work."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from rodhand.advice.verdict import Sentence
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import settings_in_force
from rodhand.record.choices import LOST
from rodhand.record.marks import fold
from rodhand.record.order import known_by, struck_entries
from rodhand.record.planned import PriceGiven

ALL = ""
"""A price of all rod types, or of a break anywhere."""


@dataclass(frozen=True)
class OwnerPrices:
    """What the owner gave, and nothing else: a price nobody gave is None.

    Parameters
    ----------
    currency : str
        Of the newest price that has one; empty where none has. Prices without a currency (of a
        rod type, of a setting) are taken to be in the same.
    rods : mapping of str to float
        Price of one new rod by folded name of its type; `ALL` for any.
    breaks : mapping of str to float
        Cost of one break by what the bore runs under; `ALL` for anywhere.
    lost : mapping of str to float
        Of what goes with a break, by `rodhand.record.choices.LOST`; of the hole for each metre.
    work : mapping of str to float
        Of each work of the yard on one end.
    move, rig_day, rig_hour : float or None
        Of moving one rod; of a day and an hour of the rig.
    lead_days : mapping of str to int
        Days from order to rig by folded name of the rod type; `ALL` for any.
    others : tuple of str
        Other currencies, whose prices are not used: nobody gave a rate.
    """

    currency: str = ""
    rods: Mapping[str, float] = field(default_factory=dict)
    breaks: Mapping[str, float] = field(default_factory=dict)
    lost: Mapping[str, float] = field(default_factory=dict)
    work: Mapping[str, float] = field(default_factory=dict)
    move: float | None = None
    rig_day: float | None = None
    rig_hour: float | None = None
    lead_days: Mapping[str, int] = field(default_factory=dict)
    others: tuple[str, ...] = ()

    @property
    def any(self) -> bool:
        """Whether any price is known that `money` can be told with."""
        told = (self.move, self.rig_day, self.rig_hour)
        return bool(self.rods or self.breaks or self.lost or self.work) or any(
            x is not None for x in told
        )

    def rod(self, rod_type: str) -> float | None:
        """Price of one new rod of a type; None where nobody gave it."""
        return self.rods.get(fold(rod_type), self.rods.get(ALL))

    def a_break(self, under: str = "") -> float | None:
        """Cost of one break in a bore under something; None where nobody gave it."""
        return self.breaks.get(under, self.breaks.get(ALL))

    def break_at(self, under: str, rod_type: str, place: int, length: float) -> float | None:
        """Cost of a break of the rod in a place of the string, as if all of it stood in the hole.

        Parameters
        ----------
        under : str
            What the bore runs under.
        rod_type : str
            Of the string.
        place : int
            Counted from 1 behind the head.
        length : float
            Of one rod. [m]

        Returns
        -------
        float or None
            Where nothing of `LOST` has a price, that of a break, wherever it is. Else it and
            what is lost with it: this rod and those ahead of it, what leads, the hole to there.
            None without a price of a break, or of a new rod where that is asked.
        """
        alone, rod = self.a_break(under), self.rod(rod_type)
        if alone is None or not self.lost:
            return alone
        if rod is None:
            return None
        again = self.lost.get("metre redrilled", 0.0) * place * length
        leads = self.lost.get("lost head", 0.0) + self.lost.get("lost transmitter", 0.0)
        return alone + place * rod + leads + again

    def lead(self, rod_type: str) -> int | None:
        """Days from order to rig of a new rod of a type; None where nobody gave them."""
        return self.lead_days.get(fold(rod_type), self.lead_days.get(ALL))


def others_told(prices: OwnerPrices) -> tuple[Sentence, ...]:
    """That prices in other currencies are not used; nothing where there are none."""
    if not prices.others:
        return ()
    return (Sentence("season.others", {"others": ", ".join(prices.others)}),)


@lru_cache(maxsize=4)
def owner_prices(assessment: Assessment) -> OwnerPrices:
    """The owner's prices as of the book's day.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    OwnerPrices
        Entries of kind `price` stand before the price in a rod type's entry and before the
        settings ``price.*``; of each the last that has begun.
    """
    given = [each for each in assessment.book.prices if _begun(assessment, each)]
    currencies = {fold(each.currency): each.currency for each in given if each.currency}
    newest = next((each.currency for each in reversed(given) if each.currency), "")
    used = [each for each in given if fold(each.currency) in ("", fold(newest))]
    priced = {(e.what, fold(e.rod_type), e.under): e.price for e in used if e.price is not None}
    work = dict(settings_in_force(assessment.book, assessment.today).prices)
    named = ("new rod", "break", "rod move", "rig day", "rig hour", *LOST)
    work |= {what: price for (what, _, _), price in priced.items() if what not in named}
    own_rods = {of: price for (what, of, _), price in priced.items() if what == "new rod"}
    leads = [each for each in given if each.lead_days is not None]
    return OwnerPrices(
        newest,
        _type_prices(assessment) | own_rods,
        {under: price for (what, _, under), price in priced.items() if what == "break"},
        {what: priced[what, "", ""] for what in LOST if (what, "", "") in priced},
        work,
        priced.get(("rod move", "", "")),
        priced.get(("rig day", "", "")),
        priced.get(("rig hour", "", "")),
        {fold(each.rod_type): each.lead_days for each in leads if each.lead_days is not None},
        tuple(sorted(name for key, name in currencies.items() if key != fold(newest))),
    )


def _begun(assessment: Assessment, given: PriceGiven) -> bool:
    return assessment.invented or day_of(given.origin.happened.start) <= assessment.today


def _type_prices(assessment: Assessment) -> dict[str, float]:
    """Price typed with each rod type, as last entered and not struck, by folded name."""
    known = known_by(assessment.entries, assessment.book.as_of or None)
    struck = struck_entries(known, [])
    found = {}
    for entry in sorted(known, key=lambda each: each.entered):
        if entry.kind == "rod-type" and entry.id not in struck:
            try:
                price = float(entry.payload.get("price", ""))
            except ValueError:
                continue
            if math.isfinite(price):
                found[fold(entry.payload.get("name", ""))] = price
    return found
