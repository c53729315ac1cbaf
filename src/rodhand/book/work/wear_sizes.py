"""Gauge readings of rods' sizes with what each end had done by then: what a wear trend rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from rodhand.advice.looks import INCH, NEW_STEEL
from rodhand.advice.rules import Rule
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.gauge_register import ReadWith, read_with
from rodhand.book.work.make_ups import make_ups_on_record
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.record.book_looks import Check
from rodhand.record.book_things import Thing
from rodhand.steel.rod_type import RodType
from rodhand.wear.tracing import SUREST_FIRST
from rodhand.wear.who_stood import WhoStood

SIZES = ("joint-od", "tube-od", "tube-wall", "box-swell")
"""Looks whose number is a size that wears, keys of the rule table."""
DRIVERS: Mapping[str, tuple[str, ...]] = {
    "joint-od": ("metres", "hours"),
    "tube-od": ("metres", "hours"),
    "tube-wall": ("metres", "hours"),
    "box-swell": ("makeups", "metres"),
}
"""What each is counted against for its crossing, the first that is known: ground rubs the
outside, make-ups swell the box (common practice, no source)."""
ENDS_OF = {"box-swell": "box"}
SURE = SUREST_FIRST.index(WhoStood.BY_ROW)


@dataclass(frozen=True)
class ReadingThen:
    """One reading.

    Parameters
    ----------
    day, entry, gauge : str
        ISO day, its entry, and the gauge named.
    size : float
        The smaller of two diameters; of a box the larger. [m]
    read_with : ReadWith
        State and error of the gauge.
    done : mapping of str to (float or None)
        ``metres`` [m], ``hours`` [s] and ``makeups`` by then; None where not known.
    by_ground : mapping of str to float
        Metres in each ground. [m]
    """

    day: str
    entry: str
    gauge: str
    size: float
    read_with: ReadWith
    done: Mapping[str, float | None]
    by_ground: Mapping[str, float]


@dataclass(frozen=True)
class SizeHistory:
    """Readings of one size of one end since its steel was last cut, oldest first.

    Parameters
    ----------
    thing : Thing
        The rod.
    item, end : str
        Key of the rule table; which end, ``tube`` or empty.
    rule : Rule
        Where the limit comes from.
    limit : float
        Size at the limit. [m]
    readings : tuple of ReadingThen
        At least one.
    now : mapping of str to (float or None)
        What it has done by today, as in `ReadingThen`.
    """

    thing: Thing
    item: str
    end: str
    rule: Rule
    limit: float
    readings: tuple[ReadingThen, ...]
    now: Mapping[str, float | None]

    @property
    def grows(self) -> bool:
        """Whether wear makes the size larger."""
        return self.item == "box-swell"


def size_histories(assessment: Assessment) -> tuple[SizeHistory, ...]:
    """Every size of every rod that was ever read with a gauge.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    tuple of SizeHistory
        By name, item and end. A saver sub's work is not on record and has none.
    """
    rows: dict[tuple[str, str, str], list[Check]] = {}
    for check in assessment.book.checks:
        if check.item not in SIZES or check.reading is None:
            continue
        end = check.end or ENDS_OF.get(check.item, "")
        for key in check.things:
            if key in assessment.histories:
                rows.setdefault((key, check.item, end), []).append(check)
    found = []
    for (key, item, end), checks in rows.items():
        history = _history(assessment, key, item, end, checks)
        if history is not None:
            found.append(history)
    return tuple(sorted(found, key=lambda each: (each.thing.name, each.item, each.end)))


def _history(
    assessment: Assessment, key: str, item: str, end: str, checks: list[Check]
) -> SizeHistory | None:
    rule = assessment.rules.get(item)
    cut = max(
        (each.when for each in assessment.dressings.get(key, ())
         if each.what in NEW_STEEL and each.end in ("", "whole", end)),
        default="",
    )  # fmt: skip
    readings = tuple(
        _reading(assessment, key, end, check)
        for check in sorted(checks, key=lambda each: each.origin.at)
        if cut <= day_of(check.origin.happened.start)
    )
    if rule is None or not readings:
        return None
    limit = _limit(assessment.histories[key].rod_type, item, rule, readings[0].size)
    if limit is None:
        return None
    now = done_by(assessment, key, end, assessment.today)[0]
    return SizeHistory(assessment.book.things[key], item, end, rule, limit, readings, now)


def _limit(rod_type: RodType, item: str, rule: Rule, first: float) -> float | None:
    """Size at the limit of a rule; None where the rule has no number. [m]"""
    if rule.limit is None:
        return None
    if item == "box-swell":
        return first + rule.limit * INCH
    if item == "tube-wall":
        return rod_type.wall * rule.limit / 100.0
    new = rod_type.joint_od if item == "joint-od" else rod_type.tube_od
    return new * (1.0 - rule.limit / 100.0)


def _reading(assessment: Assessment, key: str, end: str, check: Check) -> ReadingThen:
    day = day_of(check.origin.happened.start)
    sizes = [each for each in (check.reading, check.second_reading) if each is not None]
    size = max(sizes) if check.item == "box-swell" else min(sizes)
    done, grounds = done_by(assessment, key, end, day)
    return ReadingThen(
        day, check.origin.entry, check.gauge, size, read_with(assessment.book, check), done, grounds
    )


def done_by(
    assessment: Assessment, key: str, end: str, day: str
) -> tuple[dict[str, float | None], dict[str, float]]:
    """What a rod had done in this book's bores by an ISO day.

    Returns
    -------
    tuple of dict
        ``metres`` [m], ``hours`` [s], ``makeups``; and metres by ground. A bore counts once it
        had ended. Make-ups are those of the end, of both where none is named; None where
        somebody is not sure where the rod stood.
    """
    bores = [did for did in assessment.histories[key].bores if (did.last_day or "~") <= day]
    grounds: dict[str, float] = {}
    for did in bores:
        ground = assessment.book.bores[did.bore].ground or "unknown"
        grounds[ground] = grounds.get(ground, 0.0) + did.metres
    return {
        "metres": sum(did.metres for did in bores),
        "hours": sum(did.rotating_time for did in bores),
        "makeups": _makeups(assessment, key, end, bores),
    }, grounds


def _makeups(assessment: Assessment, key: str, end: str, bores: list[BoreOfRod]) -> float | None:
    counts = _makeups_of(assessment)
    ends = [end] if end in ("pin", "box") else ["pin", "box"]
    total = 0.0
    for did in bores:
        for each in ends:
            count = counts.get((key, each, did.bore), 0.0)
            if count is None:
                return None
            total += count
    return total


@lru_cache(maxsize=4)
def _makeups_of(assessment: Assessment) -> dict[tuple[str, str, str], float | None]:
    """Make-ups by thing, end and bore; None where one of them is not sure."""
    record = make_ups_on_record(assessment)
    made = record.make_ups
    counts: dict[tuple[str, str, str], float | None] = {}
    for pin, box, known, bore in zip(
        made.pin.tolist(), made.box.tolist(), made.known.tolist(), record.bore_of, strict=True
    ):
        for number in (pin, box):
            thing, end, _ = record.ends[number]
            before = counts.get((thing, end, bore), 0.0)
            sure = before is not None and known <= SURE
            counts[thing, end, bore] = before + 1.0 if sure and before is not None else None
    return counts


def makeups_in(assessment: Assessment, key: str, bore: str) -> float | None:
    """Make-ups of both ends of a rod in a bore; None where one is not sure."""
    counts = _makeups_of(assessment)
    parts = [counts.get((key, end, bore), 0.0) for end in ("pin", "box")]
    known = [each for each in parts if each is not None]
    return sum(known) if len(known) == len(parts) else None
