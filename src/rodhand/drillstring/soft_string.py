"""Axial force and torque along a string that lies on its hole like a rope.

The string has weight and no stiffness; the wall's normal force is what holds it on the hole's
axis, and friction is that force times a coefficient (Johancsik, Friesen and Dawson, SPE 11380,
principle READ in its abstract, equations from memory). Tension is positive. Positions count from
the rig; the direction of the axis points away from it, its third part down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
STRAIGHT = 1e-9
"""Below this angle an element is taken as straight. [rad]"""


@dataclass(frozen=True, eq=False)
class Axis:
    """The hole's axis in circular arcs, from the rig outwards.

    Parameters
    ----------
    edges : (n+1,) array of float
        Ends of the arcs along the hole, growing. [m]
    tangents : (n+1, 3) array of float
        Unit directions there: north, east, down. [1]

    Raises
    ------
    ValueError
        If the shapes do not fit or the edges do not grow.
    """

    edges: Floats
    tangents: Floats

    def __post_init__(self) -> None:
        """Refuse an axis that runs back on itself."""
        if self.tangents.shape != (len(self.edges), 3) or len(self.edges) < 2:
            raise ValueError("an axis needs two edges or more and one direction for each")
        if not (np.diff(self.edges) > 0).all():
            raise ValueError("edges must grow along the hole")

    def at(self, places: ArrayLike) -> Axis:
        """The same axis cut at other places, straight on beyond its ends.

        Parameters
        ----------
        places : array of float
            New edges, growing; a sharp arc between two of them is cut off. [m]

        Returns
        -------
        Axis
            Arcs between the places.
        """
        wanted = np.asarray(places, dtype=float)
        inside = np.clip(wanted, self.edges[0], self.edges[-1])
        k = np.clip(np.searchsorted(self.edges, inside, side="right") - 1, 0, len(self.edges) - 2)
        share = (inside - self.edges[k]) / (self.edges[k + 1] - self.edges[k])
        return Axis(wanted, _on_arc(self.tangents[k], self.tangents[k + 1], share))


def _angle(start: Floats, end: Floats) -> Floats:
    across = np.linalg.norm(np.cross(start, end), axis=-1)
    return np.asarray(np.arctan2(across, np.sum(start * end, axis=-1)))


def _weights(angle: Floats, share: Floats) -> tuple[Floats, Floats]:
    """Weights of the two end directions a share of the way along an arc."""
    bent = angle > STRAIGHT
    size = np.where(bent, np.sin(angle), 1.0)
    first = np.where(bent, np.sin((1.0 - share) * angle) / size, 1.0 - share)
    return first, np.where(bent, np.sin(share * angle) / size, share)


def _on_arc(start: Floats, end: Floats, share: Floats) -> Floats:
    first, second = _weights(_angle(start, end), share)
    return np.asarray(first[:, None] * start + second[:, None] * end)


@dataclass(frozen=True)
class Strand:
    """What hangs on the rig, per metre.

    Parameters
    ----------
    weight : float
        Weight in the mud. [N/m]
    radius : float
        Radius at which it rubs: of the joints. [m]
    drag : float
        Drag of the mud against its travel. [N/m]
    """

    weight: float
    radius: float
    drag: float = 0.0


@dataclass(frozen=True)
class Motion:
    """How the string moves: which way, and how friction is shared between travel and turning.

    Parameters
    ----------
    direction : int
        1 toward the rig (pulled), -1 away (pushed), 0 on the spot.
    axial_share, turning_share : float
        Parts of the friction that act along the axis and around it. [1]
    """

    direction: int
    axial_share: float
    turning_share: float


def sliding(direction: int) -> Motion:
    """Travel without turning: all friction acts along the axis; the worst axial case."""
    return Motion(direction, 1.0, 0.0)


def rotating(direction: int, speed: float, turning_speed: float, radius: float) -> Motion:
    """Travel while turning: friction points against the rubbing point's own velocity.

    Parameters
    ----------
    direction : int
        1 toward the rig, -1 away, 0 on the spot.
    speed : float
        Travel; 0 when turning on the spot. [m/s]
    turning_speed : float
        Turning. [turns/s]
    radius : float
        Radius at which the string rubs. [m]

    Returns
    -------
    Motion
        Axial share V / sqrt(V^2 + (2 pi r n)^2), turning share the other side of the triangle.

    Raises
    ------
    ValueError
        If nothing moves, or a speed is negative.

    Notes
    -----
    The velocity split is from memory; it is exact for dry friction of one coefficient.
    """
    around = 2.0 * math.pi * radius * turning_speed
    whole = math.hypot(speed, around)
    if speed < 0 or turning_speed < 0 or whole == 0:
        raise ValueError("speeds must not be negative, and one of them must be above 0")
    if direction == 0:
        return Motion(0, 0.0, around / whole)
    return Motion(direction, speed / whole, around / whole)


@dataclass(frozen=True, eq=False)
class Loads:
    """Force and torque at every edge of an axis.

    Parameters
    ----------
    force : (n+1, ...) array of float
        Tension; NaN beyond the tool. [N]
    torque : (n+1, ...) array of float
        Torque; NaN beyond the tool. [N m]
    """

    force: Floats
    torque: Floats


@dataclass(frozen=True, eq=False)
class _Element:
    """Numbers of an arc at one point: curvature squared, its part down, slope down."""

    bend2: float
    bend_down: float
    down: float


def _elements(axis: Axis) -> list[tuple[float, tuple[_Element, _Element, _Element]]]:
    """Length of each arc with its numbers at the rig's end, the middle and the far end."""
    start, end = axis.tangents[:-1, 2], axis.tangents[1:, 2]
    angle = _angle(axis.tangents[:-1], axis.tangents[1:])
    length = np.diff(axis.edges)
    bent = angle > STRAIGHT
    size = np.where(bent, np.sin(angle), 1.0)
    columns = []
    for share in (0.0, 0.5, 1.0):
        first, second = _weights(angle, np.full(len(angle), share))
        turn = (np.cos(share * angle) * end - np.cos((1.0 - share) * angle) * start) / size
        bend_down = np.where(bent, angle / length * turn, 0.0)
        columns.append((bend_down, first * start + second * end))
    bend2 = np.where(bent, (angle / length) ** 2, 0.0)
    return [
        (
            float(length[k]),
            tuple(_Element(float(bend2[k]), float(b[k]), float(d[k])) for b, d in columns),
        )  # type: ignore[misc]
        for k in range(len(length))
    ]


