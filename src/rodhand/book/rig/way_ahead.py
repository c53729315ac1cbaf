"""The way back of a bore: from where the pilot stands to a depth and a pitch some rods ahead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError, over_steer_rows
from rodhand.book.opening import book_in, open_assessment
from rodhand.book.plan.planned import utilities_of
from rodhand.book.rig.over_steer_choices import Ahead, Choice, carried_on, choices
from rodhand.book.rig.this_rod import pilot_and_room
from rodhand.book.rig.way_plan import plan_at
from rodhand.book.rig.way_search import MOST_SIDEWAYS, Worked, worked_way
from rodhand.book.rig.way_utilities import below_entry, nearest_utility, too_near, ways_of
from rodhand.book.views import OverSteerRow
from rodhand.book.work.assess import Assessment, is_invented, rod_type_of_bore
from rodhand.book.work.at_hand import drilled_by
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.moments import moment_of
from rodhand.book.work.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.hole.way_around import Place
from rodhand.hole.way_back import STEEPEST
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

MOST_RODS = 60
MOST_TO_DRILL = 400
C = Standing.COMPUTED


@dataclass(frozen=True)
class WayRow:
    """One rod of the way: figures ``pitch``, ``change``, ``depth`` at its end."""

    station: int
    figures: dict[str, Figure]


@dataclass(frozen=True)
class RodOfChoices:
    """One rod: figures by code of the choice, life used in this bore."""

    name: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class ChoiceRow:
    """One choice: figures worst, together, at_end (depth), pitch_at_end, last (depth at its end).

    ``near`` says what is left to the nearest utility on its way; None where none was entered.
    """

    code: str
    told: Sentence
    reached: bool | None
    figures: dict[str, Figure]
    near: Sentence | None = None

    @property
    def too_near(self) -> bool:
        """Whether it does not keep, or may not keep, its distance from a utility."""
        return self.near is not None and self.near.key != "way.choice_left"


@dataclass(frozen=True)
class WayView:
    """The page of a way back.

    Parameters
    ----------
    told : Sentence
        What to do, or what is missing.
    rows : tuple of WayRow
        Empty until an end is asked for.
    cautions : tuple of Sentence
        What it does not know.
    figures : dict
        now, depth, room; with a way cost, sharpest, at_end, missed, pitch_missed.
    over : tuple of OverSteerRow
        The last bend over or likely over its limit, with the rods it concerns.
    choices : tuple of ChoiceRow
        What may be done now and what each costs; empty until somebody says how much is left to
        drill. Carrying on is never first.
    rods : tuple of RodOfChoices
        Every rod's cost by choice, the dearest first.
    drilled : int
        Rods drilled.
    planned : bool
        Whether a plan with targets is on the book, to come back onto.
    back : int or None
        Rods to pull back, asked for or worked out.
    """

    name: str
    invented: bool
    rig: str
    told: Sentence
    reached: bool | None
    rows: tuple[WayRow, ...]
    cautions: tuple[Sentence, ...]
    figures: dict[str, Figure]
    over: tuple[OverSteerRow, ...] = ()
    choices: tuple[ChoiceRow, ...] = ()
    rods: tuple[RodOfChoices, ...] = ()
    drilled: int = 0
    planned: bool = False
    back: int | None = None


def way_view(
    folder: Path,
    name: str,
    depth: float | None,
    pitch: float | None,
    rods: int | None,
    to_drill: int | None = None,
    back: int | None = None,
) -> WayView:
    """Rod by rod back to a depth and a pitch, inside the limits of rod and head.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Bore.
    depth : float or None
        Wanted below the entry point, down positive. [m]
    pitch : float or None
        Wanted at the end, up positive. [rad]
    rods : int or None
        Rods to do it in.
    to_drill : int or None
        Rods still to drill in all, the way among them; with it the choices are worked out.
    back : int or None
        Rods to pull back; as many as lie past the last bend over its limit when not given.

    Returns
    -------
    WayView
        Without rows where no end is asked for, or the last rods went unread.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    BadInputError
        If the wanted end cannot be worked.
    """
    book = book_in(folder)
    bore = book.bores.get(name)
    if bore is None:
        raise NoSuchBoreError(name)
    key = f"way.{name}"
    hole, room = pilot_and_room(book, bore, key)
    relative = hole is not None and hole.readings.heading_reference == "relative"
    known_aside = "heading" in room.figures and relative
    across = "way.sideways" if known_aside else "way.sideways_unknown"
    utilities = utilities_of(book, name)
    count = Figure(f"{key}.utilities", float(len(utilities)), "count", Standing.MEASURED)
    entered = Sentence("way.utilities", {"count": count})
    cautions = (
        entered if utilities else Sentence("way.no_utilities"), Sentence(across),
        caution("rotating"),
    )  # fmt: skip
    rod_type = rod_type_of_bore(book, bore)

    def page(
        told: Sentence, figures: dict[str, Figure],
        reached: bool | None = None, rows: tuple[WayRow, ...] = (),
    ) -> WayView:  # fmt: skip
        return WayView(
            name, is_invented(book), bore.rig, told, reached, rows, cautions, figures,
            drilled=drilled_by(bore), back=back,
            planned=rod_type is not None and plan_at(book, name, rod_type, 1) is not None,
        )  # fmt: skip

    if any(each.what != "pilot" for each in bore.passes):
        return replace(page(Sentence("this_rod.pilot_done"), {}), drilled=0)
    if hole is None or hole.path is None or rod_type is None or "room" not in room.figures:
        return page(room.told if "room" not in room.figures else Sentence("way.no_path"), {})
    now, left = room.figures["last"].value or 0.0, room.figures["room"].value or 0.0
    ahead = hole.length - float(hole.path.edges[-1])
    here = float(hole.path.positions[-1, 2]) - ahead * math.sin(now)
    figures = {
        "now": room.figures["last"],
        "depth": Figure(f"{key}.depth", here, "length", C),
        "room": Figure(f"{key}.room", left, "angle", C),
    }
    onto = None if rods is None else plan_at(book, name, rod_type, len(hole.stations) - 1 + rods)
    if rods is None or ((depth is None or pitch is None) and onto is None):
        return page(Sentence("way.ask"), figures)
    depth = onto.depth if depth is None and onto else depth
    pitch = onto.pitch if pitch is None and onto else pitch
    assert depth is not None  # asked for, or the plan's
    assert pitch is not None
    _check(pitch, rods, depth, to_drill, back, len(hole.stations) - 1)
    if left <= 0.0:
        return page(Sentence("way.no_room"), figures)
    sideways = known_aside and rods <= MOST_SIDEWAYS
    level = float(hole.path.positions[-1, 0]) + ahead * math.cos(now)
    start, wanted = Place(level, 0.0, here, now, 0.0), Place(0.0, 0.0, depth, pitch, 0.0)
    if sideways:
        heading = room.figures["heading"].value or 0.0
        aside = float(hole.path.positions[-1, 1]) + ahead * math.cos(now) * math.sin(heading)
        start = replace(start, offset=aside, heading=heading)
        wanted = replace(wanted, offset=onto.offset, heading=onto.heading) if onto else wanted
        across_room = (room.figures["sideways"].value or 0.0) * max(math.cos(now), 0.1)
        left = min(left, across_room)
        figures["heading"] = room.figures["heading"]
        figures["offset"] = Figure(f"{key}.offset", aside, "length", C)
    if left <= 0.0:
        return page(Sentence("way.no_room"), figures)
    ways = ways_of(book, bore, rod_type)
    known = below_entry(book, bore, ways)
    way = worked_way(start, wanted, rods, rod_type.length, left, known, sideways)
    near = too_near(
        book, bore, rod_type, level, here,
        np.concatenate(([now], way.pitch)) if way else np.full(rods + 1, now),
        sideways and way is not None,
    )  # fmt: skip
    if way is None or near is not None:
        name_near, missing_by = near or (known[0].name, math.nan)
        missing = Figure(f"{key}.too_near", missing_by, "length", C)
        return page(
            Sentence("way.too_near", {"name": name_near, "missing": missing}), figures, False
        )
    station = len(hole.stations) - 1
    figures["missed"] = Figure(f"{key}.missed", abs(way.depth_missed), "length", C)
    figures["pitch_missed"] = Figure(f"{key}.pitch_missed", abs(way.pitch_missed), "angle", C)
    if sideways:
        figures["offset_missed"] = Figure(
            f"{key}.offset_missed", abs(way.offset_missed), "length", C
        )
    figures["cost"] = Figure(f"{key}.cost", way.cost, "life", C)
    figures["sharpest"] = Figure(f"{key}.sharpest", float(way.bend.max()) / left, "share", C)
    figures["at_end"] = Figure(f"{key}.at_end", float(way.depth[-1]), "length", C)
    rows = _rows(way, now, station, key)
    view = page(_told(way, figures), figures, way.reached, rows)
    if to_drill is None:
        return view
    return _with_choices(
        view, open_assessment(folder), bore,
        _ahead(hole, now, here, left, rod_type.length, pitch, depth, rods, to_drill), back,
    )  # fmt: skip


def _ahead(
    hole: Hole, now: float, here: float, room: float, length: float, pitch: float, depth: float,
    rods: int, to_drill: int,
) -> Ahead:  # fmt: skip
    """Pitches nobody read lie between those read; depths follow the path."""
    assert hole.path is not None  # asked before
    read = hole.readings.pitch[~hole.readings.is_inside]
    known = np.flatnonzero(np.isfinite(read))
    pitches = np.interp(np.arange(read.size), known, read[known])
    ends = np.asarray(hole.stations[1:])
    depths = np.interp(ends, hole.path.edges, hole.path.positions[:, 2])
    levels = np.interp(ends, hole.path.edges, hole.path.positions[:, 0])
    pitches[-1], depths[-1] = now, here
    levels[-1] += (hole.length - float(hole.path.edges[-1])) * math.cos(now)
    return Ahead(
        read.size, tuple(pitches.tolist()), tuple(depths.tolist()), room, length, pitch, depth,
        rods, to_drill, tuple(levels.tolist()),
    )  # fmt: skip


def _with_choices(
    view: WayView, assessment: Assessment, bore: Bore, ahead: Ahead, back: int | None
) -> WayView:
    work = assessment.works.get(bore.name)
    if work is None:
        return view
    over = _last_over(assessment, bore, ahead, float(work.hole.stations[-1]))
    if back is None and over:
        before = int(np.searchsorted(work.hole.stations, over[0].start + 1e-6)) - 1
        back = min(max(ahead.station - before, 1), ahead.station - 1)
    found = choices(assessment, bore, ahead, back or 0)
    near = _near_choices(assessment, bore, ahead, found)
    rows = tuple(
        _choice_row(each, ahead, near[each.code], f"way.{bore.name}.{each.code}") for each in found
    )
    # What comes too near a utility never stands before what does not; carrying on stays last.
    rows = (*sorted(rows[:-1], key=lambda row: row.too_near), rows[-1])
    dearest = sorted(
        {key for each in found for key in each.life},
        key=lambda key: -max(each.life.get(key, 0.0) for each in found),
    )
    rods = tuple(
        RodOfChoices(
            assessment.book.things[key].name,
            {
                each.code: Figure(f"way.{key}.{each.code}", each.life.get(key), "millionths", C)
                for each in found
            },
        )
        for key in dearest
    )
    return replace(view, over=over, choices=rows, rods=rods, back=back)


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


def _near_choices(
    assessment: Assessment, bore: Bore, ahead: Ahead, found: Sequence[Choice]
) -> dict[str, Sentence | None]:
    """What each choice leaves to the nearest utility entered, sideways taken as not known."""
    rod_type = rod_type_of_bore(assessment.book, bore)
    assert rod_type is not None  # its limit was asked before
    told: dict[str, Sentence | None] = {}
    for choice in found:
        at = ahead.station - choice.back - 1
        pitch = np.concatenate(([ahead.pitches[at]], choice.pitch))
        near = nearest_utility(
            assessment.book, bore, rod_type, ahead.levels[at], ahead.depths[at], pitch
        )
        if near is None:
            told[choice.code] = None
            continue
        name, left = near
        code = "unknown" if math.isnan(left) else "left" if left >= 0.0 else "near"
        figure = Figure(f"way.{bore.name}.{choice.code}.left", abs(left), "length", C)
        told[choice.code] = Sentence(f"way.choice_{code}", {"name": name, "left": figure})
    return told


def _choice_row(choice: Choice, ahead: Ahead, near: Sentence | None, key: str) -> ChoiceRow:
    end = ahead.rods - 1 + choice.back
    figures = {
        "worst": Figure(f"{key}.worst", choice.worst, "millionths", C),
        "together": Figure(f"{key}.together", choice.together, "millionths", C),
        "at_end": Figure(f"{key}.at_end", float(choice.depth[end]), "length", C),
        "pitch_at_end": Figure(f"{key}.pitch_at_end", float(choice.pitch[end]), "slope", C),
        "last": Figure(f"{key}.last", float(choice.depth[-1]), "length", C),
    }
    rods = Figure(f"{key}.rods", float(ahead.rods), "count", C)
    pulled = Figure(f"{key}.back", float(choice.back), "count", C)
    told = Sentence(f"way.choice_{choice.code}", {"rods": rods, "back": pulled})
    return ChoiceRow(choice.code, told, choice.way.reached if choice.way else None, figures, near)


def _told(way: Worked, figures: dict[str, Figure]) -> Sentence:
    if way.reached:
        return Sentence("way.reached", {"share": figures["sharpest"]})
    values = {"missed": figures["missed"], "pitch": figures["pitch_missed"]}
    if "offset_missed" in figures:
        return Sentence("way.nearest_aside", {**values, "offset": figures["offset_missed"]})
    return Sentence("way.nearest", values)


def _rows(way: Worked, now: float, station: int, key: str) -> tuple[WayRow, ...]:
    before = np.concatenate(([now], way.pitch[:-1]))
    rows = []
    for k, (pitch, was) in enumerate(zip(way.pitch.tolist(), before.tolist(), strict=True)):
        own = f"{key}.{station + k + 1}"
        figures = {
            "pitch": Figure(f"{own}.pitch", pitch, "slope", C),
            "change": Figure(f"{own}.change", pitch - was, "angle", C),
            "depth": Figure(f"{own}.depth", float(way.depth[k]), "length", C),
        }
        if way.heading is not None and way.offset is not None:
            figures["heading"] = Figure(f"{own}.heading", float(way.heading[k]), "angle", C)
            figures["offset"] = Figure(f"{own}.offset", float(way.offset[k]), "length", C)
        rows.append(WayRow(station + k + 1, figures))
    return tuple(rows)


def _check(
    pitch: float, rods: int, depth: float, to_drill: int | None, back: int | None, drilled: int
) -> None:
    faults = []
    if to_drill is not None and not rods <= to_drill <= MOST_TO_DRILL:
        faults.append(
            Fault("way_to_drill", str(to_drill), column="to_drill", values={"rods": str(rods)})
        )
    if back is not None and not 0 <= back < drilled:
        faults.append(
            Fault("way_back_rods", str(back), column="back", values={"drilled": str(drilled - 1)})
        )
    if not 1 <= rods <= MOST_RODS:
        faults.append(Fault("way_rods", str(rods), column="rods"))
    if not abs(pitch) < STEEPEST:
        faults.append(Fault("way_pitch", f"{pitch}", column="pitch_pct"))
    if not math.isfinite(depth):
        faults.append(Fault("not_a_number", str(depth), column="depth"))
    if faults:
        raise BadInputError(faults)
