"""Directions and positions along a surveyed path: minimum curvature and the older methods.

Axes: north, east, depth (down positive). Pitch is up positive, inclination from straight down,
heading and azimuth clockwise from north.
"""

from __future__ import annotations

import math

import numpy as np

from rodhand.hole.readings import FloatArray, TieIn

SMALL_ANGLE = 1e-3
"""Below this angle the ratio factor's series is exact to double precision. [rad]"""


def tangent(pitch: FloatArray, heading: FloatArray) -> FloatArray:
    """Unit direction from pitch and heading.

    Parameters
    ----------
    pitch, heading : ndarray
        Up positive; clockwise from north. [rad]

    Returns
    -------
    ndarray
        North, east, depth components in the last axis. [1]

    Examples
    --------
    >>> tangent(np.array(0.0), np.array(0.0)).tolist()
    [1.0, 0.0, -0.0]
    """
    level = np.cos(pitch)
    return np.stack([level * np.cos(heading), level * np.sin(heading), -np.sin(pitch)], axis=-1)


def tangent_from_inclination(inclination: FloatArray, azimuth: FloatArray) -> FloatArray:
    """Unit direction from inclination and azimuth: (sin I cos A, sin I sin A, cos I).

    Parameters
    ----------
    inclination, azimuth : ndarray
        From straight down; clockwise from north. [rad]

    Returns
    -------
    ndarray
        North, east, depth components in the last axis. [1]
    """
    level = np.sin(inclination)
    return np.stack(
        [level * np.cos(azimuth), level * np.sin(azimuth), np.cos(inclination)], axis=-1
    )


def dogleg(start: FloatArray, end: FloatArray) -> FloatArray:
    """Angle between two directions: atan2(|t1 x t2|, t1 . t2).

    Parameters
    ----------
    start, end : ndarray
        Unit directions, components in the last axis. [1]

    Returns
    -------
    ndarray
        Angle, 0 to pi. [rad]

    Notes
    -----
    The arccos of the scalar product loses half the digits at small angles and fails outright
    when rounding lifts the product above 1; this form does neither.

    References
    ----------
    .. [1] drillingformulas.com, Minimum Curvature Method (citing Lapeyrouse, Formulas and
       Calculations for Drilling, Production and Workover, 2nd ed.) for the arccos form.
    """
    across = np.linalg.norm(np.cross(start, end), axis=-1)
    along = np.sum(start * end, axis=-1)
    return np.asarray(np.arctan2(across, along))


def ratio_factor(bend: FloatArray) -> FloatArray:
    """Ratio factor of minimum curvature: (2/b) tan(b/2), 1 + b^2/12 + b^4/120 when small.

    Parameters
    ----------
    bend : ndarray
        Angle between the two directions, below pi. [rad]

    Returns
    -------
    ndarray
        Factor, at least 1. [1]

    References
    ----------
    .. [1] drillingformulas.com, Minimum Curvature Method. The page prints 1.00408 for its
       example; the equation gives 1.00428, which its own depth needs.
    """
    bend = np.asarray(bend, dtype=np.float64)
    is_small = bend < SMALL_ANGLE
    safe = np.where(is_small, 1.0, bend)
    series = 1.0 + bend**2 / 12.0 + bend**4 / 120.0
    return np.where(is_small, series, 2.0 / safe * np.tan(safe / 2.0))


def minimum_curvature_step(length: FloatArray, start: FloatArray, end: FloatArray) -> FloatArray:
    """Displacement over circular arcs: L/2 (t1 + t2) RF.

    Parameters
    ----------
    length : ndarray
        Length along the hole. [m]
    start, end : ndarray
        Unit directions at both ends. [1]

    Returns
    -------
    ndarray
        North, east, depth displacement in the last axis. [m]
    """
    half = np.asarray(length) / 2.0 * ratio_factor(dogleg(start, end))
    return np.asarray(half[..., np.newaxis] * (start + end))


def balanced_tangential_step(length: FloatArray, start: FloatArray, end: FloatArray) -> FloatArray:
    """Displacement of the balanced tangential method: minimum curvature with RF = 1.

    Parameters and result as `minimum_curvature_step`. [m]
    """
    return np.asarray(np.asarray(length)[..., np.newaxis] / 2.0 * (start + end))


def wrapped(angle: FloatArray) -> FloatArray:
    """The same angle between -pi and pi, so that 359 to 1 degree is a turn of 2. [rad]"""
    return np.asarray((np.asarray(angle) + math.pi) % (2.0 * math.pi) - math.pi)


