"""A log file as one bore's passes, for checking it without a book."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

from rodhand.record.book_bores import Bore, BorePass, Reading
from rodhand.record.origin import Moment, Origin
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
        **values,
    )


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
    passes = tuple(
        BorePass(
            name=name,
            what=_kind_of_pass(name.casefold()),
            readings=tuple(_reading(log, int(index)) for index in log.rows_of(name)),
        )
        for name in log.passes
    )
    return Bore(name=log.source, rig="", origin=NO_ENTRY, passes=passes)
