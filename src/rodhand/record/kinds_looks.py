"""Kinds of entry about looks at things and the work done on them."""

from __future__ import annotations

from rodhand.record.choices import (
    BOW_METHODS,
    CALIBRATION_RESULTS,
    CAUSES,
    DRESSINGS,
    ENDS,
    SECTIONS,
    STANDINGS,
)
from rodhand.record.kind import NOTE, RIG, SIGNS, THINGS_MEANT, Field, Kind, choice, quantity

LOOKS = (
    Kind(
        "check",
        (
            THINGS_MEANT,
            choice("end", ENDS),
            Field("item", "name", required=True),
            Field("found", required=True),
            quantity("reading", "size"),
            quantity("second_reading", "size"),
            quantity("third_reading", "size"),
            quantity("gauge_error", "size"),
            choice("method", BOW_METHODS),
            quantity("span", "length"),
            Field("gauge", "name"),
            Field("bore", "name"),
            NOTE,
            SIGNS,
        ),
    ),
    Kind(
        "dressing",
        (
            THINGS_MEANT,
            choice("end", ENDS),
            choice("what", DRESSINGS, True),
            quantity("removed", "size"),
            quantity("new_length", "length"),
            NOTE,
        ),
    ),
    Kind(
        "standing", (THINGS_MEANT, choice("standing", STANDINGS, True), Field("why", required=True))
    ),
    Kind(
        "held",
        (
            THINGS_MEANT,
            choice("standing", STANDINGS, True),
            Field("why", required=True),
            Field("before"),
            Field("after"),
            NOTE,
        ),
    ),
    Kind(
        "break",
        (
            Field("thing", "name", required=True),
            Field("bore", "name"),
            Field("station", "number"),
            choice("section", SECTIONS),
            choice("cause", CAUSES),
            NOTE,
        ),
    ),
    Kind(
        "photo",
        (
            THINGS_MEANT,
            Field("photo", required=True),
            Field("sha256", required=True),
            choice("end", ENDS),
            Field("item", "name"),
            choice("scale", ("yes", "no")),
            NOTE,
        ),
    ),
    Kind(
        "gauge",
        (
            Field("gauge", "name", required=True),
            Field("measures"),
            Field("serial"),
            quantity("error", "size"),
            Field("every_months", "number"),
            NOTE,
        ),
    ),
    Kind(
        "calibration",
        (
            Field("gauge", "name", required=True),
            choice("result", CALIBRATION_RESULTS, True),
            quantity("error", "size"),
            Field("until", "date"),
            Field("certificate"),
            NOTE,
        ),
    ),
    Kind(
        "comparison",
        (
            RIG,
            Field("gauge", "name", required=True),
            quantity("shown", "torque", True),
            quantity("reference", "torque", True),
            NOTE,
        ),
    ),
)
