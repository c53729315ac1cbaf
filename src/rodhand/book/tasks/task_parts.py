"""What every task is made of: names, places, minutes, and the things still in use."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from urllib.parse import quote

from rodhand.advice.fitness import Reason
from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Verdict
from rodhand.book.tasks.standings import all_standings, last_full_look
from rodhand.book.telling import in_name_order
from rodhand.book.work.assess import Assessment
from rodhand.record.book_things import Thing
from rodhand.words import say

OUT_OF_USE = ("scrap",)
GONE = ("scrapped", "sold", "lost in hole")


def where_of(assessment: Assessment, thing: Thing) -> str:
    """Rig of a thing, its set's rig, or its set."""
    if thing.rig:
        return thing.rig
    each = assessment.book.sets.get(thing.set)
    return (each.rig or each.name) if each else thing.set


def names_of(assessment: Assessment, keys: Iterable[str]) -> tuple[str, ...]:
    """Names of things in the order of their names."""
    return in_name_order(assessment.book.things[key].name for key in keys)


def minutes_for(assessment: Assessment, rule: str, count: int) -> float:
    """Minutes so many looks under a rule take, one at least. [min]"""
    each = assessment.rules.get(rule)
    return (each.minutes if each else 4.0) * max(count, 1)


def link_to(kind: str, name: str) -> str:
    """Address of the page of a bore or thing; a typed name may hold any sign."""
    return f"/{kind}/{quote(name, safe='')}"


def make_task(
    assessment: Assessment,
    rank: int,
    who: str,
    keys: Sequence[str],
    verdict: Verdict,
    minutes: float,
    link: str = "",
) -> Task:
    """A task about things: their names, where they are, and the page that shows more."""
    things = [assessment.book.things[key] for key in keys]
    where = sorted({where_of(assessment, thing) for thing in things})
    return Task(
        rank, say(f"role.{who}"), names_of(assessment, keys), ", ".join(where), verdict, minutes,
        link or (link_to("thing", things[0].name) if things else "/"),
    )  # fmt: skip


def in_use(assessment: Assessment) -> set[str]:
    """Things that are neither scrapped nor gone: what a crew can still put in a string."""
    where: dict[str, str] = {}
    for each in assessment.book.whereabouts:
        where |= dict.fromkeys(each.things, each.where)
    return {
        key
        for key, (standing, _) in all_standings(assessment).items()
        if standing not in OUT_OF_USE and where.get(key) not in GONE
    }


def deciding_reasons(
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


def not_looked_since(assessment: Assessment, keys: Iterable[str], when: str) -> list[str]:
    """Of some things still in use, those without a full look after a day; '' is an unknown day."""
    usable = in_use(assessment)
    return [
        key for key in keys if key in usable and not "" < when < last_full_look(assessment, key)
    ]
