"""What the picture of a way back is drawn from: hole, plan, way, old holes, utilities."""

from __future__ import annotations

import numpy as np

from rodhand.book.plan.planned import plan_named, utilities_of
from rodhand.book.rig.pilot_stand import PilotStand
from rodhand.book.rig.way_plan import plan_at
from rodhand.book.rig.way_views import Points, WayDrawing
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.old_holes import hole_left
from rodhand.hole.plan_limits import DEPTH_ERROR
from rodhand.hole.run import Run
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore


def way_drawing(book: Book, bore: Bore, stand: PilotStand, run: Run | None) -> WayDrawing:
    """The picture of a bore under way, with the rods of a way or without.

    Parameters
    ----------
    book, bore : Book, Bore
        The record.
    stand : PilotStand
        Where the pilot stands.
    run : Run or None
        The rods of the way.
    """
    here, plan = stand.here, plan_named(book, bore.name)
    drilled = [(0.0, 0.0, 0.0), *((p.along, p.offset, p.depth) for p in stand.places)]
    way = []
    if run is not None:
        way = list(zip(run.along.tolist(), run.offset.tolist(), run.depth.tolist(), strict=True))
    targets = plan.target_pitches if plan is not None else ()
    places = [plan_at(book, bore.name, stand.rod_type, n + 1) for n in range(len(targets))]
    planned = [(0.0, 0.0, 0.0), *((p.along, p.offset, p.depth) for p in places if p is not None)]
    old = _old_holes(book, bore, stand)
    in_way = tuple(
        (w.name, w.at, w.to, None if w.depth is None else -w.depth, (u.size or 0.0) / 2.0,
         w.keep + DEPTH_ERROR * max(w.depth or 0.0, 0.0), w.offset)
        for w, u in zip(stand.in_way, utilities_of(book, bore.name), strict=True)
    )  # fmt: skip
    return WayDrawing(
        _side(drilled), _side(way),
        tuple(range(stand.station + 1, stand.station + len(way))),
        _side(planned) if targets else (), tuple(_side(each) for each in old),
        _above(drilled, stand.sideways), _above(way, stand.sideways),
        _above(planned, stand.sideways and bool(targets)),
        tuple(_above(each, True) for each in old) if stand.sideways else (),
        in_way, None if plan is None else (max(plan.distance, here.along), plan.exit_height),
    )  # fmt: skip


def _old_holes(book: Book, bore: Bore, stand: PilotStand) -> list[list[tuple[float, float, float]]]:
    """Places along each hole left behind, from where it was left: along, right, down. [m]"""
    pilot, front = bore.pass_of("pilot"), front_of(book, bore)
    found = []
    for old in pilot.old_holes if pilot is not None else ():
        hole = hole_left(bore, old, stand.rod_type.length, (front.length, front.bit_to_sensor))
        if hole is not None and hole.path is not None:
            found.append(_left(hole, old.left_at, stand.sideways))
    return found


def _left(hole: Hole, left_at: int, sideways: bool) -> list[tuple[float, float, float]]:
    assert hole.path is not None  # asked before
    edges = hole.path.edges
    ends = np.array([each for each in hole.stations[left_at:] if each < edges[-1]] + [edges[-1]])
    north, east, down = (np.interp(ends, edges, column) for column in hole.path.positions.T)
    along = north if sideways else np.hypot(north, east)
    return list(zip(along.tolist(), east.tolist(), down.tolist(), strict=True))


def _side(places: list[tuple[float, float, float]]) -> Points:
    return tuple((along, -down) for along, _, down in places)


def _above(places: list[tuple[float, float, float]], known: bool) -> Points:
    return tuple((along, right) for along, right, _ in places) if known else ()
