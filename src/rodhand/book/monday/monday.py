"""Monday for several crews: one list per rig from several books, which stay apart."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from rodhand.advice.fitness import days_between
from rodhand.advice.this_week import AT_MOST, Task
from rodhand.advice.verdict import Sentence
from rodhand.book.monday.files import FileRead, read_files
from rodhand.book.monday.stock import stock_of
from rodhand.book.monday.twice import twice_in
from rodhand.book.monday.views import MondayFile, MondayView, PullRow, RigSheet
from rodhand.book.owner.schedule import last_where
from rodhand.book.tasks.standings import all_standings
from rodhand.book.tasks.task_parts import GONE, names_of, where_of
from rodhand.book.tasks.week import problems_told, tasks_of, week_line
from rodhand.book.views import WeekLine
from rodhand.book.work.assess import Assessment
from rodhand.record.entry import overall_digest
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing

M, A, C = Standing.MEASURED, Standing.ASSUMED, Standing.COMPUTED
DAY = 86400.0
OUT = ("scrap", "set aside")
"""Standings that keep a rod out of the string, worst first."""
LOOKS = ("verdict.look_due", "verdict.never_looked")


def monday_view(paths: Sequence[Path], as_of: str = "", own: Path | None = None) -> MondayView:
    """One list per rig from several books' files.

    Parameters
    ----------
    paths : sequence of Path
        Books' folders, copies (folder or ``.zip``) and files of entries (``.jsonl``).
    as_of : str, optional
        ISO day: only what was entered by the end of that day counts.
    own : Path, optional
        The folder whose pages show this; links of its tasks lead to them.

    Returns
    -------
    MondayView
        A file that cannot be read is told; a file whose entries are all in another one is passed
        over for that one. No book is changed and nothing is written beside any.
    """
    files = read_files(paths, as_of)
    today = as_of or date.today().isoformat()
    longer = _longer(files)
    kept = [each for each in files if each.assessment and each.path not in longer]
    sheets = tuple(
        _anew(sheet, f"monday.{number}")
        for number, (each, rig) in enumerate(_rigs(kept), 1)
        if (sheet := _sheet(each, rig, own)) is not None
    )
    sheets = tuple(
        dataclasses.replace(sheet, notes=(*_said_twice(sheet, kept), *sheet.notes))
        for sheet in sheets
    )
    minutes = sum(
        task.minutes for each in kept if each.assessment for task in tasks_of(each.assessment)
    )
    figures = {
        "rigs": _count("monday.rigs", len({fold(sheet.rig) for sheet in sheets if sheet.rig})),
        "files": _count("monday.files", len(files)),
        "unread": _count("monday.unread", sum(each.form == "unread" for each in files)),
        "minutes": Figure("monday.minutes", minutes * 60.0, "minutes", A),
    }
    hashes = sorted({entry.hash for each in kept for entry in each.entries})
    return MondayView(
        as_of=today,
        invented=any(sheet.invented for sheet in sheets),
        files=tuple(_file(each, k, today, longer) for k, each in enumerate(files, 1)),
        sheets=sheets,
        twice=twice_in(kept),
        stock=stock_of(kept),
        head=overall_digest(hashes) if hashes else "",
        entries=len(hashes),
        figures=figures,
    )


def _count(key: str, value: int) -> Figure:
    return Figure(key, float(value), "count", M)


def _longer(files: Sequence[FileRead]) -> dict[Path, str]:
    """Files that are all in another one, with that one's name; of equals the first stays."""
    found: dict[Path, str] = {}
    for place, each in enumerate(files):
        for at, other in enumerate(files):
            if at == place or not each.ids or not each.ids <= other.ids:
                continue
            if each.ids < other.ids or at < place:
                found.setdefault(each.path, other.name)
    return found


def _rigs(kept: Sequence[FileRead]) -> list[tuple[FileRead, str]]:
    """Rigs of every file, those of one name side by side, then what is on no rig."""
    found = [(each, rig) for each in kept if each.assessment for rig in each.assessment.book.rigs]
    found.sort(key=lambda pair: fold(pair[1]))
    return [*found, *((each, "") for each in kept)]


def _is_on(task: Task, rig: str, rigs: Mapping[str, Any]) -> bool:
    places = {task.where, *task.where.split(", ")}
    return rig in places if rig else not places & set(rigs)


def _sheet(read: FileRead, rig: str, own: Path | None) -> RigSheet | None:
    """The list of one rig; None for what is on no rig where there is nothing to say of it."""
    assessment = read.assessment
    assert assessment is not None
    book = assessment.book
    tasks = [task for task in tasks_of(assessment) if _is_on(task, rig, book.rigs)]
    lines = [week_line(task, number, assessment) for number, task in enumerate(tasks, 1)]
    due = tuple(line for line in lines if line.verdict.what.key.startswith(LOOKS))
    do = [line for line in lines if line not in due]
    pull = _pull(assessment, rig)
    if not rig and not (tasks or pull):
        return None
    figures = {
        "tasks": _count("tasks", len(lines)),
        "minutes": _minutes("minutes", lines),
        "pull": _count("pull", sum(len(row.things) for row in pull)),
        "due": _minutes("due", due),
    }
    mine = own is not None and own.resolve() == read.path.resolve()
    return RigSheet(
        rig, read.name, mine, assessment.invented, assessment.today, tuple(do[:AT_MOST]),
        tuple(do[AT_MOST:]), due, pull, (), figures,
    )  # fmt: skip


