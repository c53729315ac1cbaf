"""Kinds of entry about a rig at work: its gauge, compound, checks and emergency words."""

from __future__ import annotations

from rodhand.record.choices import CHECK_STATES, SHIFTS, UTILITIES
from rodhand.record.kind import NOTE, RIG, Field, Kind, choice, quantity

AT_THE_RIG = (
    Kind(
        "gauge-table",
        (
            RIG,
            Field("gear", "name", required=True),
            Field("circuit", "name"),
            quantity("pressure", "pressure", True),
            quantity("torque", "torque", True),
            NOTE,
        ),
    ),
    Kind("compound", (RIG, Field("compound", required=True), Field("friction_factor", "number"))),
    Kind(
        "rig-check",
        (RIG, Field("item", "name", required=True), Field("found", required=True), NOTE),
    ),
    Kind(
        "emergency",
        (
            RIG,
            choice("what", UTILITIES, True),
            Field("words", required=True),
            Field("telephone"),
            NOTE,
        ),
    ),
    Kind("site", (RIG, Field("address", required=True), Field("bore", "name"), NOTE)),
    Kind(
        "shift-line",
        (RIG, choice("shift", SHIFTS, True), Field("item", "name", required=True), NOTE),
    ),
    Kind(
        "shift-check",
        (
            RIG,
            choice("shift", SHIFTS, True),
            Field("item", "name", required=True),
            choice("state", CHECK_STATES, True),
            NOTE,
        ),
    ),
)
