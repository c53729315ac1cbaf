"""Bending magnification of a rod between its joints in a uniform bend: the closed forms.

The joints stand off the wall by more than the tube. Under pull the tube between them straightens
toward the inside of the bend and the steel beside the joints bends more; under thrust the middle
does. Three states: the tube is free, touches the wall at mid-span, or lies on it ("wrap").

Linear beam of one stiffness, joints as points on one line, no weight, no torque, no friction,
uniform bend, effective axial force; thrust below the Euler load of the span with fixed ends. The
structure is that of Paslay and Cernocky, SPE 22547 (1991), from memory and re-derived here; the
free state under pull is Lubinski's (1961), u / tanh u.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from scipy.optimize import brentq


class Touch(StrEnum):
    """How the tube between two joints meets the wall."""

    NONE = "none"
    POINT = "point"
    WRAP = "wrap"


@dataclass(frozen=True)
class Magnification:
    """Bend of the tube over the bend of the hole.

    Parameters
    ----------
    largest, joint, middle : float
        At the worst place, beside the joint and at mid-span. [-]
    touch : Touch
        How the tube meets the wall.
    """

    largest: float
    joint: float
    middle: float
    touch: Touch


@dataclass(frozen=True)
class _Shape:
    """Curvature A C(kx) + B S(kx) over the hole's, from x = 0 (middle or lift-off) to x = l."""

    a: float
    b: float
    k: float
    length: float
    is_pull: bool

    def at(self, x: float) -> float:
        u = self.k * x
        if self.is_pull:
            return self.a * math.cosh(u) + self.b * math.sinh(u)
        return self.a * math.cos(u) + self.b * math.sin(u)

    def largest(self) -> float:
        """Largest absolute value; inside the length only under thrust."""
        ends = max(abs(self.at(0.0)), abs(self.at(self.length)))
        if self.is_pull:
            return ends
        peak = math.atan2(self.b, self.a) % math.pi
        return math.hypot(self.a, self.b) if 0.0 < peak < self.k * self.length else ends


def _integrals(u: float, is_pull: bool) -> tuple[float, float, float, float]:
    """First and second integrals of C and S over 0..u, in units of 1/k and 1/k^2."""
    if is_pull:
        cosh, sinh = math.cosh(u), math.sinh(u)
        return sinh, cosh - 1.0, cosh - 1.0, sinh - u
    cos, sin = math.cos(u), math.sin(u)
    return sin, 1.0 - cos, 1.0 - cos, u - sin


def _point(k: float, length: float, gap_over_bend: float, is_pull: bool) -> _Shape:
    """Mid-span held at the wall: first integral l, second l^2/2 less or more the gap."""
    c1, s1, c2, s2 = _integrals(k * length, is_pull)
    drop = -gap_over_bend if is_pull else gap_over_bend
    first, second = k * length, k * k * (length**2 / 2.0 + drop)
    below = c1 * s2 - s1 * c2
    return _Shape(
        (first * s2 - s1 * second) / below, (c1 * second - first * c2) / below, k, length, is_pull
    )


def uniform_bend(
    curvature: float, half_span: float, stand_off: float, axial_force: float, stiffness: float
) -> Magnification:
    """Magnification of a tube between joints in a uniform bend.

    Parameters
    ----------
    curvature : float
        Of the hole, above zero. [1/m]
    half_span : float
        HALF the distance between joints. [m]
    stand_off : float
        Half of joint OD less tube OD, above zero. [m]
    axial_force : float
        Pull positive, thrust negative. [N]
    stiffness : float
        EI of the tube. [N m^2]

    Returns
    -------
    Magnification
        Over a rod that follows the hole; the stiff joint is not in it.

    Raises
    ------
    ValueError
        If curvature, span, stand-off or stiffness is not above zero, or the thrust reaches the
        Euler load of the span with fixed ends, pi^2 EI / half_span^2.

    Notes
    -----
    Free: C(kx) u / S(u) with u = half_span sqrt(|P|/EI), C and S hyperbolic under pull, circular
    under thrust. The tube touches when its deviation at mid-span, c L^2 (1/2 - tanh(u/2)/u) or
    c L^2 (tan(u/2)/u - 1/2), passes the stand-off; it wraps when the bend at the point of contact
    passes the hole's.
    """
    if min(curvature, half_span, stand_off, stiffness) <= 0.0:
        raise ValueError("curvature, span, stand-off and stiffness must be greater than 0")
    k = math.sqrt(abs(axial_force) / stiffness)
    u = k * half_span
    if u < 1e-6:
        return Magnification(1.0, 1.0, 1.0, Touch.NONE)
    is_pull = axial_force > 0.0
    if not is_pull and u >= math.pi:
        raise ValueError("the thrust reaches the Euler load of the span with fixed ends")
    if is_pull:
        deviation, free = 0.5 - math.tanh(u / 2) / u, u / math.sinh(u)
    else:
        deviation, free = math.tan(u / 2) / u - 0.5, u / math.sin(u)
    gap = stand_off / curvature
    if deviation * half_span**2 <= gap:
        shape, touch = _Shape(free, 0.0, k, half_span, is_pull), Touch.NONE
    else:
        shape, touch = _point(k, half_span, gap, is_pull), Touch.POINT
        passes = shape.a > 1.0 if is_pull else shape.a < 1.0
        if passes:
            shape, touch = _wrap(k, half_span, gap, is_pull), Touch.WRAP
    middle = 1.0 if touch is Touch.WRAP else shape.at(0.0)
    largest = max(shape.largest(), abs(middle))
    return Magnification(largest, shape.at(shape.length), middle, touch)


def _wrap(k: float, half_span: float, gap: float, is_pull: bool) -> _Shape:
    """The free length at whose foot the bend is the hole's; the rest lies on the wall."""

    def excess(length: float) -> float:
        return _point(k, length, gap, is_pull).a - 1.0

    length = brentq(excess, _foot(excess, half_span), half_span)
    return _point(k, length, gap, is_pull)


def _foot(excess: Callable[[float], float], half_span: float) -> float:
    """A shorter length on the other side of the root, nearest below the half span."""
    sign = math.copysign(1.0, excess(half_span))
    length = half_span
    while excess(length) * sign > 0.0:
        length *= 0.98
        if length < 1e-3 * half_span:
            raise ValueError("no free length beside the joint was found")
    return length
