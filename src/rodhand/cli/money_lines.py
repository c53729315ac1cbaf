"""The lines `rodhand money` prints."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rodhand.words import say

NO_BREAK = "\u00a0"

if TYPE_CHECKING:
    from rodhand.book.owner.money import MoneyView
    from rodhand.book.owner.wear_rates import RateRow
    from rodhand.book.views import Figures
    from rodhand.book.work.lacking import Lacking
    from rodhand.units import Figure, System


def money_lines(view: MoneyView, units: System) -> list[str]:
    """Over-steers with their cost, wear per metre by rod type, prices, what is missing."""
    from rodhand.book.telling import tell
    from rodhand.sheets.claim_tables import worded

    lines = [say("money.title"), say("money.lead", day=view.day)]
    if view.invented:
        lines.append(say("week_print.invented"))
    lines += ["", say("money.over_steers")]
    for each in view.over_steers:
        day = each.when or say("number.unknown")
        told = {"bore": each.bore, "station": f"{each.station:g}", "day": day}
        key = "range" if each.figures["cost"].value is not None else "range_lives"
        lines += [say("money_print.over", **told), *(f"  {tell(x, units)}" for x in each.lines),
                  say(f"money_print.{key}", **_ends(each.figures, units))]  # fmt: skip
    if not view.over_steers:
        lines.append(say("money.no_over_steers"))
    lines += ["", say("money.rates")]
    for table in view.rates:
        lines += [table.rod_type, *(_rate(row, units) for row in table.rows)]
    if not view.rates:
        lines.append(say("money.no_rates"))
    lines += ["", say("money.prices")]
    for price in view.prices:
        anyone = say("money.any") if price.what in ("new rod", "break") else ""
        of = worded("choice", price.of) if price.of else anyone
        told = {"what": worded("choice", price.what), "of": of, "currency": view.currency}
        shown = price.figures["price"].shown(units)
        lines.append(say("money_print.price", price=shown, **told).rstrip().replace(" :", ":"))
    if not view.prices:
        lines.append(say("money.no_prices"))
    return [*lines, *lacking_lines(view.lacking), *(tell(each, units) for each in view.others)]


def lacking_lines(lacking: Iterable[Lacking]) -> list[str]:
    """Prices nobody gave, a line each, and how one is typed."""
    from rodhand.sheets.claim_tables import worded

    lines = [say(each.key, of=worded("choice", each.named)) for each in lacking]
    return [*lines, say("lacking_print.how")] if lines else []


def _ends(figures: Figures, units: System) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, least, most in (("lives", "least", "most"), ("cost", "low", "high")):
        if name in figures:
            each = figures[name]
            found |= {least: _end(each.low, each, units), most: _end(each.high, each, units)}
    return found


def _rate(row: RateRow, units: System) -> str:
    from rodhand.sheets.claim_tables import worded

    shown = {name: each.shown(units) for name, each in row.figures.items()}
    ground = worded("choice", row.ground)
    told = {"ground": ground, "bores": shown["bores"], "length": shown["length"]}
    told["curve"] = curve_told(row.curve, row.figures, units)
    if not row.enough:
        return say("money_print.few", **told)
    told |= {name: shown[name] for name in ("lives", "cost") if name in shown}
    key = "rate" if "cost" in shown else "rate_lives"
    return say(f"money_print.{key}", **told, **_ends(row.figures, units))


def _end(value: float | None, figure: Figure, units: System) -> str:
    from rodhand.units import show

    return show(value, figure.quantity, units)


def curve_told(curve: str, radii: Figures, units: System) -> str:
    """A curve by its radii, where it has them."""
    shown = {name: each.shown(units) for name, each in radii.items()}
    if "tighter_than" in shown and "from" in shown:
        return f"{shown['from'].partition(NO_BREAK)[0]} {say('money.to')} {shown['tighter_than']}"
    if "tighter_than" in shown:
        return say("money.tighter", radius=shown["tighter_than"])
    if "from" in shown:
        return say("money.straighter", radius=shown["from"])
    return say(f"money.{curve}")
