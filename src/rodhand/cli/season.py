"""`rodhand forecast` and `rodhand season`: the booked work ahead, and the last year, as lines."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.cli.book_pages import Json, Units
from rodhand.cli.money_lines import lacking_lines, money_lines
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.owner.forecast import ForecastView
    from rodhand.book.owner.season import SeasonView
    from rodhand.units import System


def forecast(
    book: BookFolder = DEFAULT_BOOK, as_of: AsOf = "", units: Units = "metric", json_: Json = False
) -> None:
    """What the booked bores take of each rod, rods short, what to order and when, retire age."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.owner.forecast import forecast_view
    from rodhand.book.twin import twin

    view = forecast_view(open_assessment(book, as_of_day(as_of)))
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_forecast_lines(view, units)))


def season(
    out: Annotated[Path | None, typer.Option("--out", help=say("season.help_out"))] = None,
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    units: Units = "metric",
    json_: Json = False,
) -> None:
    """The last year on one page: metres, hours, rods used up, cost per metre, what to do next."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.owner.season import season_view
    from rodhand.book.twin import twin
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.paper import BookFacts, write_pdf
    from rodhand.sheets.season_paper import season_paper

    if out is not None and out.suffix.lower() != ".pdf":
        raise BadInputError([Fault("season_form", str(out), column="--out")], "season")
    assessment = open_assessment(book, as_of_day(as_of))
    view = season_view(assessment)
    if out is not None:
        read = assessment.book
        facts = BookFacts(book.resolve().name, read.entry_count, read.head, read.as_of)
        write_pdf(season_paper(view, facts, units), out)
        print(say("season.paper_written", file=out))
    elif json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_season_lines(view, units)))


def money(
    book: BookFolder = DEFAULT_BOOK, as_of: AsOf = "", units: Units = "metric", json_: Json = False
) -> None:
    """What each over-steer cost, wear per metre by ground and curve, the owner's prices."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.owner.money import money_view
    from rodhand.book.twin import twin

    view = money_view(open_assessment(book, as_of_day(as_of)))
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(money_lines(view, units)))


def _forecast_lines(view: ForecastView, units: System) -> list[str]:
    from rodhand.book.telling import tell
    from rodhand.units import show

    lines = [say("forecast.title"), say("forecast.lead", day=view.day), say("forecast.caution")]
    if view.invented:
        lines.append(say("week_print.invented"))
    if not view.rigs:
        lines.append(say("forecast.none"))
    for rig in view.rigs:
        lines += [tell(rig.order, units), *(tell(each, units) for each in rig.unknown)]
        lines += [*(tell(each, units) for each in rig.outlook), *lacking_lines(rig.lacking)]
        for row in rig.bores:
            shown = {key: each.shown(units) for key, each in row.figures.items()}
            shown["most"] = show(row.figures["short"].high, "count", units)
            day = row.day or say("number.unknown")
            lines.append(say("forecast_print.bore", bore=row.name, day=day, **shown))
        for rod in (each for each in rig.rods if each.past_line):
            now, *after = (each.shown(units) for each in rod.figures.values())
            last = after[-1] if after else now
            lines.append(
                say("forecast_print.rod", rod=rod.name, now=now, after=last,
                    bore=rod.past_line or say("number.dash"))
            )  # fmt: skip
    lines += ["", say("replace.title"), say(f"replace.{view.replace.state}")]
    for risk in view.replace.rows:
        f = {name: each.shown(units) for name, each in risk.figures.items()}
        lines.append(
            say("replace_print.line", name=risk.name, low=f["chance_low"], high=f["chance_high"],
                least=f["risk_low"], most=f["risk_high"], price=f["price"],
                currency=view.replace.currency)
        )  # fmt: skip
    lines += ["", say("retire.title"), say(f"retire.{view.retire.state}")]
    for name, each in view.retire.figures.items():
        lines.append(
            say("season_print.line", name=say(f"retire.of_{name}"), value=each.shown(units))
        )
    if view.sets:
        lines += ["", say("against.title"), *(tell(row.line, units) for row in view.sets)]
    return lines


def _season_lines(view: SeasonView, units: System) -> list[str]:
    from rodhand.book.telling import names_in_words, tell
    from rodhand.sheets.claim_tables import worded
    from rodhand.units import show

    lines = [say("season.title"), say("season.lead", since=view.since, day=view.day)]
    if view.invented:
        lines.append(say("week_print.invented"))
    if not view.rows:
        lines.append(say("season.none"))
    for name, each in view.figures.items() if view.rows else ():
        values = {"name": say(f"season.of_{name}"), "value": each.shown(units)}
        if each.low is None:
            lines.append(say("season_print.line", **values))
            continue
        low, high = (show(end, each.quantity, units) for end in (each.low, each.high))
        lines.append(say("season_print.band", low=low, high=high, **values))
    lines += ["", say("season.money")]
    for name, each in view.money.items():
        value = f"{each.shown(units)} {view.currency}".strip()
        lines.append(say("season_print.line", name=say(f"season.cost_{name}"), value=value))
    more = [view.over] if view.over else []
    lines += [tell(each, units) for each in (*more, *view.unknown)]
    lines += [*lacking_lines(view.lacking), *(tell(each, units) for each in view.sets)]
    for row in view.rows:
        f = {name: each.shown(units) for name, each in row.figures.items()}
        bends = say("season.over_yes" if row.over else "season.over_no")
        cost = say("season_print.cost", cost=f["cost"]) if "cost" in f else ""
        lines.append(
            say("season_print.ground", ground=worded("choice", row.ground), bends=bends,
                bores=f["bores"], length=f["length"], used=f["rods_used"], cost=cost)
        )  # fmt: skip
    lines += ["", say("season.next"), *(tell(each, units) for each in view.orders)]
    for line in view.lines:
        who = f"{line.who}, {names_in_words(line.things)}" if line.things else line.who
        lines.append(f"  {who}: {tell(line.verdict.do, units)}")
    return lines
