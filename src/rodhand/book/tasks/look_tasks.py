"""Tasks from looks: findings, galled subs, wrenches, and looks that are due."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.advice.due import Due, Subject, due_looks
from rodhand.advice.fitness import Reason
from rodhand.advice.looks import Finding
from rodhand.advice.rules import Rule
from rodhand.advice.suspects import GALLING, sub_trace
from rodhand.advice.this_week import Task
from rodhand.book.tasks.standings import findings_of
from rodhand.book.tasks.task_parts import (
    deciding_reasons,
    in_use,
    link_to,
    make_task,
    minutes_for,
    names_of,
    where_of,
)
from rodhand.book.telling import names_in_words
from rodhand.book.work import verdicts
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of, last_day_of
from rodhand.book.work.happenings import (
    is_about_a_wrench,
    saver_sub_on,
)
from rodhand.book.work.make_ups import first_met
from rodhand.words import say

ROD_LOOKS = ("full-look", "crack-hunt")
SUB_LOOKS = ("saver-sub",)


def finding_tasks(assessment: Assessment) -> list[Task]:
    """Findings of looks, grouped by what was found and where."""
    traced = {key for trace in _traces(assessment) for key in (trace[0], *trace[1])}
    wrenched = {key for each in _wrenched(assessment) for key in each}
    groups: dict[tuple[str, str, str], list[tuple[str, Reason]]] = {}
    for key, reasons in deciding_reasons(assessment, lambda r: r.finding is not None).items():
        thing = assessment.book.things[key]
        for reason in reasons:
            finding = reason.finding
            if finding is None or (key in traced and "gall" in finding.finding):
                continue
            if key in wrenched and finding.finding == "oval joint":
                continue
            group = (finding.standing, finding.finding, where_of(assessment, thing))
            groups.setdefault(group, []).append((key, reason))
    tasks = []
    for (standing, name, where), rows in groups.items():
        keys = sorted({key for key, _ in rows})
        told = names_in_words(names_of(assessment, keys))
        verdict = verdicts.finding_verdict(
            [reason for _, reason in rows],
            told,
            assessment.rules,
            f"finding.{name}.{standing}.{where}",
        )
        rank = {"set aside": 1, "dress": 4}.get(standing, 6)
        item = rows[0][1].finding.item if rows[0][1].finding else "full-look"
        first = assessment.book.things[keys[0]].name
        link = trace_link(first, [r.finding for key, r in rows if key == keys[0] and r.finding])
        tasks.append(
            make_task(assessment, rank, "yard_hand", keys, verdict,
                  minutes_for(assessment, item, len(keys)), link)
        )  # fmt: skip
    return tasks


def _traces(assessment: Assessment) -> list[tuple[str, tuple[str, ...]]]:
    """Galled saver subs with the things whose galling was seen after them on their rig."""
    found = []
    for key, thing in assessment.book.things.items():
        if thing.what != "saver sub":
            continue
        others = [
            (other, finding)
            for other, since in first_met(assessment, key).items()
            if other in assessment.histories
            for finding in findings_of(assessment, other)
            if since <= finding.when
        ]
        trace = sub_trace(key, findings_of(assessment, key), others)
        if trace is not None:
            found.append((key, trace.things))
    return found


def sub_tasks(assessment: Assessment) -> list[Task]:
    """Galled saver subs with their direct mates."""
    tasks = []
    for sub, things in _traces(assessment):
        name = assessment.book.things[sub].name
        verdict = verdicts.sub_verdict(
            name, len(things), f"sub.{name}", assessment.rules.get("saver-sub")
        )
        minutes = minutes_for(assessment, "galling", len(things) + 1)
        link = trace_link(name, findings_of(assessment, sub))
        tasks.append(make_task(assessment, 1, "driller", (sub, *things), verdict, minutes, link))
    return tasks


def trace_link(name: str, findings: Sequence[Finding]) -> str:
    """Address of the trace of a galled end; of the thing's page where nobody said which end."""
    ends = [each.end for each in findings if each.finding in GALLING and each.end in ("pin", "box")]
    return f"{link_to('trace', name)}/{ends[0]}" if ends else ""


def _wrenched(assessment: Assessment) -> dict[tuple[str, ...], str]:
    """Things a remark says a wrench was used on, with the last ISO day it says so."""
    remarks = [*assessment.book.remarks]
    remarks += [r for bore in assessment.book.bores.values() for r in bore.remarks]
    found: dict[tuple[str, ...], str] = {}
    for each in remarks:
        if each.things and is_about_a_wrench(each.text):
            day = day_of(each.origin.happened.start)
            found[each.things] = max(found.get(each.things, ""), day)
    return found


