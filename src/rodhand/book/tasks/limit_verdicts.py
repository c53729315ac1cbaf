"""Verdicts and tasks on overloads and on joints made up too tight."""

from __future__ import annotations

from rodhand.advice.looks import Finding
from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.tasks.task_parts import link_to, make_task, minutes_for, not_looked_since
from rodhand.book.work.assess import Assessment
from rodhand.book.work.overloads import Overload, overloads
from rodhand.book.work.tight_makeups import TightMakeup, tight_makeups
from rodhand.book.work.verdicts import caution
from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import yield_radius
from rodhand.units import Figure, Standing
from rodhand.words import say

C, M = Standing.COMPUTED, Standing.MEASURED


def overload_verdict(each: Overload, key: str) -> Verdict:
    """Steel past yield, or near enough: what reached it, where, and what to look at."""
    where = {"bore": each.bore, "station": f"{each.station}", "pass": each.pass_name}
    share = Figure(f"{key}.share", each.share, "share", C)
    return Verdict(
        "stop" if each.verdict == "over" else "note",
        Sentence("verdict.overload.what", where),
        Sentence(f"verdict.overload.why_{each.cause}", {**where, "share": share}),
        Sentence("verdict.overload.do"),
        say("source.record"),
        caution("rods"),
        standing_after(each),
    )


def standing_after(each: Overload) -> str:
    """What an overload asks for: set aside; a likely one is watched until looked at."""
    return "set aside" if each.verdict == "over" else "watch"


def bow_verdict(name: str, finding: Finding, rod_type: RodType | None, key: str) -> Verdict:
    """A lasting bow: what proves an overload nobody saw.

    Parameters
    ----------
    name : str
        Name of the thing.
    finding : Finding
        The bow, with its height where it was measured. [m]
    rod_type : RodType or None
        Of the thing; None unknown, and so is the radius it was bent tighter than.
    key : str
        Start of the figures' keys.
    """
    radius = None if rod_type is None else yield_radius(rod_type.tube_od, rod_type.yield_stress)
    values: dict[str, str | Figure] = {"radius": Figure(f"{key}.radius", radius, "radius", C)}
    if finding.number is not None:
        values["height"] = Figure(f"{key}.height", finding.number, "size", M)
    return Verdict(
        "stop" if finding.standing == "set aside" else "note",
        Sentence("verdict.overload.what_bow", {"things": name}),
        Sentence(f"verdict.overload.why_bow{'' if 'height' in values else '_seen'}", values),
        Sentence("verdict.overload.do"),
        say("source.look"),
        caution("rods"),
        finding.standing,
    )


def tight_verdict(each: TightMakeup, key: str) -> Verdict:
    """Joints made up past make-up torque."""
    return Verdict(
        "stop",
        Sentence(
            "verdict.made_up_over.what",
            {"bore": each.bore,
             "joints": Figure(f"{key}.joints", float(len(each.stations)), "count", M)},
        ),
        Sentence("verdict.made_up_over.why", {"share": Figure(f"{key}.share", each.share, "share",
                                                              M)}),
        Sentence("verdict.made_up_over.do"),
        say("source.record"),
        caution("joint"),
        "watch",
    )  # fmt: skip


def overload_tasks(assessment: Assessment) -> list[Task]:
    """Overloads whose rods were not looked at since."""
    tasks = []
    for number, each in enumerate(overloads(assessment)):
        keys = not_looked_since(assessment, each.things, each.when)
        if keys:
            verdict = overload_verdict(each, f"overload.{number}")
            minutes = minutes_for(assessment, "crack-hunt", len(keys))
            rank = 1 if each.verdict == "over" else 3
            tasks.append(
                make_task(assessment, rank, "yard_hand", keys, verdict, minutes,
                          link_to("bore", each.bore))
            )  # fmt: skip
    return tasks


def tight_makeup_tasks(assessment: Assessment) -> list[Task]:
    """Joints made up too tight whose rods were not looked at since."""
    tasks = []
    for each in tight_makeups(assessment):
        keys = not_looked_since(assessment, each.things, each.when)
        if keys:
            verdict = tight_verdict(each, f"tight.{each.bore}")
            minutes = minutes_for(assessment, "box-swell", len(each.stations))
            tasks.append(
                make_task(assessment, 3, "driller", keys, verdict, minutes,
                          link_to("bore", each.bore))
            )  # fmt: skip
    return tasks
