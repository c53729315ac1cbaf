"""A round tube: area, second moments, bending stress in an arc, first yield, plastic reserve.

Everything here is elementary beam theory for a straight, round, concentric tube.
"""

from __future__ import annotations

import math

ELASTIC_MODULUS = 206e9
"""Young's modulus of steel used throughout. [Pa] Convention of this project."""


def _check(outer_diameter: float, inner_diameter: float) -> None:
    if not 0.0 <= inner_diameter < outer_diameter:
        raise ValueError(
            f"a tube needs 0 <= inner < outer diameter, got {inner_diameter} m and "
            f"{outer_diameter} m"
        )


def area(outer_diameter: float, inner_diameter: float) -> float:
    """Metal area of a round tube, pi/4 (D^2 - d^2).

    Parameters
    ----------
    outer_diameter, inner_diameter : float
        Diameters; the inner may be 0 for a bar. [m]

    Returns
    -------
    float
        Area. [m^2]

    Raises
    ------
    ValueError
        If the inner diameter is not smaller than the outer.
    """
    _check(outer_diameter, inner_diameter)
    return math.pi / 4.0 * (outer_diameter**2 - inner_diameter**2)


def inertia(outer_diameter: float, inner_diameter: float) -> float:
    """Second moment of area about a diameter, pi/64 (D^4 - d^4).

    Parameters
    ----------
    outer_diameter, inner_diameter : float
        Diameters. [m]

    Returns
    -------
    float
        Second moment of area. [m^4]

    Raises
    ------
    ValueError
        If the inner diameter is not smaller than the outer.
    """
    _check(outer_diameter, inner_diameter)
    return math.pi / 64.0 * (outer_diameter**4 - inner_diameter**4)


def polar_modulus(outer_diameter: float, inner_diameter: float) -> float:
    """Polar section modulus J/r: torque divided by it is the shear stress at the outside.

    Parameters
    ----------
    outer_diameter, inner_diameter : float
        Diameters. [m]

    Returns
    -------
    float
        Polar section modulus. [m^3]

    Raises
    ------
    ValueError
        If the inner diameter is not smaller than the outer.
    """
    return 4.0 * inertia(outer_diameter, inner_diameter) / outer_diameter


def bending_stress_from_radius(
    outer_diameter: float, bend_radius: float, elastic_modulus: float = ELASTIC_MODULUS
) -> float:
    """Largest bending stress in a straight tube bent to a circular arc, E D / (2 R).

    Parameters
    ----------
    outer_diameter : float
        Outer diameter of the tube body. [m]
    bend_radius : float
        Radius of the tube's axis, greater than zero. [m]
    elastic_modulus : float
        Young's modulus. [Pa]

    Returns
    -------
    float
        Stress at the outer fibre, the amplitude when the tube turns. [Pa]

    Raises
    ------
    ValueError
        If the radius is not greater than zero.

    Notes
    -----
    Elastic, small strain, no axial load. Not for the joint: there the moment carries over,
    not the bend.

    Examples
    --------
    >>> round(bending_stress_from_radius(0.060, 30.0) / 1e6, 6)
    206.0
    """
    if not bend_radius > 0:
        raise ValueError(f"bend_radius must be greater than 0 m, got {bend_radius} m")
    return elastic_modulus * outer_diameter / (2.0 * bend_radius)


def yield_radius(
    outer_diameter: float, yield_stress: float, elastic_modulus: float = ELASTIC_MODULUS
) -> float:
    """Bend radius at which the outer fibre first yields, E D / (2 Sy).

    Parameters
    ----------
    outer_diameter : float
        Outer diameter of the tube body. [m]
    yield_stress : float
        Yield stress, greater than zero. [Pa]
    elastic_modulus : float
        Young's modulus. [Pa]

    Returns
    -------
    float
        Radius. [m]

    Raises
    ------
    ValueError
        If the yield stress is not greater than zero.

    Notes
    -----
    An overload (a lasting bow) lies past this radius; an over-steer, past the maker's limit,
    usually far above it. They are different events.
    """
    if not yield_stress > 0:
        raise ValueError(f"yield_stress must be greater than 0 Pa, got {yield_stress} Pa")
    return elastic_modulus * outer_diameter / (2.0 * yield_stress)


def plastic_shape_factor(outer_diameter: float, inner_diameter: float) -> float:
    """Fully plastic moment over first-yield moment: 1.698 for a bar, 1.273 for a thin tube.

    Parameters
    ----------
    outer_diameter, inner_diameter : float
        Diameters. [m]

    Returns
    -------
    float
        Zpl / Zel with Zpl = (D^3 - d^3)/6. [-]

    Raises
    ------
    ValueError
        If the inner diameter is not smaller than the outer.
    """
    elastic = 2.0 * inertia(outer_diameter, inner_diameter) / outer_diameter
    return (outer_diameter**3 - inner_diameter**3) / 6.0 / elastic
