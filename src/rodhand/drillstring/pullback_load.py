"""Pull at the rig while the product is pulled back: the product's own, and the string's before it.

Product by the ASTM F1962 terms (`product_pull`), so for one without stiffness of its own; string
by the soft string. What nobody measures is a range: mud, friction, drag of the mud. The reamer's
own load is not in it: no formula for it was found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.product_pull import ProductBore, product_pull, skin_drag
from rodhand.drillstring.soft_string import Axis, Motion, Strand, from_tool, rotating, sliding
from rodhand.units import PSI, STANDARD_GRAVITY

Floats = NDArray[np.float64]
MUD = (1000.0, 1100.0, 1470.0)
"""Water; assumed; what the rule wb = D^2/2 - w holds for (Najafi 2010, p. 226, READ). [kg/m^3]"""
GROUND_FRICTION = (0.1, 0.5, 0.5)
"""Product outside the hole: on rollers; on the ground (READ: `product_pull`). [1]"""
MUD_FRICTION = (0.21, 0.30, 0.40)
"""Pipe in slurry 0.21 to 0.30 (secondary, READ), 0.3 by ASTM F1962; 0.40 of a string. [1]"""
STRING_FRICTION = (0.25, 0.30, 0.40)
"""Steel string in water mud, back-figured from field loads (SPE 11380, summary READ). [1]"""
SHEAR = (0.0, 0.025 * PSI, 0.05 * PSI)
"""Shear of mud on what moves in it: newer and older figure in use (from memory). [Pa]"""
LEVEL = math.radians(0.6)
"""Less steep than this the hole counts as level. [rad]"""


@dataclass(frozen=True)
class Product:
    """What is pulled back.

    Parameters
    ----------
    diameter : float
        Outside. [m]
    mass : float
        Of a metre as it is pulled, with what it is filled with. [kg/m]
    """

    diameter: float
    mass: float

    @property
    def displaced(self) -> float:
        """Area of mud it takes the place of. [m^2]"""
        return math.pi / 4.0 * self.diameter**2

    def buoyant(self, mud: float) -> float:
        """Weight in mud of that density; below 0 it floats. [N/m]"""
        return STANDARD_GRAVITY * (self.mass - mud * self.displaced)

    def buoyant_range(self) -> tuple[float, float, float]:
        """Smallest size of that weight, as assumed, largest; with its sign. [N/m]"""
        ends = sorted((self.buoyant(MUD[0]), self.buoyant(MUD[2])), key=abs)
        least = 0.0 if ends[0] * ends[1] < 0.0 else ends[0]
        return least, self.buoyant(MUD[1]), ends[1]


@dataclass(frozen=True, eq=False)
class PullbackLoad:
    """Largest loads of a pullback: low, best, high, (3,) each.

    Parameters
    ----------
    product : ndarray
        Pull on the product's head. [N]
    at_rig : ndarray
        Pull at the rig, travelling without turning. [N]
    torque : ndarray
        Torque at the rig while it turns, none at the tool. [N m]
    """

    product: Floats
    at_rig: Floats
    torque: Floats


def product_bore(axis: Axis) -> ProductBore:
    """A hole in the terms of ASTM F1962: steep parts, the level one, its depth.

    Parameters
    ----------
    axis : Axis
        From the rig to where the hole comes out.

    Returns
    -------
    ProductBore
        Nothing of the pipe beyond the hole's length is left outside.
    """
    down = np.arcsin(np.clip(axis.tangents[:, 2], -1.0, 1.0))
    flat = np.flatnonzero(down < LEVEL)
    rising = np.flatnonzero(down > -LEVEL)
    first = float(axis.edges[flat[0]]) if flat.size else float(axis.edges[-1])
    second = max(first, float(axis.edges[rising[-1]]) if rising.size else 0.0)
    middle = np.sin((down[1:] + down[:-1]) / 2.0)
    below = np.concatenate(([0.0], np.cumsum(np.diff(axis.edges) * middle)))
    return ProductBore(
        0.0, float(axis.edges[-1]) - second, second - first, first,
        float(below.max()), float(-down[-1]), float(down[0]),
    )  # fmt: skip


def pullback_load(
    axis: Axis, strand: Strand, tube_od: float, product: Product, turning_speed: float,
    ground_friction: Sequence[float] = GROUND_FRICTION,
) -> PullbackLoad:  # fmt: skip
    """Loads of pulling a product back through a hole, the largest over the way.

    Parameters
    ----------
    axis : Axis
        From the rig to where the hole comes out; its edges are where loads are worked.
    strand : Strand
        The string in its mud, without drag.
    tube_od : float
        Of the rods, for the drag of the mud. [m]
    product : Product
        What is pulled.
    turning_speed : float
        Of the string. [turns/s]
    ground_friction : sequence of float
        Low, best and high of the product outside the hole. [1]

    Returns
    -------
    PullbackLoad
        Low, best and high: all that is uncertain at its end at once.

    Notes
    -----
    The product's pull is exact at the four points of ASTM F1962, straight between them.
    """
    bore = product_bore(axis)
    whole = float(axis.edges[-1])
    pulled = whole - axis.edges  # length of product in the hole, its head at each edge
    points = np.cumsum([0.0, bore.curve_down, bore.level, bore.curve_up])
    heads = []
    for weight, ground, mud, shear in zip(
        product.buoyant_range(), ground_friction, MUD_FRICTION, SHEAR, strict=True
    ):
        in_air = product.mass * STANDARD_GRAVITY
        found = product_pull(bore, in_air, weight, ground, mud)
        pull = np.interp(pulled, points, (found.a, found.b, found.c, found.d))
        heads.append(np.maximum(pull, 0.0) + skin_drag(product.diameter, shear) * pulled)
    head = np.array(heads).T  # (edges, 3)
    friction, places = np.array(STRING_FRICTION), axis.edges[:, None]

    def at_rig(motion: Motion) -> tuple[Floats, Floats]:
        loads = from_tool(axis, strand, friction, motion, head, 0.0, places)
        return loads.force[0], loads.torque[0]

    mud_on_rods = skin_drag(tube_od, 1.0) * places * np.array(SHEAR)
    turning = rotating(1, 1.0 / 60.0, turning_speed, strand.radius)
    return PullbackLoad(
        head.max(axis=0),
        (at_rig(sliding(1))[0] + mud_on_rods).max(axis=0),
        np.abs(at_rig(turning)[1]).max(axis=0),
    )
