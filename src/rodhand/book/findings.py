"""Everything a book's record and mechanics find that somebody should act on, as tasks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.due import Due, Subject, due_looks
from rodhand.advice.fitness import Reason, days_between
from rodhand.advice.order import Leading, Replay, leading, replay, turned_rows
from rodhand.advice.rules import Rule
from rodhand.advice.suspects import GaugeLook, gauge_off, sub_trace
from rodhand.advice.this_week import Task, in_order
from rodhand.advice.verdict import Verdict
from rodhand.book import verdicts
from rodhand.book.assess import Assessment, day_of, in_order_of_work
from rodhand.book.bore_work import place_key
from rodhand.book.happenings import (
    is_about_a_wrench,
    low_makeups,
    over_steers,
    rods_at,
    saver_sub_on,
    spikes,
)
from rodhand.book.moments import places_alone
from rodhand.book.standings import all_standings, findings_of, last_full_look
from rodhand.book.telling import names_in_words
from rodhand.record.book import Thing
from rodhand.words import say

NEWS_FOR_DAYS = 30
"""A break stays news this long. [d]"""
OUT_OF_USE = ("scrap",)
ROD_LOOKS = ("full-look", "crack-hunt")
SUB_LOOKS = ("saver-sub",)
PLAN_PURCHASE_AT = 0.7
"""Share of a set's expected hours from which its replacement is planned (trade habit). [1]"""
Floats = NDArray[np.float64]


def where_of(assessment: Assessment, thing: Thing) -> str:
    """Rig of a thing, its set's rig, or its set."""
    if thing.rig:
        return thing.rig
    each = assessment.book.sets.get(thing.set)
    return (each.rig or each.name) if each else thing.set


def names_of(assessment: Assessment, keys: Iterable[str]) -> tuple[str, ...]:
    """Names of things in the order of their names."""
    return tuple(sorted(assessment.book.things[key].name for key in keys))


def _minutes(assessment: Assessment, rule: str, count: int) -> float:
    each = assessment.rules.get(rule)
    return (each.minutes if each else 4.0) * max(count, 1)


def _task(
    assessment: Assessment,
    rank: int,
    who: str,
    keys: Sequence[str],
    verdict: Verdict,
    minutes: float,
    link: str = "",
) -> Task:
    things = [assessment.book.things[key] for key in keys]
    where = sorted({where_of(assessment, thing) for thing in things})
    return Task(
        rank, say(f"role.{who}"), names_of(assessment, keys), ", ".join(where), verdict, minutes,
        link or (f"/thing/{things[0].name}" if things else "/"),
    )  # fmt: skip


def in_use(assessment: Assessment) -> set[str]:
    """Things that are neither scrapped nor gone: what a crew can still put in a string."""
    gone = {
        key
        for each in assessment.book.whereabouts
        if each.where in ("scrapped", "sold", "lost in hole")
        for key in each.things
    }
    return {
        key
        for key, (standing, _) in all_standings(assessment).items()
        if standing not in OUT_OF_USE and key not in gone
    }


def _first_reasons(
    assessment: Assessment, wanted: Callable[[Reason], bool]
) -> dict[str, list[Reason]]:
    """Deciding reasons that a person has not yet answered with the same standing, by thing."""
    usable = in_use(assessment)
    found: dict[str, list[Reason]] = {}
    for key, (_, reasons) in all_standings(assessment).items():
        if key not in usable or (reasons and reasons[0].code == "given"):
            continue
        kept = [reason for reason in reasons if wanted(reason)]
        if kept:
            found[key] = kept
    return found


