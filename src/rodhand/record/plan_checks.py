"""What cannot be in a plan, a utility, a booking or a price; what can but is asked about."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rodhand.faults import Fault
from rodhand.units import System, show

MOST_RODS = 400
STEEPEST_TARGET = 100.0
"""Pitch target nobody drills, either way. [%]"""
ODD_ABOVE = {
    "distance": 1500.0, "cover": 20.0, "depth_top": 10.0, "size": 2.0, "product_od": 1.5,
    "hole_diameter": 2.0, "allowance": 10.0,
}  # fmt: skip
"""Kept above this, and asked about: more likely a slip of the unit (ours). [m]"""
NEAR_ALLOWANCE = 0.3
"""Kept below this, and asked about: nearer than the 18 in common practice (ours). [m]"""
Found = tuple[list[Fault], list[Fault]]


def read_targets(text: str) -> tuple[float, ...] | None:
    """Targets typed in one field, apart by blanks or semicolons; None where one is no number.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    tuple of float or None
        In the unit they were typed in.
    """
    try:
        numbers = tuple(float(each) for each in text.replace(";", " ").split())
    except ValueError:
        return None
    return numbers if all(math.isfinite(each) for each in numbers) else None


LONGEST_BORE = 10_000.0
"""No bore to come is longer: a slipped digit, not a bore (common practice, no source). [m]"""


def long_faults(name: str, values: Mapping[str, object], columns: Mapping[str, str]) -> list[Fault]:
    """That a length is longer than any bore."""
    length = _number(values, name)
    if length is None or length <= LONGEST_BORE:
        return []
    most = {
        "metric": show(LONGEST_BORE, "distance", "metric"),
        "us": show(LONGEST_BORE, "distance", "us"),
    }
    return [Fault("bore_long", f"{length:,.0f} m", column=columns[name], values=most)]


def plan_faults(values: Mapping[str, object], columns: Mapping[str, str]) -> Found:
    """Faults and flags of a plan.

    Parameters
    ----------
    values : mapping
        Fields that could be read. [SI]
    columns : mapping
        Field name to the column it was typed under.

    Returns
    -------
    tuple of two lists
        What cannot be, and what is kept and asked about.
    """
    faults, flags = long_faults("distance", values, columns), _odd(values, columns)
    for name in ("distance", "product_radius", "steer_radius", "entry_pitch", "exit_pitch",
                 "product_mass", "product_pull"):  # fmt: skip
        if values.get(name) == 0.0:
            faults.append(Fault("plan_zero", "0", column=columns[name]))
    distance, start, end = (_number(values, n) for n in ("distance", "cover_from", "cover_to"))
    if start is not None and end is not None and end < start:
        system = _system(columns["cover_to"])
        faults.append(Fault("plan_cover_order", show(end, "length", system),
                            column=columns["cover_to"],
                            values={"start": show(start, "length", system)}))  # fmt: skip
    for name, place in (("cover_from", start), ("cover_to", end)):
        if place is not None and distance is not None and not 0.0 < place < distance:
            system = _system(columns[name])
            faults.append(Fault("plan_cover_outside", show(place, "length", system),
                                column=columns[name],
                                values={"distance": show(distance, "length", system)}))  # fmt: skip
    for name in ("cover_from", "cover_to"):
        if name in columns and "cover" not in columns:
            faults.append(Fault("plan_cover_missing", column=columns[name]))
    return faults + _target_faults(values, columns), flags


def utility_faults(values: Mapping[str, object], columns: Mapping[str, str]) -> Found:
    """Faults and flags of a utility; as `plan_faults`."""
    faults, flags = [], _odd(values, columns)
    start, end = _number(values, "at"), _number(values, "to")
    if start is not None and end is not None and end < start:
        faults.append(Fault("utility_order", column=columns["to"]))
    for name in ("to", "offset"):
        if name in columns and values.get("runs") != "along":
            faults.append(Fault("utility_across", column=columns[name]))
    if values.get("runs") == "along" and "offset" not in columns:
        faults.append(Fault("utility_offset", column="offset_m / offset_ft"))
    if values.get("size") == 0.0:
        faults.append(Fault("plan_zero", "0", column=columns["size"]))
    if values.get("how") == "potholed seen" and "depth_top" not in columns:
        faults.append(Fault("utility_seen_depth", column="depth_top_m / depth_top_ft"))
    near = _number(values, "allowance")
    if near is not None and near < NEAR_ALLOWANCE:
        flags.append(Fault("utility_near", column=columns["allowance"]))
    return faults, flags


def booked_faults(values: Mapping[str, object], columns: Mapping[str, str]) -> list[Fault]:
    """Faults of a booked bore: it has a length, and a day or a place in the order, not both."""
    faults = long_faults("length", values, columns)
    if values.get("length") == 0.0:
        faults.append(Fault("plan_zero", "0", column=columns["length"]))
    if "day" in columns and "turn" in columns:
        faults.append(Fault("booked_twice", column=columns["turn"]))
    return faults


def price_faults(values: Mapping[str, object], columns: Mapping[str, str]) -> list[Fault]:
    """Faults of a price: nothing given, or a column that does not go with what it is the price of.

    A price of 0 stands: what an owner does himself may cost nothing.
    """
    faults, what = [], values.get("what")
    if "price" not in columns and "lead_days" not in columns:
        faults.append(Fault("price_nothing", column="price"))
    for name, goes_with in (("lead_days", "new rod"), ("rod_type", "new rod"), ("under", "break")):
        if name in columns and what is not None and what != goes_with:
            found, only = f"{values.get(name) or ''}", {"what": goes_with}
            faults.append(Fault("price_column", found, column=columns[name], values=only))
    if "price" in columns and "currency" not in columns:
        faults.append(Fault("price_currency", column="currency"))
    return faults


def _system(column: str) -> System:
    """Unit system a column was typed in, so that its fault tells it as typed."""
    return "us" if column.endswith("_ft") else "metric"


def _number(values: Mapping[str, object], name: str) -> float | None:
    value = values.get(name)
    return value if isinstance(value, float) else None


def _odd(values: Mapping[str, object], columns: Mapping[str, str]) -> list[Fault]:
    return [
        Fault("plan_odd", column=columns[name])
        for name, most in ODD_ABOVE.items()
        if (value := _number(values, name)) is not None and value > most
    ]


def _target_faults(values: Mapping[str, object], columns: Mapping[str, str]) -> list[Fault]:
    faults: list[Fault] = []
    counts = {}
    for name in ("pitches", "headings"):
        typed = str(values.get(name, ""))
        targets = read_targets(typed)
        largest = STEEPEST_TARGET if name == "pitches" else 180.0
        if targets is None or len(targets) > MOST_RODS or any(abs(t) > largest for t in targets):
            faults.append(Fault("plan_targets", typed[:60], column=name))
        elif targets:
            counts[name] = len(targets)
    if counts.get("headings", counts.get("pitches")) != counts.get("pitches"):
        faults.append(Fault("plan_headings", column="headings"))
    if ("chosen" in columns) != ("pitches" in columns):
        missing = "pitches" if "chosen" in columns else "chosen"
        faults.append(Fault("plan_chosen", column=missing))
    return faults
