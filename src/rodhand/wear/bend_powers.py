"""Powers of the steel's bend that damage is made of, by section and stretch of hole.

Damage of one turn is (2 E r_tube f)^m b^m / a with b the moment over EI of the tube, so what a
hole does to a section is held in E[b^m]. Two ways lead there: the string laid into its clearance
(model 2), and the bend of the hole times assumed factors (model 1), for where it cannot be laid.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
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
Integers = NDArray[np.int64]

NODES = 7
"""Points of the Gauss-Hermite rule along each axis of a bend's scatter. [1]"""
MIDDLE_SLOPE = 4.0
"""Exponent by which that phase is picked which stands for the scatter of a stretch's bend. [-]"""
LEAST_BEND = 1e-12
"""Least bend or change of it that is divided by. [1/m], [-]"""
NOISE_ALONE = math.pi / (2.0 * math.sqrt(6.0))
"""Standard deviation of ln of a bend whose two planes are noise alone (Rayleigh): 0.641. [-]"""


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
class Scatter:
    """A bend that scatters normally: what moves it are factors shared by a whole bore.

    Parameters
    ----------
    bend : (5, m, p) array of float
        In each of p planes. [1/m]
    factors : (5, m, p, q) array of float
        Change for one standard deviation of each of q factors. [1/m]
    """

    bend: Floats
    factors: Floats

    @property
    def relative(self) -> Floats:
        """Change of ln bend for one standard deviation of each factor, (5, m, q). [-]

        First order, and together never more than the `NOISE_ALONE` of a bend that is all noise.
        """
        size = np.linalg.norm(self.bend, axis=-1) + LEAST_BEND
        toward = (self.bend[..., None, :] @ self.factors)[..., 0, :] / size[..., None] ** 2
        whole = np.linalg.norm(toward, axis=-1, keepdims=True)
        return np.asarray(toward * np.minimum(1.0, NOISE_ALONE / np.maximum(whole, LEAST_BEND)))

    def expected(self, slope: float) -> Floats:
        """Expected power of the bend, (5, m). [1/m^slope]"""
        return _expected(self.bend, self.factors, slope)


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
    scatter : Scatter
        How the bends may lie beside the best ones, by the factors of the bore's hole.
    by_hole : tuple of mapping of float to (5, m) array of float
        Expected powers in a hole as narrow and as wide as it may be; empty where it was measured.
    laid : bool
        Whether the string was laid into its clearance (model 2).
    """

    edges: Floats
    by_slope: Mapping[float, Power]
    size: Floats
    scatter: Scatter
    by_hole: tuple[Mapping[float, Floats], ...]
    laid: bool

    def section_bends(self) -> tuple[Floats, Floats, Floats]:
        """Bend of the steel at each section: low, best and high, each (5, m). [1/m]

        The steady bend that costs what the expected power costs, at the lowest exponent held;
        moment over EI of the tube.
        """
        slope = min(self.by_slope)
        power = self.by_slope[slope]
        low, best, high = (
            np.asarray(each ** (1.0 / slope)) for each in (power.low, power.best, power.high)
        )
        return low, best, high

    def joint_bends(self) -> tuple[Floats, Floats, Floats]:
        """Bend at the joints, low, best and high, each (m,): the larger of both threads. [1/m]"""
        low, best, high = (each[[0, -1]].max(axis=0) for each in self.section_bends())
        return low, best, high


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

    size = factor[:, None] * band.best
    moved = size[..., None] * np.diag(share)
    still = np.zeros_like(size)
    scatter = Scatter(
        np.stack((size, still), axis=-1), np.stack((moved, np.zeros_like(moved)), axis=2)
    )
    by_slope = {m: power(m) for m in slopes}
    ends = tuple({m: getattr(each, end) for m, each in by_slope.items()} for end in ("high", "low"))
    return BendPowers(band.edges, by_slope, size, scatter, ends, laid=False)


def laid_powers(
    edges: Floats,
    best: SteelBends,
    others: Iterable[SteelBends],
    slopes: Iterable[float],
    pin_toward: str,
    by_hole: Sequence[SteelBends] = (),
) -> BendPowers:
    """Model 2: from the string laid into the hole as it is best known, and as it may be.

    Parameters
    ----------
    edges : (m+1,) array of float
        Stretches wanted. [m]
    best : SteelBends
        In the best hole.
    others : iterable of SteelBends
        In holes that may be there as well: narrower, wider, without a sideways bend. They widen
        low and high.
    slopes : iterable of float
        Exponents wanted. [-]
    pin_toward : {"head", "rig"}
        Which way the rig's pins look.
    by_hole : sequence of SteelBends
        In a hole as narrow and as wide as it may be, where nobody measured it.

    Returns
    -------
    BendPowers
        Expected powers over the scatter of the bends given all readings.
    """
    beside = list(others)

    order = range(len(SECTIONS)) if pin_toward == "head" else range(len(SECTIONS) - 1, -1, -1)

    def mean(bends: SteelBends, m: float) -> Floats:
        values = _expected(bends.bend, bends.factors, m)
        return np.stack([_means(edges, bends.at[:, j], values[:, j]) for j in order])

    def power(m: float) -> Power:
        middle = mean(best, m)
        rest = [mean(x, m) for x in beside]
        low, high = np.min([middle, *rest], axis=0), np.max([middle, *rest], axis=0)
        return Power(low, middle, high)

    by_slope = {m: power(m) for m in slopes}
    sizes = tuple({m: mean(x, m) for m in by_slope} for x in by_hole)
    cost = _expected(best.bend, best.factors, MIDDLE_SLOPE)
    picked = [(_costliest(edges, best.at[:, j], cost[:, j]), j) for j in order]
    scatter = Scatter(
        np.stack([best.bend[who, j] for who, j in picked]),
        np.stack([best.factors[who, j] for who, j in picked]),
    )
    return BendPowers(edges, by_slope, np.sqrt(mean(best, 2.0)), scatter, sizes, laid=True)


def _expected(bend: Floats, factors: Floats, m: float) -> Floats:
    """E|b|^m of bends that scatter normally in two planes, without the last axes."""
    points, weights = np.polynomial.hermite_e.hermegauss(NODES)
    share = np.outer(weights, weights) / weights.sum() ** 2
    variance, axes = np.linalg.eigh(factors @ np.swapaxes(factors, -1, -2))
    along = (bend[..., None, :] @ axes)[..., 0, :]
    sd = np.sqrt(np.maximum(variance, 0.0))
    one = along[..., 0, None, None] + sd[..., 0, None, None] * points[:, None]
    two = along[..., 1, None, None] + sd[..., 1, None, None] * points[None, :]
    return np.asarray(((one**2 + two**2) ** (m / 2.0) * share).sum(axis=(-2, -1)))


def _means(edges: Floats, at: Floats, values: Floats) -> Floats:
    """Mean of what stands in each stretch; the nearest's where nothing does."""
    count = len(edges) - 1
    index = np.searchsorted(edges, at, side="right") - 1
    inside = (index >= 0) & (index < count)
    total = np.bincount(index[inside], weights=values[inside], minlength=count)
    number = np.bincount(index[inside], minlength=count).astype(float)
    return np.where(number > 0, total / np.maximum(number, 1.0), values[_nearest(edges, at)])


def _costliest(edges: Floats, at: Floats, cost: Floats) -> Integers:
    """Which of those that stand in each stretch costs most; the nearest where nothing does."""
    found = _nearest(edges, at)
    index = np.searchsorted(edges, at, side="right") - 1
    for k in np.argsort(cost):
        if 0 <= index[k] < len(found):
            found[index[k]] = k
    return found


def _nearest(edges: Floats, at: Floats) -> Integers:
    middle = (edges[1:] + edges[:-1]) / 2.0
    return np.asarray(np.abs(middle[:, None] - at[None, :]).argmin(axis=1))
