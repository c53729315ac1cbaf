"""The words of the record: every kind of entry, its fields, and what may be typed in them.

One table serves the page's forms, the workbook's sheets, the columns of a rows file and the
`enter` command, so a fact is written with the same words whichever way it comes in. A quantity
keeps its unit in its column name (`joint_od_in`), and its digits as typed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rodhand.units import SUFFIXES

FieldType = Literal["text", "name", "marks", "whole", "number", "date", "choice", "quantity"]

GROUNDS = ("soft-clay", "stiff-clay", "sand", "cobble", "soft-rock", "mixed", "unknown")
WHAT_THING = (
    "rod",
    "sub",
    "saver sub",
    "head",
    "transmitter housing",
    "transmitter",
    "reamer",
    "swivel",
)
WHEREABOUTS = (
    "row",
    "in the hole",
    "at the shop",
    "on another rig",
    "lent",
    "rented in",
    "sub-contractor's",
    "sold",
    "lost in hole",
    "found",
    "scrapped",
    "not known",
)
"""Where a thing may be. ``rented in`` and ``sub-contractor's`` are with us and belong to others."""
GONE = ("sold", "lost in hole", "scrapped")
"""Whereabouts of what is here no more: its mark may be given again."""
STANDINGS = ("not looked at", "fit", "watch", "dress", "set aside", "scrap")
"""From best known to worst; a rod's standing gets worse by computation, better only by a person."""
FORMER_SECTIONS = ("pin_thread", "pin_upset", "mid_tube", "box_upset", "box_thread")
"""Columns of a former owner's use: design, low, best and high sum and width, of each section."""
PASS_KINDS = ("pilot", "ream", "pre-ream", "push-ream", "swab", "trip", "pullback")
ENDS = ("pin", "box", "tube", "whole")
SECTIONS = ("pin thread", "pin-side upset", "mid tube", "box-side upset", "box thread", "unknown")
CAUSES = ("fatigue", "overload", "over-torque", "other", "unknown")
CALIBRATED_CLASSES = ("tube", "upset", "weld", "thread")
"""Classes of joint a calibration holds a factor on damage of; ``weld``: upset ends with flash."""
COUNTED = ("breaks", "survivors")
CLASS_CALIBRATION = "class-calibration"
EVENTS = ("torque spike", "jerk", "weep", "pressure drop", "stuck", "break", "loss", "other")
FREE_MOTIONS = ("turning off bottom", "pick-up", "slack-off")
"""How the string moved while nothing loaded its tool: on the spot, toward the rig, away from it."""
UTILITIES = ("electric", "gas", "unknown", "water", "telecom", "other")
"""What may be struck, in the order its emergency words are shown."""
FOUND_HOW = ("potholed seen", "located", "drawing", "unknown")
"""How well a utility is known, best first; the last two count as not found."""
RUNS = ("across", "along", "unknown")
CANDIDATES = ("shortest", "easiest", "deepest", "own")
SHIFTS = ("before work", "end of work")
BOW_METHODS = ("rolled", "line", "three gaps")
"""How a bow was read: rolled once round on two supports, one gap to a line, three gaps."""
BOX_KINDS = ("near row first", "rows last in first out", "loose rack")
"""How a box gives its rods; each is a table of data/box_kinds.toml."""
CHECK_STATES = ("done", "not done", "not looked at")
CALIBRATION_RESULTS = ("in order", "adjusted", "out of order")
UNDERS = ("nothing", "road", "rail", "water", "gas", "other")
DRESSINGS = (
    "cleaned",
    "dressed",
    "refaced",
    "chased",
    "re-cut",
    "straightened",
    "bite blended",
    "replaced",
)
PRICED = ("new rod", "rod move", "break", "rig day", "rig hour", *DRESSINGS)
"""What an owner may give a price of: a new rod, moving one rod, one break, a day or an hour of the
rig with its crew, and each work of the yard on one end."""


@dataclass(frozen=True)
class Field:
    """One field of a kind of entry.

    Parameters
    ----------
    name : str
        Name of the fact.
    type : str
        How the typed text is read; ``marks`` is a list of marks with ranges
        (``M1-01..M1-15, M2-03``), ``name`` a single name or mark.
    required : bool
        Whether the entry cannot stand without it.
    dimension : str
        For a quantity: its dimension in `rodhand.units.SUFFIXES`.
    choices : tuple of str
        For a choice: what may be typed.
    column : str
        First part of the column name where it differs from ``name``.
    """

    name: str
    type: FieldType = "text"
    required: bool = False
    dimension: str = ""
    choices: tuple[str, ...] = ()
    column: str = ""

    def columns(self) -> dict[str, str]:
        """Column names this field may be typed under -> unit suffix ('' for no unit)."""
        base = self.column or self.name
        if self.type != "quantity":
            return {base: ""}
        return {
            f"{base}_{suffix}" if suffix else base: suffix for suffix in SUFFIXES[self.dimension]
        }


