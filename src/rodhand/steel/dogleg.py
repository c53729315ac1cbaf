"""Permissible dogleg of oilfield drill pipe, API RP 7G 16th ed. section 8.1.

All forms from memory, the unit factor re-derived; kept as an oilfield comparison and never a
bend limit of a rod. The tanh form assumes that the tube between the joints does not touch the
hole; with contact it over-penalises. Non-corrosive mud.
"""

from __future__ import annotations

import math

from rodhand.units import PSI


def permissible_stress_grade_e(tension_stress: float) -> float:
    """Permissible bending stress of grade E pipe under tension.

    Parameters
    ----------
    tension_stress : float
        Tension over area, 0 to 67,000 psi. [Pa]

    Returns
    -------
    float
        19500 - (10/67) s - (0.6/670^2)(s - 33500)^2 in psi, here converted. [Pa]

    Raises
    ------
    ValueError
        Outside the range of the form.
    """
    psi = tension_stress / PSI
    if not 0 <= psi <= 67_000 * (1 + 1e-9):
        raise ValueError(f"grade E form holds for 0 to 67,000 psi of tension, got {psi:.0f} psi")
    return (19_500 - 10 / 67 * psi - 0.6 / 670**2 * (psi - 33_500) ** 2) * PSI


def permissible_stress_s135(tension_stress: float) -> float:
    """Permissible bending stress of S-135 pipe under tension, 20000 (1 - s/145000) psi.

    Parameters
    ----------
    tension_stress : float
        Tension over area, 0 to 133,400 psi. [Pa]

    Returns
    -------
    float
        Stress. [Pa]

    Raises
    ------
    ValueError
        Outside the range of the form.
    """
    psi = tension_stress / PSI
    if not 0 <= psi <= 133_400 * (1 + 1e-9):
        raise ValueError(f"S-135 form holds for 0 to 133,400 psi of tension, got {psi:.0f} psi")
    return 20_000 * (1 - psi / 145_000) * PSI


def permissible_curvature(
    bending_stress: float,
    outer_diameter: float,
    half_joint_spacing: float,
    tension: float,
    bending_stiffness: float,
    elastic_modulus: float,
) -> float:
    """Curvature of the hole that brings the pipe at its joint to a bending stress.

    Parameters
    ----------
    bending_stress : float
        Permissible stress. [Pa]
    outer_diameter : float
        Of the tube. [m]
    half_joint_spacing : float
        HALF the distance between tool joints. [m]
    tension : float
        Effective tension at the dogleg, zero or above. [N]
    bending_stiffness : float
        EI of the tube. [N m^2]
    elastic_modulus : float
        Young's modulus. [Pa]

    Returns
    -------
    float
        (2 s / E D) tanh(KL)/(KL), K = sqrt(T/EI). [1/m]
    """
    straight = 2.0 * bending_stress / (elastic_modulus * outer_diameter)
    kl = half_joint_spacing * math.sqrt(tension / bending_stiffness)
    return straight if kl == 0.0 else straight * math.tanh(kl) / kl


def curvature_for_joint_force(force: float, tension: float, half_joint_spacing: float) -> float:
    """Curvature that presses each tool joint on the wall with a force, F / (2 T L).

    Parameters
    ----------
    force : float
        Side force on one tool joint. [N]
    tension : float
        Tension, above zero. [N]
    half_joint_spacing : float
        HALF the distance between tool joints. [m]

    Returns
    -------
    float
        Curvature. [1/m]
    """
    return force / (2.0 * tension * half_joint_spacing)
