"""Score what the program finds in the invented season against what was planted there.

What counts as found is DEFINITIONS' table of planted truths: the evidence is entered as a crew
would, and the truth file (which the product never opens) says what was planted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from rodhand.advice.this_week import Task
from rodhand.book.tasks.set_tasks import leading_on
from rodhand.book.tasks.standings import all_standings
from rodhand.book.tasks.week import bends_over, tasks_of
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.thing_page import thing_view
from rodhand.demo.season import as_of, chained
from rodhand.demo.truth import truth
from rodhand.record.reading_back import read_book

WORSE_THAN_WATCH = ("dress", "set aside", "scrap")
TRACED = ("verdict.sub.what", "verdict.wrench.what")


@dataclass(frozen=True)
class Score:
    """Truths by key and whether each was found; findings with no cause in the truth file."""

    found: dict[str, bool]
    false: tuple[str, ...]


@cache
def worked(seed: int, planted: bool) -> Assessment:
    """A season worked through as of the Friday after its last entry."""
    return assess(read_book(chained(seed, planted)), as_of(), chained(seed, planted))


def _tasks(assessment: Assessment, key: str) -> list[Task]:
    return [task for task in tasks_of(assessment) if task.verdict.what.key == key]


def _leaders(assessment: Assessment, planted: dict[str, Any]) -> bool:
    """Led n of n bores, and they are the top three of their set."""
    leads = leading_on(assessment, "Rig-40")
    names = {thing.key: thing.name for thing in assessment.book.things.values()}
    if leads is None or leads.led != leads.bores or leads.bores != len(planted["bores"]):
        return False
    mine = [key for key in assessment.histories if assessment.book.things[key].set == "SET-M1"]
    top = sorted(mine, key=lambda k: -assessment.histories[k].life.worst.design)[:3]
    wanted = set(planted["things"])
    return {names[key] for key in leads.things} == wanted == {names[key] for key in top}


def _over_steer(assessment: Assessment, planted: dict[str, Any]) -> bool:
    for bore, row in bends_over(assessment):
        if bore == planted["bore"] and row.station == planted["station"]:
            return (
                row.verdict == "over"
                and list(row.passed) == planted["passed"]
                and list(row.in_it) == planted["in_it"]
                and not set(planted["never"]) & {*row.passed, *row.in_it, *row.to_come}
            )
    return False


def _spike(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.over_torque.what")
    grown = [
        task
        for task in _tasks(assessment, "verdict.finding.what")
        if planted["grown"] in task.things
        and task.verdict.what.values["finding"] == "grown box"
        and task.verdict.standing == "watch"  # below the limit
    ]
    joints = [task.verdict.what.values["joints"].value for task in tasks]  # type: ignore[union-attr]
    return (
        len(tasks) == 1
        and joints == [float(planted["joints"])]
        and set(tasks[0].things) == set(planted["things"])
        and len(grown) == 1
    )


def _sub(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.sub.what")
    return len(tasks) == 1 and set(tasks[0].things) == {planted["sub"], *planted["things"]}


def _gauge(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.gauge.what")
    if len(tasks) != 1 or set(tasks[0].things) != set(planted["made_up_since"]):
        return False
    share = tasks[0].verdict.why.values["share"].value  # type: ignore[union-attr]
    return bool(round(share or 0.0, 3) == planted["at_share"])


def _low(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.under_torque.what")
    return len(tasks) == 1 and set(tasks[0].things) == set(planted["things"])


def _bench(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.bench_mark.what")
    named = {name for task in tasks for name in task.things}
    return named == set(planted["things"]) and all(
        standing_of(assessment, name) == "set aside" for name in planted["things"]
    )


def _broke(assessment: Assessment, planted: dict[str, Any]) -> bool:
    """Its page lists the bend with its turns on the pilot and the bite, with shares; no cause."""
    view = thing_view(assessment, planted["thing"])
    bend = [row for row in view.bends if row.bore == "B-2" and row.station == 4.0]
    bite = [fact for fact in view.facts if fact.key == "thing.bite"]
    return (
        len(bend) == 1
        and round(bend[0].figures["turns"].value or 0) == 540
        and round(bend[0].figures["radius"].value or 0) == 32
        and (bend[0].figures["share"].value or 0) > 0
        and len(bite) == 1
        and (bite[0].values["share"].value or 0) > 0  # type: ignore[union-attr]
    )


def _wrench(assessment: Assessment, planted: dict[str, Any]) -> bool:
    tasks = _tasks(assessment, "verdict.wrench.what")
    return len(tasks) == 1 and set(tasks[0].things) == set(planted["things"])


FINDERS = {
    "leaders": _leaders,
    "over-steer": _over_steer,
    "spike": _spike,
    "galled-sub": _sub,
    "gauge": _gauge,
    "low-pressure": _low,
    "bench-mark": _bench,
    "broke": _broke,
    "pipe-wrench": _wrench,
}


def standing_of(assessment: Assessment, name: str) -> str:
    """Standing of a thing by its mark."""
    thing = assessment.book.thing_named(name)
    return all_standings(assessment)[thing.key][0] if thing else ""


def false_findings(assessment: Assessment, causes: dict[str, list[str]]) -> tuple[str, ...]:
    """A stop and look, a standing worse than watch, or a named suspect without any cause."""
    found = []
    for key, (standing, _) in all_standings(assessment).items():
        name = assessment.book.things[key].name
        if standing in WORSE_THAN_WATCH and name not in causes:
            found.append(f"{name} {standing}")
    for task in tasks_of(assessment):
        if task.verdict.voice == "stop" or task.verdict.what.key in TRACED:
            without = [name for name in task.things if name not in causes]
            found += [f"{task.verdict.what.key}: {name}" for name in without]
    return tuple(found)


def score(seed: int, planted: bool = True) -> Score:
    """Score one season."""
    facts = truth(seed, planted)
    assessment = worked(seed, planted)
    found = {each["key"]: FINDERS[each["key"]](assessment, each) for each in facts["truths"]}
    return Score(found, false_findings(assessment, facts["causes"]))
