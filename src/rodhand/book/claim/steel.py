"""What one thing went through: passes, bends over a limit, make-up of its joints, looks, work."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rodhand.book.claim.views import BendOver, LookRow, MakeupRow, PassOfThing
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.happenings import over_steers, spikes
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.drillstring.turns import TurnRung
from rodhand.record.book_bores import Bore, BorePass
from rodhand.units import Figure, Standing

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
MAY_HAVE = "may_have"
TOWARD_TOOL, TOWARD_RIG = "toward_the_tool", "toward_the_rig"
OUTWARD = ("pilot", "push-ream")
"""Passes that make the string up rod by rod: a station's torque is of the joint just made."""
TURNS_STANDING = {TurnRung.COUNTER: M, TurnRung.RPM_MINUTES: C, TurnRung.HABIT_TIME: C,
                  TurnRung.OWN_PAST: C}  # fmt: skip
"""How turns from each source stand; those from a published range or from nothing are assumed."""


def turns_standing(work: PassWork) -> Standing:
    """How the turns of a pass stand."""
    return TURNS_STANDING.get(work.turns.rung, A) if work.recorded else A


def pass_rows_of(assessment: Assessment, key: str, own: str) -> tuple[PassOfThing, ...]:
    """Every pass a rod was in, in the order of the work.

    A bore in which its place is in doubt is one row.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    key : str
        Key of the rod.
    own : str
        First part of the figures' keys.
    """
    history = assessment.histories.get(key)
    rows: list[PassOfThing] = []
    for did in history.bores if history else ():
        rows += _of_bore(assessment, did, key, f"{own}.pass.{did.bore}")
    return tuple(rows)


def _of_bore(assessment: Assessment, did: BoreOfRod, key: str, own: str) -> Iterable[PassOfThing]:
    work = assessment.works[did.bore]
    who = str(did.known)
    if len(did.places) != 1:
        turns = Figure(f"{own}.turns", did.turns, "turns", A)
        yield PassOfThing(did.bore, did.happened, "", who, True, "", {"turns": turns})
        return
    place = did.places[0]
    said = {each.name: each for each in work.bore.passes}
    for number, (each, damage) in enumerate(work.in_every_hole):
        members = [member.key for member in each.leg.order.members]
        row = next((k for k, m in enumerate(members) if m in (f"place {place}", key)), None)
        if row is None:
            continue
        name = f"{own}.{number}"
        hole = each.hole_diameter
        if hole is None and each.what == "pilot":
            hole = work.bore.hole_diameter
        figures = {
            "place": Figure(f"{name}.place", float(place), "count", A if did.assumed else C),
            "turns": Figure(f"{name}.turns", float(damage.turns[row]), "turns",
                            turns_standing(each)),
            "hole_diameter": Figure(f"{name}.hole_diameter", hole, "size",
                                    _diameter_standing(said.get(each.name), work.bore)),
        }  # fmt: skip
        rung = str(each.turns.rung)
        yield PassOfThing(did.bore, did.happened, each.what, who, each.recorded, rung, figures)


def _diameter_standing(said: BorePass | None, bore: Bore) -> Standing:
    """Measured where somebody entered it for the pass, its rows or the bore; else assumed."""
    entered = said is not None and (
        said.hole_diameter is not None or any(r.hole_diameter is not None for r in said.readings)
    )
    return M if entered or bore.hole_diameter is not None else A


def overs_of(assessment: Assessment, key: str, own: str) -> tuple[BendOver, ...]:
    """Bends over or likely over a limit that a thing turned through, stood in, or may have."""
    rows = []
    for over in over_steers(assessment):
        if key not in over.things and key not in over.in_it:
            continue
        how = "passed" if key in over.things else "in_it"
        group = next((g for g in assessment.who[over.bore].groups if key in g.rods), None)
        if group is not None and len(group.rods) > 1:
            how = MAY_HAVE
        name = f"{own}.over.{over.bore}.{over.bend.station}"
        figures = {
            "share": Figure(f"{name}.share", over.bend.share, "share", C),
            "radius": Figure(f"{name}.radius", over.bend.radius, "radius", C),
        }
        rows.append(
            BendOver(
                over.bore, over.when, float(over.bend.station), over.bend.verdict, how, figures
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.happened, row.station)))


