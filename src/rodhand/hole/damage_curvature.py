"""Curvature of the hole as wear needs it: low, best and high, with the error of reading it.

Damage grows with a power of the bend, so noise makes it too big and bends nobody could see
make it uncertain. Widths here are proposals of this project, not published values.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rodhand.hole.bends import PUSH_SOURCES, HoleBends, per_rod
from rodhand.hole.readings import BoolArray, FloatArray

UNKNOWN_HOLE_RATIO = 1.4
"""Hole diameter over joint OD where the hole was not measured; common practice, no source."""

LEAST_HOLE_RATIO = 1.15
"""The least of the band of that ratio: a hole rods turn in is no tighter (proposal)."""

SMOOTHED_INTERVALS = 5
LONE_SHARE = 1.0 / 3.0


@dataclass(frozen=True, eq=False)
class CurvatureBand:
    """Curvature of each stretch of hole for damage.

    Parameters
    ----------
    edges : ndarray (m+1,)
        Ends of the stretches along the hole. [m]
    best, low, high : ndarray (m,)
        Curvature; low <= best <= high. [1/m]
    error : ndarray (m,)
        One standard deviation of the curvature from reading it; NaN where unread. [1/m]
    planes : ndarray of int (m,)
        2 where the bend was read in both planes, else 1. [1]
    unread : ndarray of bool (m,)
        No reading stands behind the stretch's own bend.
    """

    edges: FloatArray
    best: FloatArray
    low: FloatArray
    high: FloatArray
    error: FloatArray
    planes: npt.NDArray[np.int64]
    unread: BoolArray


def curvature_band(
    bends: HoleBends,
    joint_od: float,
    hole_diameter: float | None = None,
    plan_curvature: float = 0.0,
) -> CurvatureBand:
    """Low, best and high curvature of each stretch.

    Parameters
    ----------
    bends : HoleBends
        As `hole_bends` or `per_rod` gives them.
    joint_od : float
        Outer diameter of the rod's joint. [m]
    hole_diameter : float, optional
        Diameter of the hole; 1.4 times the joint when not known. [m]
    plan_curvature : float
        Sideways curvature of the plan, where one is known; only for stretches without
        heading. [1/m]

    Returns
    -------
    CurvatureBand
        On the stretches of `bends`.

    Raises
    ------
    ValueError
        If the hole is narrower than the joint.

    Notes
    -----
    Heading read: best and high are the bend as read. Heading missing: the sideways wander is
    taken like the vertical's about its own smooth curve, SD w: low k_v, best
    sqrt(k_v^2 + w^2), high the same with w plus the plan's curve. Only low takes the relief a
    rod finds in a wide hole at a lone sharp bend. Across missing readings high is the sharpest
    bend read in this bore. A stretch with no value at all has low nothing, best the mean and
    high the sharpest of the bends read; NaN if none was.
    """
    clearance = hole_clearance(joint_od, hole_diameter)
    rods = per_rod(bends)
    wander = vertical_wander(rods)
    as_read = bends.curvature
    is_flat = ~bends.in_two_planes
    best = np.where(is_flat, np.hypot(as_read, wander), as_read)
    high = np.where(is_flat, np.hypot(as_read, wander + abs(plan_curvature)), as_read)
    low = as_read * lone_bend_relief(bends, clearance)
    seen = np.where(bends.unread, np.nan, best)
    sharpest = float(np.nanmax(seen)) if np.isfinite(seen).any() else np.nan
    typical = _mean_by_length(seen, bends.length)
    no_value = ~np.isfinite(as_read)
    best = np.where(no_value, typical, best)
    high = np.where(bends.unread, np.fmax(sharpest, high), high)
    return CurvatureBand(
        edges=bends.edges,
        best=best,
        low=np.where(no_value, 0.0 if np.isfinite(typical) else np.nan, low),
        high=high,
        error=bends.error / bends.length,
        planes=np.where(is_flat, 1, 2),
        unread=bends.unread,
    )


def _mean_by_length(curvature: FloatArray, length: FloatArray) -> float:
    """Mean of the known values, each weighed with its length; NaN if there is none."""
    known = np.isfinite(curvature)
    if not known.any():
        return float("nan")
    return float(np.average(curvature[known], weights=length[known]))


def hole_clearance(joint_od: float, hole_diameter: float | None = None) -> float:
    """Hole diameter less joint OD; the hole 1.4 times the joint when unknown.

    Parameters
    ----------
    joint_od : float
        Outer diameter of the joint. [m]
    hole_diameter : float, optional
        Diameter of the hole. [m]

    Returns
    -------
    float
        Clearance across the hole. [m]

    Raises
    ------
    ValueError
        If the hole is narrower than the joint.
    """
    diameter = UNKNOWN_HOLE_RATIO * joint_od if hole_diameter is None else hole_diameter
    if diameter < joint_od:
        raise ValueError(f"hole of {diameter} m is narrower than the joint of {joint_od} m")
    return diameter - joint_od


def vertical_wander(rods: HoleBends) -> float:
    """Standard deviation of the vertical curvature about its own smooth curve.

    Parameters
    ----------
    rods : HoleBends
        One stretch for each rod, as `per_rod` gives them.

    Returns
    -------
    float
        Residual of the signed vertical curvature from its moving mean over 5 intervals
        (fewer at the ends and where some were not read); 0 when fewer than 2 were read. [1/m]
    """
    curvature = rods.vertical / rods.length
    known = np.isfinite(curvature) & ~rods.unread
    if known.sum() < 2:
        return 0.0
    window = np.ones(SMOOTHED_INTERVALS)
    reach = SMOOTHED_INTERVALS // 2
    total = np.convolve(np.where(known, curvature, 0.0), window)[reach:-reach]
    count = np.convolve(known.astype(float), window)[reach:-reach]
    return float(np.std(curvature[known] - total[known] / count[known]))


def relieved_share(angle: float, length: float, clearance: float) -> float:
    """Share of a lone bend's curvature a rod takes in a wider hole: R / R_rod.

    R_rod = R + 8 d / phi^2 with R = L / phi, written as L phi / (L phi + 8 d) so that a bend
    too small to square is not divided by.

    Parameters
    ----------
    angle : float
        Whole angle phi of the bend, above 0. [rad]
    length : float
        Length L of hole it takes. [m]
    clearance : float
        Hole diameter less joint OD, d. [m]

    Returns
    -------
    float
        Between 0 and 1. [1]

    Examples
    --------
    8 % in 3.05 m is R 38 m; with 30 mm to spare the rod bends to R 76 m:

    >>> round(3.05 / 0.08 / relieved_share(0.08, 3.05, 0.030), 1)
    75.6
    """
    turned = length * angle
    return turned / (turned + 8.0 * clearance) if turned > 0 else 1.0


def lone_bend_relief(bends: HoleBends, clearance: float) -> FloatArray:
    """Share of the hole's curvature a rod takes at lone sharp bends; 1 elsewhere.

    Parameters
    ----------
    bends : HoleBends
        As `hole_bends` gives them.
    clearance : float
        Hole diameter less joint OD. [m]

    Returns
    -------
    ndarray (m,)
        R / R_rod in a lone bend, else 1. [1]

    Notes
    -----
    A lone bend is a run of stretches bent the same way whose neighbours each bend less than a
    third of its mean. A run grows from its sharpest stretch. Next to a stretch that was not
    read no bend is called lone; past the end of the hole there is no neighbour.
    """
    relief = np.ones(bends.angle.size)
    curvature = np.where(bends.unread, np.nan, bends.curvature)
    taken = ~(curvature > 0)
    for seed in np.argsort(-np.nan_to_num(curvature), kind="stable"):
        if taken[seed]:
            continue
        first, last = _grown_run(bends, np.where(taken, np.nan, curvature), int(seed))
        taken[first : last + 1] = True
        if _is_lone(bends, curvature, first, last):
            angle = float(bends.angle[first : last + 1].sum())
            length = float(bends.edges[last + 1] - bends.edges[first])
            relief[first : last + 1] = relieved_share(angle, length, clearance)
    return relief


def pushed_relief(
    bends: HoleBends, joint_od: float, hole_diameter: float | None = None
) -> FloatArray:
    """Share of the hole's curvature a rod takes at most in a pushed length; 1 elsewhere.

    Parameters
    ----------
    bends : HoleBends
        As `hole_bends` gives them.
    joint_od : float
        Outer diameter of the joint. [m]
    hole_diameter : float, optional
        Diameter of the hole; the least there may be, 1.15 times the joint, when not known. [m]

    Returns
    -------
    ndarray (m,)
        R / R_rod. [1]

    Notes
    -----
    Nobody read the pitch at the ends of a pushed length. The shorter it was written, the sharper
    its bend, without an end; in any hole a rod fits in, its own bend has one, 8 d / phi^2.
    """
    diameter = LEAST_HOLE_RATIO * joint_od if hole_diameter is None else hole_diameter
    clearance = hole_clearance(joint_od, diameter)
    relief = np.ones(bends.angle.size)
    for k in np.flatnonzero(np.isin(bends.source, PUSH_SOURCES)):
        relief[k] = relieved_share(float(bends.angle[k]), float(bends.length[k]), clearance)
    return relief


def _mean_curvature(bends: HoleBends, first: int, last: int) -> float:
    """Mean curvature of a run of stretches. [1/m]"""
    length = bends.edges[last + 1] - bends.edges[first]
    return float(bends.angle[first : last + 1].sum() / length)


def _grown_run(bends: HoleBends, free: FloatArray, seed: int) -> tuple[int, int]:
    """Grow a run while the next stretch bends the same way by a third of the mean or more.

    `free` holds the curvature of stretches that are in no run yet, else NaN.
    """
    first = last = seed
    while True:
        least = LONE_SHARE * _mean_curvature(bends, first, last)
        if first > 0 and free[first - 1] >= least and _is_same_way(bends, first - 1, first):
            first -= 1
        elif (
            last + 1 < free.size and free[last + 1] >= least and _is_same_way(bends, last, last + 1)
        ):
            last += 1
        else:
            return first, last


def _is_same_way(bends: HoleBends, one: int, other: int) -> bool:
    """Whether two stretches bend to the same side: the product of their bends is above 0."""
    product = bends.vertical[one] * bends.vertical[other]
    sideways = bends.horizontal[one] * bends.horizontal[other]
    return bool(product + (0.0 if np.isnan(sideways) else sideways) > 0)


def _is_lone(bends: HoleBends, curvature: FloatArray, first: int, last: int) -> bool:
    """Whether both neighbours were read and bend less than a third of the run's mean."""
    least = LONE_SHARE * _mean_curvature(bends, first, last)
    beside = [k for k in (first - 1, last + 1) if 0 <= k < curvature.size]
    return all(bool(curvature[k] < least) for k in beside)


