"""Every event past a limit, told apart: over-steer, over-torque, overload."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.bore.limit_views import LimitGroup, LimitRow, LimitsView
from rodhand.book.bore.over_steer_cost import over_steer_cost
from rodhand.book.tasks.event_tasks import event_verdict
from rodhand.book.tasks.limit_verdicts import bow_verdict, overload_verdict, tight_verdict
from rodhand.book.tasks.standings import findings_of
from rodhand.book.tasks.task_parts import names_of, not_looked_since
from rodhand.book.work import verdicts
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.happenings import OverSteer, over_steers, spikes
from rodhand.book.work.odd_in_bores import odd_in_bores
from rodhand.book.work.overloads import overloads
from rodhand.book.work.tight_makeups import tight_makeups
from rodhand.units import Figure, Standing
from rodhand.words import kept_by_language, say

KINDS = ("overload", "over_torque", "over_steer")
"""From the one that damages steel at once to the one that only costs life."""
PLACES_TOLD = 6
"""Newest places a thing's page names for each kind."""
BY_EVENT = {"jerk": "overload", "torque spike": "over_torque"}
"""Odd things a crew tells without a number, and which of the three they are."""


@dataclass(frozen=True)
class LimitEvent:
    """One event; ``place`` is bore and station in words, empty where nobody saw it happen."""

    kind: str
    bore: str
    place: str
    when: str
    keys: tuple[str, ...]
    verdict: Verdict
    over: OverSteer | None = None


def _at(bore: str, station: float | None) -> str:
    if station is None:
        return bore
    return say("thing.limit.at", bore=bore, station=f"{station:g}")


def _overloads(assessment: Assessment) -> Iterable[LimitEvent]:
    for number, each in enumerate(overloads(assessment)):
        yield LimitEvent(
            "overload", each.bore, _at(each.bore, each.station), each.when, each.things,
            overload_verdict(each, f"limits.overload.{number}"),
        )  # fmt: skip
    for key, thing in assessment.book.things.items():
        for number, finding in enumerate(findings_of(assessment, key)):
            if finding.finding == "bow":
                verdict = bow_verdict(
                    thing.name, finding, assessment.rod_type_of(thing), f"limits.bow.{key}.{number}"
                )
                yield LimitEvent("overload", "", "", finding.when, (key,), verdict)


def _over_torques(assessment: Assessment) -> Iterable[LimitEvent]:
    for each in spikes(assessment):
        yield LimitEvent(
            "over_torque", each.bore, _at(each.bore, each.station), each.when, each.things,
            verdicts.spike_verdict(each, f"limits.spike.{each.bore}.{each.station}"),
        )  # fmt: skip
    for tight in tight_makeups(assessment):
        yield LimitEvent(
            "over_torque", tight.bore, _at(tight.bore, tight.stations[0]), tight.when,
            tight.things, tight_verdict(tight, f"limits.tight.{tight.bore}"),
        )  # fmt: skip


def _told(assessment: Assessment) -> Iterable[LimitEvent]:
    """Jerks, and torque spikes nobody read a torque of."""
    for odd, keys in odd_in_bores(assessment):
        if odd.what in BY_EVENT:
            yield LimitEvent(
                BY_EVENT[odd.what], odd.bore, _at(odd.bore, odd.station),
                day_of(odd.origin.happened.end), keys, event_verdict(odd, len(keys)),
            )  # fmt: skip


def _over_steers(assessment: Assessment) -> Iterable[LimitEvent]:
    for number, over in enumerate(over_steers(assessment)):
        yield LimitEvent(
            "over_steer", over.bore, _at(over.bore, over.bend.station), over.when,
            over.things,
            verdicts.over_steer_group(over, f"limits.over.{number}"), over,
        )  # fmt: skip


@kept_by_language(maxsize=4)
def limit_events(assessment: Assessment) -> tuple[LimitEvent, ...]:
    """Every event past a limit on record.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    tuple of LimitEvent
        By kind in the order of `KINDS`, newest first.
    """
    makers = (_overloads, _over_torques, _told, _over_steers)
    found = [event for make in makers for event in make(assessment)]
    found.sort(key=lambda event: event.when, reverse=True)
    return tuple(sorted(found, key=lambda event: KINDS.index(event.kind)))


def limits_view(assessment: Assessment) -> LimitsView:
    """Events past a limit for their page, told apart.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    LimitsView
        A group for each kind, an empty one too.
    """
    events = limit_events(assessment)
    groups = []
    for kind in KINDS:
        rows = tuple(_row(assessment, event) for event in events if event.kind == kind)
        count = Figure(f"limits.{kind}.count", float(len(rows)), "count", Standing.MEASURED)
        groups.append(LimitGroup(kind, {"limit_events": count}, rows))
    return LimitsView(assessment.today, assessment.invented, tuple(groups))


def _row(assessment: Assessment, event: LimitEvent) -> LimitRow:
    left = not_looked_since(assessment, event.keys, event.when)
    return LimitRow(
        event.when, event.bore, event.verdict, names_of(assessment, event.keys),
        names_of(assessment, left),
        over_steer_cost(assessment, event.over).lines if event.over else (),
    )  # fmt: skip


def limit_facts(assessment: Assessment, key: str) -> tuple[Sentence, ...]:
    """Which of the three events a thing has on record, and where; nothing for none."""
    facts = []
    for kind in KINDS:
        places = [
            event.place
            for event in limit_events(assessment)
            if event.kind == kind and event.place and key in event.keys
        ]
        if places:
            once = list(dict.fromkeys(places))
            told = ", ".join([*once[:PLACES_TOLD], *(["…"] if len(once) > PLACES_TOLD else [])])
            facts.append(Sentence(f"thing.limit.{kind}", {"places": told}))
    return tuple(facts)


def limit_verdicts_of(assessment: Assessment, bore: str) -> tuple[Verdict, ...]:
    """Overloads and over-torques of one bore; its over-steers stand on its page by themselves."""
    return tuple(
        event.verdict
        for event in limit_events(assessment)
        if event.bore == bore and event.kind != "over_steer"
    )
