"""Bend of the steel at the five sections of every rod, as the string stands along the hole.

A section passes each place of the hole, with its joints now here, now there. So the whole string
is laid into the whole hole several times, pushed on by a part of a rod each time, and what a
section's steel has to bend is read off where it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.contact import Contact, solve_contact
from rodhand.drillstring.contact_response import moment_response
from rodhand.drillstring.string_beam import HoleLine, RodBeam, string_beam
from rodhand.hole.bend_states import BendState

Floats = NDArray[np.float64]

PHASES = (0.125, 0.375, 0.625, 0.875)
"""How far the string stands back from the end of the hole, in rods. [-]"""
FEWER_PHASES = (0.25, 0.75)
"""The same for holes that only widen a band. [-]"""
ELEMENTS = 4
"""Elements of the tube of a rod: the moment at the five sections is the same within 1 % with
twice as many. [1]"""


@dataclass(frozen=True, eq=False)
class SteelBends:
    """What the steel bends at sections of the string, over all phases.

    Parameters
    ----------
    at : (k, 5) array of float
        Place along the hole; sections from a rod's end away from the rig. [m]
    bend : (k, 5, p) array of float
        Moment over EI of the tube in each plane. [1/m]
    factors : (k, 5, p, q) array of float
        Change of that bend for one standard deviation of each factor of the hole. [1/m]
    """

    at: Floats
    bend: Floats
    factors: Floats


@dataclass(frozen=True, eq=False)
class Laid:
    """What it takes to lay a string into a hole.

    Parameters
    ----------
    rods : sequence of RodBeam
        From the tool to the rig.
    hole : BendState
        The hole.
    diameter : float
        Of the hole the rods stand in. [m]
    tool_at : float
        Far end of the first rod. [m]
    axial, weight : float
        Effective axial force, pull positive, and weight in mud per length. [N], [N/m]
    """

    rods: Sequence[RodBeam]
    hole: BendState
    diameter: float
    tool_at: float
    axial: float
    weight: float


def steel_bends(laid: Laid, phases: Sequence[float] = PHASES) -> SteelBends | None:
    """Lay the string in each phase and read the five sections off.

    Parameters
    ----------
    laid : Laid
        String and hole.
    phases : sequence of float
        Parts of the first rod's length.

    Returns
    -------
    SteelBends or None
        None where thrust buckles the string in one of the phases.

    Notes
    -----
    The string fills the hole. What stands near the tool while the hole is shorter is taken to
    bend as it does once the tool has gone on: over the two rods behind the tool an assumption.
    """
    hole = HoleLine(laid.hole.edges, laid.hole.curvature, laid.diameter)
    parts = []
    for phase in phases:
        tool = laid.tool_at - phase * laid.rods[0].length
        beam = string_beam(laid.rods, hole, tool, laid.axial, laid.weight, ELEMENTS)
        solved = solve_contact(beam)
        if not solved.is_settled:
            return None
        parts.append(_sections(solved, laid))
    return SteelBends(*(np.concatenate(each) for each in zip(*parts, strict=True)))


def _sections(solved: Contact, laid: Laid) -> tuple[Floats, Floats, Floats]:
    """Place, bend and factors of the sections of every rod."""
    beam, count = solved.beam, len(laid.rods)
    per = ELEMENTS + 2
    ei = beam.tube_stiffness
    # nodes of a rod from its far end: shoulder, joint end, middle, joint end, shoulder
    local = np.array([per, per - 1, per // 2, 1, 0])
    nodes = np.arange(count)[:, None] * per + local
    # a node's moment is that at the end of the element on the rig's side, or of the first one
    element = np.maximum(nodes - 1, 0)
    side = (nodes > 0).astype(int)
    change = moment_response(
        solved, laid.hole.edges, laid.hole.factors, element.ravel(), side.ravel()
    )
    scale = 1.0 / ei[element]
    return (
        beam.nodes[nodes],
        solved.moment[element, side] * scale[..., None],
        change.reshape(*nodes.shape, *change.shape[1:]) * scale[..., None, None],
    )
