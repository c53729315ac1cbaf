"""A log checked without a book: path, bends, over-steers, turns and life used per rod."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import warnings_of
from rodhand.book.work.bore_work import BoreWork, Front, place_key, work_bore
from rodhand.book.work.conditions import NO_CONDITION
from rodhand.book.work.in_force import default_curves
from rodhand.book.work.moments import Moment, moment_of, places_alone, turns_tighter
from rodhand.book.work.over_limits import HeldAgainst, hold_against
from rodhand.book.work.pass_work import Habits
from rodhand.faults import BadInputError, Fault
from rodhand.hole.bends import HoleBends, hole_bends, per_rod
from rodhand.hole.path import hole_path, positions_at
from rodhand.hole.pilot_log import survey_readings
from rodhand.hole.readings import PilotReadings
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import RodLife, rod_life
from rodhand.wear.sections import section_curves

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class CheckedRod:
    """One rod of a checked log: turns, turns in tight bends, and life used."""

    name: str
    place: int
    turns: float
    tighter: tuple[float, ...]
    life: RodLife


@dataclass(frozen=True)
class PathSummary:
    """Stations, length drilled, deepest point, depth and pitch at the end. [m], [rad]

    Depths are below the entry point, down positive; None when no pitch was read. The pitch is NaN
    when the last station was not read.
    """

    stations: int
    length: float
    deepest: float | None
    out: float | None
    pitch: float


@dataclass(frozen=True, eq=False)
class CheckedLog:
    """What a check found.

    Parameters
    ----------
    source : str
        Name of the file.
    readings : PilotReadings
        Rows as arrays.
    rods_bends : HoleBends
        Mean bend of each rod's interval.
    held : HeldAgainst or None
        Bends against limits; None for a survey without a rod type.
    work : BoreWork or None
        The bore worked through; None for a survey.
    moment : Moment or None
        The end of the pilot.
    rods : tuple of CheckedRod
        Rods by place.
    label : str
        What life used leaves out.
    warnings : tuple of Sentence
        What is missing or assumed.
    """

    source: str
    readings: PilotReadings
    rods_bends: HoleBends
    held: HeldAgainst | None
    work: BoreWork | None
    moment: Moment | None
    rods: tuple[CheckedRod, ...]
    label: str
    warnings: tuple[Sentence, ...]

    @property
    def summary(self) -> PathSummary:
        """How long and deep the hole is, and where and how it ends."""
        readings, path = self.readings, hole_path(self.readings)
        deepest = out = None
        if path is not None:
            depth = positions_at(path, readings.measured_length)[:, 2]
            deepest, out = float(np.nanmax(depth)), float(depth[-1])
        return PathSummary(
            readings.station.size, float(readings.measured_length[-1]), deepest, out,
            float(readings.pitch[-1]),
        )  # fmt: skip

    @property
    def is_over(self) -> bool:
        """Whether a maker's or head limit is over or likely over."""
        return self.held is not None and self.held.worst in ("over", "likely")


def check_log(
    bore: Bore, rod_type: RodType, front: Front, source: str, flags: Sequence[Sentence] = ()
) -> CheckedLog:
    """Check a rod-by-rod log.

    Parameters
    ----------
    bore : Bore
        Passes and rows of the log.
    rod_type : RodType
        Rods it was drilled with.
    front : Front
        Front assembly; what is not given is taken as 0 and warned.
    source : str
        Name of the file.
    flags : sequence of Sentence
        What is doubtful in the file and was kept.

    Returns
    -------
    CheckedLog
        Path, bends, rods.

    Raises
    ------
    BadInputError
        If the log has no pilot with a full row.
    """
    curves = default_curves()
    work = work_bore(
        bore, rod_type, curves, front, Habits(), lambda key: NO_CONDITION, expect_pullback=False
    )
    if work is None:
        raise BadInputError([Fault("log_no_pilot")], source)
    held = work.held
    label = "pilot_only" if len(work.passes) == 1 else ""
    moment = moment_of(work, work.pilot.name, None, curves, lambda key: NO_CONDITION)
    warnings = [*warnings_of(work), *flags]
    if label:
        warnings.append(Sentence("bore.warning.pilot_only"))
    rods = _rods(work, label, tuple(c.slope for c in section_curves(rod_type, curves)))
    return CheckedLog(
        source, work.hole.readings, work.hole.rods, held, work, moment, rods, label,
        tuple(warnings),
    )  # fmt: skip


def check_survey(
    measured_length: Floats,
    inclination: Floats,
    azimuth: Floats,
    source: str,
    rod_type: RodType | None = None,
    reference: str = "grid",
    flags: Sequence[Sentence] = (),
) -> CheckedLog:
    """Check a plain survey: path and bends, no rods.

    Parameters
    ----------
    measured_length, inclination, azimuth : (n,) arrays
        As surveyed, inclination from the vertical. [m], [rad], [rad]
    source : str
        Name of the file.
    rod_type : RodType, optional
        Whose limit the bends are held against.
    reference : str
        What azimuths are counted from.
    flags : sequence of Sentence
        What is doubtful in the file and was kept.

    Returns
    -------
    CheckedLog
        Without rods.
    """
    readings = survey_readings(
        measured_length.tolist(), inclination.tolist(), azimuth.tolist(),
        heading_reference=reference,
    )  # fmt: skip
    bends = hole_bends(readings)
    rods = per_rod(bends)
    held = hold_against(bends, rods, rod_type.limit_radius) if rod_type else None
    warnings = (Sentence("check.survey_no_rods"), *flags)
    return CheckedLog(source, readings, rods, held, None, None, (), "", warnings)


def _rods(work: BoreWork, label: str, slopes: tuple[float, ...]) -> tuple[CheckedRod, ...]:
    alone = places_alone(work, "")
    tighter = turns_tighter(work)
    typed = {int(row.station): row.rod for row in work.hole.rows if row.rod}
    found = []
    for place in range(1, work.rod_count + 1):
        did = alone.get(place_key(place))
        life = rod_life(did.contributions if did else (), slopes, label)
        found.append(
            CheckedRod(
                typed.get(place) or f"{place}", place, did.turns if did else 0.0,
                tuple(tighter[place].tolist()), life,
            )
        )  # fmt: skip
    return tuple(found)
