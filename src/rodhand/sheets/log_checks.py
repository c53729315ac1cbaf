"""What cannot be in a log (a fault), and what is kept and asked about (a flag)."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rodhand.sheets.fault_list import FaultList
from rodhand.sheets.flags import FlagList
from rodhand.sheets.log_columns import Column
from rodhand.units import FOOT

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Indices = NDArray[np.intp]

MOST_STATIONS = 5000
"""Stations of one pass; 5,000 rods are 15 km and more, so such a file is no rod-by-rod log."""

_NOT_NEGATIVE = (
    "station", "length", "md", "push", "push_from", "push_to", "rotating_time", "push_time",
    "rpm", "turns", "thrust", "pull", "torque", "makeup", "hole_diameter",
)  # fmt: skip
_CIRCLE = {"inclination": (0.0, math.pi), "azimuth": (-2 * math.pi, 2 * math.pi),
           "heading": (-2 * math.pi, 2 * math.pi)}  # fmt: skip
_STEEP = {"pct": 60.0, "deg": 30.0}
"""Pitch beyond which a reading is kept and asked about [%, degrees]."""
_USUAL = {
    "depth": (-15.0, 60.0), "offset": (-100.0, 100.0), "hole_diameter": (0.02, 2.0),
    "rpm": (0.0, 400.0), "turns": (0.0, 50_000.0), "rotating_time": (0.0, 86_400.0),
    "push_time": (0.0, 86_400.0), "thrust": (0.0, 6e6), "pull": (0.0, 6e6),
    "torque": (0.0, 3e5), "makeup": (20.0, 3e5),
}  # fmt: skip
"""Range in base SI outside which a unit was probably mistaken; ours, wide on purpose."""


@dataclass(frozen=True)
class Rows:
    """All rows of a log while it is checked: texts, numbers as typed, and base SI."""

    kind: Literal["log", "survey"]
    lines: tuple[int, ...]
    columns: Mapping[str, Column]
    texts: Mapping[str, Sequence[str]]
    numbers: Mapping[str, Array]
    si: Mapping[str, Array]
    pass_of: tuple[str, ...]

    def tell(
        self, where: Mask, field: str, add: Callable[..., None], code: str, **values: str
    ) -> None:
        """Note the same thing for every row where a mask holds."""
        column, texts = self.columns[field].name, self.texts[field]
        for index in np.flatnonzero(where).tolist():
            add(code, texts[index], self.lines[index], column, **values)


def check_rows(
    rows: Rows, rod_length: float | None, length_needed: bool, faults: FaultList, flags: FlagList
) -> None:
    """Look at every row and note what is wrong or doubtful.

    Parameters
    ----------
    rows : Rows
        The log.
    rod_length : float or None
        Length of a rod whose row says none. [m]
    length_needed : bool
        Whether a row without any length is a fault.
    faults, flags : FaultList, FlagList
        Take what cannot be used, and what is kept and asked about.
    """
    _check_ranges(rows, faults, flags)
    numbered = rows.kind == "log" and "station" in rows.numbers
    times = rows.texts.get("anew", [""] * len(rows.pass_of))
    for index in [i for i, text in enumerate(times) if text and not text.isdigit()]:
        faults.add("anew_number", times[index], rows.lines[index], "anew")
    drilled = [(name, text.strip("0")) for name, text in zip(rows.pass_of, times, strict=True)]
    for name, anew in dict.fromkeys(drilled):
        members = np.array([i for i, each in enumerate(drilled) if each == (name, anew)], dtype=int)
        _check_md(rows, members, name, faults, flags)
        if numbered:
            _check_stations(rows, members, name, faults, flags, begins=not anew)
            _check_rods(rows, members, faults)
    if numbered:
        _check_lengths(rows, rod_length, length_needed, faults, flags)
        _check_pushes(rows, faults)
    if rows.kind == "survey":
        blank = np.isnan(rows.si["md"]) & _typed_blank(rows, "md")
        rows.tell(blank, "md", faults.add, "md_missing")


def _typed_blank(rows: Rows, field: str) -> Mask:
    return np.array([not text for text in rows.texts[field]], dtype=bool)


def _check_ranges(rows: Rows, faults: FaultList, flags: FlagList) -> None:
    for field in _NOT_NEGATIVE:
        if field in rows.numbers:
            rows.tell(rows.numbers[field] < 0, field, faults.add, "negative")
    for field, (low, high) in _CIRCLE.items():
        if field in rows.numbers:
            outside = (rows.si[field] < low) | (rows.si[field] > high)
            degrees = {"low": f"{math.degrees(low):g}", "high": f"{math.degrees(high):g}"}
            rows.tell(outside, field, faults.add, "angle_outside", **degrees)
    if "pitch" in rows.numbers:
        steep = _STEEP[rows.columns["pitch"].suffix]
        rows.tell(np.abs(rows.numbers["pitch"]) > steep, "pitch", flags.add, "steep",
                  most=f"{steep:g}")  # fmt: skip
    for field, (low, high) in _USUAL.items():
        if field in rows.numbers:
            values = rows.si[field]
            doubtful = ((values < low) | (values > high)) & ~(
                (rows.numbers[field] < 0) & (field in _NOT_NEGATIVE)
            )
            rows.tell(doubtful, field, flags.add, "unusual")


def _going(values: Array, must_rise: bool) -> float:
    """+1 where a pass goes away from the rig, -1 where it comes back."""
    steps = np.diff(values)
    return 1.0 if must_rise or np.sum(steps > 0) >= np.sum(steps < 0) else -1.0


def _check_order(
    rows: Rows, members: Indices, field: str, name: str, faults: FaultList, codes: tuple[str, str]
) -> None:
    """A column must go one way through a pass: up on the pilot, either way on any other."""
    known = members[~np.isnan(rows.si[field][members])]
    values = rows.si[field][known]
    sign = _going(values, name == "pilot")
    column = rows.columns[field].name
    farthest, at = -math.inf, -1
    for index, value in zip(known, sign * values, strict=True):
        if value > farthest:
            farthest, at = value, index
            continue
        code = codes[0] if value == farthest else codes[1]
        faults.add(code, rows.texts[field][index], rows.lines[index], column,
                   before=rows.texts[field][at], before_line=str(rows.lines[at]),
                   pass_name=name)  # fmt: skip


def _check_stations(
    rows: Rows, members: Indices, name: str, faults: FaultList, flags: FlagList, begins: bool
) -> None:
    stations = rows.si["station"]
    blank = np.zeros(len(stations), dtype=bool)
    blank[members] = _typed_blank(rows, "station")[members]
    rows.tell(blank, "station", faults.add, "station_missing")
    if len(members) > MOST_STATIONS:
        faults.add("log_too_long", f"{len(members):,}", column="station",
                   most=f"{MOST_STATIONS:,}", pass_name=name)  # fmt: skip
    _check_order(rows, members, "station", name, faults, ("station_doubled", "station_back"))
    _flag_gaps(rows, members, name, flags, begins)


def _flag_gaps(rows: Rows, members: Indices, name: str, flags: FlagList, begins: bool) -> None:
    """Whole stations nobody wrote down between those of a pass (before the first, on the pilot)."""
    known = members[~np.isnan(rows.si["station"][members])]
    whole = [(math.ceil(rows.si["station"][i]), i) for i in known]
    if name == "pilot" and begins and whole and whole[0][0] > 1:
        whole.insert(0, (0, whole[0][1]))
    for (before, _), (after, index) in pairwise(whole):
        low, high = sorted((before, after))
        if high - low > 1:
            left_out = f"{low + 1}" if high - low == 2 else f"{low + 1}-{high - 1}"
            flags.add("stations_left_out", left_out, rows.lines[index], "station", pass_name=name)


def _check_rods(rows: Rows, members: Indices, faults: FaultList) -> None:
    """One rod is drilled down once in a pass; rows inside its interval may name it again."""
    if "rod" not in rows.texts:
        return
    first_at: dict[str, int] = {}
    for index in members:
        rod = rows.texts["rod"][index].casefold()
        station = rows.si["station"][index]
        if not rod or math.isnan(station):
            continue
        first = first_at.setdefault(rod, index)
        if math.ceil(rows.si["station"][first]) != math.ceil(station):
            faults.add("rod_twice", rows.texts["rod"][index], rows.lines[index], "rod",
                       station=rows.texts["station"][first],
                       before_line=str(rows.lines[first]))  # fmt: skip


def _check_md(rows: Rows, members: Indices, name: str, faults: FaultList, flags: FlagList) -> None:
    if "md" not in rows.numbers:
        return
    _check_order(rows, members, "md", name, faults, ("md_doubled", "md_back"))
    if "length" not in rows.numbers or rows.kind != "log":
        return
    station, md, length = (rows.si[field][members] for field in ("station", "md", "length"))
    step = np.abs(np.diff(md))
    one_rod = np.diff(station) == 1.0
    differs = one_rod & (np.abs(step - length[1:]) > np.maximum(0.05, 0.02 * length[1:]))
    where = np.zeros(len(rows.lines), dtype=bool)
    where[members[1:][differs]] = True
    rows.tell(where, "md", flags.add, "md_against_length")


def _check_lengths(
    rows: Rows, rod_length: float | None, needed: bool, faults: FaultList, flags: FlagList
) -> None:
    station, length, md = (rows.si[field] for field in ("station", "length", "md"))
    whole_rod = (station >= 1) & (station == np.floor(station))
    if needed and rod_length is None:
        if "length" not in rows.numbers and "md" not in rows.numbers:
            faults.add("length_column_missing", line=1, column="length_m / length_ft")
        else:
            field = "length" if "length" in rows.numbers else "md"
            unknown = whole_rod & np.isnan(length) & np.isnan(md) & _typed_blank(rows, field)
            rows.tell(unknown, field, faults.add, "length_missing")
    if "length" in rows.numbers:
        none = (length == 0) & whole_rod
        rows.tell(none, "length", faults.add, "length_zero")
        if rod_length is not None:
            _flag_length(rows, length / rod_length, "length", rod_length, flags)
    if "md" in rows.numbers and rod_length is not None:
        step = np.full(len(md), math.nan)
        step[1:] = np.abs(np.diff(md)) / np.maximum(np.abs(np.diff(station)), 1e-9)
        same_pass = np.array([False, *(a == b for a, b in zip(rows.pass_of, rows.pass_of[1:],
                                                              strict=False))])  # fmt: skip
        _flag_length(
            rows, np.where(same_pass, step, math.nan) / rod_length, "md", rod_length, flags
        )


def _flag_length(rows: Rows, ratio: Array, field: str, rod_length: float, flags: FlagList) -> None:
    """Lengths that are metres typed as feet, feet typed as metres, or no rod of this type."""
    mistaken = (np.abs(ratio * FOOT - 1) < 0.1) | (np.abs(ratio / FOOT - 1) < 0.1)
    values = {"rod_m": f"{rod_length:.2f}", "rod_ft": f"{rod_length / FOOT:.1f}"}
    rows.tell(mistaken, field, flags.add, "length_unit", **values)
    rows.tell((ratio > 1.6) & ~mistaken, field, flags.add, "length_unusual", **values)


def _check_pushes(rows: Rows, faults: FaultList) -> None:
    if "push_from" in rows.numbers and "push_to" in rows.numbers:
        wrong = rows.si["push_to"] <= rows.si["push_from"]
        rows.tell(wrong, "push_to", faults.add, "push_backwards")


def heading_reference(rows: Rows, faults: FaultList, flags: FlagList) -> str:
    """What the file's headings are counted from: one reference for all; relative when not said.

    Parameters
    ----------
    rows : Rows
        The log.
    faults, flags : FaultList, FlagList
        Take a word that is no reference or a second one, and a reference that was assumed.

    Returns
    -------
    str
        ``magnetic``, ``grid``, ``true`` or ``relative``.
    """
    read = ~np.isnan(rows.si["heading"]) | ~np.isnan(rows.si["azimuth"])
    first = ""
    if "heading_ref" in rows.texts:
        column = rows.columns["heading_ref"]
        for text, line in zip(rows.texts["heading_ref"], rows.lines, strict=True):
            word = text.lower()
            if not word:
                continue
            if word not in column.field.choices:
                choices = " / ".join(column.field.choices)
                faults.add("not_a_choice", text, line, column.name, choices=choices)
            elif first and word != first:
                faults.add("heading_ref_mixed", text, line, column.name, first=first)
            else:
                first = word
    if not first and bool(np.any(read)):
        field = "heading" if "heading" in rows.columns else "azimuth"
        flags.add("heading_ref_assumed", line=1, column=rows.columns[field].name)
    return first or "relative"
