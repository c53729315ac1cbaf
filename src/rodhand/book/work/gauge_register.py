"""The register of gauges: which are in date, and readings taken with one that was not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from rodhand.advice.gauge_state import Calibrated, GaugeState, gauge_state
from rodhand.advice.looks import Look
from rodhand.advice.this_week import Task
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.verdicts import caution
from rodhand.record.book import Book
from rodhand.record.book_looks import Check
from rodhand.record.gauge_register import Calibration, GaugeKnown
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.words import say

USUAL_ERROR = 0.13e-3
"""Error of a gauge of which nobody said one: 0.005 in, for calipers in the yard (ours). [m]"""
DOUBTED = 2.0
"""A marked reading counts with so many times its gauge's error (ours). [1]"""
M, C = Standing.MEASURED, Standing.COMPUTED


@dataclass(frozen=True)
class ReadWith:
    """What a reading was taken with.

    Parameters
    ----------
    state : GaugeState
        The gauge's on the day of the reading.
    error : float
        The reading lies within so much of the truth, 19 times in 20. [m]
    error_known : bool
        Whether the register says so; else it is the usual one, assumed.
    """

    state: GaugeState
    error: float
    error_known: bool


@dataclass(frozen=True)
class GaugeRow:
    """One gauge of the register; figures: error, days (left; negative when late), marked."""

    name: str
    measures: str
    serial: str
    state: str
    last: str
    until: str
    certificate: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class MarkedReading:
    """A reading taken with a gauge that was not in date; figures: reading."""

    gauge: str
    state: str
    day: str
    things: tuple[str, ...]
    end: str
    item: str
    entry: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class GaugesView:
    """The register.

    Parameters
    ----------
    gauges : tuple of GaugeRow
        Registered, those that need something first.
    unregistered : tuple of str
        Gauge names in looks that stand in no register.
    marked : tuple of MarkedReading
        Readings of registered gauges that were not in date, newest first.
    """

    invented: bool
    gauges: tuple[GaugeRow, ...]
    unregistered: tuple[str, ...]
    marked: tuple[MarkedReading, ...]


def known_gauges(book: Book) -> dict[str, GaugeKnown]:
    """Gauges by folded name, as last entered."""
    return {fold(each.gauge): each for each in book.gauges}


def _calibrations(book: Book, gauge: str) -> list[Calibration]:
    return [each for each in book.calibrations if fold(each.gauge) == fold(gauge)]


def state_on(book: Book, gauge: str, day: str) -> GaugeState:
    """State of a gauge on an ISO day; ``not-registered`` where the register has no such name."""
    known = known_gauges(book).get(fold(gauge))
    if known is None:
        return GaugeState("not-registered")
    done = [
        Calibrated(day_of(each.origin.happened.start), each.result, each.until)
        for each in _calibrations(book, gauge)
    ]
    return gauge_state(done, known.every_months, day)


def read_with(book: Book, check: Check) -> ReadWith:
    """What a look's reading was taken with; a gauge nobody named counts as not registered."""
    day = day_of(check.origin.happened.start)
    state = state_on(book, check.gauge, day)
    known = known_gauges(book).get(fold(check.gauge))
    given = [known.error] if known else []
    given += [
        each.error
        for each in _calibrations(book, check.gauge)
        if day_of(each.origin.happened.start) <= day
    ]
    given.append(check.gauge_error)  # what was typed with the look is the nearest to it
    errors = [each for each in given if each]
    error = errors[-1] if errors else USUAL_ERROR
    doubted = state.marks_readings and state.code != "not-registered"
    return ReadWith(state, error * (DOUBTED if doubted else 1.0), bool(errors))


def looks_with_errors(assessment: Assessment, key: str) -> tuple[Look, ...]:
    """Looks at a thing, each reading with the error of its gauge where that is known.

    The error typed with the look counts, else the register's; a gauge out of date counts double.
    """
    return tuple(_with_error(assessment, look) for look in assessment.looks.get(key, ()))


def _with_error(assessment: Assessment, look: Look) -> Look:
    check = assessment.check_of(look.entry)
    if look.reading is None or check is None or not (check.gauge or check.gauge_error):
        return look
    read = read_with(assessment.book, check)
    return replace(look, gauge_error=read.error) if read.error_known else look


def _marked(book: Book) -> list[MarkedReading]:
    """Readings of registered gauges that were not in date on their day."""
    registered = known_gauges(book)
    rows = []
    for check in book.checks:
        if check.reading is None or fold(check.gauge) not in registered:
            continue
        day = day_of(check.origin.happened.start)
        state = state_on(book, check.gauge, day)
        if not state.marks_readings:
            continue
        names = tuple(book.things[key].name for key in check.things)
        figure = Figure(f"gauges.{check.origin.entry}.reading", check.reading, "fine_size", M)
        rows.append(
            MarkedReading(
                registered[fold(check.gauge)].gauge, state.code, day, names, check.end, check.item,
                check.origin.entry, {"reading": figure},
            )
        )  # fmt: skip
    rows.sort(key=lambda each: (each.day, each.entry), reverse=True)
    return rows


def gauges_view(assessment: Assessment) -> GaugesView:
    """The register of gauges as of the day the book is asked for."""
    book, today = assessment.book, assessment.today
    marked = _marked(book)
    rows = []
    for known in known_gauges(book).values():
        state = state_on(book, known.gauge, today)
        own = f"gauges.{known.gauge}"
        done = _calibrations(book, known.gauge)
        errors = [known.error, *(each.error for each in done)]
        error = next((each for each in reversed(errors) if each), None)
        count = sum(fold(each.gauge) == fold(known.gauge) for each in marked)
        rows.append(
            GaugeRow(
                known.gauge, known.measures, known.serial, state.code, state.last, state.until,
                done[-1].certificate if done else "",
                {
                    "error": Figure(f"{own}.error", error, "fine_size", M),
                    "marked": Figure(f"{own}.marked", float(count), "count", C),
                },
            )
        )  # fmt: skip
    rows.sort(key=lambda row: (row.state == "in-date", row.until, row.name))
    registered = known_gauges(book)
    others = {
        fold(check.gauge): check.gauge
        for check in book.checks
        if check.reading is not None and check.gauge and fold(check.gauge) not in registered
    }
    return GaugesView(
        assessment.invented, tuple(rows), tuple(sorted(others.values())), tuple(marked)
    )


def gauge_register_tasks(assessment: Assessment) -> list[Task]:
    """Registered gauges that are not in date and in use: calibrate them, mark their readings."""
    tasks = []
    for row in gauges_view(assessment).gauges:
        if row.state in ("in-date", "no-date"):
            continue
        used = [
            day_of(each.origin.happened.start)
            for each in assessment.book.checks
            if fold(each.gauge) == fold(row.name) and each.reading is not None
        ]
        if not used:
            continue
        verdict = Verdict(
            "note",
            Sentence(f"gauges.task.{row.state.replace('-', '_')}", {"gauge": row.name}),
            Sentence(
                "gauges.task.why",
                {"marked": row.figures["marked"], "until": row.until or say("number.unknown")},
            ),
            Sentence("gauges.task.do"),
            say("source.owner"),
            caution("gauge"),
        )
        tasks.append(Task(7, say("role.mechanic"), (), row.name, verdict, 20.0, "/gauges"))
    return tasks
