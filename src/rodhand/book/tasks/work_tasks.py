"""Tasks from what happened in bores: over-steers, spikes, low make-up, gauges, breaks."""

from __future__ import annotations

from rodhand.advice.fitness import days_between
from rodhand.advice.rules import Rule
from rodhand.advice.suspects import GaugeLook, GaugeOff, gauge_faults
from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Verdict
from rodhand.book.tasks.open_verdict import open_verdict
from rodhand.book.tasks.task_parts import (
    link_to,
    make_task,
    minutes_for,
    names_of,
    not_looked_since,
)
from rodhand.book.work import verdicts
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of, last_day_of
from rodhand.book.work.happenings import (
    LowMakeup,
    low_makeups,
    over_steers,
    rods_at,
    spikes,
    things_beside,
    untold_open,
)
from rodhand.book.work.opened_joints import opened_joints
from rodhand.book.work.rod_types import in_order_of_work
from rodhand.words import say

NEWS_FOR_DAYS = 30
"""A break stays news this long. [d]"""


def gauge_tasks(assessment: Assessment) -> list[Task]:
    """Make-up gauges out of tolerance or not compared in time."""
    looks: dict[tuple[str, str], list[GaugeLook]] = {}
    for each in assessment.book.comparisons:
        look = GaugeLook(day_of(each.origin.happened.start), each.shown, each.reference)
        looks.setdefault((each.rig, each.gauge), []).append(look)
    tasks = []
    rule = assessment.rules.get("gauge-truth")
    due_after = rule.due_after_days if rule and rule.due_after_days else 182.0
    for (rig, gauge), rows in looks.items():
        key = f"gauge.{rig}.{gauge}"
        faults = gauge_faults(rows)
        tasks += [
            task
            for number, off in enumerate(faults)
            if (task := _gauge_fault(assessment, rig, off, f"{key}.{number}", rule)) is not None
        ]
        if faults and not faults[-1].mended:
            continue
        if (days := _days_since(assessment, rows[-1].when)) is None or days > due_after:
            verdict = verdicts.gauge_due_verdict(rig, days, key, rule)
            tasks.append(Task(7, say("role.mechanic"), (), rig, verdict, 20.0, "/office"))
    return tasks


def _gauge_fault(
    assessment: Assessment, rig: str, off: GaugeOff, key: str, rule: Rule | None
) -> Task | None:
    """A gauge that is off, or one mended since whose rods were not looked at after that."""
    bores = _bores_between(assessment, rig, off.last_good, off.when)
    keys = sorted({key for bore in bores for key in _rods_of(assessment, bore)})
    if off.mended:
        keys = not_looked_since(assessment, keys, off.when)
        if not keys:
            return None
    verdict = verdicts.gauge_verdict(rig, off, bores, key, rule)
    link = link_to("bore", bores[-1]) if bores else "/office"
    rank = 5 if off.mended else 2
    return Task(rank, say("role.mechanic"), names_of(assessment, keys), rig, verdict, 30.0, link)


def _days_since(assessment: Assessment, day: str) -> float | None:
    """Days since an ISO day; None when it is not known. [d]"""
    return days_between(day, assessment.today) if day else None


def _rods_of(assessment: Assessment, bore: str) -> tuple[str, ...]:
    """Things that stood, or may have stood, in a bore's string."""
    work = assessment.works.get(bore)
    return rods_at(assessment, bore, range(1, work.rod_count + 1)) if work else ()


def _bores_between(assessment: Assessment, rig: str, after: str, until: str) -> list[str]:
    """Bores of a rig worked after one day and up to another, whose make-ups are in doubt."""
    return [
        bore.name
        for bore in in_order_of_work(assessment.book)
        if bore.rig == rig and after < day_of(bore.origin.happened.start) <= until
    ]


def spike_tasks(assessment: Assessment) -> list[Task]:
    """Torque above make-up torque."""
    return [
        make_task(
            assessment, 3, "yard_hand", spike.things,
            verdicts.spike_verdict(spike, f"spike.{spike.bore}.{spike.station}"),
            minutes_for(assessment, "box-swell", len(spike.things)), link_to("bore", spike.bore),
        )
        for spike in spikes(assessment)
        if not_looked_since(assessment, spike.things, spike.when)
    ]  # fmt: skip


def low_makeup_tasks(assessment: Assessment) -> list[Task]:
    """Joints made up low."""
    return [
        make_task(
            assessment, 3, "driller", low.things,
            _low_verdict(assessment, low, f"low.{low.bore}.{number}"), 2.0 * low.joints,
            link_to("bore", low.bore),
        )
        for number, low in enumerate(low_makeups(assessment))
        if not_looked_since(assessment, low.things, low.when)
    ]  # fmt: skip


def _low_verdict(assessment: Assessment, low: LowMakeup, key: str) -> Verdict:
    places = range(low.first, low.first + low.joints)
    opened = [each for each in opened_joints(assessment, low.bore) if each.place in places]
    asked = max((each.needed for each in opened), default=None)
    return verdicts.low_makeup_verdict(low, key, len(opened), asked)


def open_joint_tasks(assessment: Assessment) -> list[Task]:
    """Joints whose shoulder opened though nobody told that they were made up low."""
    tasks = []
    for bore, joints in untold_open(assessment).items():
        things = things_beside(assessment, bore, joints)
        if not_looked_since(assessment, things, last_day_of(assessment.works[bore].bore)):
            verdict = open_verdict(bore, joints, f"open.{bore}")
            tasks.append(make_task(assessment, 3, "driller", things, verdict,
                  2.0 * len(joints), f"{link_to('bore', bore)}/joints"))  # fmt: skip
    return tasks


def over_steer_tasks(assessment: Assessment) -> list[Task]:
    """Over-steers whose rods were not looked at since, the sharpest in front."""
    tasks: list[Task] = []
    for over in sorted(over_steers(assessment), key=lambda each: -each.bend.share):
        keys = not_looked_since(assessment, over.things, over.when)
        if not keys:
            continue
        verdict = verdicts.over_steer_group(
            over, f"over.{over.bore}.{over.bend.station}.{over.bend.what}"
        )
        tasks.append(
            make_task(assessment, 2 + len(tasks), "yard_hand", keys, verdict,
                  minutes_for(assessment, "full-look", len(keys)), link_to("bore", over.bore))
        )  # fmt: skip
    return tasks


def _bends_over(assessment: Assessment, thing: str, day: str) -> int:
    """Bends over a limit that a thing passed up to a day."""
    return sum(
        1
        for over in over_steers(assessment)
        if thing in over.things
        and (not day or day_of(assessment.book.bores[over.bore].origin.happened.start) <= day)
    )


def break_tasks(assessment: Assessment) -> list[Task]:
    """Breaks that are still news; what is on record, no cause."""
    tasks = []
    for number, each in enumerate(assessment.book.breaks):
        day = day_of(each.origin.happened.start)
        if (_days_since(assessment, day) or 0.0) > NEWS_FOR_DAYS:
            continue
        name = assessment.book.things[each.thing].name
        history = assessment.histories.get(each.thing)
        # A head, or a rod of an unknown type, has no life used here: unknown, and still told.
        design = history.life_before(day).worst.design if history else None
        bends = _bends_over(assessment, each.thing, day) if history else None
        verdict = verdicts.broke_verdict(name, each.bore, design, bends, f"break.{name}.{number}")
        tasks.append(make_task(assessment, 0, "foreman", (each.thing,), verdict, 30.0))
    return tasks
