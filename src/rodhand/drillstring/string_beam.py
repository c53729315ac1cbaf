"""The string as a beam in its hole: nodes, stiffness, outer diameters, bends, weight, clearance.

Positions are along the hole. The bend of the hole comes in one plane or two (vertical, horizontal)
as constant curvature between edges; each element takes its mean and its slope, so that a short
bend inside an element keeps its place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

LEAST_CLEARANCE = 1e-4
"""Radial play given to a joint as wide as its hole, so that a wall has a side. [m]"""


@dataclass(frozen=True)
class RodBeam:
    """One rod as a beam: two thick ends and a tube.

    Parameters
    ----------
    length, joint_length : float
        Shoulder to shoulder, and the thick part at ONE end. [m]
    tube_od, joint_od : float
        Outside diameters. [m]
    tube_stiffness, joint_stiffness : float
        EI. [N m^2]
    """

    length: float
    joint_length: float
    tube_od: float
    joint_od: float
    tube_stiffness: float
    joint_stiffness: float

    @classmethod
    def of(cls, rod: RodType, length: float | None = None) -> RodBeam:
        """The beam of a rod type, with its own measured length where one is given. [m]"""
        own = rod.length if length is None else length
        return cls(
            length=own,
            joint_length=min(rod.joint_length, 0.4 * own),
            tube_od=rod.tube_od,
            joint_od=rod.joint_od,
            tube_stiffness=ELASTIC_MODULUS * rod.tube_inertia,
            joint_stiffness=ELASTIC_MODULUS * rod.joint_inertia,
        )


@dataclass(frozen=True, eq=False)
class HoleLine:
    """Curvature and diameter of a hole by stretch.

    Parameters
    ----------
    edges : (m+1,) array of float
        Ends of the stretches, growing; outside them the hole is straight. [m]
    curvature : (m, p) array of float
        Signed curvature in each of p = 1 or 2 planes; the first is the one weight acts in. [1/m]
    diameter : float
        Diameter of the hole on this pass. [m]
    """

    edges: Floats
    curvature: Floats
    diameter: float

    def turned(self, at: Floats) -> tuple[Floats, Floats]:
        """Angle turned since the first edge, and its integral, at positions. [rad], [rad m]"""
        s, kappa = self.edges, self.curvature
        step = np.diff(s)[:, None]
        angle = np.vstack((np.zeros(kappa.shape[1]), np.cumsum(kappa * step, axis=0)))
        area = np.vstack((
            np.zeros(kappa.shape[1]),
            np.cumsum(angle[:-1] * step + kappa * step**2 / 2.0, axis=0),
        ))  # fmt: skip
        index = np.clip(np.searchsorted(s, at, side="right") - 1, 0, len(kappa) - 1)
        inside = np.clip(at, s[0], s[-1])
        past = (inside - s[index])[:, None]
        turned = angle[index] + kappa[index] * past
        covered = area[index] + angle[index] * past + kappa[index] * past**2 / 2.0
        return turned, covered + turned * np.maximum(at - s[-1], 0.0)[:, None]


@dataclass(frozen=True, eq=False)
class StringBeam:
    """A string in its hole, ready to be solved; element k lies between nodes k and k + 1.

    Parameters
    ----------
    nodes : (n+1,) array of float
        Positions along the hole, growing. [m]
    stiffness, tube_stiffness : (n,) array of float
        EI of each element, and of the tube of its rod. [N m^2]
    rod : (n,) array of int
        Rod of each element, counted from 0 at the tool (the far end).
    mean, slope : (n, p) array of float
        Curvature of the hole in each element: mean, and half the change over it. [1/m]
    axial : (n,) array of float
        Effective axial force, pull positive. [N]
    lateral : (n, p) array of float
        Load across the hole, positive toward positive bend. [N/m]
    clearance : (n+1,) array of float
        Radial play between steel and wall. [m]
    """

    nodes: Floats
    stiffness: Floats
    tube_stiffness: Floats
    rod: Integers
    mean: Floats
    slope: Floats
    axial: Floats
    lateral: Floats
    clearance: Floats

    @property
    def lengths(self) -> Floats:
        """Length of each element. [m]"""
        return np.diff(self.nodes)


def _rod_nodes(rod: RodBeam, per_tube: int) -> Floats:
    """Node positions in a rod from one shoulder to the other. [m]"""
    tube = np.linspace(rod.joint_length, rod.length - rod.joint_length, per_tube + 1)
    return np.concatenate(([0.0], tube, [rod.length]))


def string_beam(
    rods: Sequence[RodBeam],
    hole: HoleLine,
    tool_at: float,
    axial_force: Floats | float = 0.0,
    weight: Floats | float = 0.0,
    elements_per_tube: int = 8,
) -> StringBeam:
    """Lay a string into a hole.

    Parameters
    ----------
    rods : sequence of RodBeam
        From the tool to the rig.
    hole : HoleLine
        Bends and diameter. A hole narrower than a joint is taken as just as wide.
    tool_at : float
        Where the far end of the first rod is along the hole. [m]
    axial_force : (r,) array or float
        Effective axial force of each rod, pull positive. [N]
    weight : (r,) array or float
        Weight of each rod in mud per length, across the hole: it acts in the first plane, against
        positive bend. [N/m]
    elements_per_tube : int
        Elements of the tube of a rod, even, so that one node is at its middle.

    Returns
    -------
    StringBeam
        Nodes from the rig's end of the string to the tool.

    Raises
    ------
    ValueError
        If there is no rod or the count of elements is odd or below 2.
    """
    if not rods:
        raise ValueError("a string needs at least one rod")
    if elements_per_tube < 2 or elements_per_tube % 2:
        raise ValueError("elements per tube must be even and at least 2")
    count, per = len(rods), elements_per_tube + 2
    tail = tool_at - np.cumsum([rod.length for rod in rods])
    backward = range(count - 1, -1, -1)
    pieces = [tail[k] + _rod_nodes(rods[k], elements_per_tube) for k in backward]
    nodes = np.concatenate([pieces[0], *(each[1:] for each in pieces[1:])])
    owner = np.repeat(np.arange(count - 1, -1, -1), per)
    is_joint = np.tile(np.r_[True, np.zeros(elements_per_tube, dtype=bool), True], count)
    table = np.array([
        (rod.tube_stiffness, rod.joint_stiffness, rod.tube_od, rod.joint_od) for rod in rods
    ])[owner]  # fmt: skip
    od = np.where(is_joint, table[:, 3], table[:, 2])
    mean, slope = hole_bends_at(hole, nodes)
    lateral = np.zeros_like(mean)
    lateral[:, 0] = -np.broadcast_to(np.asarray(weight, dtype=float), count)[owner]
    widest = np.maximum(np.r_[od[0], od], np.r_[od, od[-1]])
    return StringBeam(
        nodes=nodes,
        stiffness=np.where(is_joint, table[:, 1], table[:, 0]),
        tube_stiffness=table[:, 0],
        rod=owner,
        mean=mean,
        slope=slope,
        axial=np.broadcast_to(np.asarray(axial_force, dtype=float), count)[owner],
        lateral=lateral,
        clearance=np.maximum((hole.diameter - widest) / 2.0, LEAST_CLEARANCE),
    )


def hole_bends_at(hole: HoleLine, nodes: Floats) -> tuple[Floats, Floats]:
    """Mean curvature of each element and half its change, as a line of equal first moment.

    Parameters
    ----------
    hole : HoleLine
        Its bends, in any number of columns.
    nodes : (n+1,) array of float
        Ends of the elements, growing. [m]

    Returns
    -------
    mean, slope : (n, p) array of float
        As `StringBeam` has them. [1/m]
    """
    h = np.diff(nodes)[:, None]
    angle, area = hole.turned(nodes)
    mean = np.diff(angle, axis=0) / h
    slope = 3.0 / h * (angle[:-1] + angle[1:] - 2.0 / h * np.diff(area, axis=0))
    return mean, slope
