"""The figures of one bore: its stations, its passes, and the lines of its picture."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rodhand.book.views import PassRow, Picture, StationRow
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.hole_of import Hole
from rodhand.book.work.old_holes import old_hole_name
from rodhand.book.work.over_limits import HeldAgainst, LimitedBend
from rodhand.drillstring.turns import ASSUMED_RUNGS
from rodhand.hole.limits import long_life_radius
from rodhand.hole.path import positions_at
from rodhand.record.book_bores import Reading
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing

Floats = NDArray[np.float64]
NINETY = 1.645
"""Standard deviations on each side of a 90 % band."""


def positions_of(hole: Hole, along: Floats) -> tuple[Floats, bool]:
    """North, east and depth at lengths along the hole, and whether east is known. [m]"""
    if hole.path is None:
        return np.full((len(along), 3), np.nan), False
    return positions_at(hole.path, along), hole.path.has_heading


def _given(key: str, value: float | None, quantity: str, standing: Standing) -> Figure:
    return Figure(key, value, quantity, standing)


def _bend_figures(key: str, bend: LimitedBend) -> dict[str, Figure]:
    """Bend, its band, radius and share of the limit."""
    low, high = max(bend.angle - NINETY * bend.error, 0.0), bend.angle + NINETY * bend.error
    computed = Standing.COMPUTED
    radius = bend.radius if math.isfinite(bend.radius) else None
    return {
        "bend": Figure(f"{key}.bend", bend.angle, "angle", computed, low, high),
        "bend_percent": Figure(f"{key}.bend_percent", math.atan(bend.angle), "slope", computed)
        if math.isfinite(bend.angle)
        else Figure(f"{key}.bend_percent", None, "slope", computed),
        "bend_radius": Figure(f"{key}.bend_radius", radius, "radius", computed),
        "share_of_limit": Figure(f"{key}.share_of_limit", bend.share, "share", computed),
    }


def _best_figures(key: str, hole: Hole, bend: LimitedBend) -> dict[str, Figure]:
    """A rod's bend given all readings, with its 90 % band; nothing for other bends."""
    points = hole.best_bend(bend.start, bend.end)
    if points is None or bend.what != "rod":
        return {}
    low, middle, high = points
    figure = Figure(f"{key}.best_bend", middle, "angle", Standing.COMPUTED, low, high)
    return {"best_bend": figure}


def _reading_figures(key: str, row: Reading | None) -> dict[str, Figure]:
    """What was read at a station, as measured."""
    measured = Standing.MEASURED
    row_values = {
        "pitch": (row.pitch, "slope"),
        "heading": (row.heading, "angle"),
        "read_depth": (row.depth, "length"),
        "rotating_time": (row.rotating_time, "minutes"),
        "push": (row.push, "length"),
    } if row else {"pitch": (None, "slope")}  # fmt: skip
    return {
        name: _given(f"{key}.{name}", value, quantity, measured)
        for name, (value, quantity) in row_values.items()
    }


def station_rows(hole: Hole, held: HeldAgainst, key: str) -> tuple[StationRow, ...]:
    """Rows of a bore's path, readings inside rods included.

    Parameters
    ----------
    hole : Hole
        The hole.
    held : HeldAgainst
        Its bends against the limits.
    key : str
        First part of the figures' keys.

    Returns
    -------
    tuple of StationRow
        In order along the hole; a station nobody wrote stands there as not read.
    """
    readings = hole.readings
    typed = {row.station: row for row in hole.rows}
    placed, sideways = positions_of(hole, readings.measured_length)
    by_station = {bend.station: bend for bend in held.rods}
    inside = [bend for bend in held.inside if not bend.by_push]
    rows = []
    for k, station in enumerate(readings.station.tolist()):
        own = f"{key}.station.{station:g}"
        at = float(readings.sensor_length[k])
        bend = by_station.get(round(station)) if station == round(station) else None
        if bend is None:
            bend = next((each for each in inside if abs(each.end - at) < 1e-6), None)
        figures = {
            "measured_length": Figure(
                f"{own}.measured_length", float(readings.measured_length[k]), "length",
                Standing.MEASURED,
            ),
            **_reading_figures(own, typed.get(station)),
            "north": Figure(f"{own}.north", float(placed[k, 0]), "length", Standing.COMPUTED),
            "east": Figure(
                f"{own}.east", float(placed[k, 1]) if sideways else None, "length",
                Standing.COMPUTED,
            ),
            "depth": Figure(f"{own}.depth", float(placed[k, 2]), "length", Standing.COMPUTED),
            **(_bend_figures(own, bend) if bend else {}),
            **(_best_figures(own, hole, bend) if bend else {}),
        }  # fmt: skip
        is_inside = bool(readings.is_inside[k])
        over = (bend.verdict if bend else "unknown") if is_inside else held.verdict_at(int(station))
        rows.append(StationRow(station, is_inside, over, figures))
    return tuple(rows)