def _quantity(name: str, dimension: str, required: bool = False, column: str = "") -> Field:
    return Field(name, "quantity", required, dimension, column=column)


def _choice(name: str, choices: tuple[str, ...], required: bool = False) -> Field:
    return Field(name, "choice", required, choices=choices)


READING_FIELDS = (
    Field("station", "number", required=True),
    Field("rod", "name"),
    _quantity("length", "length"),
    _quantity("md", "length"),
    _quantity("pitch", "slope"),
    _quantity("inclination", "angle"),
    _quantity("azimuth", "angle"),
    _quantity("heading", "angle"),
    _choice("heading_ref", ("magnetic", "grid", "true", "relative")),
    _quantity("offset", "length"),
    _quantity("depth", "length"),
    _quantity("push", "length"),
    _quantity("push_from", "length"),
    _quantity("push_to", "length"),
    Field("rotating_time", "quantity", dimension="duration", column="rotating"),
    Field("push_time", "quantity", dimension="duration", column="push"),
    Field("rpm", "number"),
    Field("turns", "number"),
    _quantity("thrust", "force"),
    _quantity("pull", "force"),
    _quantity("torque", "torque"),
    _quantity("makeup", "torque"),
    _quantity("hole_diameter", "size"),
    Field("remark"),
)
"""The columns of a rod-by-rod log (the contract of input columns), without bore and pass."""
SIGNS = Field("signs")
"""Signs a sheet of paper bore in place of a value: ``torque_ftlb "`` as the row above (the value
stands in its own column), ``pitch_pct ?`` not legible (no value stands)."""


@dataclass(frozen=True)
class Kind:
    """One kind of entry: its name and fields, in the order a person fills them in."""

    name: str
    fields: tuple[Field, ...]

    def columns(self) -> dict[str, tuple[Field, str]]:
        """Lower-case column name -> (field, unit suffix)."""
        return {
            column.lower(): (field, suffix)
            for field in self.fields
            for column, suffix in field.columns().items()
        }


