"""Whether the shoulders of a bore's joints stayed closed, joint by joint and place by place."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.bore.joints_views import AskedRow, JointRow, JointsPass, JointsView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.days import day_of
from rodhand.book.work.joint_makeups import gauge_truth
from rodhand.book.work.shoulder_work import PassShoulders, shoulders_of
from rodhand.drillstring.shoulder import PRELOAD_BAND
from rodhand.record.marks import fold
from rodhand.steel.made_up_seat import made_up_seat
from rodhand.units import Figure, Standing
from rodhand.words import say

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
Floats = NDArray[np.float64]
SCALE_STEP = 0.5
"""Between the marks of the picture's scale. [1]"""
MOST_SCALE = 3
"""Marks above zero at most; a bar that asks more ends there, its figure is in the table."""


def joints_view(assessment: Assessment, name: str) -> JointsView:
    """The joints of one bore.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Name of the bore; capitals do not matter.

    Returns
    -------
    JointsView
        Everything its page shows.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore, or it has no rows.
    """
    name = next((each for each in assessment.works if fold(each) == fold(name)), name)
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    comparisons = tuple(assessment.book.comparisons)
    shoulders = shoulders_of(work, comparisons)
    day = day_of(work.bore.origin.happened.start)
    truth = gauge_truth(comparisons, work.bore.rig, day)
    rows = (
        tuple(_pass(assessment, work, k, each, truth) for k, each in enumerate(shoulders))
        if shoulders is not None
        else ()
    )
    return JointsView(
        name=name,
        rig=work.bore.rig,
        rod_type=work.rod_type.name,
        happened=day,
        invented=assessment.invented,
        figures=_figures(work, f"joints.{name}"),
        passes=rows,
        warnings=_warnings(work),
    )


def _figures(work: BoreWork, key: str) -> dict[str, Figure]:
    seat = made_up_seat(work.rod_type)
    if seat is None:
        return {}
    return {
        "full_torque": Figure(f"{key}.full_torque", work.rod_type.makeup_torque, "torque", M),
        "seat_pressure": Figure(
            f"{key}.seat_pressure", seat.pressure, "stress", A if seat.is_by_yield else C
        ),
    }


def _warnings(work: BoreWork) -> tuple[Sentence, ...]:
    seat = made_up_seat(work.rod_type)
    if seat is None:
        return (Sentence("joints.none", {"rod_type": work.rod_type.name}),)
    found = [Sentence("joints.warning.band")]
    return (*found, Sentence("joints.warning.by_yield")) if seat.is_by_yield else tuple(found)


def _pass(
    assessment: Assessment, work: BoreWork, k: int, found: PassShoulders, truth: float
) -> JointsPass:
    each = work.passes[k]
    key = f"joints.{work.bore.name}.{each.name}"
    joints = tuple(
        _joint(assessment, work, k, row, found, key)
        for row, member in enumerate(each.leg.order.members)
        if member.key.startswith("place ")
    )
    figures = {
        "opened": _count(f"{key}.opened", sum(j.state == "open" for j in joints)),
        "may_open": _count(f"{key}.may_open", sum(j.state == "may_open" for j in joints)),
    }
    return JointsPass(
        each.name, each.what, each.recorded, figures,
        _notes(found, joints, truth, work.powers[k].laid, key), joints,
        _places(work, k, found, key), _scale(joints, key),
    )  # fmt: skip


def _scale(joints: tuple[JointRow, ...], key: str) -> tuple[Figure, ...]:
    """Marks of the picture's scale, up to what is drawn but at least to the full make-up."""
    drawn = [row.figures[name].value or 0.0 for row in joints for name in ("needed", "made_up")
             if name in row.figures]  # fmt: skip
    top = min(MOST_SCALE, math.ceil(max(1.0, *drawn, 0.0) / SCALE_STEP))
    return tuple(
        Figure(f"{key}.scale.{k}", k * SCALE_STEP, "share", M) for k in range(round(top) + 1)
    )


def _count(key: str, number: int) -> Figure:
    return Figure(key, float(number), "count", C)


def _notes(
    found: PassShoulders, joints: tuple[JointRow, ...], truth: float, laid: bool, key: str
) -> tuple[Sentence, ...]:
    notes = []
    if not laid:
        notes.append(Sentence("joints.note.not_laid"))
    if found.pull_from != "gauge":
        notes.append(Sentence(f"joints.note.pull_{found.pull_from}"))
    unknown = sum("made_up" not in joint.figures for joint in joints)
    if unknown == len(joints):
        notes.append(Sentence("joints.note.all_unknown"))
    elif unknown:
        count = {"count": _count(f"{key}.unknown", unknown),
                 "joints": _count(f"{key}.joints", len(joints))}  # fmt: skip
        notes.append(Sentence("joints.note.some_unknown", count))
    if truth != 1.0 and unknown < len(joints):
        share = Figure(f"{key}.gauge_true", truth, "share", M)
        notes.append(Sentence("joints.note.gauge", {"share": share}))
    if not np.isfinite(found.needed.best).all():
        notes.append(Sentence("joints.note.unread"))
    return tuple(notes)


