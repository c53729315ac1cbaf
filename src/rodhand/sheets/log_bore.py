"""A log file as one bore's passes, for checking it without a book."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from rodhand.record.book_bores import Bore, BorePass, OldHole, Reading
from rodhand.record.origin import Moment, Origin
from rodhand.record.redrills import parted
from rodhand.sheets.log import NUMBER_FIELDS, PILOT, LogFile

NO_ENTRY = Origin("", Moment("", "", "unknown"), "", "", 0)
"""A row that stands in a file and in no book has no entry behind it."""
READING_NAMES = {field.name for field in fields(Reading)}


def _reading(log: LogFile, index: int) -> Reading:
    typed = log.row(index)
    values: dict[str, Any] = {
        name: None if math.isnan(value) else float(value)
        for name in NUMBER_FIELDS
        if name in READING_NAMES and name != "station"
        for value in (log.si[name][index],)
    }
    values["pitch"] = _known(float(log.slope[index]))
    values["heading"] = _known(float(log.direction[index]))
    return Reading(
        origin=NO_ENTRY,
        station=float(log.si["station"][index]),
        typed=typed,
        rod=typed.get("rod", ""),
        heading_ref=log.heading_ref,
        remark=typed.get("remark", ""),
        anew=_times(typed.get("anew", "")),
        **values,
    )


def _times(text: str) -> int | None:
    return int(text) if text.isdigit() else None


def _known(value: float) -> float | None:
    return None if math.isnan(value) else value


def _kind_of_pass(name: str) -> str:
    """What a pass is by its name: the pilot, a pullback, or any other pass toward the rig."""
    if name == PILOT:
        return "pilot"
    for kind in ("pullback", "push-ream", "pre-ream", "swab", "trip", "ream"):
        if name.startswith(kind):
            return kind
    return "pullback" if name.startswith("pull") else "ream"


def bore_of_log(log: LogFile) -> Bore:
    """The passes and rows of a log as a bore without a book.

    Parameters
    ----------
    log : LogFile
        A rod-by-rod log.

    Returns
    -------
    Bore
        Named after the file; rods as typed, places where none was typed.
    """
    passes = tuple(_pass(log, name) for name in log.passes)
    return Bore(name=log.source, rig="", origin=NO_ENTRY, passes=passes)


def _pass(log: LogFile, name: str) -> BorePass:
    what = _kind_of_pass(name.casefold())
    rows = [_reading(log, int(index)) for index in log.rows_of(name)]
    if what != "pilot":
        return BorePass(name, what, tuple(rows))
    path, left = parted(((row.station, row.anew or 0, row) for row in rows), {})
    old = tuple(OldHole(each.number, each.left_at, _in_order(each.rows)) for each in left)
    return BorePass(name, what, _in_order(path), old_holes=old)


def _in_order(rows: Mapping[float, list[Reading]]) -> tuple[Reading, ...]:
    return tuple(row for station in sorted(rows) for row in rows[station])
