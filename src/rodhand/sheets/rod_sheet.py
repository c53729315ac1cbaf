"""The rod sheet: the paper of a bore for the crew and the yard. What it cost each rod."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.telling import names_in_words
from rodhand.book.views import BoreView, OverSteerRow, PassRow, RodRow
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Drawn,
    Item,
    Items,
    Line,
    Paper,
    Part,
    Span,
    Style,
    Table,
    figure_spans,
    plain,
    sentence_line,
)
from rodhand.sheets.picture import bore_svg
from rodhand.units import Figure, Standing, System, show
from rodhand.words import IN_FORCE, has, say

RADII = (30, 50, 100, 200, 500)
"""Radii that turns are counted under. [m]"""

SHAPES = {
    "not_looked_at": "◌",
    "fit": "●",
    "watch": "◐",
    "dress": "◧",
    "set_aside": "⊘",
    "scrap": "✕",
}
VOICES: tuple[tuple[str, Style], ...] = (("stop", "alarm"), ("note", "bold"), ("price", "bold"))
LIVES = ("life_used", "life_used_all")
FACTS = ("length", "rods", "turns_total", "rotating_time", "deepest")
READING = ("numbers", "class_error", "tighter", "who")
CAUTIONS = ("rods", "joint", "threads", "lifting", "exit")
PICTURE_WIDTH = 800  # as wide as an upright sheet, so that its letters come out near 9 point


def rod_sheet(
    view: BoreView, done: BoreView, book: BookFacts, system: System, language: str = IN_FORCE
) -> Paper:
    """The paper for the crew and the yard.

    Parameters
    ----------
    view : BoreView
        The bore at the end of its pilot: bends over a limit and the picture.
    done : BoreView
        The bore at the end of its last pass: turns and life used.
    book : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Unit system of the whole paper.
    language : str, optional
        Language of the words.

    Returns
    -------
    Paper
        Bends over a limit with the rods they concern, what to do, every rod with its turns and
        life used, passes, what is not known, cautions, and who governs.
    """
    parts: list[Part] = [
        _over_steers("over", view.over_steers, system, language),
        *([_over_steers("three_rod", view.three_rod, system, language)] if view.three_rod else []),
        _advice(view.verdicts, system, language),
        _lives(done.rods, system, language),
        _turned(done.rods, system, language),
        _reading(done, language),
        _passes(view.passes, system, language),
    ]
    if view.warnings:
        lines = tuple(sentence_line(each, system, "plain", language) for each in view.warnings)
        parts.append(
            Items(say("paper.heading.unknown", language), tuple(Item((line,)) for line in lines))
        )
    cautions = [say(f"caution.{key}", language) for key in CAUTIONS]
    cautions += [say("page.deferral", language), say("page.no_permit", language)]
    parts.append(_texts("cautions", cautions, language))
    drawn = bore_svg(view, system, width=PICTURE_WIDTH, language=language)
    parts.append(Drawn(say("paper.heading.picture", language), drawn))
    return Paper(
        name="rod-sheet",
        title=say("paper.rod_sheet", language),
        subject=view.name,
        invented=say("paper.invented", language) if view.invented else "",
        facts=_facts(view, done, system, language),
        parts=tuple(parts),
        book=book,
        system=system,
        landscape=False,
        language=language,
        missing=tuple(
            "".join(span.text for span in sentence_line(each, system, "plain", language))
            for each in view.warnings
        ),
    )


def _reading(done: BoreView, language: str) -> Items:
    after = say("paper.sheet.after", language, what=done.at_pass)
    return _texts(
        "reading", (after, *(say(f"paper.sheet.{key}", language) for key in READING)), language
    )


def _texts(heading: str, texts: Iterable[str], language: str) -> Items:
    return Items(
        say(f"paper.heading.{heading}", language), tuple(Item((plain(text),)) for text in texts)
    )


def _facts(
    view: BoreView, done: BoreView, system: System, language: str
) -> tuple[tuple[str, Line], ...]:
    typed = (
        ("place", view.place),
        ("happened", view.happened),
        ("rig", view.rig),
        ("rod_type", view.rod_type),
        ("ground", view.ground),
        ("under", view.under),
    )
    unknown = f"{say('number.dash', language)}\u00a0{say('number.unknown', language)}"
    facts = [(say(f"paper.fact.{name}", language), plain(text or unknown)) for name, text in typed]
    facts += [
        (say(f"paper.fact.{name}", language), figure_spans(done.figures[name], system, language))
        for name in FACTS
        if name in done.figures
    ]
    if "at" in view.figures:
        at = view.figures["at"]
        words = say("paper.sheet.to_then", language, what=view.at_pass, at="")
        facts.append(
            (
                say("paper.fact.shown", language),
                (Span(words), *figure_spans(at, system, language)),
            )
        )
    return tuple(facts)


# --- bends over a limit and what to do -----------------------------------------------------------


def _over_steers(
    heading: str, rows: Iterable[OverSteerRow], system: System, language: str
) -> Items:
    items = tuple(_over_steer(row, system, language) for row in rows)
    none = Item((plain(say("paper.sheet.over_none", language)),))
    return Items(say(f"paper.heading.{heading}", language), items or (none,))


def _over_steer(row: OverSteerRow, system: System, language: str) -> Item:
    style: Style = "alarm" if row.verdict == "over" else "bold"
    head = say(f"picture.over_{row.verdict}", language, station=f"{row.station:g}")
    rods: list[Line] = []
    for word, names in (("passed", row.passed), ("in_it", row.in_it), ("to_come", row.to_come)):
        named = names_in_words(names) if names else say("paper.sheet.nobody", language)
        rods.append((Span(say(f"paper.sheet.{word}", language), "second"), Span(named)))
    return Item(
        ((Span(head + " ", style), *_how_much(row, system, language)), *rods),
        loud=row.verdict == "over",
    )


def _how_much(row: OverSteerRow, system: System, language: str) -> Line:
    """Bend, share of the limit and radius, and what the limit is of."""
    spans: list[Span] = []
    for name in ("bend_percent", "share", "radius"):
        if name in row.figures:
            what = _worded("paper.limit", row.limit, language)
            told = Sentence(f"paper.sheet.{name}", {"figure": row.figures[name], "what": what})
            spans += [
                *([Span(", ")] if spans else []),
                *sentence_line(told, system, "plain", language),
            ]
    return tuple(spans)


def _advice(verdicts: Iterable[Verdict], system: System, language: str) -> Items:
    """What to do, loudest first; a caution is said once, beside the first that needs it."""
    items: list[Item] = []
    said: set[str] = set()
    order = [voice for voice, _ in VOICES]
    for verdict in sorted(verdicts, key=lambda each: order.index(each.voice)):
        lines = _verdict(verdict, system, language)
        if verdict.caution.key not in said:
            caution = sentence_line(verdict.caution, system, "plain", language)
            lines.append((Span(say("paper.sheet.caution", language), "bold"), *caution))
            said.add(verdict.caution.key)
        items.append(Item(tuple(lines), loud=verdict.voice == "stop"))
    none = Item((plain(say("paper.sheet.advice_none", language)),))
    return Items(say("paper.heading.advice", language), tuple(items) or (none,))


def _verdict(verdict: Verdict, system: System, language: str) -> list[Line]:
    style = dict(VOICES)[verdict.voice]
    do = sentence_line(verdict.do, system, style, language)
    what = sentence_line(verdict.what, system, "plain", language)
    why = sentence_line(verdict.why, system, "plain", language)
    source = say("paper.sheet.source", language, source=verdict.source)
    return [
        (Span(say(f"paper.sheet.{verdict.voice}", language), style), *do),
        (*what, Span(": "), *why, Span(". "), Span(source, "second")),
    ]


# --- the tables ----------------------------------------------------------------------------------


def _lives(rods: Sequence[RodRow], system: System, language: str) -> Table:
    """Standing and life used of each rod, with how surely it stood in its place."""
    there = {name for row in rods for name in row.figures}
    columns = _who_columns("standing", "who", language=language)
    for name in LIVES:
        group = say(f"paper.column.{name}", language)
        parts = ["low", "best", "high", *(["design"] if f"{name}_design" in there else [])]
        columns += [Column(say(f"paper.column.{part}", language), group=group) for part in parts]
    columns.append(Column(say("paper.column.assumed_share", language), group=group))
    cells = tuple(_life_row(row, there, system, language) for row in rods)
    return Table(say("paper.heading.rods", language), tuple(columns), cells)


def _life_row(row: RodRow, there: set[str], system: System, language: str) -> tuple[Line, ...]:
    standing = row.standing.replace(" ", "_")
    shape = SHAPES.get(standing, "")
    cells = [
        *_who(row, system, language),
        plain(f"{shape}\u00a0{say(f'standing.{standing}', language)}"),
        plain(_worded("who", row.who, language)),
    ]
    for life in LIVES:
        cells += _life(row, life, system, language)
        if f"{life}_design" in there:
            cells.append(_cell(row, f"{life}_design", system, language))
    cells.append(_cell(row, "assumed_share", system, language))
    return tuple(cells)


def _turned(rods: Sequence[RodRow], system: System, language: str) -> Table:
    """Turns of each rod in this bore, and how many of them in bends tighter than each radius."""
    columns = _who_columns(language=language)
    columns.append(Column(say("paper.column.turns", language)))
    tighter = say("paper.column.tighter", language)
    columns += [Column(show(float(radius), "radius", system), group=tighter) for radius in RADII]
    names = ("turns", *(f"turns_tighter_{radius}" for radius in RADII))
    cells = tuple(
        (
            *_who(row, system, language),
            *(_cell(row, name, system, language) for name in names),
        )
        for row in rods
    )
    return Table(say("paper.heading.turned", language), tuple(columns), cells)


def _who_columns(*more: str, language: str) -> list[Column]:
    columns = [
        Column(say("paper.column.place", language)),
        Column(say("paper.column.rod", language), "left"),
    ]
    return columns + [Column(say(f"paper.column.{name}", language), "left") for name in more]


def _who(row: RodRow, system: System, language: str) -> tuple[Line, Line]:
    """The place in the string and the mark, or the place again where no mark is known."""
    name = row.name or say("paper.sheet.place_only", language, place=row.place)
    return _place(row, system, language), plain(name, "bold")


def _place(row: RodRow, system: System, language: str) -> Line:
    figure = row.figures.get("place")
    return figure_spans(figure, system, language) if figure else plain(str(row.place))


def _cell(row: RodRow | PassRow, name: str, system: System, language: str) -> Line:
    figure = row.figures.get(name)
    return figure_spans(figure, system, language, band=False) if figure else ()


def _life(row: RodRow, name: str, system: System, language: str) -> list[Line]:
    """Low, best and high; each end of the band is a number of its own here."""
    figure = row.figures.get(name)
    if figure is None:
        return [(), (), ()]
    if figure.value is None:
        unknown = figure_spans(figure, system, language)
        if figure.low is None:
            return [(), unknown, ()]
        low = Figure(f"{figure.key}.low", figure.low, figure.quantity, Standing.COMPUTED)
        return [figure_spans(low, system, language), unknown, ()]
    ends = (("low", figure.low), ("best", figure.value), ("high", figure.high))
    return [
        figure_spans(
            Figure(f"{figure.key}.{end}", value, figure.quantity, figure.standing), system, language
        )
        for end, value in ends
    ]


def _worded(table: str, code: str, language: str) -> str:
    """The word for a code of the record; the code itself where the catalogue has none."""
    key = f"{table}.{code.replace(chr(39), '').replace(' ', '_')}"
    return say(key, language) if has(key, language) else code


def _passes(rows: Iterable[PassRow], system: System, language: str) -> Table:
    names = ("turns", "rotating_time", "hole_diameter")
    columns = [
        Column(say("paper.column.pass", language), "left"),
        Column(say("paper.column.recorded", language), "left"),
        Column(say("paper.column.rung", language), "left"),
        Column(say("paper.column.pass_turns", language)),
        Column(say("paper.column.rotating_time", language)),
        Column(say("paper.column.hole_diameter", language)),
    ]
    cells = [
        (
            plain(row.name if row.name == row.what else f"{row.name} ({row.what})"),
            plain(say(f"paper.sheet.{'recorded' if row.recorded else 'not_recorded'}", language)),
            plain(_worded("rung", row.rung, language)),
            *(
                figure_spans(row.figures[name], system, language) if name in row.figures else ()
                for name in names
            ),
        )
        for row in rows
    ]
    return Table(say("paper.heading.passes", language), tuple(columns), tuple(cells))
