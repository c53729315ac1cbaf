"""The largest bend over a length: any three rods, or a stiff housing in the hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.hole.bends import BendSource, HoleBends, bend_error, combined_bend
from rodhand.hole.readings import BoolArray, FloatArray


@dataclass(frozen=True)
class WindowBend:
    """Change of direction over a window of the hole.

    Parameters
    ----------
    start, end : float
        Ends of the window along the hole. [m]
    angle : float
        Change of direction between its ends. [rad]
    error : float
        One standard deviation of the angle. [rad]
    has_gap : bool
        Whether part of it was not read and stands at its mean bend.
    """

    start: float
    end: float
    angle: float
    error: float
    has_gap: bool

    @property
    def curvature(self) -> float:
        """Mean curvature over the window. [1/m]"""
        return self.angle / (self.end - self.start)


def three_rod_window(rods: HoleBends, count: int = 3) -> WindowBend | None:
    """The sharpest mean bend over any so many rods that follow each other.

    Parameters
    ----------
    rods : HoleBends
        One stretch for each rod, as `per_rod` gives them.
    count : int
        Rods in the window. [1]

    Returns
    -------
    WindowBend or None
        Between the directions at the window's ends, so only those two readings' errors count;
        None when no such run of rods has a known bend.

    Notes
    -----
    Owners judge an as-built radius over three joints (a consultant's article on radii, 2022,
    READ). Bends of opposite sign inside the window cancel: they are seen per rod.
    """
    if rods.angle.size < count:
        return None
    starts = rods.edges[:-count]
    return _sharpest(rods, starts, rods.edges[count:])


def stiff_head_bend(bends: HoleBends, stiff_length: float) -> WindowBend | None:
    """The sharpest bend of the hole over the length of a head or housing that does not bend.

    Parameters
    ----------
    bends : HoleBends
        As `hole_bends` gives them.
    stiff_length : float
        Length of the head or housing, above 0. [m]

    Returns
    -------
    WindowBend or None
        To be compared with the head's own limit over its own length; None when no window of
        that length has a known bend.

    Raises
    ------
    ValueError
        If the length is not above 0.

    Notes
    -----
    The head does not follow this bend; the first limber steel behind it takes it. Within a
    stretch the bend is even, so the sharpest window starts or ends at an edge.
    """
    if stiff_length <= 0:
        raise ValueError(f"stiff_length must be above 0 m, got {stiff_length} m")
    starts = np.concatenate([bends.edges, bends.edges - stiff_length])
    fits = (starts >= bends.edges[0]) & (starts + stiff_length <= bends.edges[-1])
    return _sharpest(bends, starts[fits], starts[fits] + stiff_length)


def _sharpest(bends: HoleBends, starts: FloatArray, ends: FloatArray) -> WindowBend | None:
    """The window with the largest known mean curvature."""
    vertical, horizontal, is_known = _changes(bends, starts, ends)
    curvature = combined_bend(vertical, horizontal) / (ends - starts)
    curvature = np.where(is_known, curvature, -1.0)
    if not is_known.any():
        return None
    best = int(np.argmax(curvature))
    start, end = float(starts[best]), float(ends[best])
    inside = (bends.edges[1:] > start) & (bends.edges[:-1] < end)
    return WindowBend(
        start=start,
        end=end,
        angle=float(curvature[best] * (end - start)),
        error=_window_error(bends, start, end, float(vertical[best]), float(horizontal[best])),
        has_gap=bool((bends.source[inside] == BendSource.ACROSS_GAP).any()),
    )


def _changes(
    bends: HoleBends, starts: FloatArray, ends: FloatArray
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Vertical and horizontal change of direction over windows, and whether all of it is known."""

    def change(steps: FloatArray) -> FloatArray:
        total = np.concatenate([[0.0], np.cumsum(np.nan_to_num(steps))])
        at = np.interp(np.stack([starts, ends]), bends.edges, total)
        return np.asarray(at[1] - at[0])

    def touches(flag: BoolArray) -> BoolArray:
        return change(np.where(flag, bends.length, 0.0)) > 1e-9 * (ends - starts)

    horizontal = np.where(touches(~bends.in_two_planes), np.nan, change(bends.horizontal))
    return change(bends.vertical), horizontal, ~touches(~np.isfinite(bends.vertical))


def _window_error(
    bends: HoleBends, start: float, end: float, vertical: float, horizontal: float
) -> float:
    """Standard deviation of a window's bend: only the readings about its two ends matter.

    The direction at a place between two readings is a weighted mean of both; the weights at
    the end less those at the start, applied to independent readings, hold the correlation of
    bends that share a reading.
    """
    is_read = np.isfinite(bends.edge_error[:, 0])
    places, sd = bends.edges[is_read], bends.edge_error[is_read]
    last = places.size - 1
    weight = np.zeros(places.size)
    for where, sign in ((end, 1.0), (start, -1.0)):
        after = int(np.clip(np.searchsorted(places, where), 1, last))
        share = (where - places[after - 1]) / (places[after] - places[after - 1])
        weight[after - 1] += sign * (1.0 - share)
        weight[after] += sign * share
    # a reading without a heading carries no weight sideways: its bend is vertical only
    sideways = np.where(np.isfinite(sd), sd, 0.0)
    combined = np.sqrt(np.sum((weight[:, np.newaxis] * sideways) ** 2, axis=0))[np.newaxis]
    none = np.zeros((1, 2))
    return float(bend_error(np.array([vertical]), np.array([horizontal]), none, combined)[0])
