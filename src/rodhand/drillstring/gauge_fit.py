"""Friction and tool load from the rig's gauge.

A free reading (turning off bottom, pick-up, slack-off) has no load at the tool, so it tells the
friction. A working reading tells friction and tool load together: alone it only says that the
string's own part is not more than the gauge showed. Both go into one posterior on a grid of the
friction coefficient and of the gauges' scales; nothing is drawn at random.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr

from rodhand.drillstring.soft_string import Axis, Loads, Motion, Strand, from_rig, from_tool

Floats = NDArray[np.float64]
FRICTIONS = np.geomspace(0.04, 1.2, 69)
"""Grid of the friction coefficient. [1]"""
FRICTION_MIDDLE, FRICTION_SIGMA = 0.30, 0.35
"""Prior: median, and sigma of its logarithm: 90 % in 0.17 to 0.53. Water-base mud, steel string,
figured back from field loads: 0.25 to 0.40 (READ, SPE 11380 summary); 0.3 in slurry, 0.5 on the
ground (READ); widened, ours. [1]"""
SCALE_NODES = np.linspace(-2.2, 2.2, 9)
"""Nodes of a gauge's scale, in standard deviations. [1]"""
ENOUGH_FREE = 5
"""Free readings from which friction and tool load are told apart (ours)."""
PATTERN = (0.7548776662, 0.5698402910)
"""Steps of a two-dimensional low-discrepancy sequence (Roberts), to pair friction and scales."""
BAND = (0.05, 0.5, 0.95)


@dataclass(frozen=True)
class GaugeError:
    """How far a gauge may be off.

    Parameters
    ----------
    scale : float
        One standard deviation of what is common to all its readings. [1]
    repeat : float
        Of each reading on its own, as a share of it. [1]
    floor : float
        Of each reading on its own, in the reading's unit: needle, zero. [N] or [N m]
    """

    scale: float
    repeat: float
    floor: float

    def sigma(self, value: Floats) -> Floats:
        """Standard deviation of a reading without the common part."""
        return np.asarray(np.hypot(self.repeat * value, self.floor))


@dataclass(frozen=True)
class GaugeReading:
    """What the gauges showed with the tool at one place.

    Parameters
    ----------
    tool : float
        Tool position, an edge of the axis. [m]
    motion : Motion
        How the string moved.
    force : float or None
        Tension at the rig; thrust is negative. [N]
    torque : float or None
        Torque at the rig. [N m]
    free : bool
        Whether nothing loaded the tool.
    """

    tool: float
    motion: Motion
    force: float | None
    torque: float | None
    free: bool


@dataclass(frozen=True, eq=False)
class Posterior:
    """Weighted cases of friction and gauge scales.

    Parameters
    ----------
    friction, force_scale, torque_scale : (k,) array of float
        Equally likely cases; a true value is the shown one over 1 + scale. [1]
    free, working : int
        Readings of each kind that told something.
    """

    friction: Floats
    force_scale: Floats
    torque_scale: Floats
    free: int
    working: int

    @property
    def is_separable(self) -> bool:
        """Whether friction and tool load are told apart."""
        return self.free >= ENOUGH_FREE

    @property
    def band(self) -> tuple[float, float, float]:
        """Friction: 5, 50 and 95 % points. [1]"""
        low, best, high = np.quantile(self.friction, BAND)
        return float(low), float(best), float(high)


def _model(
    axis: Axis, strand: Strand, readings: Sequence[GaugeReading], friction: Floats
) -> tuple[Floats, Floats]:
    """Rig's force and torque of free readings for each friction: (frictions, readings)."""
    force, torque = np.empty((2, len(friction), len(readings)))
    for motion in {each.motion for each in readings}:
        those = [k for k, each in enumerate(readings) if each.motion == motion]
        tool = np.array([readings[k].tool for k in those])
        loads = from_tool(axis, strand, friction[:, None], motion, 0.0, 0.0, tool)
        force[:, those], torque[:, those] = loads.force[0], loads.torque[0]
    return force, torque


def at_tool(loads: Loads) -> tuple[Floats, Floats]:
    """Force and torque at the last place of each case, its tool. [N], [N m]"""
    last = np.isfinite(loads.force).sum(axis=0) - 1
    force = np.take_along_axis(loads.force, last[None], axis=0)[0]
    return force, np.take_along_axis(loads.torque, last[None], axis=0)[0]


def _tool_loads(
    axis: Axis,
    strand: Strand,
    readings: Sequence[GaugeReading],
    friction: Floats,
    shown: tuple[Floats, Floats],
) -> tuple[Floats, Floats]:
    """Tool's force against the travel and torque, last axis the readings."""
    shape = np.broadcast_shapes(friction.shape, shown[0].shape, shown[1].shape)
    force, torque = np.full((2, *shape), np.nan)
    for motion in {each.motion for each in readings}:
        those = [k for k, each in enumerate(readings) if each.motion == motion]
        tool = np.array([readings[k].tool for k in those])
        loads = from_rig(
            axis, strand, friction, motion, shown[0][..., those], shown[1][..., those], tool
        )
        ends = at_tool(loads)
        force[..., those] = (motion.direction or 1) * ends[0]
        torque[..., those] = ends[1]
    return force, torque


def _values(readings: Sequence[GaugeReading]) -> tuple[Floats, Floats]:
    force = [math.nan if each.force is None else each.force for each in readings]
    torque = [math.nan if each.torque is None else each.torque for each in readings]
    return np.array(force), np.array(torque)