def pass_rows(work: BoreWork, key: str) -> tuple[PassRow, ...]:
    """What each pass was: turns with their band and where they come from."""
    rows = []
    for each in work.passes:
        own = f"{key}.pass.{each.name}"
        assumed = each.turns.rung in ASSUMED_RUNGS or not each.recorded
        spread = math.exp(NINETY * each.turns.sigma)
        best = each.turns.best
        turned = best / each.mean_speed if each.mean_speed else None
        figures = {
            "turns": Figure(
                f"{own}.turns", best, "turns",
                Standing.ASSUMED if assumed else Standing.COMPUTED,
                0.0 if not each.recorded else best / spread, best * spread,
            ),
            "rotating_time": Figure(
                f"{own}.rotating_time", turned, "hours",
                Standing.ASSUMED if assumed else Standing.COMPUTED,
            ),
            "hole_diameter": Figure(
                f"{own}.hole_diameter", each.hole_diameter, "size", Standing.MEASURED
            ),
        }  # fmt: skip
        rows.append(PassRow(each.name, each.what, each.recorded, str(each.turns.rung), figures))
    return tuple(rows)


def picture_of(work: BoreWork, tool: float, drilled: float) -> Picture:
    """What the picture of a bore is drawn from; see `Picture`."""
    hole = work.hole
    length = work.rod_type.length
    along = np.unique(np.concatenate((hole.bends.edges, np.asarray(hole.stations))))
    placed, sideways = positions_of(hole, along)
    rods = hole.rods
    per_length = length / rods.length
    read = ~rods.unread
    bend = np.where(read, rods.angle, np.nan) * per_length
    error = np.where(read, rods.error, np.nan) * per_length * NINETY
    low, high = np.maximum(bend - error, 0.0), bend + error
    return Picture(
        measured=tuple(along.tolist()),
        along=tuple(placed[:, 0].tolist()),
        down=tuple(placed[:, 2].tolist()),
        right=tuple(placed[:, 1].tolist()) if sideways else (),
        bend_edges=tuple(rods.edges.tolist()),
        bend=tuple(bend.tolist()),
        bend_low=tuple(low.tolist()),
        bend_high=tuple(high.tolist()),
        limit=work.rod_type.limit_angle(length),
        long_life=length / price_radius(work.rod_type),
        rod_length=length,
        tool=tool,
        drilled=drilled,
        head_name=work.front.name,
        old=tuple(_old_line(each, left_at) for each, left_at in _left_behind(work)),
    )


def _left_behind(work: BoreWork) -> list[tuple[BoreWork, int]]:
    """Holes left behind, and the station each was left at."""
    pilot = work.bore.pass_of("pilot")
    left = {old_hole_name(old): old.left_at for old in pilot.old_holes} if pilot else {}
    return [(each, left[each.bore.passes[0].name]) for each in work.old_holes]


def _old_line(old: BoreWork, left_at: int) -> tuple[tuple[float, float, float], ...]:
    """Points along, down and right of a hole beyond where it was left; right 0 if not known."""
    begins = old.hole.stations[left_at]
    along = np.unique(np.concatenate((old.hole.bends.edges, np.asarray(old.hole.stations))))
    placed, sideways = positions_of(old.hole, along[along >= begins])
    return tuple(
        (float(x), float(z), float(y) if sideways else 0.0) for x, y, z in placed
    )  # fmt: skip


def price_radius(rod_type: RodType) -> float:
    """Radius of the long-life line of a rod type: a price, no alarm. [m]"""
    return long_life_radius(rod_type.tube_od)
