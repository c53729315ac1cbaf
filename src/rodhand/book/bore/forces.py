"""Force and torque along the string of one bore, for its page and its JSON twin."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.days import day_of
from rodhand.book.work.force_pass import pass_worked
from rodhand.book.work.force_places import PlaceLoad
from rodhand.book.work.force_work import Line, PassForces, axis_of, strand_of
from rodhand.book.work.gauges import PassGauges
from rodhand.drillstring.gauge_fit import ENOUGH_FREE
from rodhand.drillstring.soft_string import Axis
from rodhand.record.book_bores import BorePass
from rodhand.record.marks import fold
from rodhand.steel.made_up_seat import made_up_joint
from rodhand.units import QUANTITIES, Figure, Standing

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class Dot:
    """A gauge reading on the picture: where the tool stood, what was shown, how it moved."""

    at: float
    value: float
    free: bool


@dataclass(frozen=True)
class Trace:
    """One line of the picture with its band and its readings; values in base SI, NaN unknown.

    other: the line when travelling without turning, empty where that is the line itself.
    own_part: no gauge told the tool's load, so the line holds the string's own part alone.
    ticks: round values for the scale, for each unit system.
    """

    places: tuple[float, ...]
    low: tuple[float, ...]
    best: tuple[float, ...]
    high: tuple[float, ...]
    other: tuple[float, ...]
    dots: tuple[Dot, ...]
    own_part: bool
    ticks: Mapping[str, tuple[Figure, ...]]


@dataclass(frozen=True)
class PlaceRow:
    """One rod's length of hole: loads, shares of limits, and what governs.

    floors: figures that are only known from one side, because a load is not known: shares at
    least so much, the margin at most.
    """

    station: int
    governs: str
    floors: tuple[str, ...]
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class PassRow:
    """One pass: friction, tool load, lines for the picture, places."""

    name: str
    what: str
    away: bool
    recorded: bool
    figures: Mapping[str, Figure]
    how: Sentence
    force: Trace
    torque: Trace
    places: tuple[PlaceRow, ...]
    notes: tuple[Sentence, ...]


@dataclass(frozen=True)
class ForcesView:
    """Force and torque of one bore, pass by pass; ``along`` marks the hole's length."""

    name: str
    rig: str
    rod_type: str
    happened: str
    invented: bool
    length: Figure
    along: Mapping[str, tuple[Figure, ...]]
    passes: tuple[PassRow, ...]
    warnings: tuple[Sentence, ...]


def _banded(
    key: str, band: tuple[float, float, float] | None, quantity: str, standing: Standing = C
) -> Figure:
    if band is None:
        return Figure(key, None, quantity, Standing.UNKNOWN)
    return Figure(key, band[1], quantity, standing, band[0], band[2])


def _ticks(values: list[float], quantity: str, key: str) -> dict[str, tuple[Figure, ...]]:
    """Round values from the least to the most, zero among them, in both unit systems."""
    known = [value for value in values if math.isfinite(value)]
    low, high = min([0.0, *known]), max([0.0, *known])
    found = {}
    for number, system in enumerate(("metric", "us")):
        kind = QUANTITIES[quantity]
        unit = (kind.metric, kind.us)[number][1]
        step = _round_step((high - low) / unit / 4.0) * unit
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        found[system] = tuple(
            Figure(f"{key}.tick.{system}.{k - first}", k * step, quantity, M)
            for k in range(first, max(last, first + 1) + 1)
        )
    return found


def _round_step(least: float) -> float:
    """The smallest of 1, 2 or 5 times a power of ten that is not less."""
    if not least > 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * each for each in (1.0, 2.0, 5.0, 10.0) if power * each >= least * 0.999)


def _trace(
    line: Line, other: Line | None, dots: list[Dot], known: bool, quantity: str, key: str
) -> Trace:
    low, best, high = (tuple(each.tolist()) for each in (line.low, line.best, line.high))
    beside = tuple(other.best.tolist()) if other is not None else ()
    values = [*low, *high, *beside, *(dot.value for dot in dots)]
    return Trace(
        tuple(line.places.tolist()), low, best, high, beside, tuple(dots), not known,
        _ticks(values, quantity, key),
    )  # fmt: skip


def _traces(gauges: PassGauges, forces: PassForces, key: str) -> tuple[Trace, Trace]:
    force = [Dot(r.tool, r.force, r.free) for r in gauges.readings if r.force is not None]
    torque = [Dot(r.tool, r.torque, r.free) for r in gauges.readings if r.torque is not None]
    other = forces.rig_sliding if gauges.moving.turning_share > 0 else None
    return (
        _trace(forces.rig_force, other, force, forces.force_known, "force", f"{key}.force"),
        _trace(forces.rig_torque, None, torque, forces.torque_known, "torque", f"{key}.torque"),
    )


def _place_row(place: PlaceLoad, key: str) -> PlaceRow:
    own = f"{key}.place.{place.station}"
    figures = {
        "start": Figure(f"{own}.start", place.start, "distance", M),
        "pull": _banded(f"{own}.pull", place.pull, "force"),
        "torque": _banded(f"{own}.torque", place.torque, "torque"),
        "bend_radius": Figure(
            f"{own}.bend_radius", place.radius if math.isfinite(place.radius) else None, "radius", C
        ),
    }
    floors = []
    governing = place.governing
    if governing is not None:
        margin = [1.0 - each for each in (governing.high, governing.best, governing.low)]
        standing = A if governing.is_assumed else C
        figures["margin"] = Figure(
            f"{own}.margin", margin[1], "share", standing, margin[0], margin[2]
        )
        if governing.is_floor:
            floors.append("margin")
    for share in place.shares:
        name = f"used_{share.check}"
        standing = A if share.is_assumed else C
        figures[name] = Figure(
            f"{own}.{name}", share.best, "share", standing, share.low, share.high
        )
        if share.is_floor:
            floors.append(name)
    governs = governing.check if governing else "unknown"
    return PlaceRow(place.station, governs, tuple(floors), figures)


