"""The way back of a bore: from where the pilot stands to a depth and a pitch some rods ahead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.opening import book_in, open_bore
from rodhand.book.rig.over_steer_choices import Ahead
from rodhand.book.rig.pilot_stand import PilotStand, pilot_stand
from rodhand.book.rig.way_choices import with_choices
from rodhand.book.rig.way_drawing import way_drawing
from rodhand.book.rig.way_plan import plan_at
from rodhand.book.rig.way_search import MOST_SIDEWAYS, Worked, worked_way
from rodhand.book.rig.way_utilities import known_of, passings
from rodhand.book.rig.way_views import WayRow, WayView, aside_figures, depth_figures
from rodhand.book.work.at_hand import drilled_by
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.book.work.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.hole.run import run_from
from rodhand.hole.way_around import Place
from rodhand.hole.way_back import STEEPEST
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

MOST_RODS = 60
MOST_TO_DRILL = 400
C = Standing.COMPUTED


def way_view(
    folder: Path,
    name: str,
    depth: float | None,
    pitch: float | None,
    rods: int | None,
    to_drill: int | None = None,
    back: int | None = None,
    unread: Sequence[Fault] = (),
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
    unread : sequence of Fault
        What was typed and could not be read: told together with what is out of range.

    Returns
    -------
    WayView
        Without rows where no end is asked for, or the last rods went unread.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    BadInputError
        If a number is out of range, or something was not read.
    """
    book = book_in(folder)
    bore = book.bores.get(name)
    if bore is None:
        raise NoSuchBoreError(name)
    key = f"way.{name}"
    stand = pilot_stand(book, bore, key)
    faults = list(unread)
    if isinstance(stand, PilotStand):
        faults += _out_of_range(depth, pitch, rods, to_drill, back, stand.station)
    if faults:
        raise BadInputError(faults)
    page = _page(book, bore, stand, back)
    if isinstance(stand, Sentence):
        return replace(page, told=stand)
    onto = None if rods is None else plan_at(book, name, stand.rod_type, stand.station + rods)
    if rods is None or ((depth is None or pitch is None) and onto is None):
        return replace(page, drawing=way_drawing(book, bore, stand, None))
    depth = onto.depth if depth is None and onto else depth
    pitch = onto.pitch if pitch is None and onto else pitch
    assert depth is not None  # asked for, or the plan's
    assert pitch is not None
    sideways = stand.sideways and rods <= MOST_SIDEWAYS
    left = min(stand.room, stand.across) if sideways else stand.room
    if left <= 0.0:
        return replace(page, told=Sentence("way.no_room"))
    wanted = Place(0.0, 0.0, depth, pitch, 0.0)
    if sideways and onto is not None:
        wanted = replace(wanted, offset=onto.offset, heading=onto.heading)
    ahead = Ahead(
        stand.places, wanted, left, stand.rod_type.length, rods, rods if to_drill is None
        else to_drill, sideways, known_of(stand.in_way),
    )  # fmt: skip
    view = _with_way(page, book, bore, stand, ahead)
    if to_drill is None or view.reached is None:
        return view
    return with_choices(view, open_bore(folder, bore.name), bore, stand, ahead, back)


def _page(book: Book, bore: Bore, stand: PilotStand | Sentence, back: int | None) -> WayView:
    """The page before an end is asked for."""
    under_way, figures = isinstance(stand, PilotStand), {}
    entered, across = Sentence("way.no_utilities"), "way.sideways_unknown"
    rod_type = rod_type_of_bore(book, bore)
    key = f"way.{bore.name}"
    if isinstance(stand, PilotStand):
        figures = {
            "now": stand.figures["last"],
            **depth_figures(key, "depth", stand.here.depth),
            "room": Figure(f"{key}.room", stand.room, "angle", C),
        }
        if stand.sideways:
            across = "way.sideways"
            figures["heading"] = stand.figures["heading"]
            figures |= aside_figures(key, "offset", stand.here.offset)
        if count := len(stand.in_way):
            shown = Figure(f"{key}.utilities", float(count), "count", Standing.MEASURED)
            entered = Sentence("way.utility" if count == 1 else "way.utilities", {"count": shown})
    pilot_only = all(each.what == "pilot" for each in bore.passes)
    return WayView(
        bore.name, is_invented(book), bore.rig,
        Sentence("way.ask"), None, (), (entered, Sentence(across), caution("rotating")), figures,
        drilled=drilled_by(bore) if pilot_only else 0, back=back,
        planned=under_way and rod_type is not None
        and plan_at(book, bore.name, rod_type, 1) is not None,
    )  # fmt: skip


