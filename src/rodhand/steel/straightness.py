"""The bow of a rod from what a yard has: rolling it, three gaps, a string line.

A bow is the largest distance of the tube's middle line from the straight line between two points,
over the distance of those points. Plain geometry; nothing here says what bow is allowed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.steel.column import perry_stress

NEW_PIPE_BOW = 0.002
"""Largest bow of new drill pipe over its whole length, 0.2 % of the length (API 5DP / ISO 11961,
from memory): oilfield, for comparison only. [m/m]"""
ARC_QUARTER = 0.75
"""Gap at a quarter over gap in the middle of a flat arc: 4 x (1 - x) at x = 1/4. [-]"""


@dataclass(frozen=True)
class Bow:
    """A bow with its error.

    Parameters
    ----------
    height : float
        Largest distance from the straight line. [m]
    error : float
        Error of the height from the readings' own. [m]
    span : float
        Distance of the two points the line goes through. [m]
    hook : float or None
        How far the larger quarter gap stands from an even arc's, in heights; None where only one
        place was read. [-]
    """

    height: float
    error: float
    span: float
    hook: float | None = None

    @property
    def share(self) -> float:
        """Height over span; times 1000 it is mm in a metre. [m/m]"""
        return self.height / self.span

    @property
    def share_error(self) -> float:
        """Error of the share. [m/m]"""
        return self.error / self.span

    @property
    def told_from_straight(self) -> bool:
        """Whether the height is more than its error."""
        return self.height > self.error

    @property
    def radius(self) -> float | None:
        """Radius of an even arc of this height, span^2 / 8 h; None when straight. [m]"""
        return self.span**2 / (8.0 * self.height) if self.height > 0.0 else None


def _checked(span: float, error: float, readings: Sequence[float]) -> None:
    if not span > 0.0:
        raise ValueError(f"span must be greater than 0 m, got {span}")
    if error < 0.0 or any(not math.isfinite(each) for each in readings):
        raise ValueError(f"error must not be negative and readings finite, got {error}, {readings}")


def bow_by_rolling(largest: float, smallest: float, span: float, error: float) -> Bow:
    """Bow of a rod rolled once round on two level supports, read half way between them.

    Parameters
    ----------
    largest, smallest : float
        Largest and smallest gap between the tube and a fixed point over one whole turn. [m]
    span : float
        Between the supports. [m]
    error : float
        Of one reading. [m]

    Returns
    -------
    Bow
        Half the difference; error of one reading over the square root of two.

    Raises
    ------
    ValueError
        If the span is not above zero or the error negative.

    Notes
    -----
    The rod's own sag is the same all round and falls out.
    """
    _checked(span, error, (largest, smallest))
    return Bow(abs(largest - smallest) / 2.0, error / math.sqrt(2.0), span)


def bow_by_line(gap: float, span: float, error: float) -> Bow:
    """Bow from one gap half way along a straight line held to the tube at both ends.

    Parameters
    ----------
    gap : float
        Largest gap between line and tube, the rod turned so that it lies sideways. [m]
    span : float
        Between the points where the line touches. [m]
    error : float
        Of one reading; the two ends of the line are taken to be set no better. [m]

    Returns
    -------
    Bow
        The gap; error sqrt(1 + 1/2) times one reading's.

    Raises
    ------
    ValueError
        If the span is not above zero or the error negative.
    """
    _checked(span, error, (gap,))
    return Bow(abs(gap), math.sqrt(1.5) * error, span)


def bow_by_three_gaps(gaps: Sequence[float], span: float, error: float) -> Bow:
    """Bow from gaps at a quarter, half and three quarters of a straight line along the tube.

    Parameters
    ----------
    gaps : sequence of three floats
        In order along the rod, the line touching at both ends. [m]
    span : float
        Between the ends of the line. [m]
    error : float
        Of one gap. [m]

    Returns
    -------
    Bow
        The largest gap. ``hook`` is how much larger the larger quarter gap is than 3/4 of the
        middle one, over the largest gap: 0 for an even arc, 1/3 or more where one end hooks.

    Raises
    ------
    ValueError
        If there are not three gaps, the span is not above zero or the error negative.
    """
    if len(gaps) != 3:
        raise ValueError(f"three gaps are needed, got {len(gaps)}")
    _checked(span, error, gaps)
    first, middle, last = (abs(each) for each in gaps)
    height = max(first, middle, last)
    hook = (max(first, last) - ARC_QUARTER * middle) / height if height > 0.0 else 0.0
    return Bow(height, math.sqrt(1.5) * error, span, hook)


def own_sag(weight: float, bending_stiffness: float, span: float) -> float:
    """How far a straight rod on two supports hangs through by its own weight.

    Parameters
    ----------
    weight : float
        Weight of a length. [N/m]
    bending_stiffness : float
        EI of the tube. [N m^2]
    span : float
        Between the supports. [m]

    Returns
    -------
    float
        5 w L^4 / (384 EI), a beam on two supports under its own weight. [m]

    Raises
    ------
    ValueError
        If the stiffness is not above zero.

    Notes
    -----
    A bow read with the rod lying arched up on a flat is too small by up to this.
    """
    if not bending_stiffness > 0.0:
        raise ValueError(f"bending_stiffness must be greater than 0, got {bending_stiffness}")
    return 5.0 * weight * span**4 / (384.0 * bending_stiffness)


def column_share(
    height: float, tube_od: float, gyration: float, yield_stress: float, euler_stress: float
) -> float:
    """What a bowed rod takes end on, over what the same rod takes when straight.

    Parameters
    ----------
    height : float
        Bow over the free span. [m]
    tube_od, gyration : float
        Outside diameter and radius of gyration of the tube. [m]
    yield_stress, euler_stress : float
        Yield stress and Euler's stress over that span. [Pa]

    Returns
    -------
    float
        Ayrton-Perry's mean stress at first yield over the smaller of yield and Euler stress. [-]

    Notes
    -----
    Elastic, one span between pinned ends; mud and the hole's wall are left out.
    """
    eccentricity = height * (tube_od / 2.0) / gyration**2
    bowed = perry_stress(yield_stress, euler_stress, eccentricity)
    return bowed / min(yield_stress, euler_stress)
