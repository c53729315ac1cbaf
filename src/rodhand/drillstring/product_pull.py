"""Pull of a product pipe at the string's end, and weight and drag of steel in mud.

ASTM F1962 terms as printed in Najafi, Trenchless Technology Piping: Installation and Inspection,
McGraw-Hill 2010, eqs. 5.12a to d, 5.15 to 5.20 (READ).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

STEEL_DENSITY = 7850.0
"""Density of rod steel (common practice). [kg/m^3]"""


@dataclass(frozen=True)
class ProductPull:
    """Pull on the product at the four points of ASTM F1962. [N]

    a: at the pipe entry; b: at the end of its curve down; c: at the start of the curve up;
    d: at the rig's side.
    """

    a: float
    b: float
    c: float
    d: float


@dataclass(frozen=True)
class ProductBore:
    """A bore in the terms of ASTM F1962, from the pipe's side.

    Parameters
    ----------
    outside, curve_down, level, curve_up : float
        L1 left outside the hole, L2, L3, L4 along the bore. [m]
    depth : float
        H, of the level part. [m]
    entry_angle, exit_angle : float
        alpha on the pipe's side, beta on the rig's. [rad]
    """

    outside: float
    curve_down: float
    level: float
    curve_up: float
    depth: float
    entry_angle: float
    exit_angle: float


def product_pull(
    bore: ProductBore,
    empty_weight: float,
    buoyant_weight: float,
    ground_friction: float = 0.5,
    mud_friction: float = 0.3,
) -> ProductPull:
    """Pull on a product pipe, eqs. 5.12a to d.

    Parameters
    ----------
    bore : ProductBore
        The bore.
    empty_weight, buoyant_weight : float
        wa on the ground, wb in the mud (up or down, its size counts). [N/m]
    ground_friction, mud_friction : float
        va on the ground (0.1 on rollers), vb in the hole. [1]

    Returns
    -------
    ProductPull
        The four pulls.

    Notes
    -----
    Bending stiffness is left out, so for plastic pipe; every bend counts as a capstan whatever
    its direction. Add the mud's own drag apart.
    """
    va, vb = ground_friction, mud_friction
    wa, wb = empty_weight, buoyant_weight
    first, last = math.exp(va * bore.entry_angle), math.exp(vb * bore.exit_angle)
    middle = math.exp(vb * bore.entry_angle)
    whole = bore.outside + bore.curve_down + bore.level + bore.curve_up
    a = first * va * wa * whole
    b = middle * (
        a + vb * abs(wb) * bore.curve_down + wb * bore.depth - va * wa * bore.curve_down * first
    )
    c = b + vb * abs(wb) * bore.level - middle * va * wa * bore.level * first
    d = last * (
        c
        + vb * abs(wb) * bore.curve_up
        - wb * bore.depth
        - middle * va * wa * bore.curve_up * first
    )
    return ProductPull(a, b, c, d)


def short_bore_pull(length: float, buoyant_weight: float, quarter_turns: float) -> float:
    """Peak pull of a small bore, L (wb/3) 1.6^n (eq. 5.15).

    Parameters
    ----------
    length : float
        Length of the bore. [m]
    buoyant_weight : float
        wb. [N/m]
    quarter_turns : float
        n, planned bends of 90 degrees plus unplanned ones. [1]

    Returns
    -------
    float
        Pull. [N]
    """
    return float(length * buoyant_weight / 3.0 * 1.6**quarter_turns)


def buoyed(weight: float, mud_density: float, density: float = STEEL_DENSITY) -> float:
    """Weight of steel filled with and hung in mud: w (1 - mud/steel).

    Parameters
    ----------
    weight : float
        In air. [N/m]
    mud_density, density : float
        Of mud and steel. [kg/m^3]

    Returns
    -------
    float
        Weight. [N/m]
    """
    return weight * (1.0 - mud_density / density)


def skin_drag(diameter: float, shear: float) -> float:
    """Drag of mud on a moving string, pi D tau; 0.025 psi is the figure in use (from memory).

    Parameters
    ----------
    diameter : float
        Outside diameter. [m]
    shear : float
        Shear of the mud on the skin. [Pa]

    Returns
    -------
    float
        Drag. [N/m]
    """
    return math.pi * diameter * shear
