"""The season on one page as a paper: sentences and one table."""

from __future__ import annotations

from collections.abc import Iterable

from rodhand.advice.verdict import Sentence
from rodhand.book.owner.season import SeasonView
from rodhand.book.telling import names_in_words
from rodhand.book.views import WeekLine
from rodhand.sheets.claim_tables import worded
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    Line,
    Paper,
    Span,
    Table,
    figure_spans,
    plain,
    sentence_line,
)
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

DONE = ("done", "used", "moved")
NUMBERS = ("bores", "length", "rods_used", "per_rod", "cost")


def season_paper(
    view: SeasonView, facts: BookFacts, system: System, language: str = IN_FORCE
) -> Paper:
    """The season as a paper of one page.

    Parameters
    ----------
    view : SeasonView
        The season.
    facts : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Unit system and size of the sheet.
    language : str, optional
        Language of the words.
    """

    def told(sentences: Iterable[Sentence], heading: str = "") -> Items:
        lines = (sentence_line(each, system, "plain", language) for each in sentences)
        return Items(say(heading, language) if heading else "", tuple(Item((x,)) for x in lines))

    done: dict[str, str | Figure] = {**view.figures}
    money = [view.over] if view.over else []
    known = tuple(
        Item(((Span(f"{_capital(say(f'season.cost_{name}', language))}: "),
               *figure_spans(each, system, language), Span(f" {view.currency}".rstrip() + ".")),))
        for name, each in view.money.items()
    )  # fmt: skip
    lacked = tuple(
        Item((plain(say(e.key, language, of=worded("choice", e.named, language))),))
        for e in view.lacking
    )
    spent = told([*money, *view.unknown], "season.money")
    ahead = told(view.orders or [Sentence("forecast.none")], "season.next")
    week = tuple(
        Item(((Span(f"{_who(line)}: ", "bold"),
               *sentence_line(line.verdict.do, system, "plain", language)),))
        for line in view.lines
    )  # fmt: skip
    return Paper(
        name="season",
        title=say("season.title", language),
        subject=f"{view.since} – {view.day}",
        invented=say("paper.invented", language) if view.invented else "",
        facts=(),
        parts=(
            told(Sentence(f"season.{e}", done) for e in DONE)
            if view.rows
            else told([Sentence("season.none")]),
            Items(spent.heading, (*known, *spent.items, *lacked)),
            *([_grounds(view, system, language)] if view.rows else []),
            *([told(view.sets, "season.sets")] if view.sets else []),
            Items(ahead.heading, (*ahead.items, *week)),
            Items("", (Item((plain(say("season.from", language), "second"),)),)),
        ),
        book=facts,
        system=system,
        landscape=False,
        language=language,
    )


def _who(line: WeekLine) -> str:
    """Who is to do it, and to which rods."""
    return f"{line.who}, {names_in_words(line.things)}" if line.things else line.who


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _grounds(view: SeasonView, system: System, language: str) -> Table:
    """The one table: ground and bends, what it took and cost."""
    texts = (Column(say("forecast.ground", language), "left", wide=True),
             Column(say("season.bends", language), "left"))  # fmt: skip
    money = f", {view.currency}" if view.currency else ""
    priced = any("cost" in row.figures for row in view.rows)
    names = NUMBERS if priced else NUMBERS[:-1]
    numbers = (
        Column(say(f"season.head_{name}", language) + (money if name == "cost" else ""))
        for name in names
    )
    rows: list[tuple[Line, ...]] = [
        (
            plain(worded("choice", row.ground, language), "bold"),
            plain(say("season.over_yes" if row.over else "season.over_no", language)),
            *(
                figure_spans(row.figures[name], system, language) if name in row.figures
                else plain(say("lacking.not_told", language), "second")
                for name in names
            ),
        )
        for row in view.rows
    ]  # fmt: skip
    return Table(say("season.by_ground", language), (*texts, *numbers), tuple(rows))
