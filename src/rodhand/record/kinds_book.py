"""Kinds of entry about the book itself."""

from __future__ import annotations

from rodhand.record.choices import AT_SENDING, CALIBRATED_CLASSES, CLASS_CALIBRATION, COUNTED
from rodhand.record.kind import NAME, Field, Kind, choice, quantity

OF_THE_BOOK = (
    Kind(
        CLASS_CALIBRATION,
        (
            Field("model", "whole", required=True),
            Field("why", required=True),
            *(
                Field(f"{name}_{part}", "whole" if part in COUNTED else "number")
                for name in CALIBRATED_CLASSES
                for part in ("factor", "sigma", *COUNTED)
            ),
            Field("rods", "whole"),
            Field("entries", "whole"),
            Field("digest", "name"),
        ),
    ),
    Kind(
        "setting",
        (Field("setting", "name", required=True), Field("value", required=True), Field("why")),
    ),
    Kind("recipe", (NAME, Field("mapping", required=True))),
    Kind(
        "import",
        (
            Field("file", required=True),
            Field("count", "whole", required=True),
            Field("digest", "name", required=True),
            Field("bore", "name"),
            Field("recipe", "name"),
        ),
    ),
    Kind(
        "clock",
        (
            Field("device", "name", required=True),
            quantity("fast_by", "duration", True),
            choice("how", (AT_SENDING,)),
        ),
    ),
    Kind("strike", (Field("entry", "name", required=True), Field("why", required=True))),
)
