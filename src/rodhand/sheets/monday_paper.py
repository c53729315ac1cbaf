"""Monday on paper: one page a rig, and one for the desk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Literal

from rodhand.advice.verdict import Sentence
from rodhand.book.monday.views import MondayFile, MondayView, RigSheet
from rodhand.book.telling import names_in_words
from rodhand.book.views import WeekLine
from rodhand.faults import CannotReadError
from rodhand.sheets.claim_tables import text_cell, worded
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    Line,
    NewPage,
    Paper,
    Part,
    Style,
    Table,
    figure_spans,
    paper_pdf,
    plain,
    replace_file,
    sentence_line,
    write_paper,
)
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

ON_PAPER = 6
"""Most lines of one part beyond the seven, so that a rig's list stays one page."""


def rig_papers(view: MondayView, system: System, language: str = IN_FORCE) -> tuple[Paper, ...]:
    """One paper a rig; a rig that two books have gets one from each."""
    return tuple(
        _paper(view, _title(sheet, language), _name(view, sheet), _rig(sheet, system, language),
               sheet.invented, system, language)
        for sheet in view.sheets
    )  # fmt: skip


def all_paper(view: MondayView, system: System, language: str = IN_FORCE) -> Paper:
    """The desk's page, then a page a rig, as one paper."""
    parts = list(_desk(view, system, language))
    for sheet in view.sheets:
        parts += [NewPage(_title(sheet, language)), *_rig(sheet, system, language)]
    return _paper(view, view.as_of, "monday", tuple(parts), view.invented, system, language)


def _name(view: MondayView, sheet: RigSheet) -> str:
    """What tells the papers of one rig name apart: the file, where two books have it."""
    alike = [each for each in view.sheets if each.rig.casefold() == sheet.rig.casefold()]
    return f"monday-{view.sheets.index(sheet) + 1}" if len(alike) > 1 else "monday"


def _title(sheet: RigSheet, language: str) -> str:
    return sheet.rig or say("monday.no_rig", language)


def _paper(
    view: MondayView,
    subject: str,
    name: str,
    parts: tuple[Part, ...],
    invented: bool,
    system: System,
    language: str,
) -> Paper:
    names = ", ".join(each.name for each in view.files if each.state == "read")
    return Paper(
        name=name,
        title=say("monday.title", language),
        subject=subject,
        invented=say("paper.invented", language) if invented else "",
        facts=(),
        parts=parts,
        book=BookFacts(names or say("number.dash", language), view.entries, view.head, view.as_of),
        system=system,
        landscape=False,
        language=language,
    )


def _rig(sheet: RigSheet, system: System, language: str) -> tuple[Part, ...]:
    told = say("monday.from_file", language, file=sheet.file, day=sheet.as_of)
    facts = {"tasks": sheet.figures["tasks"], "minutes": sheet.figures["minutes"]}
    head = [Item((plain(told, "second"), _told("monday.sum", facts, system, language)))]
    head += [Item((sentence_line(note, system, "plain", language),), True) for note in sheet.notes]
    pull = tuple(
        Item((plain(say("monday.pull_line", language, standing=worded("standing", row.standing),
                        things=names_in_words(row.things)), "bold"),))
        for row in sheet.pull
    )  # fmt: skip
    do = tuple(_item(line, system, language) for line in sheet.lines)
    nothing = "monday.no_do" if sheet.due else "monday.nothing"
    parts: list[Part] = [
        Items("", tuple(head)),
        Items(say("monday.pull", language), pull or (_one("monday.no_pull", language),)),
        Items(say("monday.do", language), do or (_one(nothing, language),)),
    ]
    if sheet.rest:
        parts.append(Items(say("monday.more", language), _short(sheet.rest, system, language)))
    due = _short(sheet.due, system, language, "what") or (_one("monday.no_due", language),)
    parts.append(Items(say("monday.due", language), due))
    parts.append(Items("", (Item((plain(say("caution.governs", language), "second"),)),)))
    return tuple(parts)


def _told(key: str, values: Mapping[str, str | Figure], system: System, language: str) -> Line:
    return sentence_line(Sentence(key, values), system, "plain", language)


def _one(key: str, language: str) -> Item:
    return Item((plain(say(key, language)),))


