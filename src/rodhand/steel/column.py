"""Columns: the load a straight or slightly bowed length of rod takes end on."""

from __future__ import annotations

import math
from collections.abc import Mapping

IMPERFECTION: Mapping[str, float] = {"a0": 0.13, "a": 0.21, "b": 0.34, "c": 0.49, "d": 0.76}
"""Imperfection factor per buckling curve, EN 1993-1-1:2005 table 6.1 (READ). [-]"""


def buckling_reduction(slenderness: float, imperfection: float) -> float:
    """Reduction factor chi of EN 1993-1-1:2005, 6.3.1.2 (formula READ).

    Parameters
    ----------
    slenderness : float
        Non-dimensional slenderness, zero or above. [-]
    imperfection : float
        Imperfection factor, see `IMPERFECTION`. [-]

    Returns
    -------
    float
        1 / (Phi + sqrt(Phi^2 - l^2)), not above 1. [-]

    Raises
    ------
    ValueError
        If the slenderness is negative.
    """
    if slenderness < 0:
        raise ValueError(f"slenderness must not be negative, got {slenderness}")
    if slenderness <= 0.2:
        return 1.0
    phi = 0.5 * (1.0 + imperfection * (slenderness - 0.2) + slenderness**2)
    return min(1.0, 1.0 / (phi + math.sqrt(phi**2 - slenderness**2)))


def perry_stress(yield_stress: float, euler_stress: float, eccentricity: float) -> float:
    """Mean stress at which a bowed column first yields (Ayrton-Perry).

    Parameters
    ----------
    yield_stress, euler_stress : float
        Yield stress and Euler's critical stress. [Pa]
    eccentricity : float
        e0 c / i^2: bow times outer fibre over radius of gyration squared. [-]

    Returns
    -------
    float
        Smaller root of (Sy - s)(Se - s) = eta Se s. [Pa]
    """
    half = (yield_stress + (1.0 + eccentricity) * euler_stress) / 2.0
    return half - math.sqrt(half**2 - yield_stress * euler_stress)


def johnson_euler_stress(
    yield_stress: float, slenderness_ratio: float, elastic_modulus: float, end_factor: float = 1.0
) -> float:
    """Critical stress: Johnson's parabola for short columns, Euler for long ones.

    Parameters
    ----------
    yield_stress, elastic_modulus : float
        Of the steel. [Pa]
    slenderness_ratio : float
        Length over radius of gyration. [-]
    end_factor : float
        1 for pinned ends, 4 for fixed ends. [-]

    Returns
    -------
    float
        Stress. [Pa]

    References
    ----------
    .. [1] Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed. (2011),
       p. 184, eqs. 4-43 and 4-45 to 4-46 (READ); the two meet at half the yield stress.
    """
    joining = math.sqrt(2.0 * math.pi**2 * end_factor * elastic_modulus / yield_stress)
    if slenderness_ratio > joining:
        return end_factor * math.pi**2 * elastic_modulus / slenderness_ratio**2
    loss = (yield_stress * slenderness_ratio / (2.0 * math.pi)) ** 2
    return yield_stress - loss / (end_factor * elastic_modulus)


def span_euler_load(bending_stiffness: float, span: float) -> float:
    """Critical load of one rod between joints held straight: 4 pi^2 EI / L^2, fixed ends.

    Parameters
    ----------
    bending_stiffness : float
        EI of the tube. [N m^2]
    span : float
        Length between the joints, above zero. [m]

    Returns
    -------
    float
        Load. [N]

    Raises
    ------
    ValueError
        If the span is not above zero.
    """
    if not span > 0:
        raise ValueError(f"span must be greater than 0 m, got {span} m")
    return 4.0 * math.pi**2 * bending_stiffness / span**2
