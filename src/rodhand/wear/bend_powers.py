"""Powers of the steel's bend that damage is made of, by section and stretch of hole.

Damage of one turn is (2 E r_tube f)^m b^m / a with b the moment over EI of the tube, so what a
hole does to a section is held in E[b^m]. Two ways lead there: the string laid into its clearance
(model 2), and the bend of the hole times assumed factors (model 1), for where it cannot be laid.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.passes import PassKind
from rodhand.drillstring.section_bend import SteelBends
from rodhand.hole.damage_curvature import CurvatureBand, corrected_power
from rodhand.steel.curves import Curve
from rodhand.steel.rod_type import RodType
from rodhand.wear.sections import SECTIONS, CurveSet, magnifications

Floats = NDArray[np.float64]

NODES = 7
"""Points of the Gauss-Hermite rule along each axis of a bend's scatter. [1]"""
MIDDLE_SLOPE = 4.0
"""Exponent by which the phases of a stretch are weighed for the error of its bend. [-]"""
LEAST_BEND = 1e-12
"""Added to a bend that is divided by. [1/m]"""


@dataclass(frozen=True, eq=False)
class Power:
    """One power of the bend, rows for the five sections, columns for stretches of hole.

    Parameters
    ----------
    low, best, high : (5, m) array of float
        Expected power; NaN where nobody can tell the bend. [1/m^slope]
    """

    low: Floats
    best: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class BendPowers:
    """What one pass's string bends, as damage needs it.

    Parameters
    ----------
    edges : (m+1,) array of float
        Ends of the stretches along the hole. [m]
    by_slope : mapping of float to Power
        For every exponent of the fatigue curves.
    size : (5, m) array of float
        The bend itself, for which of two slopes of a curve holds. [1/m]
    relative : (5, m, q) array of float
        Change of ln bend for one standard deviation of each factor of the bore's bends; times
        the slope it is the change of ln damage. [-]
    laid : bool
        Whether the string was laid into its clearance (model 2).
    """

    edges: Floats
    by_slope: Mapping[float, Power]
    size: Floats
    relative: Floats
    laid: bool


def slopes_of(curves: CurveSet) -> tuple[float, ...]:
    """Every exponent of a set of curves, each once. [-]"""
    found: list[float] = []
    for curve in (curves.tube, curves.weld, curves.thread):
        found += [m for m in _slopes(curve) if m not in found]
    return tuple(found)


def _slopes(curve: Curve) -> tuple[float, ...]:
    return (curve.slope,) if curve.second_slope is None else (curve.slope, curve.second_slope)


def read_powers(
    band: CurvatureBand, rod: RodType, kind: PassKind, slopes: Iterable[float]
) -> BendPowers:
    """Model 1: the hole's bend times the stiff-joint factor J and a constant B by section.

    Parameters
    ----------
    band : CurvatureBand
        Curvature of the hole.
    rod : RodType
        Rods of the string.
    kind : PassKind
        Decides B.
    slopes : iterable of float
        Exponents wanted. [-]

    Returns
    -------
    BendPowers
        Reading noise taken off to second order in low and best, left in high.
    """
    factor = rod.stiff_joint_factor * magnifications(kind)
    error = np.nan_to_num(band.error)
    known = band.best > 0.0
    share = np.zeros_like(band.best)
    share[known] = error[known] / band.best[known]

    def power(m: float) -> Power:
        scale = factor[:, None] ** m
        low, best, high = (
            scale * corrected_power(bend, noise, m, band.planes)
            for bend, noise in (
                (band.low, error), (band.best, error), (band.high, np.zeros_like(error)),
            )
        )  # fmt: skip
        return Power(low, best, high)

    relative = np.broadcast_to(np.diag(share), (len(SECTIONS), share.size, share.size))
    size = factor[:, None] * band.best
    return BendPowers(band.edges, {m: power(m) for m in slopes}, size, relative, laid=False)


