"""The book: what the entries say, read back as small frozen records.

The book holds facts, not mechanics: things, sets, rigs, bores with their passes and readings,
looks, dressing, breaks and the rest, each with the entry it came from and when it happened.
All values are base SI; a value nobody typed is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from rodhand.record.book_bores import Bore, Load, Photo, Remark
from rodhand.record.book_looks import (
    Break,
    Check,
    ClassCalibration,
    Comparison,
    Compound,
    Dressing,
    Setting,
    StandingGiven,
    StandingHeld,
    Whereabouts,
)
from rodhand.record.book_things import FormerUse, LimitSince, Mark, Rig, RodSet, Thing
from rodhand.record.entry import Entry, overall_digest
from rodhand.record.grown import Grown
from rodhand.record.marks import fold
from rodhand.record.order import ClockMeasured
from rodhand.record.origin import Problem
from rodhand.steel.rod_type import RodType

if TYPE_CHECKING:
    from rodhand.record.gauge_register import Calibration, GaugeKnown
    from rodhand.record.planned import BookedBore, Plan, PriceGiven, Utility
    from rodhand.record.rig_day import Emergency, GaugePoint, RigCheck, ShiftCheck, ShiftLine, Site


@dataclass(frozen=True)
class Book:
    """Everything the entries say, up to one moment, in the order of the work.

    ``things`` is keyed by permanent key; ``sets``, ``rigs``, ``rod_types`` and ``bores`` by name;
    ``clocks``, what was measured of those that were off, by the folded key of the device.
    ``entries`` are those it was read from, in order of arrival, which says nothing about it.
    """

    rod_types: Mapping[str, RodType] = field(default_factory=dict)
    things: Mapping[str, Thing] = field(default_factory=dict)
    sets: Mapping[str, RodSet] = field(default_factory=dict)
    rigs: Mapping[str, Rig] = field(default_factory=dict)
    bores: Mapping[str, Bore] = field(default_factory=dict)
    loads: tuple[Load, ...] = ()
    checks: tuple[Check, ...] = ()
    dressings: tuple[Dressing, ...] = ()
    whereabouts: tuple[Whereabouts, ...] = ()
    formers: tuple[FormerUse, ...] = ()
    standings: tuple[StandingGiven, ...] = ()
    breaks: tuple[Break, ...] = ()
    comparisons: tuple[Comparison, ...] = ()
    rig_checks: tuple[RigCheck, ...] = ()
    gauges: tuple[GaugeKnown, ...] = ()
    calibrations: tuple[Calibration, ...] = ()
    compounds: tuple[Compound, ...] = ()
    gauge_tables: tuple[GaugePoint, ...] = ()
    emergencies: tuple[Emergency, ...] = ()
    sites: tuple[Site, ...] = ()
    shift_lines: tuple[ShiftLine, ...] = ()
    shift_checks: tuple[ShiftCheck, ...] = ()
    settings: tuple[Setting, ...] = ()
    class_calibrations: tuple[ClassCalibration, ...] = ()
    held: tuple[StandingHeld, ...] = ()
    limits: Mapping[str, tuple[LimitSince, ...]] = field(default_factory=dict)
    remarks: tuple[Remark, ...] = ()
    photos: tuple[Photo, ...] = ()
    plans: tuple[Plan, ...] = ()
    utilities: tuple[Utility, ...] = ()
    booked: tuple[BookedBore, ...] = ()
    prices: tuple[PriceGiven, ...] = ()
    recipes: Mapping[str, str] = field(default_factory=dict)
    clocks: Mapping[str, tuple[ClockMeasured, ...]] = field(default_factory=dict)
    entry_count: int = 0
    entries: Grown[Entry] = field(default_factory=Grown, repr=False, compare=False)
    as_of: str = ""
    problems: tuple[Problem, ...] = ()

    @cached_property
    def head(self) -> str:
        """The hash that stands for exactly these entries, whatever order they arrived in."""
        return overall_digest(entry.hash for entry in self.entries)

    @cached_property
    def bores_by_rig(self) -> Mapping[str, tuple[Bore, ...]]:
        """Rig, its name folded -> its bores in the order of the work."""
        found: dict[str, list[Bore]] = {}
        for bore in self.bores.values():
            found.setdefault(fold(bore.rig), []).append(bore)
        return {rig: tuple(bores) for rig, bores in found.items()}

    @cached_property
    def _carriers(self) -> Mapping[str, tuple[tuple[Mark, str], ...]]:
        """Every mark ever given -> (mark, key) in the order they were put on."""
        found: dict[str, list[tuple[Mark, str]]] = {}
        for key, thing in self.things.items():
            for mark in thing.marks:
                found.setdefault(fold(mark.text), []).append((mark, key))
        return {
            name: tuple(sorted(pairs, key=lambda pair: pair[0].since))
            for name, pairs in found.items()
        }

    @cached_property
    def _without_mark(self) -> Mapping[str, str]:
        """What things answer to without a mark: set and number, or the mark they last carried."""
        numbered = {
            fold(f"{thing.sets[0].set} no. {thing.number}"): key
            for key, thing in self.things.items()
            if thing.number and thing.sets
        }
        return {fold(thing.name): key for key, thing in self.things.items()} | numbered

    def thing_named(self, mark: str, on: str = "") -> Thing | None:
        """The thing that carries a mark, or whose key this is.

        Parameters
        ----------
        mark : str
            Mark, set and number of an unmarked rod, or key.
        on : str
            ISO day: who carried it then; now when empty.

        Returns
        -------
        Thing or None
            Who carries it on the day; where nobody does, the last who did before, or the first
            who did after; None when nobody ever carried it.
        """
        if mark in self.things:
            return self.things[mark]
        day, name = on or _FOR_GOOD, fold(mark)
        carried = self._carriers.get(name, ())
        known = [key for each, key in carried if each.is_on(day)]
        known = known or [key for each, key in carried if each.since[:10] <= day]
        key = known[-1] if known else carried[0][1] if carried else self._without_mark.get(name)
        return None if key is None else self.things[key]


_FOR_GOOD = "9999-12-31"
