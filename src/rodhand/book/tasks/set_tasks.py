"""Tasks about sets and their order: life used, leading rods, hours expected of a set."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.leading import Leading, Replay, leading, replay
from rodhand.advice.this_week import Task
from rodhand.book.tasks.task_parts import (
    deciding_reasons,
    link_to,
    make_task,
    minutes_for,
    where_of,
)
from rodhand.book.work import verdicts
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.moments import places_alone
from rodhand.words import say

PLAN_PURCHASE_AT = 0.7
"""Share of a set's expected hours from which its replacement is planned (trade habit). [1]"""
Floats = NDArray[np.float64]


def bores_of_rig(assessment: Assessment, rig: str) -> list[str]:
    """Bores of a rig that were worked through, in order of the work."""
    return [name for name, work in assessment.works.items() if work.bore.rig == rig]


def order_of_bore(assessment: Assessment, name: str) -> tuple[str, ...]:
    """Keys of a bore's rods from the tool, as far as each is known."""
    found: list[str] = []
    for group in sorted(assessment.who[name].groups, key=lambda group: min(group.places)):
        if len(group.rods) != 1 or group.rods[0] not in assessment.book.things:
            break
        found.append(group.rods[0])
    return tuple(found)


def leading_on(assessment: Assessment, rig: str) -> Leading | None:
    """Rods that lead nearly every bore of a rig."""
    names = bores_of_rig(assessment, rig)
    return leading([order_of_bore(assessment, name) for name in names])


def damage_by_place(assessment: Assessment, name: str) -> Floats:
    """What a bore took of each place, on the design curve, worst section. [1]"""
    work = assessment.works[name]
    alone = places_alone(work, "")
    found = np.zeros(work.rod_count)
    for place in range(1, work.rod_count + 1):
        did = alone.get(place_key(place))
        if did is not None:
            total = sum((c.design for c in did.contributions), np.zeros(5))
            found[place - 1] = float(total.max())
    return found


def replay_on(assessment: Assessment, rig: str) -> Replay | None:
    """A rig's own bores replayed with rows kept and turned; None with too few."""
    each = assessment.book.rigs[rig]
    row = each.rods_per_row or 0
    rods = row * (each.box_rows or 0)
    if not rods:
        return None
    names = bores_of_rig(assessment, rig)
    return replay([damage_by_place(assessment, name) for name in names], rods, row)


def leading_tasks(assessment: Assessment) -> list[Task]:
    """Rigs on which the same rods lead every bore."""
    tasks = []
    for rig in assessment.book.rigs:
        leads = leading_on(assessment, rig)
        if leads is None or not set(leads.things) <= set(assessment.book.things):
            continue
        verdict = verdicts.leading_verdict(rig, leads, replay_on(assessment, rig), f"order.{rig}")
        link = link_to("order", rig)
        tasks.append(make_task(assessment, 0, "driller", leads.things, verdict, 10.0, link))
    return tasks


def life_tasks(assessment: Assessment) -> list[Task]:
    """Rods past one of the owner's lines, grouped by line and where they are."""
    groups: dict[tuple[str, str], list[str]] = {}
    for key, reasons in deciding_reasons(assessment, lambda r: r.code.startswith("life-")).items():
        thing = assessment.book.things[key]
        groups.setdefault((reasons[0].code, where_of(assessment, thing)), []).append(key)
    tasks = []
    for (code, where), keys in groups.items():
        worst = max(keys, key=lambda k: assessment.histories[k].life.worst.design)
        life = assessment.histories[worst].life.worst
        verdict = verdicts.life_verdict(
            code, life, assessment.thresholds, f"life.{code}.{where}", len(keys) > 1
        )
        rank = {"life-retire": 1, "life-declared": 3, "life-downgrade": 5}.get(code, 6)
        tasks.append(
            make_task(assessment, rank, "yard_hand", keys, verdict,
                  minutes_for(assessment, "full-look", len(keys)), "/yard")
        )  # fmt: skip
    return tasks


def set_life_tasks(assessment: Assessment) -> list[Task]:
    """Sets whose rotating hours come near the life the owner expects of a set."""
    rule = assessment.rules.get("set-life")
    tasks = []
    for name, each in assessment.book.sets.items():
        histories = [assessment.histories[k] for k in each.things if k in assessment.histories]
        if rule is None or not histories:
            continue
        past = (each.past.rotating_time if each.past else 0.0) or 0.0  # unknown: at least
        hours = (past + max(history.rotating_time for history in histories)) / 3600.0
        if hours < PLAN_PURCHASE_AT * rule.every:
            continue
        verdict = verdicts.set_life_verdict(
            name, hours, past > 0.0, rule.every, f"set.{name}", rule
        )
        where = each.rig or name
        tasks.append(Task(1, say("role.foreman"), (name,), where, verdict, 10.0, "/office"))
    return tasks
