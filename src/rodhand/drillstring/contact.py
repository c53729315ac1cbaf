"""The string in its clearance: least energy of a beam that the hole's round wall holds.

The wall is rigid and without friction. It is brought in by multipliers on a stiff penalty
(augmented Lagrangian), all contacts at once: each step is one banded Cholesky solution with the
walls that push at the moment, a line search on the energy keeps it from going round in circles,
and the multipliers take the last play out. The energy is convex while no part of the string
buckles, so the answer is the only one; where it is not convex the result says so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbtrf, dpbtrs

from rodhand.drillstring.beam_matrix import (
    element_loads,
    element_matrices,
    end_actions,
    lower_band,
    whole_loads,
)
from rodhand.drillstring.string_beam import StringBeam

Floats = NDArray[np.float64]

PENALTY = 0.1
"""Wall stiffness at first over that of the softest element, 12 EI / h^3. [-]"""
STIFFEN = 10.0
"""How much stiffer the wall gets in each of the first two rounds of multipliers. [-]"""
PLAY_LEFT = 2e-6
"""Largest distance past the wall that ends the search. [m]"""
STEPS, ROUNDS = 60, 30


@dataclass(frozen=True, eq=False)
class Contact:
    """Where a string lies in its hole, and what that does to it.

    Parameters
    ----------
    beam : StringBeam
        What was solved.
    offset : (n+1, p) array of float
        Distance of the steel's axis from the hole's, toward positive bend. [m]
    moment : (n, 2, p) array of float
        Bending moment at both ends of each element. [N m]
    wall_force : (n+1,) array of float
        Force of the wall on the steel, zero where they do not touch. [N]
    is_settled : bool
        Whether a stable state was found; False where thrust buckles the string.
    steps : int
        Banded solutions it took.
    """

    beam: StringBeam
    offset: Floats
    moment: Floats
    wall_force: Floats
    is_settled: bool
    steps: int

    @property
    def room(self) -> Floats:
        """Play left between steel and wall at each node. [m]"""
        return np.asarray(self.beam.clearance - np.linalg.norm(self.offset, axis=1))

    @property
    def tube_bend(self) -> Floats:
        """Moment over EI of the tube at both ends of each element, over both planes. [1/m]"""
        size = np.linalg.norm(self.moment, axis=2)
        return np.asarray(size / self.beam.tube_stiffness[:, None])


class _Wall:
    """Energy, push and stiffness of the round wall at every node."""

    def __init__(self, beam: StringBeam) -> None:
        self.play = beam.clearance
        self.push = np.zeros(len(beam.nodes))
        self.stiffness = PENALTY * float(np.min(12.0 * beam.stiffness / beam.lengths**3))

    def force(self, v: Floats) -> tuple[Floats, Floats]:
        """Force of the wall, not below zero, and the distance from the axis."""
        out = np.linalg.norm(v, axis=1)
        return np.maximum(self.stiffness * (out - self.play) + self.push, 0.0), out

    def energy(self, v: Floats) -> float:
        force, _ = self.force(v)
        return float(force @ force) / (2.0 * self.stiffness)


class _Search:
    """The beam's matrix and the state of the search."""

    def __init__(self, beam: StringBeam, with_axial: bool = True) -> None:
        self.planes = beam.mean.shape[1]
        self.matrices, self.loads = element_matrices(beam, with_axial), element_loads(beam)
        self.band = lower_band(self.matrices, self.planes)
        self.load = whole_loads(self.loads)
        self.wall = _Wall(beam)
        self.hold = float(self.band[0].max()) * 1e3
        self.moved = np.zeros((len(beam.nodes), self.planes, 2))
        self.steps = 0
        self.drag = 0.0
        self.least_drag = 1e-6 * float(self.band[0, ::2].max())
        per = 2 * self.planes  # the rig's guide and the tool hold the ends on and along the axis
        self.band[0, :per] += self.hold
        self.band[0, -per:] += self.hold

    def times(self, x: Floats) -> Floats:
        """The beam's matrix times a vector."""
        flat, band = x.ravel(), self.band
        out = band[0] * flat
        for k in range(1, len(band)):
            out[k:] += band[k, :-k] * flat[:-k]
            out[:-k] += band[k, :-k] * flat[k:]
        return np.asarray(out.reshape(x.shape))

    def step(self) -> float:
        """One step toward least energy; how far the farthest node moved. [m]"""
        v = self.moved[:, :, 0]
        force, out = self.wall.force(v)
        inner = self.times(self.moved)
        slope = inner - self.load
        on = force > 0.0
        normal = np.zeros_like(v)
        normal[on] = v[on] / out[on, None]
        slope[:, :, 0] += force[:, None] * normal
        toward = -self._solve(slope, on, normal, force, out)
        share = self._share(toward, slope, inner)
        self.moved = self.moved + share * toward
        return float(np.abs(share * toward[:, :, 0]).max())

    def _solve(
        self, slope: Floats, on: NDArray[np.bool_], normal: Floats, force: Floats, out: Floats
    ) -> Floats:
        band = self.band.copy()
        per, wall = 2 * self.planes, self.wall.stiffness
        tangent = np.zeros_like(out)
        tangent[on] = force[on] / out[on]
        for a in range(self.planes):
            for b in range(a + 1):
                stiff = (wall * on - tangent) * normal[:, a] * normal[:, b]
                band[2 * (a - b), 2 * b :: per] += stiff + (tangent if a == b else 0.0)
        found, _ = dpbtrs(self._factor(band), slope.ravel(), lower=1)
        return np.asarray(found.reshape(slope.shape))

    def _factor(self, band: Floats) -> Floats:
        """Cholesky factor; where the state is not stable, drag is added until it has one."""
        drag = self.drag / 10.0 if self.drag > self.least_drag else 0.0
        while True:
            damped = band.copy()
            damped[0, ::2] += drag
            self.steps += 1
            factor, fault = dpbtrf(damped, lower=1, overwrite_ab=1)
            if not fault:
                self.drag = drag
                return np.asarray(factor)
            drag = max(10.0 * drag, self.least_drag)

    def _share(self, toward: Floats, slope: Floats, inner: Floats) -> float:
        """Share of a step that lowers the energy enough."""
        falls = float((slope * toward).sum())
        straight = float(((inner - self.load) * toward).sum())
        bent = float((toward * self.times(toward)).sum())
        before, share = self.wall.energy(self.moved[:, :, 0]), 1.0
        while share > 1e-4:
            change = share * straight + share**2 * bent / 2.0
            change += self.wall.energy(self.moved[:, :, 0] + share * toward[:, :, 0]) - before
            if change <= 1e-4 * share * falls + 1e-12 * abs(before):
                break
            share /= 2.0
        return share

    def rest(self, still: float) -> None:
        """Steps until nothing moves more than so far. [m]"""
        for _ in range(STEPS):
            if self.step() < still and self.drag == 0.0:
                break

    def settle(self) -> bool:
        """Steps until nothing moves, then multipliers until nothing stands past the wall."""
        for n in range(ROUNDS):
            self.rest(PLAY_LEFT / 10.0 if n else 20.0 * PLAY_LEFT)
            if self.drag > 0.0:
                return False
            force = self.wall.force(self.moved[:, :, 0])[0]
            wrong = np.abs(force - self.wall.push).max() / self.wall.stiffness
            self.wall.push = force
            if n and wrong < PLAY_LEFT:
                return True
            if n < 2:
                self.wall.stiffness *= STIFFEN
        return False


def solve_contact(beam: StringBeam) -> Contact:
    """Lay a string into its clearance.

    Parameters
    ----------
    beam : StringBeam
        As `string_beam` gives it.

    Returns
    -------
    Contact
        Offsets, moments and wall forces. `is_settled` is False, and the numbers mean nothing, where
        thrust buckles the string.

    Notes
    -----
    Small slopes about the hole's axis, elastic steel, rigid wall touched at the nodes, no friction,
    no torque. Both ends of the string are held on and along the axis of the hole, by the rig's
    guide and by the tool: over the first and last two rods this is an assumption.
    """
    search = _Search(beam)
    if beam.axial.min() < 0.0:
        # Thrust alone has no rest away from a wall: first let its push across the bends lay the
        # string on the wall, then let it bend the string.
        laid = _Search(beam, with_axial=False)
        laid.rest(20.0 * PLAY_LEFT)
        search.moved = laid.moved
    is_settled = search.settle()
    actions = end_actions(search.matrices, search.loads, search.moved)
    moment = np.stack((-actions[:, 1], actions[:, 3]), axis=1)
    offset = search.moved[:, :, 0]
    return Contact(beam, offset, moment, search.wall.push, is_settled, search.steps)
