"""The file of a break or loss: every fact on record about it, what helps and what does not.

It names no cause and no person, and ranks nobody: keys of persons stand only beside the entries
they made.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.claim.around import (
    down_hole,
    place_in,
    sisters_of,
    steel_to_keep,
    string_told,
)
from rodhand.book.claim.dated import (
    bores_of_things,
    entries_known,
    known_then,
    stamps_of,
    timeline_of,
)
from rodhand.book.claim.entries import entries_it_rests_on
from rodhand.book.claim.photos import FoundPhoto, photo_rows, photos_in
from rodhand.book.claim.steel import looks_of, makeup_gaps, makeups_of, overs_of, pass_rows_of
from rodhand.book.claim.subject import Incident, Subject, day_before, subject_of
from rodhand.book.claim.unknown import unknown_of, unknown_of_thing
from rodhand.book.claim.views import ClaimThing, ClaimView, DatedLine, IncidentRow
from rodhand.book.opening import entries_in, open_assessment
from rodhand.book.owner.schedule import bought_typed, first_set_of, last_where, type_of
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.yard.thing_page import thing_view
from rodhand.record.entry import Entry
from rodhand.record.verify import Verification, verify_known
from rodhand.units import Figure, Standing

M, C = Standing.MEASURED, Standing.COMPUTED
FIGURES = (
    "life_used", "design", "assumed_share", "bores", "metres", "rotating_time", "past_time",
    "turns", "length",
)  # fmt: skip
"""Figures of a thing that stand in its file: what was, never the chance of what is to come."""


@dataclass(frozen=True)
class Claim:
    """A file of a break or loss with what proves it.

    Parameters
    ----------
    view : ClaimView
        What it shows.
    entries : tuple of Entry
        The entries it rests on, by device and counter.
    chain : Verification
        Every device's chain up to its last entry known by the day.
    head : str
        Hash that stands for the entries the book was read from.
    units : str
        Unit system of the rig it happened on; empty when not entered.
    """

    view: ClaimView
    entries: tuple[Entry, ...]
    chain: Verification
    head: str
    units: str


def claim_of(folder: Path, name: str, as_of: str = "", photos: Path | None = None) -> Claim:
    """Everything a book holds about a break or loss.

    Parameters
    ----------
    folder : Path
        The book's folder; it is only read.
    name : str
        Mark or key of a thing, or a bore.
    as_of : str
        ISO day: only what was entered by its end counts; all of it when empty.
    photos : Path, optional
        Folder with photos, which stay there.

    Returns
    -------
    Claim
        The file, ready to be written.

    Raises
    ------
    NoSuchSubjectError
        If neither a thing nor a bore carries that name.
    CannotReadError
        If the book or the photos cannot be read.
    """
    assessment = open_assessment(folder, as_of)
    subject = subject_of(assessment.book, name)
    found = photos_in(photos) if photos is not None else None
    day = subject.lead.day if subject.lead else ""
    last = min(filter(None, (day_before(day), as_of)), default="") if day else ""
    before = open_assessment(folder, last) if last and subject.things else None
    chain = verify_known(entries_in(folder), as_of)
    view = claim_view(assessment, subject, before, found, len(chain.broken))
    ids = set(view.rests_on)
    kept = sorted(
        (entry for entry in assessment.entries if entry.id in ids),
        key=lambda each: (each.device, each.counter),
    )
    rigs = [
        assessment.book.rigs.get(assessment.book.bores[bore].rig)
        for bore in subject.bores
        if bore in assessment.book.bores
    ]
    units = next((rig.units for rig in rigs if rig and rig.units), "")
    return Claim(view, tuple(kept), chain, assessment.book.head, units)


def claim_view(
    assessment: Assessment,
    subject: Subject,
    before: Assessment | None,
    found: Sequence[FoundPhoto] | None,
    broken: int = 0,
) -> ClaimView:
    """What the file of a break or loss shows.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    subject : Subject
        What it is about.
    before : Assessment or None
        The same book as of the day before; None where that day is unknown.
    found : sequence of FoundPhoto or None
        Files of a folder of photos; None when none was given.
    broken : int
        Places of the book's chains that do not hold.
    """
    book, day = assessment.book, subject.lead.day if subject.lead else ""
    things = tuple(_thing(assessment, key, before, day) for key in subject.things)
    timeline = timeline_of(assessment, subject.things, subject.bores, day)
    items = down_hole(assessment, subject.bores, subject.incidents, day)
    stamps = stamps_of(entries_known(assessment))
    photos = photo_rows(book, subject.things, found, stamps)
    sisters = sisters_of(assessment, subject.things)
    around = {row.key for row in sisters} | {row.key for row in items}
    bores = {*bores_of_things(assessment, subject.things), *subject.bores}
    rests_on = entries_it_rests_on(
        assessment, {*subject.things, *around}, bores, {line.entry for line in timeline}
    )
    values = [row.figures["value"].value for row in items]
    known = [value for value in values if value is not None]
    figures = {
        "entries": Figure("claim.entries", float(book.entry_count), "count", M),
        "rests_on": Figure("claim.rests_on", float(len(rests_on)), "count", M),
        "known_before": Figure(
            "claim.known_before", _count(timeline, "before") if day else None, "count", C
        ),
        "late": Figure(
            "claim.late", float(sum(line.late for line in timeline)) if day else None, "count", C
        ),
        "values": Figure("claim.values", sum(known) if known else None, "money", C),
    }
    return ClaimView(
        subject=subject.name,
        kind=subject.kind,
        invented=assessment.invented,
        as_of=assessment.today,
        day=day,
        day_before=day_before(day),
        incidents=tuple(
            _incident(assessment, each, stamps, number)
            for number, each in enumerate(subject.incidents, 1)
        ),
        things=things,
        timeline=timeline,
        sisters=sisters,
        gauges=gauges_of(assessment, bores),
        items=items,
        string=_strings(assessment, subject),
        unknown=unknown_of(assessment, subject, items, photos, found is not None, broken, rests_on),
        photos=photos,
        keep=steel_to_keep(assessment, subject.incidents, day),
        rests_on=rests_on,
        figures=figures,
    )


def _count(timeline: Sequence[DatedLine], known: str) -> float:
    return float(sum(line.known == known for line in timeline))


def _strings(assessment: Assessment, subject: Subject) -> tuple[Sentence, ...]:
    """The string around the thing that broke first; around the lost one where nothing broke."""
    lead = subject.lead
    return string_told(assessment, lead) if lead is not None else ()


def _incident(
    assessment: Assessment, each: Incident, stamps: dict[str, str], number: int
) -> IncidentRow:
    own = f"claim.incident.{number}"
    figures = {"station": Figure(f"{own}.station", each.station, "count", M)}
    if each.thing and each.bore:
        place, by_load = place_in(assessment, each.bore, each.thing)
        standing = Standing.ASSUMED if by_load else C
        figures["place"] = Figure(
            f"{own}.place", None if place is None else float(place), "count", standing
        )
    return IncidentRow(
        what=each.what,
        thing=assessment.book.things[each.thing].name if each.thing else "",
        bore=each.bore,
        bore_said=each.bore_said,
        section=each.section,
        happened=each.day,
        entered=stamps.get(each.origin.entry, ""),
        entry=each.origin.entry,
        by=each.origin.by,
        note=each.note,
        figures=figures,
    )


def _thing(assessment: Assessment, key: str, before: Assessment | None, day: str) -> ClaimThing:
    book, thing = assessment.book, assessment.book.things[key]
    view, own = thing_view(assessment, key), f"claim.{key}"
    stamps = stamps_of(entries_known(assessment))
    makeups = makeups_of(assessment, key, own)
    gaps = makeup_gaps(assessment, key, makeups)
    kept: Figures = {name: view.figures[name] for name in FIGURES if name in view.figures}
    return ClaimThing(
        key=key,
        name=thing.name,
        marks=view.marks,
        what=thing.what,
        set=thing.set,
        rod_type=type_of(assessment, thing),
        bought=bought_typed(assessment, first_set_of(thing)),
        serial=thing.serial,
        where=last_where(book, key),
        standing=view.standing,
        figures=kept,
        sections=view.sections,
        bores=view.bores,
        passes=pass_rows_of(assessment, key, own),
        bends=view.bends,
        overs=overs_of(assessment, key, own),
        makeups=makeups,
        looks=looks_of(assessment, key, stamps, own),
        facts=view.facts,
        then=known_then(before, key, day_before(day), f"{own}.then") if before else None,
        unknown=(*view.unknown, *unknown_of_thing(assessment, thing, gaps)),
    )


def gauges_of(assessment: Assessment, bores: set[str]) -> tuple[Sentence, ...]:
    """How the gauges of the rigs of some bores compared, and the compounds in use there."""
    book = assessment.book
    rigs = {book.bores[name].rig for name in bores if name in book.bores}
    told: list[tuple[str, Sentence]] = []
    for number, each in enumerate(book.comparisons, 1):
        if each.rig in rigs:
            own = f"claim.comparison.{number}"
            values: dict[str, str | Figure] = {
                "rig": each.rig,
                "gauge": each.gauge,
                "when": day_of(each.origin.happened.start),
                "shown": Figure(f"{own}.shown", each.shown, "torque", M),
                "reference": Figure(f"{own}.reference", each.reference, "torque", M),
            }
            told.append((each.origin.at, Sentence("claim.gauge.compared", values)))
    for number, compound in enumerate(book.compounds, 1):
        if compound.rig in rigs:
            factor = Figure(f"claim.compound.{number}.factor", compound.friction_factor, "ratio", M)
            values = {
                "rig": compound.rig,
                "compound": compound.compound,
                "when": day_of(compound.origin.happened.start),
                "factor": factor,
            }
            told.append((compound.origin.at, Sentence("claim.gauge.compound", values)))
    return tuple(sentence for _, sentence in sorted(told, key=lambda pair: pair[0]))
