"""The lines `rodhand money` prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodhand.words import say

NO_BREAK = "\u00a0"

if TYPE_CHECKING:
    from rodhand.book.owner.money import MoneyView
    from rodhand.book.owner.wear_rates import RateRow
    from rodhand.book.views import Figures
    from rodhand.units import Figure, System


def money_lines(view: MoneyView, units: System) -> list[str]:
    """Over-steers with their cost, wear per metre by rod type, prices, what is missing."""
    from rodhand.book.telling import tell

    lines = [say("money.title"), say("money.lead", day=view.day)]
    if view.invented:
        lines.append(say("week_print.invented"))
    lines += ["", say("money.over_steers")]
    for each in view.over_steers:
        day = each.when or say("number.unknown")
        told = {"bore": each.bore, "station": f"{each.station:g}", "day": day}
        lines += [say("money_print.over", **told), *(f"  {tell(x, units)}" for x in each.lines),
                  say("money_print.range", **_ends(each.figures, units))]  # fmt: skip
    if not view.over_steers:
        lines.append(say("money.no_over_steers"))
    lines += ["", say("money.rates")]
    for table in view.rates:
        lines += [table.rod_type, *(_rate(row, units) for row in table.rows)]
    lines += ["", say("money.prices")]
    for price in view.prices:
        told = {"what": price.what, "of": price.of or say("money.any"), "currency": view.currency}
        shown = price.figures["price"].shown(units)
        lines.append(say("money_print.price", price=shown, **told).rstrip())
    if not view.prices:
        lines.append(say("money.no_prices"))
    return [*lines, *(tell(each, units) for each in view.missing)]


def _ends(figures: Figures, units: System) -> dict[str, str]:
    lives, cost = figures["lives"], figures["cost"]
    return {
        "least": _end(lives.low, lives, units), "most": _end(lives.high, lives, units),
        "low": _end(cost.low, cost, units), "high": _end(cost.high, cost, units),
    }  # fmt: skip


def _rate(row: RateRow, units: System) -> str:
    shown = {name: each.shown(units) for name, each in row.figures.items()}
    told = {"ground": row.ground, "bores": shown["bores"], "length": shown["length"]}
    told["curve"] = _curve(row, shown)
    if not row.enough:
        return say("money_print.few", **told)
    told |= {"lives": shown["lives"], "cost": shown["cost"]}
    return say("money_print.rate", **told, **_ends(row.figures, units))


def _end(value: float | None, figure: Figure, units: System) -> str:
    from rodhand.units import show

    return show(value, figure.quantity, units)


def _curve(row: RateRow, shown: dict[str, str]) -> str:
    if "tighter_than" in shown and "from" in shown:
        return f"{shown['from'].partition(NO_BREAK)[0]} {say('money.to')} {shown['tighter_than']}"
    if "tighter_than" in shown:
        return say("money.tighter", radius=shown["tighter_than"])
    if "from" in shown:
        return say("money.straighter", radius=shown["from"])
    return say(f"money.{row.curve}")