def laid_powers(
    edges: Floats,
    best: SteelBends,
    others: Iterable[SteelBends],
    slopes: Iterable[float],
    pin_toward: str,
) -> BendPowers:
    """Model 2: from the string laid into the hole as it is best known, and as it may be.

    Parameters
    ----------
    edges : (m+1,) array of float
        Stretches wanted. [m]
    best : SteelBends
        In the best hole.
    others : iterable of SteelBends
        In holes that may be there as well: narrower, wider, bent sideways. They widen low and
        high.
    slopes : iterable of float
        Exponents wanted. [-]
    pin_toward : {"head", "rig"}
        Which way the rig's pins look.

    Returns
    -------
    BendPowers
        Expected powers over the scatter of the bends given all readings.
    """
    beside = list(others)

    def mean(bends: SteelBends, values: Floats) -> Floats:
        return _by_stretch(edges, bends.at, values, pin_toward)

    def power(m: float) -> Power:
        middle = mean(best, _expected(best, m))
        rest = [mean(x, _expected(x, m)) for x in beside]
        low, high = np.min([middle, *rest], axis=0), np.max([middle, *rest], axis=0)
        return Power(low, middle, high)

    weight = mean(best, np.linalg.norm(best.bend, axis=-1) ** MIDDLE_SLOPE)
    moved = mean(best, _change(best, MIDDLE_SLOPE)) / MIDDLE_SLOPE
    relative = moved / np.maximum(weight, LEAST_BEND**MIDDLE_SLOPE)[..., None]
    size = np.sqrt(mean(best, _expected(best, 2.0)))
    return BendPowers(edges, {m: power(m) for m in slopes}, size, relative, laid=True)


def _expected(bends: SteelBends, m: float) -> Floats:
    """E|b|^m of a bend that scatters normally in two planes, (k, 5)."""
    points, weights = np.polynomial.hermite_e.hermegauss(NODES)
    share = np.outer(weights, weights) / weights.sum() ** 2
    spread = bends.factors @ np.swapaxes(bends.factors, -1, -2)
    variance, axes = np.linalg.eigh(spread)
    along = (bends.bend[..., None, :] @ axes)[..., 0, :]
    sd = np.sqrt(np.maximum(variance, 0.0))
    one = along[..., 0, None, None] + sd[..., 0, None, None] * points[:, None]
    two = along[..., 1, None, None] + sd[..., 1, None, None] * points[None, :]
    return np.asarray(((one**2 + two**2) ** (m / 2.0) * share).sum(axis=(-2, -1)))


def _change(bends: SteelBends, m: float) -> Floats:
    """Change of |b|^m for one standard deviation of each factor, (k, 5, q)."""
    size = np.linalg.norm(bends.bend, axis=-1)
    toward = (bends.bend[..., None, :] @ bends.factors)[..., 0, :]
    return np.asarray(m * (size + LEAST_BEND)[..., None] ** (m - 2.0) * toward)


def _by_stretch(edges: Floats, at: Floats, values: Floats, pin_toward: str) -> Floats:
    """Mean of what stands in each stretch, by section from pin to box; else the nearest's."""
    order = range(len(SECTIONS)) if pin_toward == "head" else range(len(SECTIONS) - 1, -1, -1)
    return np.stack([_means(edges, at[:, j], values[:, j]) for j in order])


def _means(edges: Floats, at: Floats, values: Floats) -> Floats:
    count = len(edges) - 1
    index = np.searchsorted(edges, at, side="right") - 1
    inside = (index >= 0) & (index < count)
    total = np.zeros((count, *values.shape[1:]))
    np.add.at(total, index[inside], values[inside])
    number = np.bincount(index[inside], minlength=count).astype(float)
    middle = (edges[1:] + edges[:-1]) / 2.0
    nearest = np.abs(middle[:, None] - at[None, :]).argmin(axis=1)
    shape = (count, *(1 for _ in values.shape[1:]))
    here = total / np.maximum(number, 1.0).reshape(shape)
    return np.asarray(np.where((number > 0).reshape(shape), here, values[nearest]))
