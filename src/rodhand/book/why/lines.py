"""What one bore did to one section of a rod, by pass and stretch, with its inputs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork, place_key
from rodhand.book.work.counted_bend import counted_lines
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.drillstring.turns import ASSUMED_RUNGS, TurnRung
from rodhand.record.book_bores import BorePass
from rodhand.units import Figure, Standing
from rodhand.wear.counted_damage import Line
from rodhand.wear.sections import section_curves

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class WhyLine:
    """One stretch of hole on one pass.

    figures: start, end, turns, harder (what makes a turn cost more), hole_radius (as read, with
    the usual sideways wander where no heading was), bend_radius (of the steel, as it counts),
    stress, cycles, damage; no radius where it is straight. entry: the reading the bend rests on;
    turns_entry: where the turns come from.
    """

    pass_name: str
    station: float
    entry: str
    turns_entry: str
    line: Line
    harder: float
    figures: dict[str, Figure]


@dataclass(frozen=True)
class WhyPass:
    """One pass: whence its turns, its lines, and what counts of it.

    design: what of the pass counts on the design curve, before the class factor. [-]
    lines: every stretch the section turned in; none where the rods' order in the pass is not
    known and what it did is shared. figures: damage, and turns where there are lines.
    """

    name: str
    rung: str
    recorded: bool
    design: float
    lines: tuple[WhyLine, ...]
    figures: dict[str, Figure]


def passes_of(
    assessment: Assessment, rod: str, history: RodHistory, did: BoreOfRod, section: int, key: str
) -> tuple[WhyPass, ...]:
    """Every pass of one bore in which a rod's section turned.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rod : str
        Key of the rod.
    history : RodHistory
        The rod's own work.
    did : BoreOfRod
        One of its bores, its place known.
    section : int
        Number of the section in `SECTIONS`.
    key : str
        Start of the figures' keys.

    Returns
    -------
    tuple of WhyPass
        None where a later re-cut took the thread and its damage away.
    """
    counting = history.counting(did)
    if did.in_doubt or not any(each.design[section] > 0.0 for each in counting):
        return ()
    work = assessment.works[did.bore]
    where = {
        each.name: (hole, k)
        for hole in (work, *work.old_holes)
        for k, each in enumerate(hole.passes)
    }
    rows = []
    for name, part in zip(did.passes, counting, strict=True):
        hole, k = where[name]
        each = hole.passes[k]
        own = f"{key}.{did.bore}.{name}"
        tail = any(member.key == rod for member in each.leg.order.members)
        member = rod if tail else place_key(did.places[0])
        lines: tuple[WhyLine, ...] = ()
        if tail or each.order_known:
            lines = tuple(_lines(hole, assessment, k, member, section, own))
        design = float(part.design[section])
        figures = {"damage": Figure(f"{own}.damage", design, "millionths", C)}
        if lines:
            turns = sum(line.line.turns for line in lines)
            figures["turns"] = Figure(
                f"{own}.turns_in_hole", turns, "fine_turns", _turns_standing(each)
            )
        rows.append(
            WhyPass(name, str(each.turns.rung), each.recorded, design, lines, figures)
        )  # fmt: skip
    return tuple(rows)


def _lines(
    work: BoreWork, assessment: Assessment, index: int, member: str, section: int, key: str
) -> Iterator[WhyLine]:
    each, band = work.passes[index], work.bands[index]
    condition = assessment.conditions[work.bore.name](member)
    curve = section_curves(work.rod_type, assessment.curves)[section]
    pilot = work.bore.pass_of("pilot")
    recorded = next((p for p in work.bore.passes if p.name == each.name), None)
    standing = _turns_standing(each)
    stretches = work.interval_of(band)
    found = counted_lines(work, index, member, section, curve, condition)
    for stretch, line, harder in found:
        station = float(work.hole.rods.station[stretches[stretch]])
        own = f"{key}.{stretch}"
        hole = float(band.best[stretch])
        unread = bool(band.unread[stretch])
        figures = {
            "start": Figure(f"{own}.start", line.start, "length", C),
            "end": Figure(f"{own}.end", line.end, "length", C),
            "turns": Figure(f"{own}.turns", line.turns, "fine_turns", standing),
            "harder": Figure(f"{own}.harder", harder, "ratio", C),
            "stress": Figure(f"{own}.stress", line.stress_range, "fine_stress", C),
            "cycles": Figure(f"{own}.cycles", _finite(line.cycles), "count", C),
            "damage": Figure(f"{own}.damage", harder * line.damage, "millionths", C),
        }  # fmt: skip
        for name, bend, standing_of in (
            ("hole_radius", hole, A if unread else C), ("bend_radius", line.bend, C),
        ):  # fmt: skip
            if bend != 0.0:  # a straight line has no radius, an unknown one an unknown radius
                radius = 1.0 / bend if bend > 0.0 else None
                figures[name] = Figure(f"{own}.{name}", radius, "length", standing_of)
        yield WhyLine(
            each.name, station, _entry_of(pilot, station),
            _entry_of(recorded, station) or _origin(recorded), line, harder, figures,
        )  # fmt: skip


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _turns_standing(each: PassWork) -> Standing:
    if each.turns.rung is TurnRung.COUNTER:
        return M
    return A if not each.recorded or each.turns.rung in ASSUMED_RUNGS else C


def _entry_of(recorded: BorePass | None, station: float) -> str:
    rows = recorded.readings if recorded else ()
    return next((row.origin.entry for row in rows if row.station == station), "")


def _origin(recorded: BorePass | None) -> str:
    return recorded.origin.entry if recorded is not None and recorded.origin is not None else ""
