"""A check as JSON: the contract of `rodhand check --json`, base SI with units in the keys."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from rodhand.book.bore.check import CheckedLog, CheckedRod
from rodhand.book.work.moments import RADII, concerned
from rodhand.book.work.over_limits import LimitedBend
from rodhand.hole.path import hole_path, positions_at
from rodhand.wear.life_used import MODEL

PER_30_M = 30.0


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else value


def station_json(checked: CheckedLog) -> list[dict[str, Any]]:
    """``stations[]`` of the JSON told in docs/commands.md: base SI with units in the keys."""
    readings, rods = checked.readings, checked.rods_bends
    path = hole_path(readings)
    placed = positions_at(path, readings.measured_length) if path else None
    sideways = path is not None and path.has_heading
    at_station = {int(s): k for k, s in enumerate(rods.station)}
    inside = {bend.end: bend for bend in (checked.held.read_inside if checked.held else ())}
    rows = []
    for k, station in enumerate(readings.station.tolist()):
        row: dict[str, Any] = {
            "station": int(station) if station == int(station) else station,
            "measured_length_m": float(readings.measured_length[k]),
            "north_m": _number(float(placed[k, 0])) if placed is not None else None,
            "east_m": (_number(float(placed[k, 1])) if placed is not None and sideways else None),
            "depth_m": _number(float(placed[k, 2])) if placed is not None else None,
            "pitch_deg": _number(math.degrees(readings.pitch[k])),
            "heading_deg": _number(math.degrees(readings.heading[k])),
        }
        angle = length = math.nan
        share, over = math.nan, None
        if not readings.is_inside[k] and int(station) in at_station:
            j = at_station[int(station)]
            if not rods.unread[j]:
                angle, length = float(rods.angle[j]), float(rods.length[j])
            if checked.held is not None:
                share = checked.held.rods[j].share
                over = checked.held.verdict_at(int(station))
        else:
            at = float(readings.sensor_length[k])
            bend = next((b for end, b in inside.items() if abs(end - at) < 1e-6), None)
            if bend is not None:
                angle, length = bend.angle, bend.end - bend.start
                share, over = bend.share, bend.verdict
        row |= _bend_json(angle, length)
        row["share_of_limit"] = _number(share)
        row["over"] = None if over == "unknown" else over
        rows.append(row)
    return rows


def _bend_json(angle: float, length: float) -> dict[str, float | None]:
    radius = length / angle if angle > 0.0 else math.nan
    return {
        "bend_deg": _number(math.degrees(angle)),
        "bend_radius_m": _number(radius),
        "dogleg_deg_per_30m": _number(math.degrees(angle) / length * PER_30_M),
    }


def bend_json(checked: CheckedLog, bend: LimitedBend) -> dict[str, Any]:
    """One entry of ``over_limit[]``: the bend, its limit, and the rods it concerns."""
    entry: dict[str, Any] = {
        "station": bend.station,
        "what": bend.what,
        "start_m": bend.start,
        "end_m": bend.end,
        **_bend_json(bend.angle, bend.end - bend.start),
        "limit_deg": math.degrees(bend.limit),
        "share_of_limit": _number(bend.share),
        "chance_over": _number(bend.chance),
        "over": bend.verdict,
        "by_pushed_length": bend.by_push,
    }
    if checked.moment is not None:
        places = concerned(checked.moment, bend)
        names = {rod.place: rod.name for rod in checked.rods}
        never = set(names) - set(places.passed) - set(places.in_it)
        entry["rods_passed"] = [names[place] for place in places.passed]
        entry["rods_in_it"] = [names[place] for place in places.in_it]
        entry["rods_never"] = [names[place] for place in sorted(never)]
    return entry


def rod_json(rod: CheckedRod) -> dict[str, Any]:
    """One entry of ``rods[]``."""
    worst = rod.life.worst
    return {
        "rod": rod.name,
        "place": rod.place,
        "turns": rod.turns,
        "turns_tighter_than_m": {
            f"{radius:g}": turns for radius, turns in zip(RADII, rod.tighter, strict=True)
        },
        "life_used": {
            "low": _number(worst.low),
            "best": _number(worst.best),
            "high": _number(worst.high),
            "design": _number(worst.design),
            "model": MODEL,
            "label": worst.label,
            "section": str(worst.section),
        },
        "life_used_by_section": {
            str(life.section): {
                "low": _number(life.low),
                "best": _number(life.best),
                "high": _number(life.high),
                "design": _number(life.design),
            }
            for life in rod.life.sections
        },
    }


def unknown_json(checked: CheckedLog) -> list[dict[str, Any]]:
    """``unknown[]``: what nobody read, with its stations."""
    readings = checked.readings
    full = ~readings.is_inside
    found = []
    for name in ("pitch", "heading"):
        missing = full & ~np.isfinite(getattr(readings, name))
        if missing.any():
            stations = [int(s) for s in readings.station[missing]]
            found.append({"what": name, "stations": stations})
    for each in checked.work.passes if checked.work else ():
        if each.hole_diameter is None:
            found.append({"what": "hole_diameter", "pass": each.name})
    return found


def pass_json(checked: CheckedLog) -> list[dict[str, Any]]:
    """``passes[]``: turns and where they come from."""
    return [
        {
            "pass": each.name,
            "what": each.what,
            "turns": each.turns.best,
            "turns_from": str(each.turns.rung),
            "turns_sigma_ln": each.turns.sigma,
            "hole_diameter_m": each.hole_diameter,
        }
        for each in (checked.work.passes if checked.work else ())
    ]


def check_json(checked: CheckedLog, warnings: Sequence[str]) -> dict[str, Any]:
    """The check as JSON, base SI with units in the keys.

    Parameters
    ----------
    checked : CheckedLog
        The check.
    warnings : sequence of str
        Its warnings in words.

    Returns
    -------
    dict
        stations, rods, passes, over_limit, three_rods, unknown, warnings.
    """
    held = checked.held
    return {
        "source": checked.source,
        "stations": station_json(checked),
        "rods": [rod_json(rod) for rod in checked.rods],
        "passes": pass_json(checked),
        "over_limit": [bend_json(checked, b) for b in held.notable] if held else [],
        "inside_rods": [bend_json(checked, b) for b in held.inside] if held else [],
        "three_rods": bend_json(checked, held.three) if held and held.three else None,
        "unknown": unknown_json(checked),
        "warnings": list(warnings),
    }
