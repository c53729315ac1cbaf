"""What a string's contact solution says rod by rod: bend, magnification, where it touches, room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.contact import Contact

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True)
class Touching:
    """One place where steel lies on the wall.

    Parameters
    ----------
    at : float
        Position along the hole. [m]
    rod : int
        Rod it belongs to, counted from 0 at the tool.
    force : float
        Force of the wall. [N]
    toward : tuple of float
        Direction from the axis to the wall, in the planes of the hole. [-]
    """

    at: float
    rod: int
    force: float
    toward: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class RodBends:
    """The rods of a solved string, from the tool (row 0) to the rig.

    Parameters
    ----------
    largest : (r,) array of float
        Largest moment of each rod's tube over its EI: the bend its steel takes. [1/m]
    hole : (r,) array of float
        Largest mean bend of the hole over any stretch of one rod's length that touches the rod's
        own: what the rod would take if it followed the hole. [1/m]
    at : (r,) array of float
        Where in the hole the largest bend of each rod is. [m]
    room : (r,) array of float
        Least play left beside each rod. [m]
    """

    largest: Floats
    hole: Floats
    at: Floats
    room: Floats

    @property
    def magnification(self) -> Floats:
        """Largest bend of the rod over the hole's; NaN where the hole is straight. [-]"""
        known = self.hole > 0.0
        none = np.full(len(known), np.nan)
        return np.asarray(np.divide(self.largest, self.hole, out=none, where=known))


def _rod_means(contact: Contact) -> Floats:
    """Size of the hole's mean bend over each rod's own length, from the rig to the tool. [1/m]"""
    beam = contact.beam
    first = np.flatnonzero(np.diff(beam.rod, prepend=-1))
    h = beam.lengths
    turned = np.add.reduceat(beam.mean * h[:, None], first, axis=0)
    return np.asarray(np.linalg.norm(turned, axis=1) / np.add.reduceat(h, first))


def rod_bends(contact: Contact) -> RodBends:
    """Bend of each rod of a solved string.

    Parameters
    ----------
    contact : Contact
        A settled solution.

    Returns
    -------
    RodBends
        NaN in all bends where the string did not settle.

    Notes
    -----
    The hole's bend is the mean over the rod's own length, or its neighbours' where that is larger:
    a rod next to a sharp bend takes part of it.
    """
    beam = contact.beam
    first = np.flatnonzero(np.diff(beam.rod, prepend=-1))
    is_tube = beam.stiffness == beam.tube_stiffness
    bend = np.where(is_tube[:, None], contact.tube_bend, 0.0)
    ends = np.append(first[1:], len(beam.rod))
    largest, at = np.zeros(len(first)), np.zeros(len(first))
    for k, (a, b) in enumerate(zip(first, ends, strict=True)):
        row, side = np.unravel_index(int(np.argmax(bend[a:b])), (b - a, 2))
        largest[k] = bend[a + row, side]
        at[k] = beam.nodes[a + row + side]
    own = _rod_means(contact)
    wide = np.maximum.reduce([own, np.append(own[1:], 0.0), np.append(0.0, own[:-1])])
    room = np.minimum(
        np.minimum.reduceat(contact.room[:-1], first), np.minimum.reduceat(contact.room[1:], first)
    )
    if not contact.is_settled:
        largest = np.full(len(first), np.nan)
    return RodBends(largest[::-1], wide[::-1], at[::-1], np.maximum(room[::-1], 0.0))


def touching(contact: Contact) -> tuple[Touching, ...]:
    """Where the string lies on the wall and how hard, from the rig to the tool."""
    beam = contact.beam
    owner = np.append(beam.rod, beam.rod[-1])
    found = []
    for k in np.flatnonzero(contact.wall_force > 0.0):
        toward = contact.offset[k] / np.linalg.norm(contact.offset[k])
        found.append(
            Touching(
                float(beam.nodes[k]), int(owner[k]), float(contact.wall_force[k]),
                tuple(float(x) for x in toward),
            )
        )  # fmt: skip
    return tuple(found)
