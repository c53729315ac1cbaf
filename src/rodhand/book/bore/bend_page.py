"""The rods of a bore in their clearance: bend of hole and of steel, room, thrust limits."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bend_views import BendDrawing, BendRow, BendView
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.string_state import axial_force, hole_around
from rodhand.drillstring.buckling import (
    MOST_OF_EULER,
    snaking_wave,
    thrust_limit_at_rig,
    thrust_limit_in_hole,
)
from rodhand.drillstring.contact import Contact, solve_contact
from rodhand.drillstring.lateral import bending_frequency, is_near_resonance, weight_in_mud
from rodhand.drillstring.rod_bend import rod_bends
from rodhand.drillstring.string_beam import HoleLine, RodBeam, StringBeam, string_beam
from rodhand.hole.damage_curvature import UNKNOWN_HOLE_RATIO
from rodhand.steel.column import span_euler_load
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.units import Figure, Standing

Floats = NDArray[np.float64]
WORTH_COMPARING = 1.0 / 500.0
"""Bend below which steel over hole says nothing: one wandering rod beside it decides. [1/m]"""
STRAIGHT = 1e-5
"""Bend below which a radius, beyond 100 km, says nothing. [1/m]"""


def bend_view(
    assessment: Assessment,
    name: str,
    at_pass: str | None = None,
    free_length: float | None = None,
    bow: float = 0.0,
) -> BendView:
    """The string of one pass as it stands in the whole hole.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Bore.
    at_pass : str, optional
        Pass; the pilot when not given.
    free_length, bow : float, optional
        Length of rod nobody holds between rig and ground, and its bow. [m]

    Returns
    -------
    BendView
        Empty drawing where thrust buckles the string.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore or pass, or nothing to work it from.

    Notes
    -----
    All rods of the pilot stand in the hole, the tool at its end. One axial force holds along the
    whole string: the median of the thrust or pull logged in the pass, none where none was.
    """
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    each = next((p for p in work.passes if at_pass in (None, p.name)), None)
    if each is None:
        raise NoSuchBoreError(f"{name}, {at_pass}")
    entered = hole_around(work.bore, work.rod_type, work.passes, each)
    diameter = entered or UNKNOWN_HOLE_RATIO * work.rod_type.joint_od
    force = axial_force(work.bore, each)
    weight = weight_in_mud(work.rod_type)
    solved = solve_contact(_laid(work, diameter, force or 0.0, weight))
    span = MOST_OF_EULER * span_euler_load(
        ELASTIC_MODULUS * work.rod_type.tube_inertia, work.rod_type.length
    )
    if -(force or 0.0) > span:
        solved = replace(solved, is_settled=False)
    figures = _figures(work, each, diameter, force, weight)
    if entered is None:
        figures["diameter"] = Figure("bend.diameter", diameter, "size", Standing.ASSUMED)
    free = None if free_length is None else _free_span(work, free_length, bow)
    if free is not None:
        figures |= {"thrust_at_rig": free.figures()[-1]}
    return BendView(
        invented=assessment.invented,
        name=name,
        rod_type=work.rod_type.name,
        at_pass=each.name,
        passes=tuple(p.name for p in work.passes),
        figures=figures,
        warnings=_warnings(work, each, entered, force, solved),
        rods=_rows(work, solved, diameter, weight),
        drawing=_drawing(solved) if solved.is_settled else BendDrawing(),
        free_span=free,
    )


def _laid(work: BoreWork, diameter: float, force: float, weight: float) -> StringBeam:
    bends = work.hole.rods
    vertical, sideways = bends.vertical / bends.length, bends.horizontal / bends.length
    # sideways bends nobody read are left out, yet the string may still snake sideways
    curvature = np.nan_to_num(np.stack((vertical, sideways), axis=1))
    lengths = np.diff(work.hole.stations)
    rods = [RodBeam.of(work.rod_type, float(length)) for length in lengths]
    tool = float(work.hole.stations[-1]) - work.hole.front_length
    return string_beam(rods, HoleLine(bends.edges, curvature, diameter), tool, force, weight)


def _is_in_two_planes(work: BoreWork) -> bool:
    known = np.isfinite(work.hole.rods.vertical)
    return bool(known.any() and np.isfinite(work.hole.rods.horizontal[known]).all())


def _figures(
    work: BoreWork, each: PassWork, diameter: float, force: float | None, weight: float
) -> dict[str, Figure]:
    measured = Standing.MEASURED
    own = bending_frequency(work.rod_type, force or 0.0)
    found = {
        "diameter": Figure("bend.diameter", diameter, "size", measured),
        "frequency": Figure("bend.frequency", own, "rate", Standing.COMPUTED),
        "string_weight": Figure(
            "bend.string_weight", weight * float(work.hole.stations[-1]), "force", Standing.COMPUTED
        ),
    }
    if force is not None:
        name = "thrust" if force < 0.0 else "pull"
        found[name] = Figure(f"bend.{name}", abs(force), "force", measured)
    if each.mean_speed:
        found["speed"] = Figure("bend.speed", each.mean_speed, "rate", measured)
    return found


def _free_span(work: BoreWork, free_length: float, bow: float) -> Sentence:
    limit = thrust_limit_at_rig(work.rod_type, free_length, bow)
    return Sentence(
        "bend.free_takes",
        {
            "length": Figure("bend.free_length", free_length, "length", Standing.MEASURED),
            "bow": Figure("bend.bow", bow, "size", Standing.MEASURED),
            "thrust": Figure("bend.thrust_at_rig", limit.force, "force", Standing.COMPUTED),
        },
    )


def _warnings(
    work: BoreWork, each: PassWork, entered: float | None, force: float | None, solved: Contact
) -> tuple[Sentence, ...]:
    found = []
    if not solved.is_settled:
        found.append(Sentence("bend.buckles"))
    if entered is None:
        found.append(Sentence("bend.no_diameter"))
    if force is None:
        found.append(Sentence("bend.no_force"))
    if not _is_in_two_planes(work):
        found.append(Sentence("bend.no_heading"))
    frequency = bending_frequency(work.rod_type, force or 0.0)
    if each.mean_speed and is_near_resonance(each.mean_speed, frequency):
        speed = Figure("bend.speed", each.mean_speed, "rate", Standing.MEASURED)
        own = Figure("bend.frequency", frequency, "rate", Standing.COMPUTED)
        found.append(Sentence("bend.resonance", {"speed": speed, "frequency": own}))
    return tuple(found)


def _rows(work: BoreWork, solved: Contact, diameter: float, weight: float) -> tuple[BendRow, ...]:
    bends, beam = rod_bends(solved), solved.beam
    pitch = work.hole.readings.pitch
    known = np.isfinite(pitch)
    wave = snaking_wave(work.rod_type, weight, diameter)
    turned = beam.nodes, np.append(0.0, np.cumsum(beam.mean[:, 0] * beam.lengths))
    rows = []
    for k in range(len(bends.largest)):
        own = np.flatnonzero(beam.rod == k)
        start, end = float(beam.nodes[own[0]]), float(beam.nodes[own[-1] + 1])
        middle = (start + end) / 2.0
        slope = np.interp(middle, work.hole.readings.sensor_length[known], pitch[known])
        upward = float(np.diff(np.interp([middle - wave / 2.0, middle + wave / 2.0], *turned))[0])
        limit = thrust_limit_in_hole(
            work.rod_type, weight, diameter, math.pi / 2.0 + float(slope), upward / wave
        )
        touch = float(solved.wall_force[own[0] : own[-1] + 2].max())
        rows.append(
            BendRow(
                place=k + 1,
                governs=limit.governs.value,
                figures=_row_figures(
                    f"bend.place.{k + 1}", solved.is_settled, float(bends.hole[k]),
                    float(bends.largest[k]), float(bends.room[k]), touch, limit.force,
                ),
            )
        )  # fmt: skip
    return tuple(rows)


def _row_figures(
    key: str, is_settled: bool, hole: float, rod: float, room: float, touch: float, limit: float
) -> dict[str, Figure]:
    computed = Standing.COMPUTED
    found = {"thrust_limit": Figure(f"{key}.thrust_limit", limit, "force", computed)}
    if hole > STRAIGHT:
        found["hole_bend"] = Figure(f"{key}.hole_bend", 1.0 / hole, "radius", computed)
    if not is_settled:
        return found
    if rod > STRAIGHT:
        found["rod_bend"] = Figure(f"{key}.rod_bend", 1.0 / rod, "radius", computed)
    if hole > WORTH_COMPARING:
        found["magnification"] = Figure(f"{key}.magnification", rod / hole, "share", computed)
    found["room"] = Figure(f"{key}.room", room, "size", computed)
    found["touch"] = Figure(f"{key}.touch", touch, "force", computed)
    return found


def _drawing(solved: Contact) -> BendDrawing:
    beam = solved.beam
    bend = solved.tube_bend
    at_nodes = np.maximum(np.r_[bend[0, 0], bend[:, 1]], np.r_[bend[:, 0], bend[-1, 1]])
    hole = np.linalg.norm(beam.mean, axis=1)
    first = np.flatnonzero(np.diff(beam.rod, prepend=-1))

    def plain(values: Floats) -> tuple[float, ...]:
        return tuple(float(x) for x in values)

    return BendDrawing(
        at_m=plain(beam.nodes),
        hole_per_m=plain(np.append(hole, hole[-1])),
        rod_per_m=plain(at_nodes),
        offset_m=plain(solved.offset[:, 0]),
        room_m=plain(beam.clearance),
        touches=tuple(bool(x) for x in solved.wall_force > 0.0),
        joints_m=plain(np.append(beam.nodes[first], beam.nodes[-1])),
    )
