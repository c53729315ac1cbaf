"""The paper of a break or loss: what is on record and what is not, figures with their standing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.claim.views import ClaimThing, ClaimView, IncidentRow
from rodhand.sheets.claim_tables import (
    around_parts,
    dated_table,
    none_of,
    standing_mark,
    steel_tables,
    text_cell,
    with_standing,
    worded,
)
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    Line,
    Paper,
    Part,
    Span,
    Table,
    plain,
    sentence_line,
)
from rodhand.units import System
from rodhand.words import IN_FORCE, say

TOLD_WHOLE = 6
"""Most things told in full; those that were lost beside them stand in one table."""
FACTS = ("set", "rod_type", "bought", "serial", "marks", "where", "standing")
FIGURES = (
    "length", "bores", "metres", "rotating_time", "past_time", "turns", "life_used", "design",
    "assumed_share",
)  # fmt: skip


def claim_paper(
    view: ClaimView,
    facts: BookFacts,
    system: System,
    chain: Sequence[str],
    language: str = IN_FORCE,
) -> Paper:
    """The paper of a break or loss.

    Parameters
    ----------
    view : ClaimView
        What is on record.
    facts : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Unit system of the whole paper.
    chain : sequence of str
        Each device's chain as it stood, in words.
    language : str, optional
        Language of the words.

    Returns
    -------
    Paper
        It begins with what to know before it is sent on. No cause, no blame, no name.
    """
    details: list[Part] = []
    for thing in view.things[:TOLD_WHOLE]:
        details += [_facts(thing, system, language), *steel_tables(thing, system, language)]
    if len(view.things) > TOLD_WHOLE:
        details.append(_more(view.things[TOLD_WHOLE:], system, language))
    details = [dated_table(view, system, language), *details]
    details += around_parts(view, system, language)
    nothing = none_of("", language).items
    empty = [part.heading for part in details if isinstance(part, Items) and part.items == nothing]
    parts: list[Part] = [
        _read_first(language),
        _incidents(view, system, language),
        _sentences("keep", view.keep, system, language),
        *_then(view, system, language),
        _unknown(view, empty, system, language),
        *(part for part in details if part.heading not in empty),
        _source(view, facts, system, chain, language),
    ]
    return Paper(
        name="claim",
        title=say("claim.title", language),
        subject=view.subject,
        invented=say("paper.invented", language) if view.invented else "",
        facts=(),
        parts=tuple(parts),
        book=facts,
        system=system,
        landscape=True,
        language=language,
        missing=tuple(
            "".join(span.text for span in sentence_line(each, system, "plain", language))
            for each in _all_unknown(view)
        ),
    )


def _read_first(language: str) -> Items:
    first = Item((plain(say("claim.first", language), "bold"),), loud=True)
    keys = ("facts_only", "typed_notes", "standing_of", "life_meant", "two_dates", "prove")
    rest = (Item((plain(say(f"claim.{key}", language)),)) for key in keys)
    return Items(say("claim.read_first", language), (first, *rest))


def _sentences(heading: str, sentences: Iterable[Sentence], system: System, language: str) -> Items:
    items = tuple(Item((with_standing(each, system, language),)) for each in sentences)
    return Items(say(f"claim.heading.{heading}", language), items)


def _incidents(view: ClaimView, system: System, language: str) -> Part:
    heading = say("claim.heading.incidents", language)
    if not view.incidents:
        return none_of(heading, language)
    names = ("what", "thing", "bore", "happened", "entered", "section", "station", "place", "by")
    columns = [
        Column(say(f"claim.column.{name}", language),
               "right" if name in ("station", "place") else "left")
        for name in names
    ]  # fmt: skip
    columns.append(Column(say("claim.column.note", language), "left", wide=True))
    rows = tuple(_incident(row, system, language) for row in view.incidents)
    return Table(heading, tuple(columns), rows)


def _incident(row: IncidentRow, system: System, language: str) -> tuple[Line, ...]:
    what = say(f"claim.what.{row.what}", language)
    section = row.section if row.section != "unknown" else ""
    texts = (what, row.thing, row.bore, row.happened, row.entered, section)
    return (
        *(text_cell(text, language) for text in texts),
        standing_mark(row.figures.get("station"), system, language),
        standing_mark(row.figures.get("place"), system, language),
        text_cell(row.by, language),
        plain(row.note),
    )


def _then(view: ClaimView, system: System, language: str) -> Iterable[Items]:
    """What the book gave for each thing the day before."""
    for thing in view.things[:TOLD_WHOLE]:
        heading = say("claim.heading.then", language, thing=thing.name, day=view.day_before)
        if thing.then is None:
            if view.day:
                told = say("claim.then.not_there", language, thing=thing.name)
                yield Items(heading, (Item((plain(told),)),))
            continue
        figures = thing.then.figures
        standing = worded("standing", thing.then.standing, language)
        lines: list[Line] = [plain(say("claim.then.standing", language, standing=standing))]
        if "life_used" in figures:
            life = {"life": figures["life_used"], "design": figures["design"]}
            lines.append(with_standing(Sentence("claim.then.life", life), system, language))
        items = [Item(tuple(lines))]
        for verdict in thing.then.reasons:
            what = with_standing(verdict.what, system, language)
            why = with_standing(verdict.why, system, language)
            do = with_standing(verdict.do, system, language)
            asked = say("claim_paper.asked", language)
            caution = with_standing(verdict.caution, system, language)
            lines = [(*what, Span(": "), *why), (Span(asked, "second"), *do), caution]
            items.append(Item(tuple(lines)))
        if not thing.then.reasons:
            items.append(Item((plain(say("claim.then.nothing", language)),)))
        entries = Sentence("claim.then.entries", {"entries": figures["entries"]})
        counts = Sentence(
            "claim.then.counts",
            {
                "before": view.figures["known_before"],
                "late": view.figures["late"],
                "day": view.day_before,
            },
        )
        items += [Item((with_standing(each, system, language),)) for each in (entries, counts)]
        yield Items(heading, tuple(items))


def _facts(thing: ClaimThing, system: System, language: str) -> Table:
    """What a thing is, as a table of two columns."""
    marks = ", ".join(thing.marks)
    typed: Mapping[str, str] = {
        "set": thing.set, "rod_type": thing.rod_type, "bought": thing.bought,
        "serial": thing.serial, "marks": marks, "where": thing.where,
        "standing": worded("standing", thing.standing, language),
    }  # fmt: skip
    rows: list[tuple[Line, ...]] = [(plain(say("claim.fact.what", language)), plain(thing.what))]
    rows += [
        (plain(say(f"claim.fact.{name}", language)), text_cell(typed[name], language))
        for name in FACTS
    ]
    rows += [
        (
            plain(worded("figure", name, language)),
            standing_mark(thing.figures[name], system, language, band=True),
        )
        for name in FIGURES
        if name in thing.figures
    ]
    heading = say("claim.heading.thing", language, thing=thing.name)
    columns = (
        Column(say("claim.column.what", language), "left"),
        Column(say("claim.column.on_record", language), "left"),
    )
    return Table(heading, columns, tuple(rows))


def _more(things: Sequence[ClaimThing], system: System, language: str) -> Table:
    names = ("thing", "what", "set", "where", "standing")
    columns = [Column(say(f"claim.column.{name}", language), "left") for name in names]
    columns.append(Column(say("claim.column.life_used", language), wide=True))
    rows = tuple(
        (
            plain(thing.name, "bold"),
            plain(thing.what),
            text_cell(thing.set, language),
            text_cell(thing.where, language),
            plain(worded("standing", thing.standing, language)),
            standing_mark(thing.figures.get("life_used"), system, language, band=True),
        )
        for thing in things
    )
    return Table(say("claim.heading.more_things", language), tuple(columns), rows)


def _all_unknown(view: ClaimView) -> tuple[Sentence, ...]:
    return (*view.unknown, *(each for thing in view.things for each in thing.unknown))


def _unknown(view: ClaimView, empty: Sequence[str], system: System, language: str) -> Items:
    """What is not known, and which of the tables there is nothing to put in."""
    items = [Item((with_standing(each, system, language),)) for each in view.unknown]
    for thing in view.things[:TOLD_WHOLE]:
        items += [
            Item(((Span(f"{thing.name}: ", "bold"), *with_standing(each, system, language)),))
            for each in thing.unknown
        ]
    if empty:
        headings = " · ".join(empty)
        items.append(Item((plain(say("claim.nothing_of", language, headings=headings)),)))
    items.append(Item((plain(say("claim.still", language), "second"),)))
    return Items(say("claim.heading.unknown", language), tuple(items))


def _source(
    view: ClaimView, facts: BookFacts, system: System, chain: Sequence[str], language: str
) -> Items:
    book = Sentence(
        "claim.source.book",
        {
            "book": facts.book,
            "as_of": facts.as_of or view.as_of,
            "entries": view.figures["entries"],
            "rests_on": view.figures["rests_on"],
        },
    )
    lines = [with_standing(book, system, language), *(plain(each, "second") for each in chain)]
    governs = [say("page.deferral", language), say("page.no_permit", language)]
    return Items(
        say("claim.heading.source", language),
        tuple(Item((line,)) for line in (*lines, *(plain(text, "second") for text in governs))),
    )