def noise_factor(exponent: float, planes: npt.NDArray[np.int64] | int) -> FloatArray:
    """The c of the noise correction: m(m-1)/2 in one plane, m^2/2 in two. [1]"""
    one, two = exponent * (exponent - 1.0) / 2.0, exponent**2 / 2.0
    return np.where(np.asarray(planes) == 1, one, two)


def is_told_from_straight(
    curvature: FloatArray, error: FloatArray, exponent: float, planes: npt.NDArray[np.int64] | int
) -> BoolArray:
    """Whether a bend stands out of the reading noise: k > sqrt(c) s.

    Parameters and limits as `corrected_power`; where False the bend contributes nothing and is
    shown as *not told from straight*.
    """
    return np.asarray(curvature > np.sqrt(noise_factor(exponent, planes)) * error)


def corrected_power(
    curvature: FloatArray, error: FloatArray, exponent: float, planes: npt.NDArray[np.int64] | int
) -> FloatArray:
    """Curvature to the power m with what reading noise adds on average taken off.

    max(0, k^m (1 - c s^2/k^2)), c = m(m-1)/2 in one plane and m^2/2 in two.

    Parameters
    ----------
    curvature : ndarray
        Not negative. [1/m]
    error : ndarray
        One standard deviation of the curvature; NaN (not read) takes nothing off. [1/m]
    exponent : float
        m of the fatigue curve, at least 2. [1]
    planes : ndarray of int or int
        1 or 2. [1]

    Returns
    -------
    ndarray
        Power of the curvature. [1/m^m]

    Raises
    ------
    ValueError
        If the exponent is below 2.

    Notes
    -----
    Second order in s/k: E[(k + e)^m] = k^m + c s^2 k^(m-2) + ... for normal e. Below
    sqrt(c) s it gives 0.
    """
    if exponent < 2.0:
        raise ValueError(f"exponent must be 2 or more, got {exponent}")
    taken_off = noise_factor(exponent, planes) * np.where(np.isnan(error), 0.0, error) ** 2
    return np.asarray(curvature ** (exponent - 2.0) * np.maximum(curvature**2 - taken_off, 0.0))
