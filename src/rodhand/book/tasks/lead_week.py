"""The lead rod of each rig: told when the same one has led for a week or more."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.fitness import days_between
from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.tasks.set_tasks import bores_of_rig, leading_on, order_of_bore
from rodhand.book.tasks.task_parts import in_use, make_task
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_order import order_now
from rodhand.book.work.days import last_day_of
from rodhand.book.work.verdicts import caution, source_of
from rodhand.units import Figure, Standing

RULE = "lead-rod"
A_WEEK = 7.0


@dataclass(frozen=True)
class Led:
    """A rod that leads: its key, on how many bores in a row, from which day to which."""

    key: str
    bores: int
    since: str
    until: str


def led_last(assessment: Assessment, rig: str) -> Led | None:
    """The rod that led a rig's last bores in a row; None where it is not known or leads no more."""
    found: list[tuple[str, str]] = []
    for name in reversed(bores_of_rig(assessment, rig)):
        order = order_of_bore(assessment, name)
        if not order or (found and order[0] != found[0][0]):
            break
        found.append((order[0], last_day_of(assessment.book.bores[name])))
    now = order_now(assessment.book, rig).keys
    if not found or (now and now[0] is not None and now[0] != found[0][0]):
        return None
    return Led(found[0][0], len(found), found[-1][1], found[0][1])


def lead_week_tasks(assessment: Assessment) -> list[Task]:
    """Rigs whose lead rod is due to go to the back.

    A rig on which the same rods lead nearly every bore is told of by its order, and not again.
    """
    rule = assessment.rules.get(RULE)
    due = (rule.due_after_days if rule else None) or A_WEEK
    tasks = []
    for rig in assessment.book.rigs:
        led = led_last(assessment, rig)
        if led is None or led.bores < 2 or led.key not in in_use(assessment):
            continue
        days = days_between(led.since, led.until) if led.since and led.until else 0
        if days < due or leading_on(assessment, rig) is not None:
            continue
        own, name = f"lead_week.{rig}", assessment.book.things[led.key].name
        values: dict[str, str | Figure] = {
            "rod": name, "rig": rig, "since": led.since,
            "bores": Figure(f"{own}.bores", float(led.bores), "count", Standing.MEASURED),
        }  # fmt: skip
        verdict = Verdict(
            "note", Sentence("lead_week.what", values), Sentence("lead_week.why", values),
            Sentence("lead_week.do", values), source_of(rule, "record"), caution("lifting"),
        )  # fmt: skip
        tasks.append(make_task(assessment, 6, "driller", (led.key,), verdict, 10.0, "/yard"))
    return tasks