def _how(forces: PassForces, key: str) -> Sentence:
    post = forces.posterior
    counts = {
        "free": Figure(f"{key}.free", float(post.free), "count", M),
        "working": Figure(f"{key}.working", float(post.working), "count", M),
        "enough": Figure(f"{key}.enough", float(ENOUGH_FREE), "count", A),
    }
    if post.is_separable:
        return Sentence("forces.how.apart", counts)
    return Sentence("forces.how.jointly" if post.free + post.working else "forces.how.none", counts)


def _notes(
    work: BoreWork, laid: bool, gauges: PassGauges, forces: PassForces, said: BorePass | None,
    key: str,
) -> tuple[Sentence, ...]:  # fmt: skip
    notes = []
    if not forces.force_known and said is not None and said.pull is not None:
        pull = Figure(f"{key}.pass_pull", said.pull, "force", M)
        notes.append(Sentence("forces.note.pass_pull", {"pull": pull}))
    elif not forces.force_known:
        notes.append(Sentence("forces.note.no_force"))
    if not forces.torque_known:
        notes.append(Sentence("forces.note.no_torque"))
    if gauges.moving.turning_share == 0:
        notes.append(Sentence("forces.note.no_rpm"))
    elif gauges.speed_assumed:
        notes.append(Sentence("forces.note.speed"))
    rows = sum(1 for r in gauges.readings if not r.free)
    if (forces.force_known or forces.torque_known) and rows < work.rod_count / 2:
        notes.append(Sentence("forces.note.few_rows"))
    if gauges.torque_true is not None and forces.torque_known:
        true = Figure(f"{key}.torque_true", gauges.torque_true, "share", M)
        notes.append(Sentence("forces.note.compared", {"share": true}))
    if not laid:
        notes.append(Sentence("forces.note.not_laid"))
    if said is None or said.mud_pressure is None:
        notes.append(Sentence("forces.note.no_pressure"))
    return tuple(notes)


def _pass_row(assessment: Assessment, work: BoreWork, axis: Axis, number: int, key: str) -> PassRow:
    worked = pass_worked(assessment, work, axis, number)
    each, said, gauges, forces = worked.each, worked.said, worked.gauges, worked.forces
    pressure = said.mud_pressure if said else None
    own = f"{key}.{each.name}"
    standing = C if forces.posterior.free + forces.posterior.working else A
    figures = {
        "friction": _banded(f"{own}.friction", forces.posterior.band, "ratio", standing),
        "tool_force": _banded(f"{own}.tool_force", forces.tool_force, "force"),
        "tool_torque": _banded(f"{own}.tool_torque", forces.tool_torque, "torque"),
    }
    if pressure is not None:
        figures["mud_pressure"] = Figure(f"{own}.mud_pressure", pressure, "pressure", M)
    force, torque = _traces(gauges, forces, own)
    told = any(p.pull is not None or p.torque is not None for p in worked.places)
    rows = tuple(_place_row(place, own) for place in worked.places) if told else ()
    return PassRow(
        each.name, each.what, each.leg.kind.away_from_rig, each.recorded, figures,
        _how(forces, own), force, torque, rows,
        _notes(work, work.powers[number].laid, gauges, forces, said, own),
    )  # fmt: skip


def forces_view(assessment: Assessment, name: str) -> ForcesView:
    """Force and torque along the string of one bore.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Name of the bore; capitals do not matter.

    Returns
    -------
    ForcesView
        Everything its page shows.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore, or it has no rows.
    """
    name = next((each for each in assessment.works if fold(each) == fold(name)), name)
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    key = f"forces.{name}"
    axis = axis_of(work)
    rows = (
        tuple(_pass_row(assessment, work, axis, k, key) for k in range(len(work.passes)))
        if axis is not None
        else ()
    )
    return ForcesView(
        name=name,
        rig=work.bore.rig,
        rod_type=work.rod_type.name,
        happened=day_of(work.bore.origin.happened.start),
        invented=assessment.invented,
        length=Figure(f"{key}.length", work.hole.length, "distance", M),
        along=_ticks([work.hole.length], "distance", f"{key}.along"),
        passes=rows,
        warnings=_warnings(work, axis, key),
    )


def _warnings(work: BoreWork, axis: Axis | None, key: str) -> tuple[Sentence, ...]:
    if axis is None:
        return (Sentence("forces.warning.no_path"),)
    weight = Figure(f"{key}.weight", strand_of(work.rod_type).weight, "line_load", A)
    found = [Sentence("forces.warning.weight", {"weight": weight})]
    if not work.hole.readings.has_heading:
        found.append(Sentence("forces.warning.no_heading"))
    joint = made_up_joint(work.rod_type)
    if joint is None:
        found.append(Sentence("forces.warning.no_joint"))
    elif joint.is_by_yield:
        found.append(Sentence("forces.warning.by_yield"))
    if any((shift.share or 1.0) < 0.9 for shift in work.bore.makeups):
        found.append(Sentence("forces.warning.under_torqued"))
    return tuple(found)
