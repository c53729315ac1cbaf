"""One thing: where it stands and why, what every bore, pass and bend did to it, its history."""

from __future__ import annotations

import math

from rodhand.advice.fitness import Reason
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.bore.limit_events import limit_facts
from rodhand.book.entry.history import history_of
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.telling import names_in_words
from rodhand.book.views import BendShare, BoreShare, SectionRow, ThingView
from rodhand.book.work import verdicts
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.happenings import saver_sub_on
from rodhand.book.work.opened_joints import open_facts
from rodhand.book.work.outside import DECLARED, FORMER
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.book.yard.identity import identity_rows, others_with_marks, where_on
from rodhand.drillstring.ledger import book_turns
from rodhand.record.book_things import Thing
from rodhand.units import Figure, Standing
from rodhand.wear.chance import Chance, chance_of_break
from rodhand.wear.sections import BITE_FACTOR, SECTIONS, Section
from rodhand.words import say, word

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
BENDS_SHOWN = 12
MATES_SHOWN = 8
MOSTLY = 0.5


class NoSuchThingError(LookupError):
    """Nothing in the book carries that mark or key."""


def section_rows(history: RodHistory, key: str) -> tuple[SectionRow, ...]:
    """Life used of all five sections."""
    worst = history.life.worst.section
    rows = []
    for life in history.life.sections:
        own = f"{key}.section.{life.section.replace(' ', '_')}"
        standing = A if life.assumed > MOSTLY else C
        figures = {
            "life_used": life_figure(f"{own}.life_used", life, standing),
            "design": Figure(f"{own}.design", life.design, "life", standing),
            "assumed_share": Figure(f"{own}.assumed_share", life.assumed, "share", C),
        }
        rows.append(SectionRow(str(life.section), life.section == worst, figures))
    return tuple(rows)


def bore_shares(history: RodHistory, key: str) -> tuple[BoreShare, ...]:
    """What each bore did to a rod, newest first, work outside the book's bores last."""
    whole = history.life.worst
    index = [life.section for life in history.life.sections].index(whole.section)
    factor = history.classes[index].factor
    total = math.nan if whole.at_least else whole.mean / factor or math.nan
    rows = []
    for did in reversed(history.bores):
        own = f"{key}.bore.{did.bore}"
        mean = sum(float(c.best[index]) for c in history.counting(did))
        radius = 1.0 / did.tightest if did.tightest > 0.0 else None
        figures = {
            "turns": Figure(f"{own}.turns", did.turns, "turns", A if did.assumed else C),
            "life_used": life_figure(f"{own}.life_used", history.life_of(did).worst,
                                     A if did.assumed else C),
            "share": Figure(f"{own}.share", mean / total, "fine_share", C),
            "tightest_radius": Figure(f"{own}.tightest_radius", radius, "radius", C),
        }  # fmt: skip
        if not did.in_doubt:
            figures["place"] = Figure(f"{own}.place", float(did.places[0]), "count", C)
        rows.append(
            BoreShare(
                did.bore, did.happened, str(did.known), figures, did.places, did.loads_ago
            )
        )  # fmt: skip
    for outside, past in zip(history.outside, history.past, strict=True):
        own = f"{key}.{outside.source}"
        best = None if past.unknown_size else float(past.best[index])
        share = None if best is None else best / total
        best = None if best is None else best * factor
        figures = {
            "life_used": Figure(f"{own}.life_used", best, "life", A),
            "share": Figure(f"{own}.share", share, "fine_share", A),
        }
        day = outside.start or outside.end
        rows.append(BoreShare(outside.source, day, "unknown", figures, outside=True))
    return tuple(rows)


def bend_shares(assessment: Assessment, key: str, own: str) -> tuple[BendShare, ...]:
    """The bends a rod turned through that cost it most, and every one over a limit."""
    history = assessment.histories[key]
    whole = history.life.worst
    index = [life.section for life in history.life.sections].index(whole.section)
    total = whole.design / history.classes[index].factor or math.nan
    rows: list[tuple[bool, float, BendShare]] = []
    for did in history.bores:
        if did.in_doubt:
            continue
        work = assessment.works[did.bore]
        verdict_at = work.held.verdict_at
        gone = not any(c.design[index] > 0.0 for c in history.counting(did))
        for station, radius, turns, design in _bends_of_place(work, did, index):
            over = verdict_at(station)
            if gone:  # the thread that took it was cut away since
                design = 0.0
            if design <= 0.0 and over not in ("over", "likely"):
                continue
            name = f"{own}.bend.{did.bore}.{station}"
            figures = {
                "radius": Figure(f"{name}.radius", radius, "radius", C),
                "turns": Figure(f"{name}.turns", turns, "turns", C),
                "share": Figure(f"{name}.share", design / total, "fine_share", C),
            }
            is_over = over in ("over", "likely")
            rows.append((is_over, design, BendShare(did.bore, float(station), over, figures)))
    rows.sort(key=lambda row: (row[0], row[1]), reverse=True)
    return tuple(row[2] for row in rows[:BENDS_SHOWN])


