"""Facts about things and rigs: which kinds they are, and how one entry becomes one fact."""

from __future__ import annotations

from typing import Any, NamedTuple

from rodhand.record.book_bores import Photo, Remark
from rodhand.record.book_looks import (
    Break,
    Check,
    ClassCalibration,
    Comparison,
    Compound,
    Dressing,
    StandingGiven,
    StandingHeld,
    Whereabouts,
)
from rodhand.record.gauge_register import Calibration, GaugeKnown
from rodhand.record.names import Names
from rodhand.record.order import Said
from rodhand.record.origin import Problem
from rodhand.record.planned import BookedBore, Plan, PriceGiven, Utility
from rodhand.record.rig_day import Emergency, GaugePoint, RigCheck, ShiftCheck, ShiftLine, Site


class FactOf(NamedTuple):
    """Where the book keeps the facts of one kind of entry, and as which record."""

    kept_in: str
    record: type[Any]


FACTS: dict[str, FactOf] = {
    "booked-bore": FactOf("booked", BookedBore),
    "break": FactOf("breaks", Break),
    "calibration": FactOf("calibrations", Calibration),
    "check": FactOf("checks", Check),
    "class-calibration": FactOf("class_calibrations", ClassCalibration),
    "comparison": FactOf("comparisons", Comparison),
    "compound": FactOf("compounds", Compound),
    "dressing": FactOf("dressings", Dressing),
    "emergency": FactOf("emergencies", Emergency),
    "gauge": FactOf("gauges", GaugeKnown),
    "gauge-table": FactOf("gauge_tables", GaugePoint),
    "held": FactOf("held", StandingHeld),
    "photo": FactOf("photos", Photo),
    "plan": FactOf("plans", Plan),
    "price": FactOf("prices", PriceGiven),
    "remark": FactOf("remarks", Remark),
    "rig-check": FactOf("rig_checks", RigCheck),
    "shift-check": FactOf("shift_checks", ShiftCheck),
    "shift-line": FactOf("shift_lines", ShiftLine),
    "site": FactOf("sites", Site),
    "standing": FactOf("standings", StandingGiven),
    "utility": FactOf("utilities", Utility),
    "whereabouts": FactOf("whereabouts", Whereabouts),
}
"""Kinds whose entries are facts each by itself, once the names are known."""

USUAL = ("rig", "bore")
_NAMED = {"booked-bore": ("rig",), "price": ("rod_type",)}
"""Names looked up where they are others than `USUAL`: a booked bore is not drilled yet."""


def names_asked(kind: str) -> tuple[str, ...]:
    """Fields of a kind whose names are looked up."""
    return _NAMED.get(kind, USUAL)


def fact_of(said: Said, names: Names) -> tuple[Any | None, list[Problem]]:
    """The fact an entry of one of `FACTS` makes.

    Parameters
    ----------
    said : Said
        The entry; it is left as it is.
    names : Names
        Every name the entries define.

    Returns
    -------
    tuple of fact or None, list of Problem
        None for a fact that is left without its thing; it is only told.
    """
    named = Said(said.entry, dict(said.values), said.origin, said.key)
    values, problems = named.values, names.settle(named, names_asked(said.entry.kind))
    if "things" in values:
        things, told = names.things(named)
        problems += told
        if not things:
            return None, problems
        values["things"] = things
    if "thing" in values:
        key = names.thing(values["thing"], said.origin.at)
        if key is None:
            return None, [*problems, said.problem("thing_unknown", "thing", values["thing"])]
        values["thing"] = key
    return FACTS[said.entry.kind].record(origin=said.origin, **values), problems