def _measured_two_ways(assessment: Assessment, key: str, since: str) -> bool:
    """Whether two diameters of a joint were measured on a day or after; '' is an unknown day."""
    return any(
        look.reading is not None and look.second_reading is not None and look.when >= since
        for look in assessment.looks.get(key, ())
    )


def wrench_tasks(assessment: Assessment) -> list[Task]:
    """Pipe wrenches on joints: the diameters measured since, or that nobody measured."""
    tasks = []
    for things, when in _wrenched(assessment).items():
        numbers = [
            finding.number
            for key in things
            for finding in findings_of(assessment, key)
            if finding.finding == "oval joint" and finding.number is not None
        ]
        keys = [key for key in things if key in in_use(assessment)]
        if keys and numbers:
            told = names_in_words(names_of(assessment, keys))
            verdict = verdicts.wrench_verdict(told, max(numbers), f"wrench.{told}")
            tasks.append(make_task(assessment, 1, "yard_hand", keys, verdict, 4.0 * len(keys)))
            continue
        keys = [key for key in keys if not _measured_two_ways(assessment, key, when)]
        if keys:
            told = names_in_words(names_of(assessment, keys))
            verdict = verdicts.wrench_told_verdict(
                told, len(keys), when, f"wrench_told.{told}", assessment.rules.get("joint-oval")
            )
            tasks.append(make_task(assessment, 4, "yard_hand", keys, verdict, 4.0 * len(keys)))
    return tasks


def _subject(assessment: Assessment, key: str, rules: Sequence[Rule]) -> Subject:
    """A thing as the subject of looks: when each was last made, and whether it worked since."""
    thing = assessment.book.things[key]
    looks = assessment.looks.get(key, ())
    last = {rule.key: max((x.when for x in looks if x.item == rule.key), default="")
            for rule in rules}  # fmt: skip
    return Subject(
        key, thing.name, where_of(assessment, thing), tuple(last.items()),
        day_of(thing.origin.happened.start), worked_on=_worked_on(assessment, key),
    )  # fmt: skip


def _worked_on(assessment: Assessment, key: str) -> str:
    """Day a thing last worked; today where that is not known, as for subs on a rig."""
    history = assessment.histories.get(key)
    if history is None:
        return assessment.today
    days = [last_day_of(assessment.book.bores[did.bore]) for did in history.bores]
    return max((day or assessment.today for day in days), default="")


def _looked_at(assessment: Assessment) -> dict[str, tuple[list[str], list[Rule]]]:
    """Rule groups: name -> things they hold for, and the rules."""
    usable = in_use(assessment)
    things = assessment.book.things
    rods = [key for key in assessment.histories if key in usable]
    subs = [
        key
        for key, thing in things.items()
        if thing.what == "saver sub"
        and key in usable
        and (on := saver_sub_on(assessment, thing.rig, assessment.today)) is not None
        and on.key == key
    ]
    table = assessment.rules
    return {
        "rods": (rods, [table[k] for k in ROD_LOOKS if k in table]),
        "subs": (subs, [table[k] for k in SUB_LOOKS if k in table]),
    }


def look_tasks(assessment: Assessment) -> list[Task]:
    """Looks due by the calendar, grouped by rule and where the things are."""
    groups: dict[tuple[str, str, bool], list[Due]] = {}
    for keys, rules in _looked_at(assessment).values():
        subjects = [_subject(assessment, key, rules) for key in keys]
        for due in due_looks(subjects, rules, assessment.today):
            groups.setdefault((due.rule.key, due.subject.where, due.never), []).append(due)
    tasks = []
    for (rule, where, never), dues in groups.items():
        keys = [due.subject.key for due in dues]
        last = max((due.subject.last_look(rule) for due in dues), default="")
        verdict = verdicts.look_due_verdict(
            say(f"look.{rule}"), where, len(keys), last or say("number.unknown"), never,
            f"looks.{rule}.{where}.{never}", assessment.rules.get(rule),
        )  # fmt: skip
        who = "driller" if rule in SUB_LOOKS else "yard_hand"
        tasks.append(
            make_task(assessment, 8, who, keys, verdict, minutes_for(assessment, rule, len(keys)),
                  "/yard")
        )  # fmt: skip
    return tasks