def _bends_of_place(
    work: BoreWork, did: BoreOfRod, section: int
) -> list[tuple[int, float | None, float, float]]:
    """Station, radius, pilot turns of the mid tube, and design damage of one place's rod."""
    rods = work.hole.rods
    if did.places[0] > work.rod_count:  # it stood in a hole left behind alone
        return []
    member = f"place {did.places[0]}"
    design: dict[int, float] = {}
    for band, damage, each in zip(work.bands, work.damages, work.passes, strict=True):
        row = next((k for k, m in enumerate(each.leg.order.members) if m.key == member), None)
        if row is None:
            continue
        at = work.interval_of(band)
        for k, value in zip(at, damage.by_stretch[row, section], strict=True):
            station = int(rods.station[k])
            design[station] = design.get(station, 0.0) + float(value)
    pilot = work.pilot.leg
    booked = book_turns(pilot, pilot.order.lengths() / 2.0, rods.edges).by_stretch
    found = []
    for k, station in enumerate(rods.station.tolist()):
        angle = float(rods.angle[k])
        radius = float(rods.length[k]) / angle if angle > 0.0 else None
        turns = float(booked[did.places[0] - 1, k])
        if turns > 0.0:
            found.append((int(station), radius, turns, design.get(int(station), 0.0)))
    return found


def thing_verdicts(assessment: Assessment, thing: Thing, own: str) -> tuple[Verdict, ...]:
    """Why a thing stands where it stands, worst first."""
    standing, reasons = standing_of_thing(assessment, thing.key)
    history = assessment.histories.get(thing.key)
    made = []
    for number, reason in enumerate(reasons):
        key = f"{own}.reason.{number}"
        made.append(_verdict(assessment, thing, reason, standing, history, key))
    return tuple(made)


def _verdict(
    assessment: Assessment,
    thing: Thing,
    reason: Reason,
    standing: str,
    history: RodHistory | None,
    key: str,
) -> Verdict:
    if reason.finding is not None:
        return verdicts.finding_verdict([reason], thing.name, assessment.rules, key)
    if reason.happening is not None:
        return verdicts.happening_verdict(reason, key)
    if reason.code.startswith("life-") and history is not None:
        return verdicts.life_verdict(reason.code, history.life.worst, assessment.thresholds, key)
    bores = len(history.bores) if history else 0
    return verdicts.plain_verdict(
        reason, standing, bores, key, assessment.today, assessment.thresholds
    )


def mates_of(assessment: Assessment, thing: Thing) -> tuple[Sentence, ...]:
    """What a rod's ends met in its last bores, as sure as both rods' places."""
    history = assessment.histories.get(thing.key)
    if history is None:
        return ()
    lines = []
    for did in reversed(history.bores[-MATES_SHOWN:]):
        if did.in_doubt:
            continue
        who = assessment.who[did.bore]
        near = [
            assessment.book.things[group.rods[0]].name
            for group in who.groups
            if len(group.rods) == 1
            and abs(group.places[0] - did.places[0]) == 1
            and group.rods[0] in assessment.book.things
        ]
        sub = saver_sub_on(assessment, assessment.book.bores[did.bore].rig, did.happened)
        values = {
            "bore": did.bore,
            "mates": names_in_words(near),
            "known": word("who", str(did.known)),
        }
        values["sub"] = sub.name if sub else say("number.dash")
        lines.append(Sentence("thing.mates", values))
    return tuple(lines)


def bite_facts(assessment: Assessment, thing: Thing, own: str) -> tuple[Sentence, ...]:
    """Jaw bites on the tube: bores turned with each, and its share of the mid tube's life used."""
    history = assessment.histories.get(thing.key)
    if history is None:
        return ()
    middle = SECTIONS.index(Section.MID_TUBE)
    whole = sum(float(c.best[middle]) for c in history.contributions)
    facts = []
    for number, bite in enumerate(assessment.bitten.get(thing.key, ()), 1):
        bores = [did for did in history.bores if bite.is_there(did.happened)]
        with_bite = sum(float(c.best[middle]) for did in bores for c in did.contributions)
        added = with_bite * (1.0 - BITE_FACTOR ** -history.slopes[middle])
        share = added / whole if whole > 0.0 else math.nan
        values: dict[str, str | Figure] = {
            "seen": bite.seen or say("number.unknown"),
            "dressed": bite.dressed or say("thing.not_dressed"),
            "bores": Figure(f"{own}.bite.{number}.bores", float(len(bores)), "count", C),
            "share": Figure(f"{own}.bite.{number}.share", share, "fine_share", A),
        }
        facts.append(Sentence("thing.bite", values))
    return tuple(facts)


def chance_like_last(assessment: Assessment, key: str) -> Chance | None:
    """Chance that a rod breaks in a bore like its last one; None when mostly assumed."""
    history = assessment.histories[key]
    if not history.bores or history.known_share is None:
        return None
    last = history.life_of(history.bores[-1])
    means = [life.mean for life in history.life.sections]
    added = [life.mean for life in last.sections]
    return chance_of_break(means, added, history.slopes, 1.0 - history.known_share, history.classes)


