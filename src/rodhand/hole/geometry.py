"""Geometry of a planned bore: first rods, least depth, setback, rise on an arc.

Equations numbered (5.n) are of Najafi, Trenchless Technology Piping: Installation and
Inspection, McGraw-Hill 2010, chapter 5. Ground is level; angles are from the level.
"""

from __future__ import annotations

import math


def rod_depth_by_field_rule(rod_length: float, grade: float) -> float:
    """Depth one rod gains by the field rule: length times grade.

    Parameters
    ----------
    rod_length : float
        Length along the hole. [m]
    grade : float
        Mean pitch as rise over run, down positive here. [1]

    Returns
    -------
    float
        Depth gained; too much by 3 % at 25 %: for the depth of one rod, not for a path. [m]

    References
    ----------
    .. [1] A proposed bore plan article, trenchlesstechnology.com: -25 %, 10 ft give 2.5 ft.
    """
    return rod_length * grade


def rod_depth_on_slope(rod_length: float, grade: float) -> float:
    """Depth a straight rod gains: l sin(atan(grade)).

    Parameters
    ----------
    rod_length : float
        Length along the hole. [m]
    grade : float
        Mean pitch as rise over run, down positive here. [1]

    Returns
    -------
    float
        Depth gained. [m]
    """
    return rod_length * math.sin(math.atan(grade))


def rod_depth_on_arc(rod_length: float, start_angle: float, end_angle: float) -> float:
    """Depth a rod gains on a circular arc: l (cos t2 - cos t1)/(t1 - t2).

    Parameters
    ----------
    rod_length : float
        Length along the hole. [m]
    start_angle, end_angle : float
        Slope below the level at both ends. [rad]

    Returns
    -------
    float
        Depth gained. [m]
    """
    half = (end_angle - start_angle) / 2.0
    shrink = math.sin(half) / half if half else 1.0  # the chord over the arc
    return rod_length * shrink * math.sin((start_angle + end_angle) / 2.0)


def straight_setback(depth: float, entry_angle: float) -> float:
    """Level distance a straight bore needs to a depth: d / tan b, eq. (5.5), exit (5.10).

    Parameters
    ----------
    depth : float
        Depth wanted. [m]
    entry_angle : float
        Slope below the level, above 0. [rad]

    Returns
    -------
    float
        Distance from the entry. [m]
    """
    return depth / math.tan(entry_angle)


def least_depth_at_level(entry_angle: float, straight_length: float, radius: float) -> float:
    """Least depth at which a bore is level: l sin b + R (1 - cos b), eq. (5.7).

    Parameters
    ----------
    entry_angle : float
        Slope below the level. [rad]
    straight_length : float
        First rod, kept straight. [m]
    radius : float
        Bend radius after it. [m]

    Returns
    -------
    float
        Depth. [m]
    """
    return straight_length * math.sin(entry_angle) + radius * (1.0 - math.cos(entry_angle))


def setback_to_level(
    entry_angle: float, straight_length: float, radius: float, depth: float | None = None
) -> float:
    """Level distance at which a bore is level: l cos b + R sin b, more if it goes deeper.

    Parameters
    ----------
    entry_angle : float
        Slope below the level, above 0. [rad]
    straight_length : float
        First rod, kept straight. [m]
    radius : float
        Bend radius. [m]
    depth : float, optional
        Depth at level; the least depth when not given. [m]

    Returns
    -------
    float
        Distance from the entry. [m]

    Raises
    ------
    ValueError
        If the depth is less than the least depth at level.
    """
    least = least_depth_at_level(entry_angle, straight_length, radius)
    extra = 0.0 if depth is None else depth - least
    if extra < 0:
        raise ValueError(f"depth must be at least {least:.3f} m to be level, got {depth} m")
    bend = straight_length * math.cos(entry_angle) + radius * math.sin(entry_angle)
    return bend + straight_setback(extra, entry_angle)


def rise_distance_on_arc(depth: float, radius: float) -> float:
    """Level distance from level to the surface on an arc: sqrt(2 d R) sqrt(1 - d/2R), eq. (5.8).

    Parameters
    ----------
    depth : float
        Depth where the bore is level, at most the radius. [m]
    radius : float
        Bend radius. [m]

    Returns
    -------
    float
        Distance. [m]

    Raises
    ------
    ValueError
        If the depth is more than the radius: the bore would turn back over itself.
    """
    if depth > radius:
        raise ValueError(f"depth {depth} m must not be more than the radius {radius} m")
    return math.sqrt(2.0 * depth * radius) * math.sqrt(1.0 - depth / (2.0 * radius))


def rise_distance_arc_then_straight(depth: float, radius: float, exit_angle: float) -> float:
    """Level distance from level to the surface: arc, then straight, eq. (5.9).

    R sin a + [d - R (1 - cos a)] / tan a.

    Parameters
    ----------
    depth : float
        Depth where the bore is level. [m]
    radius : float
        Bend radius. [m]
    exit_angle : float
        Slope at the exit, above 0. [rad]

    Returns
    -------
    float
        Distance. [m]

    Raises
    ------
    ValueError
        If the arc alone rises more than the depth.
    """
    left = depth - radius * (1.0 - math.cos(exit_angle))
    if left < 0:
        raise ValueError("the arc to this exit angle rises above the surface")
    return radius * math.sin(exit_angle) + straight_setback(left, exit_angle)


def quarter_turn_length(radius: float) -> float:
    """String length of a 90 degree turn: pi R / 2, sometimes called the bend radius itself.

    Parameters
    ----------
    radius : float
        True radius. [m]

    Returns
    -------
    float
        Length of the arc, 1.57 R. [m]
    """
    return math.pi * radius / 2.0


def transition_length(depth: float, angle: float) -> float:
    """Level length of a product pipe's entry or exit curve: 2 H / theta (ASTM F1962 form).

    Parameters
    ----------
    depth : float
        Depth H at level. [m]
    angle : float
        Entry or exit angle, above 0. [rad]

    Returns
    -------
    float
        Length; small angles. [m]
    """
    return 2.0 * depth / angle


def transition_radius(depth: float, angle: float) -> float:
    """Mean radius of that curve: 2 H / theta^2 (ASTM F1962 form).

    Parameters
    ----------
    depth : float
        Depth H at level. [m]
    angle : float
        Entry or exit angle, above 0. [rad]

    Returns
    -------
    float
        Radius; small angles. [m]
    """
    return 2.0 * depth / angle**2