def _joint(
    assessment: Assessment, work: BoreWork, k: int, row: int, found: PassShoulders, key: str
) -> JointRow:
    members = work.passes[k].leg.order.members
    place = int(members[row].key.removeprefix("place "))
    made, turned = float(found.made[row, 0]), found.turned[row, 0]
    own = f"{key}.joint.{place}"
    figures = {}
    if np.isfinite(made):
        figures["made_up"] = Figure(f"{own}.made_up", made, "share", M)
    best = np.where(turned & np.isfinite(found.needed.best), found.needed.best, -1.0)
    worst = int(best.argmax()) if best.max(initial=-1.0) >= 0.0 else None
    station = None
    if worst is not None:
        asked = _asked(f"{own}.needed", found, worst)
        figures["needed"] = asked
        station = int(work.hole.rods.station[work.interval_of(work.bands[k])[worst]])
        if np.isfinite(made):
            figures["seat_margin"] = _margin(f"{own}.seat_margin", made, found, turned)
    state = _state(found, row, made, turned.any(), worst is not None)
    return JointRow(place, state, station, _rods(assessment, work, place), figures)


def _asked(key: str, found: PassShoulders, at: int) -> Figure:
    need = found.needed
    low, best, high = (float(each[at]) for each in (need.low, need.best, need.high))
    floor = A if found.pull_from == "none" else C
    return Figure(key, best, "share", floor, min(low, best), max(high, best))


def _margin(key: str, made: float, found: PassShoulders, turned: NDArray[np.bool_]) -> Figure:
    """Least margin over the places it turned in; each end of the band at its own worst place."""
    least, most = PRELOAD_BAND
    need = found.needed
    asked = [float(np.nanmax(each[turned])) for each in (need.low, need.best, need.high)]
    margin = made - asked[1]
    low, high = made * least - asked[2], made * most - asked[0]
    return Figure(key, margin, "share", C, min(low, margin), max(high, margin))


def _state(found: PassShoulders, row: int, made: float, has_turned: bool, has_bend: bool) -> str:
    if not has_turned:
        return "not_turned"
    if not np.isfinite(made):
        return "unknown"
    if found.open[row, 0].any():
        return "open"
    if not has_bend:
        return "no_bend"
    return "may_open" if found.may[row, 0].any() else "closed"


def _rods(assessment: Assessment, work: BoreWork, place: int) -> str:
    """Marks of the rods on both sides; the tool's side of the first is the tool."""
    who = assessment.who[work.bore.name]
    names = []
    for at in (place - 1, place):
        if at == 0:
            continue
        rods = [key for key in who.at(at).rods if key in assessment.book.things]
        one = assessment.book.things[rods[0]].name if len(rods) == 1 else say("number.unknown")
        names.append(one)
    return " · ".join(names)


def _places(work: BoreWork, k: int, found: PassShoulders, key: str) -> tuple[AskedRow, ...]:
    at = work.interval_of(work.bands[k])
    rows = []
    for number, station in enumerate(work.hole.rods.station.tolist()):
        inside = np.flatnonzero(at == number)
        inside = inside[np.isfinite(found.needed.best[inside])]
        own = f"{key}.place.{int(station)}"
        figures: dict[str, Figure] = {}
        if inside.size:
            worst = int(inside[found.needed.best[inside].argmax()])
            figures["needed"] = _asked(f"{own}.needed", found, worst)
            bend = float(work.bands[k].best[worst])
            radius = 1.0 / bend if bend > 0 else None
            figures["bend_radius"] = Figure(f"{own}.bend_radius", radius, "radius", C)
            if found.pull_from != "none":
                figures["pull"] = Figure(f"{own}.pull", float(found.pull[worst]), "force", C)
            opened = int(found.open[:, 0, inside].any(axis=1).sum())
            may = int((found.may & ~found.open)[:, 0, inside].any(axis=1).sum())
            figures["opened"] = _count(f"{own}.opened", opened)
            figures["may_open"] = _count(f"{own}.may_open", may)
        rows.append(AskedRow(int(station), figures))
    return tuple(rows)
