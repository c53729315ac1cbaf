"""The first entries of the book: rod types, rigs, sets with their past, heads and tools."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from rodhand.demo.diary import Diary
from rodhand.demo.plan import L1_STARTS, M2_JOINS
from rodhand.demo.scenario import RigKit, rig_kit, rod_types, sets

OFFICE = "office"
YARD = "yard"
START = datetime(2025, 1, 3, 8, 0)
SET_STARTS = {
    "SET-M1": START,
    "SET-S1": START,
    "SET-S2": datetime(2025, 6, 20, 9, 0),
    "SET-M2": M2_JOINS + timedelta(hours=8),
    "SET-L1": L1_STARTS - timedelta(days=3, hours=-8),
}
SET_RIG = {
    "SET-M1": "Rig-40", "SET-M2": "Rig-40", "SET-S1": "Rig-12", "SET-S2": "Rig-12",
    "SET-L1": "Rig-100",
}  # fmt: skip
PAST_GROUND = {"SET-M1": "mixed", "SET-M2": "stiff-clay", "SET-S1": "mixed", "SET-S2": "soft-clay"}
UNPLANTED_PAST = 0.3
"""Share of the declared hours kept where nothing is planted: no set is near its end there. [1]"""
SUBS = {"Rig-12": "SS-12-2", "Rig-40": "SS-40-1", "Rig-100": "SS-100-1"}
RIG_STARTS = {"Rig-12": START, "Rig-40": START, "Rig-100": SET_STARTS["SET-L1"]}


def marks_of(name: str) -> list[str]:
    """The marks of one set's rods in order: ``M1-01`` to ``M1-40``, ``L1-001`` to ``L1-100``."""
    count = next(row["count"] for row in sets() if row["id"] == name)
    width = 3 if count > 99 else 2
    return [f"{name.removeprefix('SET-')}-{number:0{width}d}" for number in range(1, count + 1)]


def write_kit(diary: Diary, planted: bool) -> None:
    """Enter rod types, rigs with their tools, and sets with what is said of their past."""
    for row in rod_types():
        diary.add("rod-type", _rod_type(row), START, OFFICE, "owner-1")
    for name, start in RIG_STARTS.items():
        _write_rig(diary, rig_kit(name), start)
    for name, start in SET_STARTS.items():
        _write_set(diary, name, start, planted)


COUNTERBORE_MM = {"R-S": "38.5", "R-M": "53", "R-L": "80"}
"""Invented, wide enough for the crests of the pin's thread to pass."""


def _rod_type(row: Mapping[str, Any]) -> dict[str, str]:
    """One rod type as its sheet is typed in."""
    value = {
        key: str(part["value"])
        for key, part in row.items()
        if isinstance(part, dict) and "value" in part
    }
    welded = value["build"].startswith("friction")
    return {
        "name": row["id"],
        "tube_od_in": value["tube_od"],
        "wall_in": value["wall"],
        "length_ft": value["length"],
        "joint_od_in": value["tool_joint_od"],
        "joint_bore_in": value["tool_joint_id"],
        "joint_length_m": value["joint_length_each_end"],
        "yield_ksi": "135",
        "build": "friction-welded" if welded else "one-piece",
        "weld_flash": "unknown" if welded else "",
        "limit_radius_ft": value["min_bend_radius"],
        "makeup_ftlb": value["make_up_torque"],
        "joint_torsional_yield_ftlb": value["joint_torsional_yield"],
        "shoulders": "single" if row["joint_note"].startswith("single") else "double",
        "price": value["price_per_rod"],
        **{key: str(size) for key, size in row["thread"].items() if key != "tag"},
        "root_truncation_in": "0.038",
        "counterbore_mm": COUNTERBORE_MM[row["id"]],
        "note": "invented",
    }


def _write_rig(diary: Diary, kit: RigKit, start: datetime) -> None:
    number = kit.number
    diary.add(
        "rig",
        {
            "rig": kit.name,
            "rod_type": kit.rod_type,
            "pin_toward": "head",
            "units": kit.units,
            "zone": "-06:00",
            "box_rows": str(kit.rows),
            "rods_per_row": str(kit.per_row),
            "pilot_rpm": {"Rig-12": "120", "Rig-40": "100", "Rig-100": "90"}[kit.name],
            "pull_rpm": f"{kit.pull_rpm:g}",
            "max_torque_ftlb": f"{kit.max_torque:g}",
            "note": "invented",
        },
        start,
        OFFICE,
        "owner-1",
    )
    tools = [
        {"thing": f"HD-{number}", "what": "head", "length_m": str(kit.head_length_m),
         "bit_to_sensor_m": str(kit.bit_to_sensor_m), "diameter_mm": str(kit.bit_mm)},
        {"thing": f"TX-{number}", "what": "transmitter",
         "serial": f"T{number}-0417", "value": "3500"},
        {"thing": f"RM-{number}", "what": "reamer", "diameter_mm": str(kit.reamer_mm)},
        {"thing": f"SW-{number}", "what": "swivel", "serial": f"W{number}-0093"},
        {"thing": SUBS[kit.name], "what": "saver sub"},
    ]  # fmt: skip
    for tool in tools:
        diary.add("thing", {**tool, "rig": kit.name}, start, OFFICE, "office-1")
    compound = {"rig": kit.name, "compound": "zinc base", "friction_factor": "1.0"}
    diary.add("compound", compound, start, OFFICE, "foreman-1")


def _write_set(diary: Diary, name: str, start: datetime, planted: bool) -> None:
    row = next(row for row in sets() if row["id"] == name)
    said = start + timedelta(minutes=20)
    diary.add(
        "set",
        {
            "set": name,
            "rod_type": row["rod_type"],
            "count": str(row["count"]),
            "marks_start": marks_of(name)[0],
            "bought": row["bought"],
            "rig": SET_RIG[name],
            "note": "invented",
        },
        start + timedelta(minutes=10),
        OFFICE,
        "office-1",
    )
    hours = row["hours"] * (1.0 if planted else UNPLANTED_PAST)
    if not hours:
        return
    same_order = planted and name == "SET-M1"
    diary.add(
        "past",
        {
            "set": name,
            "rotating_h": f"{hours:g}",
            "ground": PAST_GROUND[name],
            "order": "same" if same_order else "turned",
            "note": "as the foreman remembers it",
        },
        said,
        OFFICE,
        "foreman-1",
    )
