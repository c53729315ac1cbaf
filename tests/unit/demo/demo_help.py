"""What the demo's tests ask again and again: entries of one kind, pitches as typed, marks."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import pairwise
from typing import Any

from rodhand.demo.diary import DemoEntry
from rodhand.demo.season import season
from rodhand.demo.truth import truth as told

SEEDS = range(20)
LIMIT_RADIUS_FT = {"Rig-12": 100.0, "Rig-40": 145.0, "Rig-100": 207.0}
"""Maker's least radius: scenario.json, R-S, R-M (invented), R-L (published there). [ft]"""
ROD_FT = {"Rig-12": 6.0, "Rig-40": 10.0, "Rig-100": 20.0}


@cache
def entries(seed: int = 7, planted: bool = True) -> tuple[DemoEntry, ...]:
    """The season, made once."""
    return tuple(season(seed, planted))


@cache
def truth(seed: int = 7, planted: bool = True) -> dict[str, Any]:
    """The truth about the season, made once."""
    return told(seed, planted)


def of_kind(kind: str, seed: int = 7, planted: bool = True) -> list[DemoEntry]:
    """Entries of one kind in order of typing."""
    return [entry for entry in entries(seed, planted) if entry.kind == kind]


def pilot_rows(seed: int, planted: bool) -> dict[str, list[DemoEntry]]:
    """Bore -> its pilot readings with a pitch, in order of typing."""
    rows: dict[str, list[DemoEntry]] = defaultdict(list)
    for entry in of_kind("reading", seed, planted):
        if entry.payload["pass"] == "pilot" and "pitch_pct" in entry.payload:
            rows[entry.payload["bore"]].append(entry)
    return rows


def past_the_limit(rows: Sequence[DemoEntry], rig: str) -> list[tuple[float, float]]:
    """Stations whose change of pitch from the reading before is past the maker's limit, by angle.

    Written anew from the typed rows: (station, share of the limit), whole rods and parts of rods.
    """
    found = []
    for one, other in pairwise(rows):
        length = (float(other.payload["station"]) - float(one.payload["station"])) * ROD_FT[rig]
        change = abs(
            math.atan(float(other.payload["pitch_pct"]) / 100)
            - math.atan(float(one.payload["pitch_pct"]) / 100)
        )
        share = change * LIMIT_RADIUS_FT[rig] / length
        if share > 1.0:
            found.append((float(other.payload["station"]), share))
    return found


def rig_of(seed: int, planted: bool) -> dict[str, str]:
    """Bore -> rig, from the bore entries."""
    bores = of_kind("bore", seed, planted)
    return {entry.payload["bore"]: entry.payload["rig"] for entry in bores}


def texts(found: Iterable[DemoEntry]) -> str:
    """Every typed text of some entries, for a search."""
    return "\n".join(text for entry in found for text in entry.payload.values())