def _with_way(page: WayView, book: Book, bore: Bore, stand: PilotStand, ahead: Ahead) -> WayView:
    """The page with the way rod by rod; one that comes too near something is not offered."""
    key, figures = f"way.{bore.name}", dict(page.figures)
    way = worked_way(
        stand.here, ahead.wanted, ahead.rods, ahead.length, ahead.room, ahead.in_way,
        ahead.sideways,
    )  # fmt: skip
    pitch = way.pitch if way else np.full(ahead.rods, stand.here.pitch)
    run = run_from(stand.here, pitch, way.heading if way else None, ahead.length)
    near = [each for each in passings(stand.in_way, run, ahead.sideways) if each.is_too_near]
    if way is None or near:
        first, by = (near[0].name, abs(near[0].left)) if near else (ahead.in_way[0].name, math.nan)
        missing = Figure(f"{key}.too_near", None if math.isnan(by) else by, "length", C)
        return replace(
            page, told=Sentence("way.too_near", {"name": first, "missing": missing}),
            reached=False, drawing=way_drawing(book, bore, stand, None),
        )  # fmt: skip
    figures["missed"] = Figure(f"{key}.missed", abs(way.depth_missed), "length", C)
    figures["pitch_missed"] = Figure(f"{key}.pitch_missed", abs(way.pitch_missed), "angle", C)
    if ahead.sideways:
        figures["offset_missed"] = Figure(
            f"{key}.offset_missed", abs(way.offset_missed), "length", C
        )
    figures["cost"] = Figure(f"{key}.cost", way.cost, "life", C)
    figures["sharpest"] = Figure(f"{key}.sharpest", float(way.bend.max()) / ahead.room, "share", C)
    figures["at_end"] = Figure(f"{key}.at_end", float(way.depth[-1]), "length", C)
    return replace(
        page, told=_told(way, figures), reached=way.reached, figures=figures,
        rows=_rows(way, stand.here.pitch, stand.station, key),
        drawing=way_drawing(book, bore, stand, run),
    )  # fmt: skip


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
            **depth_figures(own, "depth", float(way.depth[k])),
        }
        if way.heading is not None and way.offset is not None:
            figures["heading"] = Figure(f"{own}.heading", float(way.heading[k]), "angle", C)
            figures |= aside_figures(own, "offset", float(way.offset[k]))
        rows.append(WayRow(station + k + 1, figures))
    return tuple(rows)


def _out_of_range(
    depth: float | None, pitch: float | None, rods: int | None, to_drill: int | None,
    back: int | None, drilled: int,
) -> list[Fault]:  # fmt: skip
    """Every number given that cannot be worked with."""
    faults = []
    least = rods if rods is not None and 1 <= rods <= MOST_RODS else 1
    if to_drill is not None and not least <= to_drill <= MOST_TO_DRILL:
        faults.append(
            Fault("way_to_drill", str(to_drill), column="to_drill", values={"rods": str(least)})
        )
    if back is not None and not 0 <= back < drilled:
        faults.append(
            Fault("way_back_rods", str(back), column="back", values={"drilled": str(drilled - 1)})
        )
    if rods is not None and not 1 <= rods <= MOST_RODS:
        faults.append(Fault("way_rods", str(rods), column="rods"))
    if pitch is not None and not abs(pitch) < STEEPEST:
        faults.append(Fault("way_pitch", f"{100.0 * math.tan(pitch):g}", column="pitch_pct"))
    if depth is not None and not math.isfinite(depth):
        faults.append(Fault("not_a_number", str(depth), column="depth"))
    return faults
