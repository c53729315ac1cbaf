"""This week as lines for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodhand.units import System
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.views import WeekLine, WeekView


def _line(line: WeekLine, number: int, system: System) -> list[str]:
    from rodhand.book.telling import names_in_words, tell

    verdict = line.verdict
    return [
        say(
            "week_print.line",
            number=number,
            voice=say(f"week_print.{verdict.voice}"),
            who=line.who,
            where=line.where,
            what=tell(verdict.what, system),
        ),
        say("week_print.things", things=names_in_words(line.things)),
        say("week_print.why", why=tell(verdict.why, system), source=verdict.source),
        say("week_print.do", do=tell(verdict.do, system), minutes=line.how_long.shown(system)),
        say("week_print.caution", caution=tell(verdict.caution, system)),
    ]


def _moved_lines(view: WeekView, system: System) -> list[str]:
    """What changed rules moved and nobody has marked as seen."""
    from rodhand.book.telling import names_in_words, tell

    lines = []
    for batch in view.moved:
        lines += ["", say("moved.first")]
        lines += [f"   {tell(why, system)}" for why in batch.why]
        for row in batch.rows:
            key = "moved.stays" if row.held else "moved.from_to"
            move = say(key, before=row.before, after=row.after)
            lines.append(say("moved.line", move=move, things=names_in_words(row.things)))
        if not batch.rows:
            lines.append(f"   {say('moved.nothing_moved')}")
    return lines


def week_lines(view: WeekView, system: System) -> list[str]:
    """At most seven lines with their reasons, the rest in one line each, and the bends over."""
    from rodhand.book.telling import names_in_words, tell

    lines = [say("week_print.title", day=view.as_of)]
    if view.invented:
        lines.append(say("week_print.invented"))
    lines += _moved_lines(view, system)
    for number, line in enumerate(view.lines, 1):
        lines += ["", *_line(line, number, system)]
    if view.nothing is not None:
        lines.append(tell(view.nothing, system))
    if view.rest:
        lines += ["", say("week_print.more", count=len(view.rest))]
    for line in view.rest:
        lines.append(
            say(
                "week_print.more_line",
                voice=say(f"week_print.{line.verdict.voice}"),
                who=line.who,
                where=line.where,
                what=tell(line.verdict.what, system),
                things=names_in_words(line.things),
            )
        )
    if view.bends:
        lines += ["", say("week_print.bends")]
        for bore, row in view.bends:
            told = tell(row.sentence, system)
            lines.append(say("week_print.bend", bore=bore, sentence=told))
    lines += ["", *(tell(each, system) for each in view.warnings)] if view.warnings else []
    figures = view.figures
    footer = say(
        "week_print.footer",
        rods=figures["rods"].shown(system),
        unseen=figures["not_looked_at"].shown(system),
        bores=figures["bores"].shown(system),
        entries=figures["entries"].shown(system),
    )
    lines += ["", footer]
    if "copy_age" in figures and figures["copy_age"].value is not None:
        lines.append(say("copies.last_line", age=figures["copy_age"].shown(system)))
    if view.copy_note is not None:
        lines.append(tell(view.copy_note, system))
    return [*lines, say("caution.governs")]
