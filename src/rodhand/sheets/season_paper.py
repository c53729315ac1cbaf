"""The season on one page as a paper: sentences and one table."""

from __future__ import annotations

from collections.abc import Iterable

from rodhand.advice.verdict import Sentence
from rodhand.book.owner.season import SeasonView
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
    cost: dict[str, str | Figure] = {
        **view.money, "currency": view.currency or say("number.dash", language)
    }  # fmt: skip
    money = [Sentence("season.costs", cost)] if view.money["rods"].value is not None else []
    if view.money["whole"].value is not None:
        money.append(Sentence("season.together", cost))
    if view.money["rig"].value is not None:
        money.append(Sentence("season.the_rig", cost))
    money += [view.over] if view.over else []
    ahead = told(view.orders or [Sentence("forecast.none")], "season.next")
    week = tuple(
        Item(((Span(f"{line.who}: ", "bold"),
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
            told(Sentence(f"season.{each}", done) for each in ("done", "used", "moved")),
            told([*money, *view.unknown], "season.money"),
            _grounds(view, system, language),
            *([told(view.sets, "season.sets")] if view.sets else []),
            Items(ahead.heading, (*ahead.items, *week)),
            Items("", (Item((plain(say("season.from", language), "second"),)),)),
        ),
        book=facts,
        system=system,
        landscape=False,
        language=language,
    )


def _grounds(view: SeasonView, system: System, language: str) -> Table:
    """The one table: ground and bends, what it took and cost."""
    texts = (Column(say("forecast.ground", language), "left", wide=True),
             Column(say("season.bends", language), "left"))  # fmt: skip
    money = f", {view.currency}" if view.currency else ""
    numbers = (
        Column(say(f"season.head_{name}", language) + (money if name == "cost" else ""))
        for name in NUMBERS
    )  # fmt: skip
    rows: list[tuple[Line, ...]] = [
        (
            plain(worded("choice", row.ground, language), "bold"),
            plain(say("season.over_yes" if row.over else "season.over_no", language)),
            *(figure_spans(row.figures[name], system, language) for name in NUMBERS),
        )
        for row in view.rows
    ]  # fmt: skip
    return Table(say("season.by_ground", language), (*texts, *numbers), tuple(rows))