def _minutes(key: str, lines: Sequence[WeekLine]) -> Figure:
    return Figure(key, sum(line.how_long.value or 0.0 for line in lines), "minutes", A)


def _pull(assessment: Assessment, rig: str) -> tuple[PullRow, ...]:
    """Rods and subs of a rig, not gone, that are not to turn again as they are."""
    rigs, things = assessment.book.rigs, assessment.book.things
    rows = []
    for standing in OUT:
        keys = [
            key
            for key, (stands, _) in all_standings(assessment).items()
            if stands == standing
            and not last_where(assessment.book, key).startswith(GONE)
            and (where_of(assessment, things[key]) == rig if rig else
                 where_of(assessment, things[key]) not in rigs)
        ]  # fmt: skip
        if keys:
            rows.append(PullRow(standing, names_of(assessment, keys)))
    return tuple(rows)


def _said_twice(sheet: RigSheet, kept: Sequence[FileRead]) -> tuple[Sentence, ...]:
    """That another file has this rig too, and what each has of its own."""
    mine = next(each for each in kept if each.name == sheet.file)
    notes = []
    for each in kept:
        if each is mine or each.assessment is None or not sheet.rig:
            continue
        if fold(sheet.rig) not in {fold(rig) for rig in each.assessment.book.rigs}:
            continue
        values = {"file": each.name, "day": each.last_typed[:10], "own": mine.last_typed[:10]}
        if each.ids & mine.ids:
            there = f"{len(each.ids - mine.ids)}"
            here = f"{len(mine.ids - each.ids)}"
            notes.append(Sentence("monday.both_ahead", values | {"there": there, "here": here}))
        else:
            notes.append(Sentence("monday.same_name", values))
    return tuple(notes)


def _anew(part: Any, prefix: str) -> Any:
    """The same with every figure's key in a room of its own: two books use the same keys."""
    if isinstance(part, Figure):
        return dataclasses.replace(part, key=f"{prefix}.{part.key}")
    if dataclasses.is_dataclass(part) and not isinstance(part, type):
        fields = {each.name: getattr(part, each.name) for each in dataclasses.fields(part)}
        return dataclasses.replace(part, **{n: _anew(v, prefix) for n, v in fields.items()})
    if isinstance(part, Mapping):
        return {name: _anew(value, prefix) for name, value in part.items()}
    return tuple(_anew(each, prefix) for each in part) if isinstance(part, tuple) else part


def _file(read: FileRead, number: int, today: str, longer: Mapping[Path, str]) -> MondayFile:
    key = f"monday.file.{number}"
    notes: list[Sentence] = []
    typed = read.last_typed[:10]
    if read.form == "unread":
        notes.append(Sentence("monday.unread", {"reason": read.reason}))
    elif read.path in longer:
        notes.append(Sentence("monday.part", {"file": longer[read.path]}))
    elif not read.entries:
        notes.append(Sentence("monday.empty"))
    age, copy_age = _age(typed, today, f"{key}.entry_age"), None
    if read.made:
        copy_age = _age(read.made[:10], today, f"{key}.copy_age")
    if typed and not notes and age.value:
        seen = max(filter(None, (typed, read.made[:10])))
        notes.append(Sentence("monday.not_seen_since", {"day": seen}))
    if read.gaps:
        notes.append(Sentence("monday.gaps", {"count": f"{read.gaps}"}))
    if read.assessment is not None and read.path not in longer:
        notes += problems_told(read.assessment)
    state = "read"
    if read.form == "unread" or not read.entries:
        state = "unread" if read.form == "unread" else "empty"
    elif read.path in longer:
        state = "part"
    figures = {"entries": _count(f"{key}.entries", len(read.entries)), "entry_age": age}
    if copy_age is not None:
        figures["copy_age"] = copy_age
    return MondayFile(
        read.name, str(read.path), read.form, state, typed, _newest_work(read), read.made[:16],
        tuple(notes), figures,
    )  # fmt: skip


def _newest_work(read: FileRead) -> str:
    """Newest ISO day of work in a file; a day nobody knows is passed over."""
    days = (entry.happened[:10] for entry in read.entries)
    return max((day for day in days if day[:4].isdigit()), default="")


def _age(day: str, today: str, key: str) -> Figure:
    """Days from a day to today, never less than none; unknown for an unknown day."""
    days = days_between(day, today) if day else None
    return Figure(key, None if days is None else max(days, 0.0) * DAY, "days", M)
