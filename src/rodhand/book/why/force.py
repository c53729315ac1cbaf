"""Why the load on one place of a bore's string is what it is, and what it uses of each limit."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart, WhyView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.force_pass import PassWorked, pass_worked
from rodhand.book.work.force_places import Limits, PlaceLoad, Share, steel_bend
from rodhand.book.work.force_work import MUD_DENSITY, axis_of, strand_of
from rodhand.drillstring.gauge_fit import FRICTION_MIDDLE
from rodhand.record.book_bores import FreeReading, Reading
from rodhand.record.marks import fold
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.units import Figure, Standing
from rodhand.words import word

C, A, M, U = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED, Standing.UNKNOWN
READINGS_SHOWN = 4
"""Largest readings shown of each gauge. [1]"""


def why_force(assessment: Assessment, name: str, station: int, pass_name: str = "pilot") -> WhyView:
    """The largest loads on one rod's length of hole in one pass, and each limit's share.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        The bore; capitals do not matter.
    station : int
        Station of the place.
    pass_name : str
        The pass; capitals do not matter.

    Returns
    -------
    WhyView
        The load, then each check that could be made.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore, or it has no rows.
    NoSuchNumberError
        If there is no such pass or station, or no pitch was read.
    """
    name = next((each for each in assessment.works if fold(each) == fold(name)), name)
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    axis = axis_of(work)
    numbers = [k for k, each in enumerate(work.passes) if fold(each.name) == fold(pass_name)]
    if axis is None or not numbers or not 1 <= station < len(work.hole.stations):
        raise NoSuchNumberError(f"{name} {pass_name} {station}")
    worked = pass_worked(assessment, work, axis, numbers[0])
    place = worked.places[station - 1]
    key = f"why.force.{name}.{work.passes[numbers[0]].name}.{station}"
    parts = [_load(work, worked, place, key)]
    parts += [_check(work, worked, place, each, f"{key}.{each.check}") for each in place.shares]
    of = word("choice", work.passes[numbers[0]].name)
    values = {"station": f"{station}", "bore": name, "name": of}
    return WhyView(
        Sentence("why.title_force", values), assessment.invented, tuple(parts),
        f"/bore/{name}/forces", Sentence("why.back_forces", {"name": name}),
    )  # fmt: skip


def _banded(
    key: str, band: tuple[float, float, float] | None, quantity: str, standing: Standing = C
) -> Figure:
    if band is None:
        return Figure(key, None, quantity, U)
    return Figure(key, band[1], quantity, standing, band[0], band[2])


def _load(work: BoreWork, worked: PassWorked, place: PlaceLoad, key: str) -> WhyPart:
    results = (
        WhyInput("pull", None, _banded(f"{key}.pull", place.pull, "force")),
        WhyInput("torque", None, _banded(f"{key}.torque", place.torque, "torque")),
    )
    how = [Sentence("why.how_force")]
    if worked.said is not None and worked.said.pull is not None and not worked.forces.force_known:
        how = [Sentence("why.how_pass_pull")]
    inputs = [
        *_string(work, worked, key),
        *_gauges(worked, key),
        *_readings(work, worked, place, key),
    ]
    return WhyPart(Sentence("why.force_load"), results, tuple(how), tuple(inputs))


def _string(work: BoreWork, worked: PassWorked, key: str) -> Iterator[WhyInput]:
    """Weight, friction, load at the tool."""
    rod = work.rod_type
    typed = Sentence("why.source.rod_type", {"name": rod.name})
    mass = Figure(f"{key}.mass", rod.mass, "mass", U if rod.mass is None else M)
    yield WhyInput("mass", typed if rod.mass is not None else Sentence("why.source.mass"), mass)
    mud = Sentence("why.source.mud")
    yield WhyInput("mud", mud, Figure(f"{key}.mud", MUD_DENSITY, "density", A))
    weight = Figure(f"{key}.weight", strand_of(rod).weight, "line_load", A)
    yield WhyInput("weight", Sentence("why.source.weight"), weight)
    post = worked.forces.posterior
    count = {"free": f"{post.free}", "working": f"{post.working}"}
    told = post.free + post.working > 0
    source = Sentence("why.source.friction" if told else "why.source.friction_none", count)
    figure = _banded(f"{key}.friction", post.band, "ratio", C if told else A)
    yield WhyInput("friction", source, figure, change=f"/enter/free-reading?bore={work.bore.name}")
    prior = Figure(f"{key}.friction_middle", FRICTION_MIDDLE, "ratio", A)
    yield WhyInput("friction_middle", Sentence("why.source.friction_middle"), prior)
    for code, band, quantity in (
        ("tool_force", worked.forces.tool_force, "force"),
        ("tool_torque", worked.forces.tool_torque, "torque"),
    ):
        figure = _banded(f"{key}.{code}", band, quantity)
        yield WhyInput(code, Sentence("why.source.tool"), figure)


def _gauges(worked: PassWorked, key: str) -> Iterator[WhyInput]:
    """How far the gauges may be off."""
    gauges = worked.gauges
    for code, error in (("force_scale", gauges.force_error), ("torque_scale", gauges.torque_error)):
        figure = Figure(f"{key}.{code}", error.scale, "fine_share", A)
        yield WhyInput(code, Sentence("why.source.gauge_scale"), figure)
    figure = Figure(f"{key}.repeat", gauges.force_error.repeat, "fine_share", A)
    yield WhyInput("gauge_repeat", Sentence("why.source.gauge_repeat"), figure)
    if gauges.torque_true is not None:
        entry = worked.comparison.origin.entry if worked.comparison else ""
        true = Figure(f"{key}.torque_true", gauges.torque_true, "fine_share", M)
        yield WhyInput("torque_true", Sentence("why.source.comparison"), true, entry=entry)


def _readings(work: BoreWork, worked: PassWorked, place: PlaceLoad, key: str) -> Iterator[WhyInput]:
    """The largest gauge readings with the tool at the place or past it, as typed."""
    said = worked.said
    if said is not None and said.pull is not None:
        figure = Figure(f"{key}.pass_pull", said.pull, "force", M)
        entry = said.origin.entry if said.origin is not None else ""
        yield WhyInput("pass_pull", Sentence("why.source.pass"), figure, entry=entry)
    rows: list[Reading | FreeReading] = [*(said.readings if said else ()), *worked.free]
    here = [
        row
        for row in rows
        if 0 < row.station < len(work.hole.stations) and row.station >= place.station
    ]
    for code, quantity in (("pull", "force"), ("thrust", "force"), ("torque", "torque")):
        read = [(row, value) for row in here if (value := getattr(row, code)) is not None]
        largest = sorted(read, key=lambda pair: -abs(pair[1]))[:READINGS_SHOWN]
        for row, value in largest:
            free = isinstance(row, FreeReading)
            kind = "free_reading" if free else "gauge_reading"
            named = f"{key}.read.{kind}.{row.station:g}.{code}"
            source = Sentence(f"why.source.{kind}", {"station": f"{row.station:g}"})
            yield WhyInput(f"read_{code}", source, Figure(named, value, quantity, M),
                           entry=row.origin.entry)  # fmt: skip


def _check(work: BoreWork, worked: PassWorked, place: PlaceLoad, share: Share, key: str) -> WhyPart:
    standing = A if share.is_assumed else C
    used = Figure(f"{key}.used", share.best, "fine_share", standing, share.low, share.high)
    left = Figure(f"{key}.margin", 1.0 - share.best, "fine_share", standing)
    how = [Sentence(f"why.how_check_{share.check}")]
    if share.is_floor:
        how.append(Sentence("why.how_floor"))
    return WhyPart(
        Sentence(f"forces.governs.{share.check}"),
        (WhyInput("used", None, used), WhyInput("margin", None, left)),
        tuple(how), tuple(_steel(work, worked, place, share.check, key)),
    )  # fmt: skip


def _steel(
    work: BoreWork, worked: PassWorked, place: PlaceLoad, check: str, key: str
) -> Iterator[WhyInput]:
    """Sizes, strength and bend of the steel that a check takes."""
    rod = work.rod_type
    typed = Sentence("why.source.rod_type", {"name": rod.name})
    index = next(k for k, each in enumerate(work.passes) if each is worked.each)
    if check in ("makeup", "envelope"):
        figure = Figure(f"{key}.makeup", rod.makeup_torque, "torque", A)
        yield WhyInput("maker_torque", typed, figure)
        return
    bend = steel_bend(work.powers[index], place.start, place.end)
    points = bend.tube if check == "tube" else bend.joint
    known = math.isfinite(points[1]) and points[1] > 0.0
    radius = Figure(
        f"{key}.radius", 1.0 / points[1] if known else None, "length", C if known else U
    )
    laid = "steel_bend" if work.powers[index].laid else "steel_bend_read"
    yield WhyInput("bend_radius", Sentence(f"why.source.{laid}"), radius)
    yield WhyInput("modulus", Sentence("why.source.steel"),
                   Figure(f"{key}.modulus", ELASTIC_MODULUS, "stress", M))  # fmt: skip
    yield WhyInput("tube_od", typed, Figure(f"{key}.tube_od", rod.tube_od, "fine_size", M))
    yield WhyInput("tube_id", typed, Figure(f"{key}.tube_id", rod.tube_id, "fine_size", M))
    if check == "tube":
        strength = Figure(f"{key}.yield", rod.yield_stress, "stress", A)
        yield WhyInput("yield_stress", typed, strength)
        pressure = worked.said.mud_pressure if worked.said else None
        figure = Figure(f"{key}.pressure", pressure, "pressure", U if pressure is None else M)
        yield WhyInput("mud_pressure", Sentence("why.source.pass"), figure)
        return
    seat = Limits.of(rod).seat
    if seat is not None:
        preload = Figure(f"{key}.preload", seat.full_preload, "force", A)
        yield WhyInput("preload", Sentence("why.source.preload"), preload)
