"""Holes a bore left behind: what was read in them, which rods turned there."""

from __future__ import annotations

import math

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import names_in_words
from rodhand.book.views import OldHoleView, OldRow
from rodhand.book.work.assess import Assessment
from rodhand.book.work.at_hand import rods_at_places
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.old_holes import old_hole_name
from rodhand.book.work.who_stood import who_in_old
from rodhand.record.book_bores import OldHole
from rodhand.units import Figure, Standing

C, M = Standing.COMPUTED, Standing.MEASURED


def old_holes_of(assessment: Assessment, name: str) -> tuple[OldHoleView, ...]:
    """Every hole a bore left behind, with what was read in it and what turned there.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        A bore of it.
    """
    bore = assessment.book.bores[name]
    pilot = bore.pass_of("pilot")
    works = assessment.works[name].old_holes if name in assessment.works else ()
    by_name = {work.bore.passes[0].name: work for work in works}
    return tuple(
        _view(assessment, name, old, by_name.get(old_hole_name(old)))
        for old in (pilot.old_holes if pilot else ())
    )


def _view(assessment: Assessment, name: str, old: OldHole, work: BoreWork | None) -> OldHoleView:
    key = f"bore.{name}.old.{old.number}"
    bore = assessment.book.bores[name]
    stations = [int(row.station) for row in old.abandoned if row.station == int(row.station)]
    values = {"number": f"{old.number}", "left_at": f"{old.left_at}"}
    if not stations or work is None:
        return OldHoleView(old.number, (Sentence("redrill.told_nothing", values),), (), {})
    rods = f"{min(stations)}-{max(stations)}" if len(stations) > 1 else f"{stations[0]}"
    told = [Sentence("redrill.told", {**values, "rods": rods})]
    who = who_in_old(assessment.book, assessment.stays, bore, old)
    keys, _ = rods_at_places(assessment.book, who, range(1, work.rod_count + 1))
    if keys:
        names = names_in_words([assessment.book.things[each].name for each in keys])
        told.append(Sentence("redrill.over", {"rods": names}))
    told.append(Sentence(f"redrill.turned_{old.turned}"))
    told.append(Sentence("redrill.counted"))
    turns = sum(each.turns.best for each in work.passes)
    figures = {"turns": Figure(f"{key}.turns", turns, "turns", C)}
    return OldHoleView(old.number, tuple(told), _rows(old, work, key), figures)


def _rows(old: OldHole, work: BoreWork, key: str) -> tuple[OldRow, ...]:
    bends = {bend.station: bend for bend in work.held.rods}
    rows = []
    for row in old.abandoned:
        own = f"{key}.{row.station:g}"
        figures = {"pitch": Figure(f"{own}.pitch", row.pitch, "slope", M)}
        bend = bends.get(int(row.station)) if row.station == int(row.station) else None
        if bend is not None and math.isfinite(bend.share):
            figures["share"] = Figure(f"{own}.share", bend.share, "share", C)
        rows.append(OldRow(row.station, bend.verdict if bend else "unknown", figures))
    return tuple(rows)
