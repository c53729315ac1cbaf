"""The book read back from the entries: the same book in whatever order they arrived."""

from __future__ import annotations

import operator
from collections.abc import Iterable
from typing import Any, TypeVar

from rodhand.record.book import (
    Book,
    Break,
    Check,
    ClassCalibration,
    Comparison,
    Compound,
    Dressing,
    Photo,
    Problem,
    Remark,
    Setting,
    StandingGiven,
    StandingHeld,
    Whereabouts,
)
from rodhand.record.bores import read_bores
from rodhand.record.entry import Entry, overall_digest
from rodhand.record.gauge_register import Calibration, GaugeKnown
from rodhand.record.marks import fold
from rodhand.record.names import Names
from rodhand.record.order import Heard, Said, known_by, listen
from rodhand.record.planned import BookedBore, Plan, PriceGiven, Utility
from rodhand.record.rig_day import Emergency, GaugePoint, RigCheck, ShiftCheck, ShiftLine, Site
from rodhand.record.things import dress, read_formers, read_yard

Fact = TypeVar(
    "Fact",
    BookedBore,
    Break,
    Calibration,
    Check,
    ClassCalibration,
    Comparison,
    Compound,
    Dressing,
    Emergency,
    GaugeKnown,
    GaugePoint,
    Photo,
    Plan,
    PriceGiven,
    Remark,
    RigCheck,
    ShiftCheck,
    ShiftLine,
    Site,
    StandingGiven,
    StandingHeld,
    Utility,
    Whereabouts,
)


def read_book(entries: Iterable[Entry], as_of: str | None = None) -> Book:
    """Read the book back from its entries.

    Parameters
    ----------
    entries : iterable of Entry
        In any order; an entry that stands twice counts once.
    as_of : str, optional
        ISO date. Only entries typed by the end of that day count, so that a paper prints again
        as it was, even where something earlier was typed later.

    Returns
    -------
    Book
        What the entries say. Nothing is dropped silently: what cannot be used is in
        ``problems``.

    Notes
    -----
    Facts are in order of when they happened, less the measured error of the device's clock, then
    of the device's counter. Readings are in order of bore, pass and station. The time an entry
    was typed never decides.
    """
    known = known_by(entries, as_of)
    heard = listen(known)
    yard = read_yard(heard)
    for said in heard.by_kind["bore"]:  # names first: a remark may come before its bore
        yard.names.bores.setdefault(fold(said.values["bore"]), said.values["bore"])
    facts = _Facts(heard, yard.names)
    remarks = facts.read("remark", Remark)
    ground = read_bores(heard, yard, remarks)
    formers = read_formers(yard, heard)
    dressings = facts.read("dressing", Dressing)
    dress(yard, dressings)
    return Book(
        rod_types=yard.rod_types,
        things=yard.things,
        sets=yard.sets,
        rigs=yard.rigs,
        bores=ground.bores,
        loads=ground.loads,
        checks=facts.read("check", Check),
        dressings=dressings,
        whereabouts=facts.read("whereabouts", Whereabouts),
        formers=formers,
        standings=facts.read("standing", StandingGiven),
        breaks=facts.read("break", Break),
        comparisons=facts.read("comparison", Comparison),
        rig_checks=facts.read("rig-check", RigCheck),
        gauges=facts.read("gauge", GaugeKnown),
        calibrations=facts.read("calibration", Calibration),
        compounds=facts.read("compound", Compound),
        gauge_tables=facts.read("gauge-table", GaugePoint),
        emergencies=facts.read("emergency", Emergency),
        sites=facts.read("site", Site),
        shift_lines=facts.read("shift-line", ShiftLine),
        shift_checks=facts.read("shift-check", ShiftCheck),
        settings=tuple(_setting(said) for said in heard.by_kind["setting"]),
        class_calibrations=facts.read("class-calibration", ClassCalibration),
        held=facts.read("held", StandingHeld),
        limits={name: tuple(limits) for name, limits in yard.limits.items()},
        remarks=remarks,
        photos=facts.read("photo", Photo),
        plans=facts.read("plan", Plan),
        utilities=facts.read("utility", Utility),
        booked=facts.read("booked-bore", BookedBore),
        prices=facts.read("price", PriceGiven),
        recipes={said.values["name"]: said.values["mapping"] for said in heard.by_kind["recipe"]},
        entry_count=len(known),
        head=overall_digest([entry.hash for entry in known]),
        as_of=as_of or "",
        problems=_sorted(heard.problems + yard.problems + ground.problems + facts.problems),
    )


def _sorted(problems: list[Problem]) -> tuple[Problem, ...]:
    by = operator.attrgetter("entry", "code", "column", "found")
    return tuple(sorted(set(problems), key=by))


class _Facts:
    """Facts about things and rigs, with the names in them looked up."""

    def __init__(self, heard: Heard, names: Names) -> None:
        self._heard = heard
        self._names = names
        self.problems: list[Problem] = []

    def read(self, kind: str, record: type[Fact]) -> tuple[Fact, ...]:
        """All facts of one kind; one that is left without its thing is only told."""
        facts = (self._fact(said, record) for said in self._heard.by_kind[kind])
        return tuple(fact for fact in facts if fact is not None)

    def _fact(self, said: Said, record: type[Fact]) -> Fact | None:
        values: dict[str, Any] = said.values
        known = ("rig",) if said.entry.kind == "booked-bore" else ("rig", "bore")
        self.problems += self._names.settle(said, known)
        if said.entry.kind == "price":
            self.problems += self._names.settle(said, ("rod_type",))
        if "things" in values:
            things, problems = self._names.things(said)
            self.problems += problems
            if not things:
                return None
            values["things"] = things
        if "thing" in values:
            key = self._names.thing(values["thing"], said.origin.at)
            if key is None:
                self.problems.append(said.problem("thing_unknown", "thing", values["thing"]))
                return None
            values["thing"] = key
        return record(origin=said.origin, **values)


def _setting(said: Said) -> Setting:
    values = said.values
    return Setting(said.origin, values["setting"], values["value"], values.get("why", ""))
