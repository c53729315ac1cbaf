"""Who a thing was on any day: its mark, set, whereabouts, length, generations, life used."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.views import IdentityRow
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.outside import FORMER
from rodhand.book.work.stays import AWAY, stay_on
from rodhand.record.book_things import Thing
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import RodLife
from rodhand.words import say, word

IN_THE_BOX = "row"


@dataclass(frozen=True)
class Identity:
    """What the book knows of a thing at the end of one day.

    Parameters
    ----------
    day : str
        ISO day.
    name, set, where, rig : str
        Mark or what it answers to without one; set; whereabouts, and the rig they name.
    length : float or None
        Length in force; None when not measured by then. [m]
    pin_generation, box_generation : int
        1 for the thread as made, one more with each re-cut of that end.
    life : RodLife or None
        Life used; None for what carries none.
    """

    day: str
    name: str
    set: str
    where: str
    rig: str
    length: float | None
    pin_generation: int
    box_generation: int
    life: RodLife | None


def identity_on(assessment: Assessment, key: str, day: str) -> Identity:
    """A thing as it was at the end of an ISO day; days before it came read like its first."""
    thing = assessment.book.things[key]
    history = assessment.histories.get(key)
    where, rig = where_on(assessment, key, day)
    return Identity(
        day=day,
        name=thing.name_on(day),
        set=thing.set_on(day),
        where=where,
        rig=rig,
        length=thing.length_on(day),
        pin_generation=thing.generation_of("pin", day),
        box_generation=thing.generation_of("box", day),
        life=history.life_on(day) if history is not None else None,
    )


def _place(where: str, rig: str) -> str:
    """Whereabouts in words, with the rig they name."""
    return " ".join(filter(None, (word("choice", where), rig)))


def where_on(assessment: Assessment, key: str, day: str) -> tuple[str, str]:
    """Whereabouts and rig of a thing at the end of an ISO day.

    Where nobody wrote that it came back, a bore it surely stood in since says so.
    """
    stay = stay_on(assessment.stays, key, day)
    if stay is None:
        return IN_THE_BOX, ""
    history = assessment.histories.get(key)
    since = [
        bore.bore
        for bore in (history.bores if history is not None else ())
        if not bore.in_doubt and stay.day < bore.happened <= day
    ]
    if stay.where in AWAY and since:
        return IN_THE_BOX, assessment.book.bores[since[-1]].rig
    return stay.where, stay.rig


def _changes(assessment: Assessment, thing: Thing, own: str) -> dict[str, list[Sentence]]:
    """What changed on which ISO day, days and changes of a day in order."""
    found: list[tuple[str, Sentence]] = []

    def add(moment: str, key: str, **values: str | Figure) -> None:
        found.append((day_of(moment), Sentence(f"identity.{key}", dict(values))))

    add(thing.origin.happened.start, "came")
    for mark in thing.marks:
        add(mark.since, "marked", mark=mark.text)
        if mark.until:
            add(mark.until, "unmarked", mark=mark.text)
    for each in thing.sets[1:]:
        add(each.since, "joined", set=each.set)
    for cut in thing.cuts:
        add(cut.since, "recut", end=word("choice", cut.end) or say("number.unknown"))
    for length in thing.lengths:
        if length.since and length.length is not None:
            name = f"{own}.became.{day_of(length.since)}"
            figure = Figure(name, length.length, "length", Standing.MEASURED)
            add(length.since, "length", length=figure)
    for stay in assessment.stays.get(thing.key, ()):
        add(stay.day, "went", where=_place(stay.where, stay.rig))
    for each_break in assessment.book.breaks:
        if each_break.thing == thing.key:
            add(
                each_break.origin.happened.start,
                "broke",
                section=word("choice", each_break.section),
            )
    history = assessment.histories.get(thing.key)
    for outside in history.outside if history is not None else ():
        if outside.kind == FORMER:
            add(outside.end, "former", source=outside.source)
    days: dict[str, list[Sentence]] = {}
    for day, sentence in sorted(found, key=lambda each: each[0]):
        if sentence not in days.setdefault(day, []):
            days[day].append(sentence)
    return days


def identity_rows(assessment: Assessment, key: str, own: str) -> tuple[IdentityRow, ...]:
    """Every day a thing became something else, oldest first, and what it was from then on."""
    thing = assessment.book.things[key]
    rows = []
    for day, changes in _changes(assessment, thing, own).items():
        now = identity_on(assessment, key, day)
        name = f"{own}.identity.{day or 'unknown'}"
        figures = {
            "length": Figure(
                f"{name}.length", now.length, "length",
                Standing.UNKNOWN if now.length is None else Standing.MEASURED,
            ),
            "pin_generation": Figure(
                f"{name}.pin_generation", float(now.pin_generation), "count", Standing.MEASURED
            ),
            "box_generation": Figure(
                f"{name}.box_generation", float(now.box_generation), "count", Standing.MEASURED
            ),
        }  # fmt: skip
        if now.life is not None:
            standing = Standing.ASSUMED if now.life.worst.assumed > 0.5 else Standing.COMPUTED
            figures["life_used"] = life_figure(f"{name}.life_used", now.life.worst, standing)
        where = _place(now.where, now.rig)
        rows.append(IdentityRow(day, tuple(changes), now.name, now.set, where, figures))
    return tuple(rows)


def others_with_marks(assessment: Assessment, thing: Thing) -> tuple[Sentence, ...]:
    """Other things that carried one of a thing's marks at another time."""
    mine = {mark.text.casefold() for mark in thing.marks}
    return tuple(
        Sentence(
            "identity.other",
            {
                "mark": mark.text,
                "since": day_of(mark.since) or say("number.unknown"),
                "until": day_of(mark.until) or say("identity.still"),
                "name": other.name,
            },
        )
        for other in assessment.book.things.values()
        if other.key != thing.key
        for mark in other.marks
        if mark.text.casefold() in mine
    )
