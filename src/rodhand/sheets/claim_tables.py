"""The tables of the paper of a break or loss, with the standing of every figure spelled out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from rodhand.advice.verdict import Sentence
from rodhand.book.claim.views import ClaimThing, ClaimView
from rodhand.sheets.paper import (
    Column,
    Item,
    Items,
    Line,
    Part,
    Span,
    Table,
    figure_spans,
    plain,
)
from rodhand.sheets.shown import sentence_parts
from rodhand.units import Figure, Standing, System
from rodhand.words import IN_FORCE, has, say

MARKS = {Standing.MEASURED: "[M]", Standing.COMPUTED: "[C]", Standing.ASSUMED: "[A]"}
"""In brackets and capitals, so that none is read as a unit."""
LETTERS_OF_A_HASH = 16
Cells = Callable[[Any], Sequence[str | Figure | None]]


def worded(table: str, code: str, language: str = IN_FORCE) -> str:
    """The word for a code; the code itself where the catalogue has none."""
    key = f"{table}.{code.replace(chr(39), '').replace(' ', '_').replace('-', '_')}"
    return say(key, language) if code and has(key, language) else code


def standing_mark(
    figure: Figure | None, system: System, language: str = IN_FORCE, band: bool = False
) -> Line:
    """A figure with the letter of its standing; nothing where there is no figure.

    Parameters
    ----------
    figure : Figure or None
        The figure.
    system : {"metric", "us"}
        Unit system.
    language : str, optional
        Language of the words.
    band : bool, optional
        Whether its band follows, life used in figures too.
    """
    if figure is None:
        return ()
    spans = figure_spans(figure, system, language, band)
    if figure.value is None:
        return spans
    if band and figure.quantity == "life" and figure.low is not None and figure.high is not None:
        low, high = (Figure("", end, "life", figure.standing).shown(system)
                     for end in (figure.low, figure.high))  # fmt: skip
        spans = (*spans, Span(f" ({say('life.band', language, low=low, high=high)})", "band"))
    return (*spans, Span(f"\u00a0{MARKS[figure.standing]}", "second"))


def with_standing(sentence: Sentence, system: System, language: str = IN_FORCE) -> Line:
    """A sentence whose figures carry the letter of their standing."""
    spans: list[Span] = []
    for part in sentence_parts(sentence, language):
        if isinstance(part, Figure):
            spans += standing_mark(part, system, language, band=part.quantity == "life")
        else:
            spans.append(Span(part))
    return tuple(spans)


def none_of(heading: str, language: str = IN_FORCE) -> Items:
    """A heading with nothing on record under it."""
    return Items(heading, (Item((plain(say("claim.none", language)),)),))


def text_cell(text: str, language: str = IN_FORCE) -> Line:
    """A typed text, or a dash where nobody typed one."""
    return plain(text or say("number.dash", language))


def _table(
    heading: str,
    columns: Sequence[tuple[str, bool]],
    rows: Iterable[Any],
    cells: Cells,
    system: System,
    language: str,
    wide: str = "",
) -> Part:
    """A table of rows; columns are (key, whether figures stand in it)."""
    made = tuple(
        Column(
            say(f"claim.column.{key}", language) if key else "",
            "right" if is_figure else "left",
            wide=key == wide,
        )
        for key, is_figure in columns
    )
    body = tuple(
        tuple(
            standing_mark(cell, system, language)
            if cell is None or isinstance(cell, Figure)
            else text_cell(cell, language)
            for cell in cells(row)
        )
        for row in rows
    )
    if body:
        return Table(heading, made, body)
    return none_of(heading, language)


def steel_tables(thing: ClaimThing, system: System, language: str) -> list[Part]:
    """What one thing went through."""

    def table(
        name: str, columns: Sequence[tuple[str, bool]], rows: Iterable[Any], cells: Cells,
        wide: str = "",
    ) -> Part:  # fmt: skip
        heading = say(f"claim.heading.{name}", language, thing=thing.name)
        return _table(heading, columns, rows, cells, system, language, wide)

    def f(row: Any, *names: str) -> list[Figure | None]:
        return [row.figures.get(name) for name in names]

    parts: list[Part] = []
    if thing.sections:
        parts.append(_sections(thing, system, language))
    parts += [
        table(
            "overs",
            [("bore", False), ("happened", False), ("station", False), ("verdict", False),
             ("how", False), ("share", True), ("radius", True)],
            thing.overs,
            lambda r: [r.bore, r.happened, f"{r.station:g}", worded("over", r.verdict, language),
                       worded("claim.how", r.how, language), *f(r, "share", "radius")],
        ),
        table(
            "looks",
            [("happened", False), ("entered", False), ("item", False), ("end", False),
             ("found", False), ("gauge", False), ("reading", True), ("second_reading", True),
             ("removed", True)],
            thing.looks,
            lambda r: [r.happened, r.entered, r.what, r.end, r.found, r.gauge,
                       *f(r, "reading", "second_reading", "removed")],
            "found",
        ),
        table(
            "makeups",
            [("bore", False), ("happened", False), ("station", False), ("item", False),
             ("side", False), ("torque", True), ("of_makeup", True), ("limit", True)],
            thing.makeups,
            lambda r: [r.bore, r.happened, "" if r.station is None else f"{r.station:g}",
                       worded("claim.makeup", r.what, language),
                       worded("claim.side", r.side, language),
                       *f(r, "torque", "share", "limit")],
        ),
        table(
            "bends",
            [("bore", False), ("station", False), ("verdict", False), ("radius", True),
             ("turns", True), ("cost", True)],
            thing.bends,
            lambda r: [r.bore, f"{r.station:g}", worded("over", r.over, language),
                       *f(r, "radius", "turns", "share")],
        ),
        table(
            "bores",
            [("bore", False), ("happened", False), ("who", False), ("place", True),
             ("turns", True), ("life_used", True), ("cost", True), ("tightest", True)],
            thing.bores,
            lambda r: [r.bore, r.happened, worded("who", r.who, language),
                       *f(r, "place", "turns", "life_used", "share", "tightest_radius")],
        ),
        table(
            "passes",
            [("bore", False), ("happened", False), ("pass", False), ("who", False),
             ("place", True), ("turns", True), ("rung", False), ("hole_diameter", True)],
            thing.passes,
            lambda r: [r.bore, r.happened,
                       r.what if r.recorded else say("claim_paper.not_recorded", language,
                                                     what=r.what),
                       worded("who", r.who, language), *f(r, "place", "turns"),
                       worded("rung", r.rung, language), *f(r, "hole_diameter")],
        ),
    ]  # fmt: skip
    if thing.facts:
        items = tuple(Item((with_standing(each, system, language),)) for each in thing.facts)
        parts.append(Items(say("claim.heading.facts", language, thing=thing.name), items))
    return parts


def _sections(thing: ClaimThing, system: System, language: str) -> Table:
    """Low, best, high and design of each section; each end of the band a figure of its own."""
    names = ("section", "low", "best", "high", "design")
    columns = tuple(
        Column(say(f"claim.column.{name}", language), "left" if name == "section" else "right")
        for name in names
    )  # fmt: skip
    rows = []
    for row in thing.sections:
        life = row.figures["life_used"]
        ends = (("low", life.low), ("best", life.value), ("high", life.high))
        cells = [
            standing_mark(
                Figure(f"{life.key}.{end}", value, "life", life.standing), system, language
            )
            for end, value in ends
        ]
        design = standing_mark(row.figures["design"], system, language)
        rows.append((plain(row.section, "bold" if row.governs else "plain"), *cells, design))
    heading = say("claim.heading.sections", language, thing=thing.name)
    return Table(heading, columns, tuple(rows))


def around_parts(view: ClaimView, system: System, language: str) -> list[Part]:
    """The string, things down the hole, gauges, sisters and photos."""

    def items(name: str, sentences: Iterable[Sentence]) -> Items:
        made = tuple(Item((with_standing(each, system, language),)) for each in sentences)
        heading = say(f"claim.heading.{name}", language)
        return Items(heading, made) if made else none_of(heading, language)

    string = items("string", view.string)
    down = _table(
        say("claim.heading.items", language),
        [("thing", False), ("what", False), ("serial", False), ("value", True),
         ("in_string", False), ("where", False)],
        view.items,
        lambda r: [r.name, r.what, r.serial, r.figures["value"],
                   worded("claim.items", r.known, language), r.where],
        system, language, "where",
    )  # fmt: skip
    total = Sentence("claim.items.total", {"values": view.figures["values"]})
    sisters = _table(
        say("claim.heading.sisters", language),
        [("thing", False), ("set", False), ("sister", False), ("common", True),
         ("standing", False), ("last_look", False), ("life_used", True), ("where", False)],
        view.sisters,
        lambda r: [r.name, r.set, ", ".join(worded("claim.how", how, language) for how in r.how),
                   r.figures["bores_in_common"], worded("standing", r.standing, language),
                   r.last_look, r.figures.get("life_used"), r.where],
        system, language, "where",
    )  # fmt: skip
    photos = _table(
        say("claim.heading.photos", language),
        [("file", False), ("bytes", True), ("state", False), ("entered", False),
         ("note", False), ("sha256", False)],
        view.photos,
        lambda r: [r.file, r.figures["bytes"],
                   worded("claim.photo", r.state or "no_folder", language), r.entered, r.note,
                   f"{r.sha256[:LETTERS_OF_A_HASH]} {r.sha256[LETTERS_OF_A_HASH:]}"],
        system, language, "sha256",
    )  # fmt: skip
    parts: list[Part] = [string, down]
    if view.figures["values"].value is not None:
        parts.append(Items("", (Item((with_standing(total, system, language),)),)))
    return [*parts, items("gauges", view.gauges), photos, sisters]


def dated_table(view: ClaimView, system: System, language: str) -> Part:
    """Every entry with both its dates."""
    names = ("happened", "entered", "known", "kind", "by")
    columns = [Column(say(f"claim.column.{name}", language), "left") for name in names]
    columns.append(Column(say("claim.column.text", language), "left", wide=True))
    rows = []
    for line in view.timeline:
        known = worded("claim.known", line.known or "unknown", language)
        if line.late:
            known = say("claim.known.late", language, known=known)
        struck = (Span(say("page.struck", language) + " ", "bold"),) if line.struck else ()
        rows.append(
            (
                text_cell(line.happened, language),
                text_cell(line.entered, language),
                plain(known, "bold" if line.late else "plain"),
                plain(worded("kind", line.kind, language)),
                text_cell(line.by, language),
                (*struck, *with_standing(line.text, system, language)),
            )
        )
    heading = say("claim.heading.timeline", language)
    if not rows:
        return none_of(heading, language)
    return Table(heading, tuple(columns), tuple(rows))
