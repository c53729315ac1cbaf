"""What the record says of everything that is looked at: rods, saver subs, rigs and sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from rodhand.advice.checks_due import CheckHistory, Work
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of, last_day_of
from rodhand.book.work.event_checks import event_checks
from rodhand.book.work.happenings import is_about_a_wrench, saver_sub_on, spikes
from rodhand.book.work.odd_in_bores import odd_in_bores
from rodhand.book.work.wear_sizes import makeups_in
from rodhand.record.marks import fold

WRENCH, REFACED, SPIKE = "after wrench", "at reface", "torque spike"
PARTS_OF: Mapping[str, tuple[str, ...]] = {
    "rod": ("whole", "threads", "pin", "box", "shoulder", "joint", "tube"),
    "sub": ("sub",),
    "rig": ("rig", "order"),
    "set": ("set",),
}
"""Parts of the rule table that each kind of subject has."""


@dataclass(frozen=True)
class Looked:
    """Something that is looked at: its kind (of `PARTS_OF`), name, where it is, its history."""

    kind: str
    name: str
    where: str
    history: CheckHistory


def asked_after() -> dict[str, tuple[str, ...]]:
    """Keys of the rules each event asks for, by the table of events."""
    found: dict[str, tuple[str, ...]] = {}
    for each in event_checks():
        found[each.event] = (*found.get(each.event, ()), each.item)
    return found


def looked_at(assessment: Assessment) -> Iterator[Looked]:
    """Everything in use that is looked at, with what the record says of it."""
    book, usable = assessment.book, in_use(assessment)
    happened = _happened(assessment)
    for key in assessment.histories:
        if key in usable:
            thing = book.things[key]
            yield Looked(
                "rod", thing.name, where_of(assessment, thing), _of_rod(assessment, key, happened)
            )
    for rig in book.rigs:
        work = _rig_work(assessment, rig)
        yield Looked("rig", rig, rig, CheckHistory("", _rig_looks(assessment, rig), work))
        sub = saver_sub_on(assessment, rig, assessment.today)
        if sub is not None and sub.key in usable:
            since = day_of(sub.origin.happened.start)
            looks = tuple((look.item, look.when) for look in assessment.looks.get(sub.key, ()))
            yield Looked("sub", sub.name, rig, CheckHistory(since, looks, work))
    for name in book.sets:
        history = _of_set(assessment, name)
        if history is not None:
            yield Looked("set", name, book.sets[name].rig or name, history)


def _of_rod(
    assessment: Assessment, key: str, happened: Mapping[str, tuple[tuple[str, str], ...]]
) -> CheckHistory:
    history = assessment.histories[key]
    work = [
        Work(did.last_day or did.happened, did.rotating_time, makeups_in(assessment, key, did.bore))
        for did in history.bores
    ]
    work += [Work(day) for each in history.outside if (day := each.end or each.until)]
    looks = tuple((look.item, look.when) for look in assessment.looks.get(key, ()))
    since = day_of(assessment.book.things[key].origin.happened.start)
    return CheckHistory(since, looks, tuple(work), happened.get(key, ()))


@lru_cache(maxsize=4)
def _happened(assessment: Assessment) -> dict[str, tuple[tuple[str, str], ...]]:
    """Wrenches, refaced shoulders, spikes and odd things of the bores, by key of the thing."""
    found: dict[str, list[tuple[str, str]]] = {}
    book = assessment.book
    for remark in (*book.remarks, *(r for bore in book.bores.values() for r in bore.remarks)):
        if is_about_a_wrench(remark.text):
            for key in remark.things:
                found.setdefault(key, []).append((WRENCH, day_of(remark.origin.happened.end)))
    for work in book.dressings:
        if work.what == "refaced":
            for key in work.things:
                found.setdefault(key, []).append((REFACED, day_of(work.origin.happened.end)))
    for spike in spikes(assessment):
        for key in spike.things:
            found.setdefault(key, []).append((SPIKE, spike.when))
    for odd, keys in odd_in_bores(assessment):
        for key in keys:
            found.setdefault(key, []).append((odd.what, day_of(odd.origin.happened.end)))
    return {key: tuple(rows) for key, rows in found.items()}


@lru_cache(maxsize=16)
def _rig_work(assessment: Assessment, rig: str) -> tuple[Work, ...]:
    """Days a rig drilled, with the time of the rod that turned longest."""
    longest: dict[str, float] = {}
    for history in assessment.histories.values():
        for did in history.bores:
            longest[did.bore] = max(longest.get(did.bore, 0.0), did.rotating_time)
    return tuple(
        Work(last_day_of(bore) or assessment.today, longest.get(name))
        for name, bore in assessment.book.bores.items()
        if bore.rig == rig and bore.pass_of("pilot") is not None
    )


def _rig_looks(assessment: Assessment, rig: str) -> tuple[tuple[str, str], ...]:
    """Looks at a rig: rig checks, lines of a shift said done, comparisons, lead rods moved."""
    book = assessment.book
    found = [(each.item, each.origin) for each in book.rig_checks if fold(each.rig) == fold(rig)]
    found += [
        (each.item, each.origin)
        for each in book.shift_checks
        if fold(each.rig) == fold(rig) and each.state == "done" and each.item == "applicator"
    ]
    found += [
        ("gauge-truth", each.origin) for each in book.comparisons if fold(each.rig) == fold(rig)
    ]
    before = ""
    for load in book.loads:
        if load.rig == rig and load.things and load.things[0] != before:
            before = load.things[0]
            found.append(("lead-rod", load.origin))
    return tuple((item, day_of(origin.happened.start)) for item, origin in found)


def _of_set(assessment: Assessment, name: str) -> CheckHistory | None:
    """A set: the work of its rod that turned longest, its past, and a look all its rods had."""
    each, usable = assessment.book.sets[name], in_use(assessment)
    keys = [key for key in each.things if key in assessment.histories and key in usable]
    if not keys:
        return None
    last = [
        max((x.when for x in assessment.looks.get(key, ()) if x.item == "full-evaluation"),
            default="")
        for key in keys
    ]  # fmt: skip
    looks = (("full-evaluation", min(last)),) if all(last) else ()
    worked = max(keys, key=lambda key: assessment.histories[key].rotating_time)
    history = _of_rod(assessment, worked, {})
    past = () if each.past is None else (Work("", each.past.rotating_time),)
    since = day_of(each.origin.happened.start)
    return replace(history, since=since, looks=looks, work=(*past, *history.work))
