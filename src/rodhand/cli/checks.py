"""`rodhand checks`: every check, by period, and where it is due."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.yard.checks_page import CheckLine, ChecksDueView, RuleLine


def checks(
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    json_: Annotated[bool, typer.Option("--json", help=say("check.help_json"))] = False,
) -> None:
    """Every check by shift, week, month, year, hours, make-ups, rest and event: where it is due."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.twin import twin
    from rodhand.book.yard.checks_page import checks_due_view

    view = checks_due_view(open_assessment(book, as_of_day(as_of)))
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_lines(view)))


def _lines(view: ChecksDueView) -> list[str]:
    lines = [say("checks_due.title"), say("checks_due.lead", day=view.day)]
    if view.invented:
        lines.append(say("week_print.invented"))
    lines += ["", say("checks_due.shift")]
    for each in view.shifts:
        done, of = each.figures["done"].shown("metric"), each.figures["lines"].shown("metric")
        shift = say(_key("shift", each.shift))
        lines.append(say("checks_due.shift_line", rig=each.rig, shift=shift, done=done, of=of))
    for period in view.periods:
        lines += ["", say(_key("checks_due.period", period.period))]
        if period.period == "make-up":
            lines.append(f"   {say('checks_due.make_up_help')}")
        for rule in period.lines:
            lines += _rule(rule) if rule.places else []
    return [*lines, "", say("caution.governs")]


def _key(table: str, code: str) -> str:
    """Key of a code's words."""
    return f"{table}.{code.replace(' ', '_').replace('-', '_')}"


def _rule(rule: RuleLine) -> list[str]:
    lines = [f"   {say(_key('rule_item', rule.item))}"]
    for place in rule.places:
        lines += _place(place)
    return lines


def _place(place: CheckLine) -> list[str]:
    from rodhand.book.telling import names_in_words

    count, of = place.figures["count"].shown("metric"), place.figures["of"].shown("metric")
    told = names_in_words(place.due) if place.due else say("checks_due.nothing")
    lines = [say("checks_due.place_line", where=place.where, count=count, of=of, things=told)]
    if place.because:
        happened = [say(_key("checks_due.happened", each)) for each in place.because]
        lines.append(f"      {say('checks_due.because')} {', '.join(happened)}.")
    if place.unknown:
        lines.append(f"      {say('checks_due.unknown')} {names_in_words(place.unknown)}.")
    return lines
