"""Force and torque along the string of one pass: fitted to its gauges, with their bands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.gauges import PassGauges
from rodhand.drillstring.gauge_fit import GaugeReading, Posterior, at_tool, fit
from rodhand.drillstring.product_pull import STEEL_DENSITY, buoyed
from rodhand.drillstring.soft_string import Axis, Motion, Strand, from_rig, from_tool, sliding
from rodhand.steel import tube
from rodhand.steel.rod_type import RodType
from rodhand.units import STANDARD_GRAVITY

Floats = NDArray[np.float64]
MUD_DENSITY = 1100.0
"""Mud the string is filled with and hangs in, where nobody measures it (assumed). [kg/m^3]"""
CASES = 100
BAND = (0.05, 0.5, 0.95)


def strand_of(rod_type: RodType) -> Strand:
    """The string per metre: its mass as entered, else steel of its sizes; in assumed mud.

    Parameters
    ----------
    rod_type : RodType
        The rods.

    Returns
    -------
    Strand
        Weight in the mud, rubbing at the joints.
    """
    if rod_type.mass is not None:
        mass = rod_type.mass
    else:
        joints = 2.0 * rod_type.joint_length
        volume = rod_type.tube_area * (rod_type.length - joints)
        volume += tube.area(rod_type.joint_od, rod_type.joint_bore) * joints
        mass = STEEL_DENSITY * volume
    in_air = mass * STANDARD_GRAVITY / rod_type.length
    return Strand(buoyed(in_air, MUD_DENSITY), rod_type.joint_od / 2.0)


def axis_of(work: BoreWork) -> Axis | None:
    """The hole's axis cut at its stations and readings; None where no pitch was read."""
    path = work.hole.path
    if path is None or len(path.edges) < 2:
        return None
    stations = np.array(work.hole.stations)
    between = path.edges[(path.edges > stations[0]) & (path.edges < stations[-1])]
    apart = np.abs(between[:, None] - stations).min(axis=1) > 0.01
    edges = np.sort(np.concatenate((stations, between[apart])))
    return Axis(path.edges, path.tangents).at(edges)


@dataclass(frozen=True, eq=False)
class Line:
    """A quantity along the hole: 5, 50 and 95 % points at each place; NaN unknown."""

    places: Floats
    low: Floats
    best: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class PassForces:
    """Force and torque of one pass.

    Parameters
    ----------
    posterior : Posterior
        Friction and gauge scales.
    tool_force, tool_torque : tuple of float or None
        Band of the load at the tool, middle of the readings; force against the travel.
        [N], [N m]
    rig_force, rig_torque : Line
        At the rig with the tool at each station.
    rig_sliding : Line
        Force at the rig when the string travels without turning, same load at the tool.
    force_known, torque_known : bool
        Whether a gauge told the load at the tool; else the lines hold the string's own part.
    most_pull, most_thrust, most_torque : (edges, cases) array of float or None
        Largest at each edge of the axis over all readings; None where no gauge told them.
        [N], [N], [N m]
    """

    posterior: Posterior
    tool_force: tuple[float, float, float] | None
    tool_torque: tuple[float, float, float] | None
    rig_force: Line
    rig_torque: Line
    rig_sliding: Line
    force_known: bool
    torque_known: bool
    most_pull: Floats | None
    most_thrust: Floats | None
    most_torque: Floats | None


def _line(places: Floats, cases: Floats) -> Line:
    low, best, high = np.quantile(cases, BAND, axis=0)
    return Line(places, low, best, high)


def _band(cases: Floats) -> tuple[float, float, float]:
    low, best, high = np.quantile(cases, BAND)
    return float(low), float(best), float(high)


@dataclass(frozen=True, eq=False)
class _Seen:
    """What working readings of one gauge say: load at the tool, and along the string."""

    tool: Floats  # (cases, readings)
    most: Floats  # (edges, cases)
    least: Floats


def _seen(
    axis: Axis, strand: Strand, readings: Sequence[GaugeReading], post: Posterior, torque: bool
) -> _Seen | None:
    """March every reading of one gauge out from the rig, for every case."""
    those = [r for r in readings if (r.torque if torque else r.force) is not None]
    if torque:
        those = [r for r in those if r.motion.turning_share > 0]
    if not those:
        return None
    tool, most, least = [], [], []
    for motion in sorted({r.motion for r in those}, key=lambda m: (m.direction, m.axial_share)):
        rows = [r for r in those if r.motion == motion]
        at = np.array([r.tool for r in rows])
        force = np.array([r.force or 0.0 for r in rows]) / (1.0 + post.force_scale[:, None])
        twist = np.array([r.torque or 0.0 for r in rows]) / (1.0 + post.torque_scale[:, None])
        loads = from_rig(axis, strand, post.friction[:, None], motion, force, twist, at)
        ends = at_tool(loads)
        tool.append(ends[1] if torque else (motion.direction or 1) * ends[0])
        along = loads.torque if torque else loads.force
        most.append(np.where(np.isnan(along), -np.inf, along).max(axis=-1))
        least.append(np.where(np.isnan(along), np.inf, along).min(axis=-1))
    top, bottom = np.max(most, axis=0), np.min(least, axis=0)
    return _Seen(
        np.concatenate(tool, axis=-1),
        np.where(np.isfinite(top), top, np.nan),
        np.where(np.isfinite(bottom), bottom, np.nan),
    )


def pass_forces(work: BoreWork, axis: Axis, gauges: PassGauges, away: bool) -> PassForces:
    """Friction, tool load and lines of one pass.

    Parameters
    ----------
    work : BoreWork
        The bore.
    axis : Axis
        Its axis.
    gauges : PassGauges
        What the gauges showed.
    away : bool
        Whether the tool goes away from the rig.

    Returns
    -------
    PassForces
        With the string's own part alone where a gauge told nothing.
    """
    strand = strand_of(work.rod_type)
    post = fit(axis, strand, gauges.readings, gauges.force_error, gauges.torque_error, cases=CASES)
    working = [each for each in gauges.readings if not each.free]
    force = _seen(axis, strand, working, post, torque=False)
    torque = _seen(axis, strand, working, post, torque=True)
    direction = -1 if away else 1
    load = np.zeros(CASES) if force is None else np.median(force.tool, axis=1)
    twist = np.zeros(CASES) if torque is None else np.median(torque.tool, axis=1)
    stations = np.array(work.hole.stations[1:])
    both = [
        _at_rig(axis, strand, post, motion, direction * load, twist, stations)
        for motion in (gauges.moving, sliding(direction))
    ]
    turned = both[0][1] if gauges.moving.turning_share > 0 else both[0][1] * math.nan
    return PassForces(
        post,
        None if force is None else _band(load),
        None if torque is None else _band(twist),
        _line(stations, both[0][0]),
        _line(stations, turned),
        _line(stations, both[1][0]),
        force is not None,
        torque is not None,
        None if force is None else force.most,
        None if force is None else force.least,
        None if torque is None else torque.most,
    )


def _at_rig(
    axis: Axis,
    strand: Strand,
    post: Posterior,
    motion: Motion,
    load: Floats,
    twist: Floats,
    stations: Floats,
) -> tuple[Floats, Floats]:
    loads = from_tool(
        axis, strand, post.friction[:, None], motion, load[:, None], twist[:, None], stations
    )
    return loads.force[0], loads.torque[0]
