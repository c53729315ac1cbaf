"""The insurer's schedule as a table and as a paper."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.owner.schedule import ScheduleRow, ScheduleSet, ScheduleView
from rodhand.book.whole_file import write_whole
from rodhand.sheets.claim_tables import standing_mark, text_cell, with_standing
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    Line,
    Paper,
    Part,
    Table,
    plain,
    write_pdf,
)
from rodhand.units import System
from rodhand.words import IN_FORCE, say

CSV_COLUMNS = ("what", "mark", "serial", "value", "set", "rig", "where", "since", "count")
"""Columns of the table as a file; ``count`` is 1 but for the rods of a set."""


def schedule_csv(view: ScheduleView) -> str:
    """The schedule as CSV: a row a thing, then a row a set with the value of its rods together."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(CSV_COLUMNS)
    for row in view.rows:
        value = row.figures["value"].value
        writer.writerow(
            [row.what, row.name, row.serial, "" if value is None else f"{value:g}", row.set,
             row.rig, row.where, row.since, 1]
        )  # fmt: skip
    for each in view.sets:
        value = each.figures["value"].value
        count = each.figures["count"].value or 0.0
        writer.writerow(
            [each.rod_type, "", "", "" if value is None else f"{value:g}", each.name, each.rig,
             "", "", f"{count:g}"]
        )  # fmt: skip
    return stream.getvalue()


def schedule_paper(
    view: ScheduleView, facts: BookFacts, system: System, language: str = IN_FORCE
) -> Paper:
    """The schedule as a paper.

    Parameters
    ----------
    view : ScheduleView
        The schedule.
    facts : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Size of the sheet; it holds no quantity with a unit.
    language : str, optional
        Language of the words.
    """
    here = tuple(row for row in view.rows if not row.gone)
    gone = tuple(row for row in view.rows if row.gone)
    parts: list[Part] = [_things("things", here, system, language)]
    parts.append(_said(("schedule.sum",), view, system, language))
    if view.sets:
        parts += [_sets(view.sets, system, language)]
        parts.append(_said(("schedule.sum_rods",), view, system, language))
    parts.append(_things("gone", gone, system, language))
    if gone:
        parts.append(_said(("schedule.sum_gone",), view, system, language))
    notes = (say("schedule.currency", language), say("claim.standing_of", language))
    parts.append(Items("", tuple(Item((plain(text, "second"),)) for text in notes)))
    return Paper(
        name="schedule",
        title=say("schedule.title", language),
        subject=say("schedule.sub", language),
        invented=say("paper.invented", language) if view.invented else "",
        facts=(),
        parts=tuple(parts),
        book=facts,
        system=system,
        landscape=False,
        language=language,
    )


def _said(keys: tuple[str, ...], view: ScheduleView, system: System, language: str) -> Items:
    lines = (with_standing(Sentence(key, view.figures), system, language) for key in keys)
    return Items("", tuple(Item((line,)) for line in lines))


def _things(heading: str, rows: tuple[ScheduleRow, ...], system: System, language: str) -> Part:
    title = say(f"schedule.{heading}", language)
    if not rows:
        none = "schedule.no_gone" if heading == "gone" else "claim.none"
        return Items(title, (Item((plain(say(none, language)),)),))
    names = ("what", "mark", "serial", "value", "set", "rig", "since", "where")
    columns = tuple(
        Column(say(f"schedule.column.{name}", language), "right" if name == "value" else "left",
               wide=name == "where")
        for name in names
    )  # fmt: skip
    body = tuple(
        (
            plain(row.what),
            plain(row.name, "bold"),
            text_cell(row.serial, language),
            standing_mark(row.figures["value"], system, language),
            text_cell(row.set, language),
            text_cell(row.rig, language),
            text_cell(row.since, language),
            text_cell(row.where or say("schedule.not_said", language), language),
        )
        for row in rows
    )
    return Table(title, columns, body)


def _sets(rows: tuple[ScheduleSet, ...], system: System, language: str) -> Table:
    texts, numbers = ("set", "rod_type", "rig", "bought"), ("count", "price", "sum")
    columns = [Column(say(f"schedule.column.{name}", language), "left") for name in texts]
    columns += [Column(say(f"schedule.column.{n}", language), wide=n == "sum") for n in numbers]
    body: list[tuple[Line, ...]] = [
        (
            plain(row.name, "bold"),
            text_cell(row.rod_type, language),
            text_cell(row.rig, language),
            text_cell(row.bought, language),
            *(
                standing_mark(row.figures[name], system, language)
                for name in ("count", "price", "value")
            ),
        )
        for row in rows
    ]
    return Table(say("schedule.sets", language), tuple(columns), tuple(body))


def write_schedule(view: ScheduleView, facts: BookFacts, system: System, file: Path) -> None:
    """Write the schedule, as CSV or PDF by the file's ending, whole or not at all.

    Raises
    ------
    CannotReadError
        If it cannot be written.
    """
    if file.suffix.lower() == ".csv":
        write_whole(file, schedule_csv(view))
        return
    write_pdf(schedule_paper(view, facts, system), file)