def wall_force(force: Floats, weight: float, bend2: float, bend_down: float, down: float) -> Floats:
    """Normal force on the wall per metre: |T dt/ds + w_perp|.

    Parameters
    ----------
    force : array of float
        Tension. [N]
    weight : float
        Weight in the mud. [N/m]
    bend2, bend_down : float
        Curvature squared, and the curvature vector's part down. [1/m^2], [1/m]
    down : float
        The axis's part down. [1]

    Returns
    -------
    array of float
        Force. [N/m]

    Notes
    -----
    In this form the sign of the build term cannot go wrong: lists from rig to bit and from bit
    to rig give one answer.
    """
    square = force**2 * bend2 + 2.0 * force * weight * bend_down + weight**2 * (1.0 - down**2)
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))


def from_tool(
    axis: Axis,
    strand: Strand,
    friction: ArrayLike,
    motion: Motion,
    tool_force: ArrayLike,
    tool_torque: ArrayLike = 0.0,
    tool: ArrayLike | None = None,
) -> Loads:
    """Loads along the string from what acts on its tool.

    Parameters
    ----------
    axis : Axis
        Axis from the rig to the tool or beyond.
    strand : Strand
        The string.
    friction : array of float
        Coefficients; broadcast with the loads, so that many cases run at once. [1]
    motion : Motion
        How it moves.
    tool_force, tool_torque : array of float
        Tension (thrust on the bit negative) and torque at the tool. [N], [N m]
    tool : array of float, optional
        Where the tool stands; edges of the axis, its end when not given. [m]

    Returns
    -------
    Loads
        At every edge; the first is the rig.

    Raises
    ------
    ValueError
        If the tool stands between edges.
    """
    return _march(axis, strand, friction, motion, (tool_force, tool_torque), tool, inward=True)