def _item(line: WeekLine, system: System, language: str) -> Item:
    """A thing to do in three lines: what to do, who with how long, and why."""
    verdict = line.verdict
    who: dict[str, str | Figure] = {
        "who": line.who,
        "things": names_in_words(line.things),
        "where": line.where,
        "minutes": line.how_long,
    }
    style: Style = "alarm" if verdict.voice == "stop" else "bold"
    return Item(
        (
            sentence_line(verdict.do, system, style, language),
            _told("monday.who", who, system, language),
            (
                *sentence_line(verdict.what, system, "second", language),
                *plain(": ", "second"),
                *sentence_line(verdict.why, system, "second", language),
            ),
        ),
        verdict.voice == "stop",
    )


def _short(
    lines: Sequence[WeekLine],
    system: System,
    language: str,
    told: Literal["do", "what"] = "do",
) -> tuple[Item, ...]:
    """Lines in a row each with one sentence of the verdict, the first few; the rest counted."""
    items = []
    for line in lines[:ON_PAPER]:
        start = _told("monday.who", {"who": line.who, "things": names_in_words(line.things),
                      "where": line.where, "minutes": line.how_long}, system, language)  # fmt: skip
        sentence = line.verdict.do if told == "do" else line.verdict.what
        more = sentence_line(sentence, system, "second", language)
        items.append(Item(((*start, *plain(". "), *more),)))
    if len(lines) > ON_PAPER:
        left = say("monday.over_page", language, count=len(lines) - ON_PAPER)
        items.append(Item((plain(left),)))
    return tuple(items)


def _desk(view: MondayView, system: System, language: str) -> tuple[Part, ...]:
    files = tuple(_file(each, system, language) for each in view.files)
    twice = tuple(
        Item((sentence_line(each, system, "plain", language),), True) for each in view.twice
    )
    return (
        Items(say("monday.files", language), files),
        Items(say("monday.twice_title", language), twice or (_one("monday.no_twice", language),)),
        _stock(view, system, language),
        Items("", (Item((plain(say("monday.stock_help", language), "second"),)),)),
    )


def _file(each: MondayFile, system: System, language: str) -> Item:
    values: dict[str, str | Figure] = {
        "name": each.name,
        "form": say(f"monday.form_{each.form}", language),
        "state": say(f"monday.state_{each.state}", language),
        "typed": each.last_typed,
        "age": each.figures["entry_age"],
    }
    key = "monday.file_line_days" if each.last_typed else "monday.file_line"
    lines = [_told(key, values, system, language)]
    if each.made:
        lines.append(plain(say("monday.file_copy", language, made=each.made.replace("T", " "))))
    lines += [sentence_line(note, system, "plain", language) for note in each.notes]
    return Item(tuple(lines), each.state == "unread")


STOCK = ("rods", "usable", "aside", "replace", "price", "cost")


def _stock(view: MondayView, system: System, language: str) -> Part:
    title = say("monday.stock", language)
    if not view.stock:
        return Items(title, (_one("monday.no_stock", language),))
    columns = [Column(say(f"monday.column_{name}", language), "left") for name in ("type", "rigs")]
    columns += [Column(say(f"monday.column_{n}", language), wide=n == "cost") for n in STOCK]
    rows = tuple(
        (
            plain(row.rod_type, "bold"),
            text_cell(", ".join(row.rigs), language),
            *(figure_spans(row.figures[name], system, language) for name in STOCK),
        )
        for row in view.stock
    )
    return Table(title, tuple(columns), rows)


def write_monday(view: MondayView, system: System, target: Path) -> tuple[Path, ...]:
    """Write the papers: one PDF a rig into a folder, or all as one ``.pdf`` file.

    Returns
    -------
    tuple of Path
        The files written, each whole or not at all.

    Raises
    ------
    CannotReadError
        If one cannot be written.
    """
    if target.suffix.lower() != ".pdf":
        return tuple(write_paper(paper, target) for paper in rig_papers(view, system))
    content = paper_pdf(all_paper(view, system))
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        replace_file(target, content)
    except OSError as error:
        raise CannotReadError(str(target), error.strerror or str(error)) from error
    return (target,)
