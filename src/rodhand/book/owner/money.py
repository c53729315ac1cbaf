"""Money on one page: the owner's prices, what each over-steer cost, wear per metre."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.over_steer_cost import OverSteerCost, over_steer_costs
from rodhand.book.owner.wear_rates import RateTable, wear_rates
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.lacking import Lacking, lacking, lacking_rods
from rodhand.book.work.prices import ALL, OwnerPrices, others_told, owner_prices
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing

DAY = 86400.0


@dataclass(frozen=True)
class PriceRow:
    """One price in force: of what, of which rod type or under what; figures: price, lead."""

    what: str
    of: str
    figures: Figures


@dataclass(frozen=True)
class MoneyView:
    """The page; lacking: prices nobody gave; others: prices that are not used."""

    invented: bool
    day: str
    currency: str
    prices: tuple[PriceRow, ...]
    lacking: tuple[Lacking, ...]
    over_steers: tuple[OverSteerCost, ...]
    rates: tuple[RateTable, ...]
    others: tuple[Sentence, ...]


@lru_cache(maxsize=4)
def money_view(assessment: Assessment) -> MoneyView:
    """Prices, over-steers and wear per metre of a book.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    MoneyView
        Without prices all is told in lives, rods and minutes.
    """
    prices = owner_prices(assessment)
    return MoneyView(
        assessment.invented, assessment.today[:10], prices.currency, _price_rows(assessment),
        _lacking(assessment, prices), over_steer_costs(assessment), wear_rates(assessment),
        others_told(prices),
    )  # fmt: skip


def _price_rows(assessment: Assessment) -> tuple[PriceRow, ...]:
    prices, book = owner_prices(assessment), assessment.book
    names = {fold(each.name): each.name for each in book.rod_types.values()}
    found: dict[tuple[str, str], float | None] = dict.fromkeys(
        ("new rod", names.get(each, each)) for each in (*prices.rods, *prices.lead_days)
    )
    found |= {("new rod", names.get(each, each)): price for each, price in prices.rods.items()}
    found |= {("break", under): price for under, price in prices.breaks.items()}
    single = {"rod move": prices.move, "rig day": prices.rig_day, "rig hour": prices.rig_hour}
    found |= {(what, ALL): price for what, price in single.items() if price is not None}
    found |= {(what, ALL): price for what, price in (*prices.lost.items(), *prices.work.items())}
    return tuple(_price_row(prices, what, of, price) for (what, of), price in found.items())


def _price_row(prices: OwnerPrices, what: str, of: str, price: float | None) -> PriceRow:
    own = f"money.{what.replace(' ', '_')}.{of or 'any'}"
    figures = {"price": Figure(f"{own}.price", price, "money", Standing.MEASURED)}
    days = prices.lead_days.get(fold(of)) if what == "new rod" else None
    if days is not None:
        figures["lead"] = Figure(f"{own}.lead", days * DAY, "days", Standing.MEASURED)
    return PriceRow(what, of, figures)


def _lacking(assessment: Assessment, prices: OwnerPrices) -> tuple[Lacking, ...]:
    types = {work.rod_type.name for work in assessment.works.values()}
    types |= {each.rod_type for each in assessment.book.sets.values() if each.rod_type}
    found = list(lacking_rods(assessment, types or {ALL}))
    if prices.rig_hour is None:
        found.append(lacking(prices, "rig hour"))
    if prices.a_break() is None:
        found.append(lacking(prices, "break"))
    return tuple(found)
