"""This week: at most seven lines, and the bends that were over with the rods they concern."""

from __future__ import annotations

from rodhand.advice.this_week import AT_MOST, Task
from rodhand.advice.verdict import Sentence
from rodhand.book.tasks.findings import all_tasks
from rodhand.book.tasks.over_rows import over_row
from rodhand.book.tasks.standings import all_standings
from rodhand.book.telling import names_in_words
from rodhand.book.views import OverSteerRow, WeekLine, WeekView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_places import where_they_lie
from rodhand.book.work.moments import moment_of
from rodhand.book.work.names_then import NamesThen
from rodhand.book.work.rod_types import without_rod_type
from rodhand.record.intake import as_fault
from rodhand.units import Figure, Standing
from rodhand.words import kept_by_language, render_fault, say

PROBLEMS_TOLD = 5


@kept_by_language(maxsize=4)
def tasks_of(assessment: Assessment) -> tuple[Task, ...]:
    """Everything to act on in a book, loudest first."""
    return all_tasks(assessment)


def week_line(task: Task, number: int, assessment: Assessment) -> WeekLine:
    """A task as one line of the week; rods without a mark are told by row and number too."""
    rows = where_they_lie(assessment, task.things)
    where = say("box.where", where=task.where, rows=rows) if rows else task.where
    minutes = Figure(f"week.{number}.minutes", task.minutes * 60.0, "minutes", Standing.ASSUMED)
    return WeekLine(task.who, task.things, where, task.verdict, minutes, task.link)


def bends_over(assessment: Assessment) -> tuple[tuple[str, OverSteerRow], ...]:
    """Every bend of the book over or likely over a limit, newest bore first."""
    found = []
    for name, work in reversed(list(assessment.works.items())):
        for bend in work.held.notable:
            if bend.verdict not in ("over", "likely"):
                continue
            moment = moment_of(
                work, work.pilot.name, None, assessment.curves, assessment.conditions[name]
            )
            names = NamesThen(assessment, name)
            found.append((name, over_row(moment, bend, names.then, f"week.{name}", names)))
    return tuple(found)


def _left_out(assessment: Assessment) -> tuple[Sentence, ...]:
    """Bores that no page can show and that cost no rod anything yet, by name."""
    names = without_rod_type(assessment.book)
    return (Sentence("week.left_out", {"bores": names_in_words(names)}),) if names else ()


def problems_told(assessment: Assessment) -> tuple[Sentence, ...]:
    """Entries the book cannot use, the first few told and the rest counted."""
    problems = assessment.book.problems
    told = [
        Sentence(
            "week.problem",
            {"entry": each.entry[:8], "kind": each.kind, "told": render_fault(as_fault(each))},
        )
        for each in problems[:PROBLEMS_TOLD]
    ]
    if len(problems) > PROBLEMS_TOLD:
        told.append(Sentence("week.problems_more", {"count": f"{len(problems) - PROBLEMS_TOLD}"}))
    return tuple(told)


def this_week(assessment: Assessment) -> WeekView:
    """What the crews have to do this week.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    WeekView
        At most seven lines; what is beyond is counted.
    """
    tasks = tasks_of(assessment)
    rods = list(assessment.histories)
    standings = all_standings(assessment)
    unseen = sum(1 for key in rods if standings[key][0] == "not looked at")
    measured = Standing.MEASURED
    not_looked = Figure("week.not_looked_at", float(unseen), "count", measured)
    lines = tuple(week_line(task, k, assessment) for k, task in enumerate(tasks, 1))
    nothing = None if tasks else Sentence("week.nothing", {"count": not_looked})
    return WeekView(
        as_of=assessment.today,
        invented=assessment.invented,
        lines=lines[:AT_MOST],
        rest=lines[AT_MOST:],
        bends=bends_over(assessment),
        nothing=nothing,
        warnings=(*problems_told(assessment), *_left_out(assessment)),
        figures={
            "not_looked_at": not_looked,
            "rods": Figure("week.rods", float(len(rods)), "count", measured),
            "bores": Figure("week.bores", float(len(assessment.works)), "count", measured),
            "entries": Figure(
                "week.entries", float(assessment.book.entry_count), "count", measured
            ),
        },
    )