def from_rig(
    axis: Axis,
    strand: Strand,
    friction: ArrayLike,
    motion: Motion,
    rig_force: ArrayLike,
    rig_torque: ArrayLike = 0.0,
    tool: ArrayLike | None = None,
) -> Loads:
    """Loads along the string from what the rig gives it; the last known one is the tool's.

    Parameters
    ----------
    axis, strand, friction, motion, tool
        As for `from_tool`.
    rig_force, rig_torque : array of float
        Tension and torque at the rig. [N], [N m]

    Returns
    -------
    Loads
        At every edge.

    Raises
    ------
    ValueError
        If the tool stands between edges.
    """
    return _march(axis, strand, friction, motion, (rig_force, rig_torque), tool, inward=False)


def _march(
    axis: Axis,
    strand: Strand,
    friction: ArrayLike,
    motion: Motion,
    start: tuple[ArrayLike, ArrayLike],
    tool: ArrayLike | None,
    inward: bool,
) -> Loads:
    stands = np.asarray(axis.edges[-1] if tool is None else tool, dtype=float)
    if (np.abs(axis.edges[:, None] - stands.ravel()).min(axis=0) > 1e-6).any():
        raise ValueError("the tool must stand at an edge of the axis")
    force, torque, rub, stands = (
        np.array(each, dtype=float)
        for each in np.broadcast_arrays(*(np.asarray(x, float) for x in start), friction, stands)
    )
    count = len(axis.edges)
    forces = np.full((count, *force.shape), np.nan)
    torques = np.full((count, *force.shape), np.nan)
    elements = _elements(axis)
    for k in range(count - 1, -1, -1) if inward else range(count):
        reached = stands > axis.edges[k] - 1e-6
        if inward and k < count - 1:
            within = stands > axis.edges[k + 1] - 1e-6
            gain, twist = _step(force, rub, strand, motion, elements[k], inward)
            force = np.where(within, force + gain, force)
            torque = np.where(within, torque + twist, torque)
        elif not inward and k > 0:
            loss, twist = _step(force, rub, strand, motion, elements[k - 1], inward)
            force = np.where(reached, force - loss, force)
            torque = np.where(reached, torque - twist, torque)
        forces[k] = np.where(reached, force, np.nan)
        torques[k] = np.where(reached, torque, np.nan)
    return Loads(forces, torques)


def _step(
    force: Floats,
    rub: Floats,
    strand: Strand,
    motion: Motion,
    element: tuple[float, tuple[_Element, _Element, _Element]],
    inward: bool,
) -> tuple[Floats, Floats]:
    """Gain of force and torque toward the rig over one arc (fourth order in its length)."""
    length, points = element
    near, middle, far = points[::-1] if inward else points
    sign = 1.0 if inward else -1.0
    axial = motion.direction * motion.axial_share

    def rate(value: Floats, at: _Element) -> tuple[Floats, Floats]:
        wall = wall_force(value, strand.weight, at.bend2, at.bend_down, at.down)
        grown = strand.weight * at.down + axial * rub * wall + motion.direction * strand.drag
        return grown, wall

    a, wall_a = rate(force, near)
    b, wall_b = rate(force + sign * length / 2 * a, middle)
    c, wall_c = rate(force + sign * length / 2 * b, middle)
    d, wall_d = rate(force + sign * length * c, far)
    gain = length / 6.0 * (a + 2 * b + 2 * c + d)
    wall = length / 6.0 * (wall_a + 2 * wall_b + 2 * wall_c + wall_d)
    return gain, motion.turning_share * rub * strand.radius * wall