def makeups_of(assessment: Assessment, key: str, own: str) -> tuple[MakeupRow, ...]:
    """Torques at a rod's two joints, shifts that held them, and torques above the make-up torque.

    Where its place in a bore is in doubt, the readings of that bore are left out, and
    `makeup_gaps` counts the bore.
    """
    history = assessment.histories.get(key)
    rows: list[MakeupRow] = []
    for did in history.bores if history else ():
        if len(did.places) == 1:
            bore = assessment.book.bores[did.bore]
            limit = assessment.works[did.bore].rod_type.makeup_torque
            rows += _read(bore, did.places[0], limit, f"{own}.makeup.{did.bore}")
    for number, spike in enumerate(spikes(assessment)):
        if key in spike.things:
            name = f"{own}.spike.{number}"
            figures = {
                "torque": Figure(f"{name}.torque", spike.torque, "torque", M),
                "limit": Figure(f"{name}.limit", spike.makeup, "torque", A),
            }
            rows.append(
                MakeupRow(spike.bore, spike.when, float(spike.station), "spike", "", figures)
            )
    return tuple(sorted(rows, key=lambda row: (row.happened, row.bore, row.station or 0.0)))


def _read(bore: Bore, place: int, limit: float | None, own: str) -> Iterable[MakeupRow]:
    against = {} if limit is None else {"limit": Figure(f"{own}.limit", limit, "torque", A)}
    for side, station in ((TOWARD_TOOL, place), (TOWARD_RIG, place + 1)):
        for each in bore.passes:
            if each.what not in OUTWARD:
                continue
            for reading in each.readings:
                for number, row in enumerate((reading, *reading.alternatives)):
                    if row.station == station and row.makeup is not None:
                        name = f"{own}.{each.name}.{station}.{number}.torque"
                        torque = Figure(name, row.makeup, "torque", M)
                        yield MakeupRow(
                            bore.name, day_of(row.origin.happened.start), row.station, "reading",
                            side, {"torque": torque, **against},
                        )  # fmt: skip
        for number, shift in enumerate(bore.makeups):
            if shift.from_station <= station <= shift.to_station:
                name = f"{own}.shift.{number}.{station}"
                figures = {"torque": Figure(f"{name}.torque", shift.torque, "torque", M)}
                if shift.share is not None:
                    figures["share"] = Figure(f"{name}.share", shift.share, "share", M)
                yield MakeupRow(
                    bore.name, day_of(shift.origin.happened.start), float(station), "shift", side,
                    {**figures, **against},
                )  # fmt: skip


def makeup_gaps(assessment: Assessment, key: str, rows: Iterable[MakeupRow]) -> tuple[str, ...]:
    """Bores of a rod in which no make-up of either of its joints is on record."""
    history = assessment.histories.get(key)
    known = {row.bore for row in rows if row.what != "spike"}
    return tuple(did.bore for did in history.bores if did.bore not in known) if history else ()


def looks_of(
    assessment: Assessment, key: str, stamps: Mapping[str, str], own: str
) -> tuple[LookRow, ...]:
    """Looks at a thing and work done on it, in the order of the work."""
    rows: list[tuple[str, LookRow]] = []
    for number, check in enumerate(assessment.book.checks):
        if key in check.things:
            name = f"{own}.look.{number}"
            numbers = {"reading": check.reading, "second_reading": check.second_reading}
            figures = {
                part: Figure(f"{name}.{part}", value, "size", M)
                for part, value in numbers.items()
                if value is not None
            }
            rows.append(
                (
                    check.origin.at,
                    LookRow(
                        day_of(check.origin.happened.start), stamps.get(check.origin.entry, ""),
                        check.item, check.end, check.found, check.gauge, figures,
                    ),
                )
            )  # fmt: skip
    for number, work in enumerate(assessment.book.dressings):
        if key in work.things:
            removed = Figure(f"{own}.dressing.{number}.removed", work.removed, "size", M)
            rows.append(
                (
                    work.origin.at,
                    LookRow(
                        day_of(work.origin.happened.start), stamps.get(work.origin.entry, ""),
                        work.what, work.end, work.note, "",
                        {} if work.removed is None else {"removed": removed},
                    ),
                )
            )  # fmt: skip
    return tuple(row for _, row in sorted(rows, key=lambda pair: pair[0]))