def finding_tasks(assessment: Assessment) -> list[Task]:
    """Findings of looks, grouped by what was found and where."""
    traced = {key for trace in _traces(assessment) for key in (trace[0], *trace[1])}
    wrenched = {key for each in _wrenched(assessment) for key in each}
    groups: dict[tuple[str, str, str], list[tuple[str, Reason]]] = {}
    for key, reasons in _first_reasons(assessment, lambda r: r.finding is not None).items():
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
            [reason for _, reason in rows], told, assessment.rules, f"finding.{name}.{where}"
        )
        rank = {"set aside": 1, "dress": 4}.get(standing, 6)
        item = rows[0][1].finding.item if rows[0][1].finding else "full-look"
        tasks.append(
            _task(assessment, rank, "yard_hand", keys, verdict,
                  _minutes(assessment, item, len(keys)))
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
            for other in assessment.histories
            if any(
                assessment.book.bores[b.bore].rig == thing.rig
                for b in assessment.histories[other].bores
            )
            for finding in findings_of(assessment, other)
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
        minutes = _minutes(assessment, "galling", len(things) + 1)
        tasks.append(_task(assessment, 1, "driller", (sub, *things), verdict, minutes))
    return tasks


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
        off = gauge_off(rows)
        key = f"gauge.{rig}.{gauge}"
        if off is not None:
            bores = _bores_between(assessment, rig, off.last_good, off.when)
            verdict = verdicts.gauge_verdict(rig, off, bores, key, rule)
            keys = sorted({key for bore in bores for key in _rods_of(assessment, bore)})
            link = f"/bore/{bores[-1]}" if bores else "/office"
            names = names_of(assessment, keys)
            tasks.append(Task(2, say("role.mechanic"), names, rig, verdict, 30.0, link))
        elif days_between(rows[-1].when, assessment.today) > due_after:
            days = days_between(rows[-1].when, assessment.today)
            verdict = verdicts.gauge_due_verdict(rig, days, key, rule)
            tasks.append(Task(7, say("role.mechanic"), (), rig, verdict, 20.0, "/office"))
    return tasks


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
        _task(
            assessment, 3, "yard_hand", spike.things,
            verdicts.spike_verdict(spike, f"spike.{spike.bore}.{spike.station}"),
            _minutes(assessment, "box-swell", len(spike.things)), f"/bore/{spike.bore}",
        )
        for spike in spikes(assessment)
        if _not_looked_since(assessment, spike.things, spike.when)
    ]  # fmt: skip


def low_makeup_tasks(assessment: Assessment) -> list[Task]:
    """Joints made up low."""
    return [
        _task(
            assessment, 3, "driller", low.things,
            verdicts.low_makeup_verdict(low, f"low.{low.bore}"), 2.0 * low.joints,
            f"/bore/{low.bore}",
        )
        for low in low_makeups(assessment)
        if _not_looked_since(assessment, low.things, low.when)
    ]  # fmt: skip


def _not_looked_since(assessment: Assessment, keys: Iterable[str], when: str) -> list[str]:
    usable = in_use(assessment)
    return [key for key in keys if key in usable and not last_full_look(assessment, key) > when]


def over_steer_tasks(assessment: Assessment) -> list[Task]:
    """Over-steers whose rods were not looked at since, the sharpest in front."""
    tasks: list[Task] = []
    for over in sorted(over_steers(assessment), key=lambda each: -each.bend.share):
        keys = _not_looked_since(assessment, over.things, over.when)
        if not keys:
            continue
        verdict = verdicts.over_steer_group(over, f"over.{over.bore}.{over.bend.station}")
        tasks.append(
            _task(assessment, 2 + len(tasks), "yard_hand", keys, verdict,
                  _minutes(assessment, "full-look", len(keys)), f"/bore/{over.bore}")
        )  # fmt: skip
    return tasks


def _wrenched(assessment: Assessment) -> list[tuple[str, ...]]:
    """Things a remark says a wrench was used on."""
    remarks = [*assessment.book.remarks]
    remarks += [r for bore in assessment.book.bores.values() for r in bore.remarks]
    return [r.things for r in {id(r): r for r in remarks}.values() if is_about_a_wrench(r.text)]


def wrench_tasks(assessment: Assessment) -> list[Task]:
    """Pipe wrenches on joints, with the diameters measured since."""
    tasks = []
    for things in _wrenched(assessment):
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
            tasks.append(_task(assessment, 1, "yard_hand", keys, verdict, 4.0 * len(keys)))
    return tasks


def break_tasks(assessment: Assessment) -> list[Task]:
    """Breaks that are still news; what is on record, no cause."""
    tasks = []
    for each in assessment.book.breaks:
        day = day_of(each.origin.happened.start)
        if days_between(day, assessment.today) > NEWS_FOR_DAYS or each.thing not in (
            assessment.histories
        ):
            continue
        name = assessment.book.things[each.thing].name
        history = assessment.histories[each.thing]
        bends = sum(
            1 for over in over_steers(assessment) if each.thing in over.things and over.when <= day
        )
        verdict = verdicts.broke_verdict(
            name, each.bore, history.life_before(day).worst.design, bends, f"break.{name}"
        )
        tasks.append(_task(assessment, 0, "foreman", (each.thing,), verdict, 30.0))
    return tasks


