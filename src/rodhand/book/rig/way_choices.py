"""The choices after an over-steer, as the page of the way back shows them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import over_steer_rows
from rodhand.book.rig.over_steer_choices import Ahead, Choice, carried_on, choices
from rodhand.book.rig.pilot_stand import PilotStand
from rodhand.book.rig.way_utilities import Passing, passings
from rodhand.book.rig.way_views import (
    ChoiceRow,
    Figures,
    PassingRow,
    RodOfChoices,
    WayView,
    aside_figures,
    depth_figures,
)
from rodhand.book.views import OverSteerRow
from rodhand.book.work.assess import Assessment
from rodhand.book.work.moments import moment_of
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

C = Standing.COMPUTED


def with_choices(
    view: WayView, assessment: Assessment, bore: Bore, stand: PilotStand, ahead: Ahead,
    back: int | None,
) -> WayView:  # fmt: skip
    """The page with what may be done now and what each costs.

    Parameters
    ----------
    view : WayView
        The page of the way alone.
    assessment : Assessment
        The book worked through.
    bore : Bore
        The bore.
    stand : PilotStand
        Where it stands.
    ahead : Ahead
        Where it should come to.
    back : int or None
        Rods to pull back; as many as lie past the last bend over its limit when None.
    """
    work = assessment.works.get(bore.name)
    if work is None:
        return view
    over = _last_over(assessment, bore, ahead, float(work.hole.stations[-1]))
    if back is None and over:
        before = int(np.searchsorted(work.hole.stations, over[0].start + 1e-6)) - 1
        back = min(max(ahead.station - before, 1), ahead.station - 1)
    found = choices(assessment, bore, ahead, back or 0)
    rows = tuple(_choice_row(each, ahead, stand, f"way.{bore.name}.{each.code}") for each in found)
    # What comes too near a utility never stands before what does not; carrying on stays last.
    rows = (*sorted(rows[:-1], key=lambda row: row.too_near), rows[-1])
    return replace(view, over=over, choices=rows, rods=_rods(assessment, found), back=back)


def _rods(assessment: Assessment, found: tuple[Choice, ...]) -> tuple[RodOfChoices, ...]:
    dearest = sorted(
        {key for each in found for key in each.life},
        key=lambda key: -max(each.life.get(key, 0.0) for each in found),
    )
    return tuple(
        RodOfChoices(
            assessment.book.things[key].name,
            {
                each.code: Figure(f"way.{key}.{each.code}", each.life.get(key), "part_of_life", C)
                for each in found
            },
        )
        for key in dearest
    )


def _last_over(
    assessment: Assessment, bore: Bore, ahead: Ahead, tool: float
) -> tuple[OverSteerRow, ...]:
    """The last bend over its limit, with who passed it, stands in it and will pass it from here."""
    done = carried_on(assessment, bore, ahead)
    if done is None or done.work is None:
        return ()
    name = bore.name
    to_its_end = replace(
        assessment,
        works={**assessment.works, name: done.work},
        who={**assessment.who, name: done.who},
        conditions={**assessment.conditions, name: done.condition_of},
    )
    moment = moment_of(done.work, "pilot", tool, assessment.curves, done.condition_of)
    rows = over_steer_rows(to_its_end, moment, done.work.held, f"way.{name}")
    return tuple(row for row in rows if row.verdict in ("over", "likely"))[-1:]


def _choice_row(choice: Choice, ahead: Ahead, stand: PilotStand, key: str) -> ChoiceRow:
    end, run = ahead.rods + choice.back, choice.run
    figures = {
        "worst": Figure(f"{key}.worst", choice.worst, "part_of_life", C),
        "together": Figure(f"{key}.together", choice.together, "part_of_life", C),
        "pitch_at_end": Figure(f"{key}.pitch_at_end", float(run.pitch[end]), "slope", C),
        **depth_figures(key, "at_end", float(run.depth[end])),
        **depth_figures(key, "last", float(run.depth[-1])),
    }
    if stand.sideways:
        figures |= aside_figures(key, "offset_at_end", float(run.offset[end]))
        figures |= aside_figures(key, "offset_last", float(run.offset[-1]))
    rods = Figure(f"{key}.rods", float(ahead.rods), "count", C)
    pulled = Figure(f"{key}.back", float(choice.back), "count", C)
    told = Sentence(f"way.choice_{choice.code}", {"rods": rods, "back": pulled})
    found = passings(stand.in_way, run, stand.sideways)
    return ChoiceRow(
        choice.code, told, choice.reached, figures, _near(found, key),
        tuple(_passing_row(each, f"{key}.{n}", stand.sideways) for n, each in enumerate(found)),
    )  # fmt: skip


def _near(found: tuple[Passing, ...], key: str) -> Sentence | None:
    if not found:
        return None
    first = found[0]
    code = "unknown" if math.isnan(first.left) else "near" if first.is_too_near else "left"
    left = Figure(f"{key}.left", abs(first.left), "length", C)
    return Sentence(f"way.choice_{code}", {"name": first.name, "left": left})


def _passing_row(each: Passing, key: str, sideways: bool) -> PassingRow:
    figures: Figures = depth_figures(key, "depth", each.depth)
    if sideways:
        figures |= aside_figures(key, "offset", each.offset)
    unknown = math.isnan(each.left)
    figures["left"] = Figure(
        f"{key}.left", None if unknown else each.left, "length", Standing.UNKNOWN if unknown else C
    )
    return PassingRow(each.name, each.is_too_near, figures)