def _chance(assessment: Assessment, key: str, own: str) -> dict[str, Figure]:
    """Chance of a break in a bore like its last one, as a range; nothing when mostly assumed."""
    chance = chance_like_last(assessment, key)
    if chance is None:
        return {}
    return {
        "chance_low": Figure(f"{own}.chance_low", float(chance.at_least), "one_in", A),
        "chance_high": Figure(f"{own}.chance_high", float(chance.at_most), "one_in", A),
    }


def _figures(assessment: Assessment, thing: Thing, own: str) -> dict[str, Figure]:
    figures: dict[str, Figure] = {}
    history = assessment.histories.get(thing.key)
    rod_type = assessment.rod_type_of(thing)
    if history is not None:
        life = history.life.worst
        standing = A if life.assumed > MOSTLY else C
        figures["life_used"] = life_figure(f"{own}.life_used", life, standing)
        figures["design"] = Figure(f"{own}.design", life.design, "life", standing)
        share = None if life.at_least else life.assumed
        figures["assumed_share"] = Figure(f"{own}.assumed_share", share, "share", C)
        figures["bores"] = Figure(f"{own}.bores", float(len(history.bores)), "count", M)
        figures["metres"] = Figure(f"{own}.metres", history.metres, "distance", C)
        figures["rotating_time"] = Figure(f"{own}.rotating_time", history.rotating_time, "hours", C)
        before = None if life.at_least else history.past_time or None
        figures["past_time"] = Figure(f"{own}.past_time", before, "hours", A)
        turns = sum(did.turns for did in history.bores)
        figures["turns"] = Figure(f"{own}.turns", turns, "turns", C)
        figures |= _chance(assessment, thing.key, own)
    length = thing.length
    figures["length"] = (
        Figure(f"{own}.length", length, "length", M)
        if length is not None
        else Figure(f"{own}.length", rod_type.length if rod_type else None, "length", A)
    )
    return figures


def _unknown(assessment: Assessment, thing: Thing) -> tuple[Sentence, ...]:
    found = []
    history = assessment.histories.get(thing.key)
    if any(not cut.end or cut.end == "tube" for cut in thing.cuts):
        found.append(Sentence("thing.unknown.cut_end"))
    if thing.length is None:
        stands_in = assessment.rod_type_of(thing) is not None
        found.append(Sentence("thing.unknown.length" if stands_in else "thing.unknown.no_length"))
    if history is not None:
        unsure = [did.bore for did in history.bores if did.in_doubt]
        if unsure:
            found.append(Sentence("thing.unknown.place", {"bores": names_in_words(unsure)}))
        missing = [did.bore for did in history.bores if any(
            c.may_be_none for c in did.contributions)]  # fmt: skip
        salt = [
            did.bore
            for did in history.bores
            if assessment.book.bores[did.bore].salt_or_sour == "yes"
        ]
        if salt:
            found.append(Sentence("thing.unknown.salt_or_sour", {"bores": names_in_words(salt)}))
        if missing:
            found.append(Sentence("thing.unknown.pullback", {"bores": names_in_words(missing)}))
        kinds = {each.kind for each in history.outside}
        if any(each.contribution.unknown_size for each in history.outside):
            found.append(Sentence("thing.unknown.past_hours"))
        elif DECLARED in kinds:
            found.append(Sentence("thing.unknown.past"))
        if FORMER in kinds:
            found.append(Sentence("thing.unknown.former"))
        unseen = [e.source for e in history.outside if e.kind not in (DECLARED, FORMER)]
        if unseen:
            found.append(Sentence("thing.unknown.unseen", {"where": ", ".join(unseen)}))
    if not assessment.looks.get(thing.key):
        found.append(Sentence("thing.unknown.looks"))
    return tuple(found)


def thing_view(assessment: Assessment, name: str) -> ThingView:
    """One thing with its whole history.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Its mark, or its key.

    Returns
    -------
    ThingView
        What its page shows. No cause is named for anything.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key.
    """
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    own = f"thing.{thing.name}"
    history = assessment.histories.get(thing.key)
    return ThingView(
        key=thing.key,
        name=thing.name,
        marks=tuple(mark.text for mark in thing.marks),
        what=thing.what,
        set=thing.set,
        rod_type=thing.rod_type,
        where=" ".join(filter(None, where_on(assessment, thing.key, assessment.today))),
        standing=standing_of_thing(assessment, thing.key)[0],
        invented=assessment.invented,
        figures=_figures(assessment, thing, own),
        verdicts=thing_verdicts(assessment, thing, own),
        sections=section_rows(history, own) if history else (),
        bores=bore_shares(history, own) if history else (),
        bends=bend_shares(assessment, thing.key, own) if history else (),
        facts=(
            *bite_facts(assessment, thing, own),
            *limit_facts(assessment, thing.key),
            *open_facts(assessment, thing.key, own),
        ),
        mates=mates_of(assessment, thing),
        history=history_of(assessment, thing),
        unknown=_unknown(assessment, thing),
        identity=identity_rows(assessment, thing.key, own),
        others=others_with_marks(assessment, thing),
    )