def _kinds() -> tuple[Kind, ...]:
    name = Field("name", "name", required=True)
    bore = Field("bore", "name", required=True)
    rig = Field("rig", "name", required=True)
    things = Field("things", "marks", required=True)
    note = Field("note")
    return (
        Kind(
            "rod-type",
            (
                name,
                _quantity("tube_od", "size", True),
                _quantity("wall", "size", True),
                _quantity("length", "length", True),
                _quantity("joint_od", "size", True),
                _quantity("joint_bore", "size", True),
                _quantity("joint_length", "size", True),
                _quantity("yield", "stress", True),
                _choice("build", ("one-piece", "friction-welded", "unknown"), True),
                _choice("weld_flash", ("removed", "not removed", "unknown")),
                _quantity("limit_radius", "length"),
                _quantity("limit", "share"),
                _quantity("limit_length", "length"),
                _quantity("makeup", "torque"),
                _quantity("joint_torsional_yield", "torque"),
                _quantity("mass", "mass"),
                _choice("shoulders", ("single", "double", "unknown")),
                Field("price", "number"),
                _quantity("pitch_diameter", "size"),
                _quantity("lead", "size"),
                _quantity("pin_length", "size"),
                _quantity("counterbore", "size"),
                _quantity("root_truncation", "size"),
                Field("taper_in_per_ft", "number"),
                Field("half_angle_deg", "number"),
                _quantity("nose_od", "size"),
                _quantity("nose_id", "size"),
                note,
            ),
        ),
        Kind(
            "rig",
            (
                rig,
                Field("rod_type", "name"),
                _choice("pin_toward", ("head", "rig")),
                _choice("units", ("metric", "us")),
                Field("zone"),
                Field("box_rows", "whole"),
                Field("rods_per_row", "whole"),
                _choice("box_kind", BOX_KINDS),
                Field("pilot_rpm", "number"),
                Field("pull_rpm", "number"),
                _quantity("max_torque", "torque"),
                note,
            ),
        ),
        Kind(
            "set",
            (
                Field("set", "name", required=True),
                Field("rod_type", "name", required=True),
                Field("count", "whole", required=True),
                Field("marks_start", "name"),
                Field("bought", "date"),
                Field("rig", "name"),
                note,
            ),
        ),
        Kind(
            "past",
            (
                Field("set", "name", required=True),
                Field("rotating_time", "quantity", dimension="duration", column="rotating"),
                _choice("hours", ("unknown",)),
                _choice("ground", GROUNDS),
                _choice("order", ("same", "turned", "unknown")),
                note,
            ),
        ),
        Kind(
            "thing",
            (
                Field("thing", "name", required=True),
                _choice("what", WHAT_THING, True),
                Field("set", "name"),
                Field("rod_type", "name"),
                Field("rig", "name"),
                _quantity("length", "length"),
                _quantity("bit_to_sensor", "length"),
                _quantity("limit_radius", "length"),
                _quantity("diameter", "size"),
                Field("serial"),
                Field("value", "number"),
                note,
            ),
        ),
        Kind(
            "former-use",
            (
                Field("thing", "name", required=True),
                Field("owner", required=True),
                Field("since", "date"),
                Field("until", "date"),
                Field("rotating_time", "quantity", dimension="duration", column="rotating"),
                _choice("hours", ("unknown",)),
                _quantity("length", "length"),
                Field("pin_cuts", "whole"),
                Field("box_cuts", "whole"),
                *(Field(name, required=True) for name in FORMER_SECTIONS),
                Field("digest", "name", required=True),
                note,
            ),
        ),
        Kind(
            "mark",
            (
                Field("thing", "name", required=True),
                Field("mark", "name", required=True),
                Field("until", "date"),
            ),
        ),
        Kind("membership", (things, Field("set", "name", required=True), note)),
        Kind(
            "whereabouts",
            (
                things,
                _choice("where", WHEREABOUTS, True),
                Field("rig", "name"),
                Field("row", "whole"),
                note,
            ),
        ),
        Kind(
            "bore",
            (
                bore,
                rig,
                Field("place"),
                _choice("ground", GROUNDS),
                _choice("under", UNDERS),
                Field("head", "name"),
                _quantity("front_length", "length"),
                _quantity("bit_to_sensor", "length"),
                _quantity("hole_diameter", "size"),
                _quantity("rig_pitch", "slope"),
                _choice("salt_or_sour", ("yes", "no")),
                _quantity("plan_horizontal_radius", "length"),
                Field("client"),
                note,
            ),
        ),
        Kind(
            "plan",
            (
                Field("plan", "name", required=True),
                Field("rig", "name"),
                Field("rod_type", "name"),
                Field("head", "name"),
                _quantity("distance", "length", True),
                _quantity("exit_height", "length"),
                _quantity("entry_pitch", "slope", True),
                _quantity("exit_pitch", "slope", True),
                _quantity("cover", "length"),
                _quantity("cover_from", "length"),
                _quantity("cover_to", "length"),
                _quantity("product_od", "size"),
                _quantity("product_radius", "length"),
                _quantity("hole_diameter", "size"),
                _quantity("steer_radius", "length"),
                _choice("chosen", CANDIDATES),
                Field("pitches"),
                Field("headings"),
                note,
            ),
        ),
        Kind(
            "utility",
            (
                Field("plan", "name", required=True),
                Field("utility", "name", required=True),
                _choice("what", UTILITIES, True),
                _choice("how", FOUND_HOW, True),
                _quantity("at", "length", True),
                _choice("runs", RUNS),
                _quantity("to", "length"),
                _quantity("offset", "length"),
                _quantity("depth_top", "length"),
                _quantity("size", "size"),
                _quantity("allowance", "length"),
                note,
            ),
        ),
        Kind(
            "booked-bore",
            (
                bore,
                rig,
                _quantity("length", "length", True),
                _choice("ground", GROUNDS),
                _choice("under", UNDERS),
                Field("day", "date"),
                Field("turn", "whole"),
                Field("plan", "name"),
                note,
            ),
        ),
        Kind(
            "price",
            (
                _choice("what", PRICED, True),
                Field("price", "number"),
                Field("currency", "name"),
                Field("rod_type", "name"),
                _choice("under", UNDERS),
                Field("lead_days", "whole"),
                note,
            ),
        ),
        Kind(
            "load",
            (
                rig,
                Field("bore", "name"),
                things,
                _choice("how", ("marked", "by row", "set only"), True),
                note,
            ),
        ),
        Kind("slip", (rig, bore, things, note)),
        Kind(
            "pass",
            (
                bore,
                Field("pass", "name", required=True),
                _choice("what", PASS_KINDS, True),
                Field("from_station", "number"),
                Field("to_station", "number"),
                _quantity("hole_diameter", "size"),
                Field("tool", "name"),
                _choice("product", ("yes", "no")),
                Field("lead_rods_off", "whole"),
                Field("rpm", "number"),
                Field("rotating_time", "quantity", dimension="duration", column="rotating"),
                Field("turns", "number"),
                _choice("tail_turns", ("yes", "no", "unknown")),
                Field("tail_rods", "marks"),
                _quantity("pull", "force"),
                _quantity("mud_pressure", "pressure"),
                note,
            ),
        ),
        Kind("reading", (bore, Field("pass", "name"), *READING_FIELDS, SIGNS)),
        Kind(
            "check",
            (
                things,
                _choice("end", ENDS),
                Field("item", "name", required=True),
                Field("found", required=True),
                _quantity("reading", "size"),
                _quantity("second_reading", "size"),
                _quantity("third_reading", "size"),
                _quantity("gauge_error", "size"),
                _choice("method", BOW_METHODS),
                _quantity("span", "length"),
                Field("gauge", "name"),
                Field("bore", "name"),
                note,
                SIGNS,
            ),
        ),
        Kind(
            "dressing",
            (
                things,
                _choice("end", ENDS),
                _choice("what", DRESSINGS, True),
                _quantity("removed", "size"),
                _quantity("new_length", "length"),
                note,
            ),
        ),
        Kind(
            "standing", (things, _choice("standing", STANDINGS, True), Field("why", required=True))
        ),
        Kind(
            "held",
            (
                things,
                _choice("standing", STANDINGS, True),
                Field("why", required=True),
                Field("before"),
                Field("after"),
                note,
            ),
        ),
        Kind(
            "break",
            (
                Field("thing", "name", required=True),
                Field("bore", "name"),
                Field("station", "number"),
                _choice("section", SECTIONS),
                _choice("cause", CAUSES),
                note,
            ),
        ),
        Kind(
            "event",
            (
                bore,
                Field("pass", "name"),
                Field("station", "number"),
                _choice("what", EVENTS, True),
                _quantity("torque", "torque"),
                note,
            ),
        ),
        Kind(
            "free-reading",
            (
                bore,
                Field("pass", "name"),
                Field("station", "number", required=True),
                _choice("motion", FREE_MOTIONS, True),
                _quantity("thrust", "force"),
                _quantity("pull", "force"),
                _quantity("torque", "torque"),
                note,
            ),
        ),
        Kind(
            "makeup",
            (
                bore,
                Field("pass", "name"),
                Field("from_station", "number", required=True),
                Field("to_station", "number", required=True),
                _quantity("torque", "torque"),
                _quantity("share", "share"),
                _choice("compound_on", ("yes", "no")),
                _choice("result", ("would not torque up",)),
                note,
            ),
        ),
        Kind(
            "gauge-table",
            (
                rig,
                Field("gear", "name", required=True),
                Field("circuit", "name"),
                _quantity("pressure", "pressure", True),
                _quantity("torque", "torque", True),
                note,
            ),
        ),
        Kind(
            "emergency",
            (
                rig,
                _choice("what", UTILITIES, True),
                Field("words", required=True),
                Field("telephone"),
                note,
            ),
        ),
        Kind("site", (rig, Field("address", required=True), Field("bore", "name"), note)),
        Kind(
            "shift-line",
            (rig, _choice("shift", SHIFTS, True), Field("item", "name", required=True), note),
        ),
        Kind(
            "shift-check",
            (
                rig,
                _choice("shift", SHIFTS, True),
                Field("item", "name", required=True),
                _choice("state", CHECK_STATES, True),
                note,
            ),
        ),
        Kind(
            "comparison",
            (
                rig,
                Field("gauge", "name", required=True),
                _quantity("shown", "torque", True),
                _quantity("reference", "torque", True),
                note,
            ),
        ),
        Kind(
            "rig-check",
            (rig, Field("item", "name", required=True), Field("found", required=True), note),
        ),
        Kind(
            "gauge",
            (
                Field("gauge", "name", required=True),
                Field("measures"),
                Field("serial"),
                _quantity("error", "size"),
                Field("every_months", "number"),
                note,
            ),
        ),
        Kind(
            "calibration",
            (
                Field("gauge", "name", required=True),
                _choice("result", CALIBRATION_RESULTS, True),
                _quantity("error", "size"),
                Field("until", "date"),
                Field("certificate"),
                note,
            ),
        ),
        Kind(
            "compound", (rig, Field("compound", required=True), Field("friction_factor", "number"))
        ),
        Kind(
            "remark",
            (
                Field("bore", "name"),
                Field("station", "number"),
                Field("things", "marks"),
                Field("text", required=True),
            ),
        ),
        Kind(
            "photo",
            (
                things,
                Field("photo", required=True),
                Field("sha256", required=True),
                _choice("end", ENDS),
                Field("item", "name"),
                _choice("scale", ("yes", "no")),
                note,
            ),
        ),
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
        Kind("recipe", (name, Field("mapping", required=True))),
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
            (Field("device", "name", required=True), _quantity("fast_by", "duration", True)),
        ),
        Kind("strike", (Field("entry", "name", required=True), Field("why", required=True))),
    )


KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _kinds()}
"""Every kind of entry by name."""
