"""What a file of a break or loss cannot say, said plainly."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.claim.around import bought_of
from rodhand.book.claim.dated import entries_known
from rodhand.book.claim.subject import Incident, Subject
from rodhand.book.claim.views import DownHoleRow, PhotoRow
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.record.book_things import Thing
from rodhand.units import Figure, Standing
from rodhand.words import say

C, M = Standing.COMPUTED, Standing.MEASURED
UNKNOWN = "unknown"


def _count(key: str, number: int) -> Figure:
    return Figure(key, float(number), "count", C)


def unknown_of(
    assessment: Assessment,
    subject: Subject,
    items: Sequence[DownHoleRow],
    photos: Sequence[PhotoRow],
    folder_given: bool,
    broken: int,
    rests_on: Collection[str],
) -> tuple[Sentence, ...]:
    """What is not on record about a break or loss as a whole.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    subject : Subject
        What it is about.
    items : sequence of DownHoleRow
        Things down the hole.
    photos : sequence of PhotoRow
        Photos known.
    folder_given : bool
        Whether a folder of photos was given.
    broken : int
        Places of the book's chains that do not hold.
    rests_on : collection of str
        Ids of the entries it rests on.
    """
    told = [*_of_incidents(subject)]
    for bore in subject.bores:
        told += _of_bore(assessment, subject, bore)
    told += _of_items(items)
    if not any(each.entered for each in photos):
        told.append(Sentence("claim.unknown.no_photo"))
    if not folder_given:
        told.append(Sentence("claim.unknown.no_folder"))
    told += _of_clocks(assessment, rests_on)
    if problems := len(assessment.book.problems):
        told.append(
            Sentence(
                "claim.unknown.problems", {"count": _count("claim.unknown.problems", problems)}
            )
        )
    if broken:
        told.append(
            Sentence("claim.unknown.chain", {"count": _count("claim.unknown.chain", broken)})
        )
    return tuple(told)


def _of_incidents(subject: Subject) -> list[Sentence]:
    if subject.lead is None:
        return [Sentence("claim.unknown.no_incident", {"name": subject.name})]
    told = [] if subject.things else [Sentence("claim.unknown.which_thing")]
    for each in subject.incidents:
        told += _of_incident(each)
    return told


def _of_incident(each: Incident) -> list[Sentence]:
    what = say(f"claim.what.{each.what}")
    told = []
    if not each.day:
        told.append(Sentence("claim.unknown.day", {"what": what}))
    if not each.bore:
        told.append(Sentence("claim.unknown.bore", {"what": what}))
    elif not each.bore_said:
        told.append(Sentence("claim.unknown.bore_derived", {"what": what, "bore": each.bore}))
    if each.station is None:
        told.append(Sentence("claim.unknown.station", {"what": what}))
    if each.what == "break" and each.section in ("", UNKNOWN):
        told.append(Sentence("claim.unknown.section"))
    return told


def _of_bore(assessment: Assessment, subject: Subject, name: str) -> list[Sentence]:
    bore = assessment.book.bores.get(name)
    values: dict[str, str | Figure] = {"bore": name}
    if bore is None:
        return [Sentence("claim.unknown.bore_gone", values)]
    told = []
    pilot = bore.pass_of("pilot")
    if pilot is None or not pilot.readings:
        told.append(Sentence("claim.unknown.no_readings", values))
    elif name not in assessment.works:
        told.append(Sentence("claim.unknown.no_rod_type", values))
    if bore.load is None:
        told.append(Sentence("claim.unknown.no_load", values))
    if not bore.head and not any(each.tool for each in bore.passes):
        told.append(Sentence("claim.unknown.no_head", values))
    if not any(each.rig == bore.rig for each in assessment.book.comparisons):
        told.append(Sentence("claim.unknown.no_comparison", {"rig": bore.rig}))
    for key in subject.things:
        history = assessment.histories.get(key)
        is_rod = assessment.book.things[key].what in ("rod", "sub")
        if is_rod and (history is None or name not in [did.bore for did in history.bores]):
            thing = assessment.book.things[key].name
            told.append(Sentence("claim.unknown.not_counted", {"thing": thing, **values}))
    return told


def _of_items(items: Sequence[DownHoleRow]) -> list[Sentence]:
    no_serial = [row.name for row in items if not row.serial]
    no_value = [row.name for row in items if row.figures["value"].value is None]
    told = []
    if not items:
        told.append(Sentence("claim.unknown.no_items"))
    if no_serial:
        told.append(Sentence("claim.unknown.no_serial", {"things": names_in_words(no_serial)}))
    if no_value:
        told.append(Sentence("claim.unknown.no_value", {"things": names_in_words(no_value)}))
    return told


def _of_clocks(assessment: Assessment, rests_on: Collection[str]) -> list[Sentence]:
    """Devices whose clock was measured to be wrong: their times stand here as they gave them."""
    told = []
    for number, entry in enumerate(e for e in entries_known(assessment) if e.kind == "clock"):
        typed = "; ".join(f"{column} {text}" for column, text in entry.payload.items())
        key = f"claim.unknown.clock.{number}"
        device = entry.payload.get("device", "").strip()
        ids = set(rests_on)
        count = sum(each.device == device and each.id in ids for each in assessment.entries)
        if not count:
            continue
        told.append(
            Sentence(
                "claim.unknown.clock",
                {"typed": typed, "count": Figure(key, float(count), "count", M)},
            )
        )
    return told


def unknown_of_thing(
    assessment: Assessment, thing: Thing, gaps: Sequence[str]
) -> tuple[Sentence, ...]:
    """What is not on record about one thing, besides what its own page tells.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    thing : Thing
        The thing.
    gaps : sequence of str
        Bores in which no make-up of its joints is on record.
    """
    told = []
    is_rod = thing.what in ("rod", "sub")
    history = assessment.histories.get(thing.key)
    if is_rod and history is None:
        told.append(Sentence("claim.unknown.no_type"))
    elif history is not None and not history.bores:
        told.append(Sentence("claim.unknown.no_bores"))
    if is_rod and not bought_of(assessment.book, thing):
        told.append(Sentence("claim.unknown.bought"))
    if gaps:
        count = _count(f"claim.{thing.key}.unknown.makeup", len(gaps))
        told.append(Sentence("claim.unknown.makeup", {"count": count}))
    return tuple(told)
