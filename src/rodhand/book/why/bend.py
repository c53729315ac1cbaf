"""Why a bend is what it is, and why it is called over its limit or not."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart, WhyView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.days import day_of
from rodhand.book.work.over_limits import HeldAgainst, LimitedBend
from rodhand.hole.bends import HoleBends
from rodhand.hole.limits import USUAL_CUTOFFS
from rodhand.hole.readings import ReadingError
from rodhand.record.book_bores import Reading
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
NINETY = 1.645
"""Standard deviations on each side of a 90 % band."""
SAME = 1e-6
"""Places nearer than this are one place. [m]"""


def why_bend(assessment: Assessment, name: str, station: float) -> WhyView:
    """Every bend held against a limit at one station, with what each rests on.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        The bore; capitals do not matter.
    station : float
        Station on the bore's page; one inside a rod belongs to the rod's own.

    Returns
    -------
    WhyView
        Mean over the rod, inside it, over the head, over three rods, over rods not read.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore, or it has no rows.
    NoSuchNumberError
        If no bend ends at that station.
    """
    name = next((each for each in assessment.works if fold(each) == fold(name)), name)
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    found = list(_bends_of(work.held, math.ceil(station)))
    if not found:
        raise NoSuchNumberError(f"{name} {station:g}")
    key = f"why.bend.{name}.{station:g}"
    parts = [_part(assessment, work, each, f"{key}.{k}") for k, each in enumerate(found)]
    values = {"bore": name, "station": f"{station:g}"}
    return WhyView(
        Sentence("why.title_bend", values), assessment.invented, tuple(parts), f"/bore/{name}",
        Sentence("why.back_bore", {"name": name}),
    )  # fmt: skip


def _bends_of(held: HeldAgainst, station: int) -> Iterator[LimitedBend]:
    for bend in (*held.rods, *held.inside, *held.gaps, held.head, held.three):
        if bend is not None and bend.station == station:
            yield bend


def _part(assessment: Assessment, work: BoreWork, bend: LimitedBend, key: str) -> WhyPart:
    unread = math.isnan(bend.angle)
    low, high = max(bend.angle - NINETY * bend.error, 0.0), bend.angle + NINETY * bend.error
    word = Sentence(f"why.over_{bend.verdict}")
    results = [
        WhyInput("bend", None, Figure(f"{key}.bend", None if unread else bend.angle, "fine_angle",
                                      C, None if unread else low, None if unread else high)),
        WhyInput("limit_bend", None, Figure(f"{key}.limit_bend", bend.limit, "fine_angle", A)),
        WhyInput("share", None, Figure(f"{key}.share", bend.share, "fine_share", C)),
        WhyInput("chance", None, Figure(f"{key}.chance", bend.chance, "fine_share", C)),
        WhyInput("word", None, said=word),
    ]  # fmt: skip
    stretch = work.hole.bends if bend.what in ("inside", "head") else work.hole.rods
    inputs = [
        *_lengths(assessment, work, bend, key),
        *_read(work, bend, key),
        *_changes(stretch, bend, key),
        *_errors(work, bend, key),
        *_best(work, bend, key),
        *_limit(assessment, work, bend, key),
        *_cutoffs(key),
    ]
    how = [Sentence("why.how_bend"), Sentence("why.how_limit"), Sentence("why.how_word")]
    if bend.what in ("head", "three rods"):
        how.insert(1, Sentence("why.how_window"))
    if bend.by_push:
        how.append(Sentence("why.how_push"))
    title = f"why.bend_{bend.what.replace(' ', '_')}"
    return WhyPart(Sentence(title, {"station": f"{bend.station}"}), tuple(results), tuple(how),
                   tuple(inputs))  # fmt: skip


def _lengths(
    assessment: Assessment, work: BoreWork, bend: LimitedBend, key: str
) -> Iterator[WhyInput]:
    """Where the bend begins and ends, and where the sensor stands behind the bit."""
    for code, value in (("from", bend.start), ("to", bend.end)):
        figure = Figure(f"{key}.{code}", value, "length", C)
        yield WhyInput(code, Sentence("why.source.sensor_place"), figure)
    assumed = "bit_to_sensor" in work.hole.assumed
    figure = Figure(f"{key}.sensor", work.hole.bit_to_sensor, "length", A if assumed else M)
    source = Sentence("why.source.front_assumed" if assumed else "why.source.front")
    own = assumed or work.bore.bit_to_sensor is not None
    entry = work.bore.origin.entry if own else _head_entry(assessment, work)
    yield WhyInput("sensor", source, figure, entry=entry)


def _head_entry(assessment: Assessment, work: BoreWork) -> str:
    """The entry that brought the head into the book; empty where it is not in it."""
    day = day_of(work.bore.origin.happened.start)
    head = assessment.book.thing_named(work.bore.head, day) if work.bore.head else None
    return head.origin.entry if head else ""


def _read(work: BoreWork, bend: LimitedBend, key: str) -> Iterator[WhyInput]:
    """The readings at both ends; where none stands there, the ones on either side of it."""
    readings = work.hole.readings
    rows = {row.station: row for row in work.hole.rows}
    for side, place in (("before", bend.start), ("after", bend.end)):
        apart = np.abs(readings.sensor_length - place)
        near = int(apart.argmin())
        if apart[near] < SAME:
            yield from _reading(rows.get(float(readings.station[near])), side, f"{key}.{side}")
        elif abs(place - readings.tie_in.measured_length) < SAME:
            row = rows.get(0.0)
            if row is not None:
                yield from _reading(row, side, f"{key}.{side}")
            else:
                figure = Figure(f"{key}.{side}.pitch", None, "slope", Standing.UNKNOWN)
                yield WhyInput(f"pitch_{side}", Sentence("why.source.start"), figure)
        else:
            yield from _around(work, place, side, key)


def _around(work: BoreWork, place: float, side: str, key: str) -> Iterator[WhyInput]:
    sensors = work.hole.readings.sensor_length
    rows = {row.station: row for row in work.hole.rows}
    stations = work.hole.readings.station
    for k in (int(np.searchsorted(sensors, place)) - 1, int(np.searchsorted(sensors, place))):
        if 0 <= k < len(stations):
            yield from _reading(rows.get(float(stations[k])), side, f"{key}.{side}.{k}")


def _reading(row: Reading | None, side: str, key: str) -> Iterator[WhyInput]:
    if row is None:
        figure = Figure(f"{key}.pitch", None, "slope", Standing.UNKNOWN)
        yield WhyInput(f"pitch_{side}", Sentence("why.source.no_row"), figure)
        return
    source = Sentence("why.source.reading", {"station": f"{row.station:g}"})
    known = M if row.pitch is not None else Standing.UNKNOWN
    yield WhyInput(f"pitch_{side}", source, Figure(f"{key}.pitch", row.pitch, "slope", known),
                   entry=row.origin.entry)  # fmt: skip
    if row.heading is not None:
        yield WhyInput(f"heading_{side}", source,
                       Figure(f"{key}.heading", row.heading, "fine_angle", M),
                       entry=row.origin.entry)  # fmt: skip


def _changes(bends: HoleBends, bend: LimitedBend, key: str) -> Iterator[WhyInput]:
    """Change of direction up and sideways between the two ends."""
    begin, end = bend.start + SAME, bend.end - SAME
    inside = (bends.edges[1:] > begin) & (bends.edges[:-1] < end)
    flat = bool((~bends.in_two_planes[inside]).any())
    for code, steps in (("vertical", bends.vertical), ("sideways", bends.horizontal)):
        total = np.concatenate([[0.0], np.cumsum(np.nan_to_num(steps))])
        first, last = np.interp([bend.start, bend.end], bends.edges, total)
        unknown = bool(np.isnan(bends.vertical[inside]).any()) or (code == "sideways" and flat)
        value = None if unknown else float(last - first)
        figure = Figure(f"{key}.{code}", value, "fine_angle", Standing.UNKNOWN if unknown else C)
        yield WhyInput(code, Sentence(f"why.source.{code}"), figure)


def _errors(work: BoreWork, bend: LimitedBend, key: str) -> Iterator[WhyInput]:
    usual = ReadingError()
    source = Sentence("why.source.reading_error")
    yield WhyInput("repeat", source, Figure(f"{key}.repeat", usual.pitch_repeat, "fine_share", A))
    yield WhyInput("step", source, Figure(f"{key}.step", usual.pitch_step, "fine_share", A))
    if work.hole.readings.has_heading:
        figure = Figure(f"{key}.heading_error", usual.heading, "fine_angle", A)
        yield WhyInput("heading_error", source, figure)
    figure = Figure(f"{key}.error", bend.error, "fine_angle", C)
    yield WhyInput("error", Sentence("why.source.error"), figure)


def _best(work: BoreWork, bend: LimitedBend, key: str) -> Iterator[WhyInput]:
    """The rod's bend given all readings of the bore, where the bend is a rod's."""
    points = work.hole.best_bend(bend.start, bend.end)
    if points is None or bend.what not in ("rod", "not read") or work.hole.best is None:
        return
    low, middle, high = points
    doubts = [Sentence(f"why.doubt_{each}") for each in work.hole.best.doubts]
    figure = Figure(f"{key}.best_bend", middle, "fine_angle", C, low, high)
    yield WhyInput("best_bend", Sentence("why.source.best_path"), figure)
    for each in doubts:
        yield WhyInput("doubt", None, said=each)


def _limit(
    assessment: Assessment, work: BoreWork, bend: LimitedBend, key: str
) -> Iterator[WhyInput]:
    """Whose limit it is, and where it was given."""
    if bend.what == "head":
        radius, name = work.front.limit_radius, work.front.name
        entry = _head_entry(assessment, work)
        source = Sentence("why.source.limit_head", {"name": name})
        length = Figure(f"{key}.head_length", work.front.length, "length", M)
        yield WhyInput("head_length", Sentence("why.source.front"), length, entry=entry)
    else:
        radius, name = work.rod_type.limit_radius, work.rod_type.name
        given = assessment.book.limits.get(name, ())
        entry = next((x.origin.entry for x in reversed(given) if x.radius == radius), "")
        source = Sentence("why.source.limit_rods", {"name": name})
    figure = Figure(f"{key}.limit_radius", radius, "length", A)
    yield WhyInput("limit_radius", source, figure, entry=entry)


def _cutoffs(key: str) -> Iterator[WhyInput]:
    for code in ("over", "likely", "within_error"):
        value = getattr(USUAL_CUTOFFS, code)
        figure = Figure(f"{key}.from_{code}", value, "share", A)
        yield WhyInput(f"from_{code}", Sentence("why.source.cutoff"), figure)