def average_angle_step(
    length: FloatArray,
    inclination: tuple[FloatArray, FloatArray],
    azimuth: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Displacement of the average angle method: L t((I1+I2)/2, (A1+A2)/2).

    Parameters
    ----------
    length : ndarray
        Length along the hole. [m]
    inclination, azimuth : pair of ndarray
        At start and end; the azimuth is averaged the short way round. [rad]

    Returns
    -------
    ndarray
        North, east, depth displacement in the last axis. [m]
    """
    middle_inclination = (np.asarray(inclination[0]) + inclination[1]) / 2.0
    turn = wrapped(np.asarray(azimuth[1]) - azimuth[0])
    middle = tangent_from_inclination(middle_inclination, azimuth[0] + turn / 2.0)
    return np.asarray(np.asarray(length)[..., np.newaxis] * middle)


def radius_of_curvature_step(
    length: FloatArray,
    inclination: tuple[FloatArray, FloatArray],
    azimuth: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Displacement of the radius of curvature method.

    dV = L (sin I2 - sin I1)/dI and the like, written with sin(x)/x so that equal angles at
    both ends need no case of their own.

    Parameters and result as `average_angle_step`. [m]

    References
    ----------
    .. [1] drillingformulas.com, Radius of Curvature Method. Its example prints north -49.97;
       the equations give -49.79.
    """
    build = np.asarray(inclination[1]) - inclination[0]
    turn = wrapped(np.asarray(azimuth[1]) - azimuth[0])
    middle_inclination = inclination[0] + build / 2.0
    middle_azimuth = azimuth[0] + turn / 2.0
    # np.sinc(x) is sin(pi x)/(pi x)
    along = np.asarray(length) * np.sinc(build / (2.0 * math.pi))
    level = along * np.sin(middle_inclination) * np.sinc(turn / (2.0 * math.pi))
    return np.stack(
        [
            level * np.cos(middle_azimuth),
            level * np.sin(middle_azimuth),
            along * np.cos(middle_inclination),
        ],
        axis=-1,
    )


def minimum_curvature_positions(
    measured_length: FloatArray, tangents: FloatArray, tie_in: TieIn
) -> FloatArray:
    """Positions of all stations by minimum curvature, the first standing at the tie-in.

    Parameters
    ----------
    measured_length : ndarray (n,)
        Increasing. [m]
    tangents : ndarray (n, 3)
        Unit directions. [1]
    tie_in : TieIn
        Position of the first station.

    Returns
    -------
    ndarray (n, 3)
        North, east, depth. [m]
    """
    steps = minimum_curvature_step(np.diff(measured_length), tangents[:-1], tangents[1:])
    start = np.array([[tie_in.north, tie_in.east, tie_in.depth]])
    return np.concatenate([start, start + np.cumsum(steps, axis=0)])


def dogleg_severity(bend: FloatArray, length: FloatArray, per: float) -> FloatArray:
    """Bend over a stated course length: b * per / L.

    Parameters
    ----------
    bend : ndarray
        Change of direction. [rad]
    length : ndarray
        Length it took, above 0. [m]
    per : float
        Course length it is stated over, for example 30 m or 100 ft. [m]

    Returns
    -------
    ndarray
        Change of direction over `per`. [rad]
    """
    return np.asarray(np.asarray(bend) * per / length)


def unwrapped_heading(heading: FloatArray) -> FloatArray:
    """Headings without jumps across north; unread rows (NaN) stay unread.

    Parameters
    ----------
    heading : ndarray
        Clockwise from the reference. [rad]

    Returns
    -------
    ndarray
        Same headings, each less than half a turn from the one read before it. [rad]
    """
    result = np.array(heading, dtype=np.float64)
    is_read = np.isfinite(result)
    result[is_read] = np.unwrap(result[is_read])
    return result


def mean_heading(heading: FloatArray) -> float:
    """Mean direction of headings, right across north: 359.5 and 0.5 degrees give 0.

    Parameters
    ----------
    heading : ndarray
        At least one; NaN is left out. [rad]

    Returns
    -------
    float
        Mean between 0 and 2 pi; NaN when nothing was read. [rad]
    """
    is_read = np.isfinite(heading)
    if not is_read.any():
        return math.nan
    mean = math.atan2(float(np.sin(heading[is_read]).sum()), float(np.cos(heading[is_read]).sum()))
    return mean % (2.0 * math.pi)
