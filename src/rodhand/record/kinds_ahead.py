"""Kinds of entry about bores to come, and what things cost."""

from __future__ import annotations

from rodhand.record.choices import CANDIDATES, FOUND_HOW, GROUNDS, PRICED, RUNS, UNDERS, UTILITIES
from rodhand.record.kind import BORE, NOTE, RIG, Field, Kind, choice, quantity

AHEAD = (
    Kind(
        "plan",
        (
            Field("plan", "name", required=True),
            Field("rig", "name"),
            Field("rod_type", "name"),
            Field("head", "name"),
            quantity("distance", "length", True),
            quantity("exit_height", "length"),
            quantity("entry_pitch", "slope", True),
            quantity("exit_pitch", "slope", True),
            quantity("cover", "length"),
            quantity("cover_from", "length"),
            quantity("cover_to", "length"),
            quantity("product_od", "size"),
            quantity("product_radius", "length"),
            quantity("product_mass", "line_mass"),
            quantity("product_pull", "force"),
            Field("reams", "whole"),
            quantity("hole_diameter", "size"),
            quantity("steer_radius", "length"),
            choice("chosen", CANDIDATES),
            Field("pitches"),
            Field("headings"),
            NOTE,
        ),
    ),
    Kind(
        "utility",
        (
            Field("plan", "name", required=True),
            Field("utility", "name", required=True),
            choice("what", UTILITIES, True),
            choice("how", FOUND_HOW, True),
            quantity("at", "length", True),
            choice("runs", RUNS),
            quantity("to", "length"),
            quantity("offset", "length"),
            quantity("depth_top", "length"),
            quantity("size", "size"),
            quantity("allowance", "length"),
            NOTE,
        ),
    ),
    Kind(
        "booked-bore",
        (
            BORE,
            RIG,
            quantity("length", "length", True),
            choice("ground", GROUNDS),
            choice("under", UNDERS),
            Field("day", "date"),
            Field("turn", "whole"),
            Field("plan", "name"),
            NOTE,
        ),
    ),
    Kind(
        "price",
        (
            choice("what", PRICED, True),
            Field("price", "number"),
            Field("currency", "name"),
            Field("rod_type", "name"),
            choice("under", UNDERS),
            Field("lead_days", "whole"),
            NOTE,
        ),
    ),
)