def bores_of_rig(assessment: Assessment, rig: str) -> list[str]:
    """Bores of a rig that were worked through, in order of the work."""
    return [name for name, work in assessment.works.items() if work.bore.rig == rig]


def order_of_bore(assessment: Assessment, name: str) -> tuple[str, ...]:
    """Keys of a bore's rods from the tool; empty where not each is known."""
    who = assessment.who[name]
    if any(len(group.rods) != 1 for group in who.groups[:3]):
        return ()
    by_place = sorted(who.groups, key=lambda group: group.places[0])
    return tuple(group.rods[0] for group in by_place if len(group.rods) == 1)


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
    for rig, each in assessment.book.rigs.items():
        leads = leading_on(assessment, rig)
        if leads is None or not set(leads.things) <= set(assessment.book.things):
            continue
        plan = turned_rows(each.box_rows or 1, 1)
        verdict = verdicts.leading_verdict(
            rig, leads, replay_on(assessment, rig), plan.rows, f"order.{rig}"
        )
        tasks.append(_task(assessment, 0, "driller", leads.things, verdict, 10.0, "/yard"))
    return tasks


def life_tasks(assessment: Assessment) -> list[Task]:
    """Rods past one of the owner's lines, grouped by line and where they are."""
    groups: dict[tuple[str, str], list[str]] = {}
    for key, reasons in _first_reasons(assessment, lambda r: r.code.startswith("life-")).items():
        thing = assessment.book.things[key]
        groups.setdefault((reasons[0].code, where_of(assessment, thing)), []).append(key)
    tasks = []
    for (code, where), keys in groups.items():
        worst = max(keys, key=lambda k: assessment.histories[k].life.worst.design)
        life = assessment.histories[worst].life.worst
        verdict = verdicts.life_verdict(
            code, life.design, life.best, life.assumed > 0.5, assessment.thresholds,
            f"life.{code}.{where}",
        )  # fmt: skip
        rank = {"life-retire": 1, "life-declared": 3, "life-downgrade": 5}.get(code, 6)
        tasks.append(
            _task(assessment, rank, "yard_hand", keys, verdict,
                  _minutes(assessment, "full-look", len(keys)), "/yard")
        )  # fmt: skip
    return tasks


def _subject(assessment: Assessment, key: str, rules: Sequence[Rule]) -> Subject:
    """A thing as the subject of looks: when each was last made, and whether it worked since."""
    thing = assessment.book.things[key]
    looks = assessment.looks.get(key, ())
    last = {rule.key: max((x.when for x in looks if x.item == rule.key), default="")
            for rule in rules}  # fmt: skip
    history = assessment.histories.get(key)
    newest = max(last.values(), default="")
    worked = history is None or any(did.happened > newest for did in history.bores)
    return Subject(
        key, thing.name, where_of(assessment, thing), tuple(last.items()),
        day_of(thing.origin.happened.start), worked_since=worked or not newest,
    )  # fmt: skip


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
            _task(assessment, 8, who, keys, verdict, _minutes(assessment, rule, len(keys)),
                  "/yard")
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
        past = each.past.rotating_time if each.past else 0.0
        hours = (past + max(history.rotating_time for history in histories)) / 3600.0
        if hours < PLAN_PURCHASE_AT * rule.every:
            continue
        verdict = verdicts.set_life_verdict(
            name, hours, past > 0.0, rule.every, f"set.{name}", rule
        )
        where = each.rig or name
        tasks.append(Task(1, say("role.foreman"), (name,), where, verdict, 10.0, "/office"))
    return tasks


def all_tasks(assessment: Assessment) -> tuple[Task, ...]:
    """Everything to act on, loudest first."""
    makers = (
        break_tasks, finding_tasks, wrench_tasks, sub_tasks, over_steer_tasks, gauge_tasks,
        spike_tasks, low_makeup_tasks, life_tasks, leading_tasks, look_tasks, set_life_tasks,
    )  # fmt: skip
    return in_order([task for make in makers for task in make(assessment)])
