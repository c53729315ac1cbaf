"""Tasks from odd things in bores that no torque reading tells of."""

from __future__ import annotations

from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.source_words import source_in_words
from rodhand.book.tasks.task_parts import link_to, make_task, minutes_for, not_looked_since
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.event_checks import OddThing, checks_after
from rodhand.book.work.odd_in_bores import odd_in_bores
from rodhand.book.work.verdicts import caution
from rodhand.units import Figure, Standing
from rodhand.words import say


def event_tasks(assessment: Assessment) -> list[Task]:
    """Odd things whose rods were not looked at since."""
    tasks = []
    for odd, keys in odd_in_bores(assessment):
        open_ones = not_looked_since(assessment, keys, day_of(odd.origin.happened.end))
        if not open_ones:
            continue
        # The most telling look; what it shows decides on the others.
        minutes = minutes_for(assessment, checks_after(odd.what)[0].item, len(open_ones))
        verdict = event_verdict(odd, len(open_ones))
        link = link_to("bore", odd.bore)
        tasks.append(make_task(assessment, 3, "driller", open_ones, verdict, minutes, link))
    return tasks


def event_verdict(odd: OddThing, rods: int) -> Verdict:
    """An odd thing and what to do about it; the looks are named with their standing."""
    name, key = odd.what.replace(" ", "_"), f"event.{odd.origin.entry}"
    first = checks_after(odd.what)[0]
    station = None if odd.station is None else float(odd.station)
    return Verdict(
        "stop",
        Sentence(
            f"rig_event.{name}.what",
            {"bore": odd.bore, "station": Figure(f"{key}.station", station, "count",
                                                 Standing.MEASURED)},
        ),
        Sentence(
            "rig_event.why",
            {"count": Figure(f"{key}.rods", float(rods), "count", Standing.COMPUTED),
             "when": day_of(odd.origin.happened.start) or say("number.unknown")},
        ),
        Sentence(f"rig_event.{name}.do"),
        say("source.look_rule", source=source_in_words(first.source),
            standing=say(f"source.{first.standing_of_number}")),
        caution("joint"),
        "watch",
    )  # fmt: skip