def _free_likelihood(shown: Floats, model: Floats, error: GaugeError) -> Floats:
    """Log likelihood (frictions, scales) of free readings of one gauge."""
    scaled = model[:, None, :] * (1.0 + error.scale * SCALE_NODES)[None, :, None]
    sigma = error.sigma(scaled)
    each = -0.5 * ((shown - scaled) / sigma) ** 2 - np.log(sigma)
    return np.asarray(np.where(np.isfinite(shown), each, 0.0).sum(axis=-1))


def _working_likelihood(load: Floats, shown: Floats, error: GaugeError) -> Floats:
    """Log likelihood (frictions, scales): the tool cannot drive the string.

    Only the tightest reading counts: rods drilled one after the other say nearly the same thing,
    and counted apart they would push the friction below what any one of them allows.
    """
    each = log_ndtr(load / error.sigma(shown))
    return np.asarray(np.where(np.isfinite(each), each, 0.0).min(axis=-1))


def fit(
    axis: Axis,
    strand: Strand,
    readings: Sequence[GaugeReading],
    force_error: GaugeError,
    torque_error: GaugeError,
    cases: int = 200,
) -> Posterior:
    """Friction and gauge scales from all readings of one string in one hole.

    Parameters
    ----------
    axis : Axis
        The hole's axis; every reading's tool stands at one of its edges.
    strand : Strand
        The string.
    readings : sequence of GaugeReading
        Free and working ones; without any the prior comes back.
    force_error, torque_error : GaugeError
        Of the two gauges.
    cases : int
        How many equally likely cases to give.

    Returns
    -------
    Posterior
        Cases, the same ones every time.

    Raises
    ------
    ValueError
        If a tool stands between edges of the axis.

    Notes
    -----
    One coefficient for the whole string and all passes given; what a wandering path that was
    read with noise adds to the wall force goes into the coefficient.
    """
    free = [each for each in readings if each.free]
    working = [each for each in readings if not each.free]
    force_log = torque_log = np.zeros((len(FRICTIONS), len(SCALE_NODES)))
    if free:
        shown, model = _values(free), _model(axis, strand, free, FRICTIONS)
        force_log = force_log + _free_likelihood(shown[0], model[0], force_error)
        # torque tells friction only while the string turns
        turns = np.array([each.motion.turning_share > 0 for each in free])
        torque = np.where(turns, shown[1], np.nan)
        torque_log = torque_log + _free_likelihood(torque, model[1], torque_error)
    if working:
        shown = _values(working)
        scales = [
            shown[k] / (1.0 + error.scale * SCALE_NODES)[:, None]
            for k, error in enumerate((force_error, torque_error))
        ]
        rub = FRICTIONS[:, None, None]
        middle = np.where(np.isfinite(shown[0]), shown[0], 0.0)
        loads = _tool_loads(axis, strand, working, rub, (scales[0], np.zeros(1) + 0 * scales[0]))
        force_log = force_log + _working_likelihood(loads[0], shown[0], force_error)
        turns = np.array([each.motion.turning_share > 0 for each in working])
        torque = np.where(turns, scales[1], np.nan)
        loads = _tool_loads(axis, strand, working, rub, (middle + 0 * torque, torque))
        torque_log = torque_log + _working_likelihood(loads[1], shown[1], torque_error)
    return _drawn(force_log, torque_log, (force_error, torque_error), cases, readings)


def _drawn(
    force_log: Floats,
    torque_log: Floats,
    errors: tuple[GaugeError, GaugeError],
    cases: int,
    readings: Sequence[GaugeReading],
) -> Posterior:
    """Cases spaced evenly over the friction's weight; scales follow a low-discrepancy pattern."""
    prior = -0.5 * (np.log(FRICTIONS / FRICTION_MIDDLE) / FRICTION_SIGMA) ** 2
    node = -0.5 * SCALE_NODES**2
    scales = [np.exp(each + node - (each + node).max()) for each in (force_log, torque_log)]
    weight = np.exp(prior) * scales[0].sum(axis=1) * scales[1].sum(axis=1)
    middle = np.sqrt(FRICTIONS[:-1] * FRICTIONS[1:])
    bounds = np.log(np.concatenate((FRICTIONS[:1], middle, FRICTIONS[-1:])))
    number = np.arange(cases)
    friction = np.exp(_picked(weight, bounds, (number + 0.5) / cases))
    near = np.searchsorted(middle, friction)
    between = (SCALE_NODES[:-1] + SCALE_NODES[1:]) / 2.0
    edges = np.concatenate((SCALE_NODES[:1], between, SCALE_NODES[-1:]))
    drawn = [
        error.scale
        * np.array([_picked(each[k], edges, (0.5 + step * n) % 1.0) for n, k in enumerate(near)])
        for each, error, step in zip(scales, errors, PATTERN, strict=True)
    ]
    told = [each for each in readings if each.force is not None or each.torque is not None]
    free = sum(each.free for each in told)
    return Posterior(friction, drawn[0], drawn[1], free, len(told) - free)


def _picked(weight: Floats, bounds: Floats, share: ArrayLike) -> Floats:
    """Values at shares of the weight of cells between bounds."""
    reach = np.concatenate(([0.0], np.cumsum(weight))) / weight.sum()
    return np.asarray(np.interp(np.asarray(share, dtype=float), reach, bounds))
