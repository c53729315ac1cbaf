"""Banded matrix, loads and moments of a beam on a bent line: Hermite elements with axial force.

With y the distance of the steel from the hole's axis toward the centre of the bend, the energy is
the integral of EI (kappa + y'')^2 / 2 + N y'^2 / 2 - (N kappa + q) y, which gives
(EI (kappa + y''))'' - N (kappa + y'') = q: elementary beam-column theory about the absolute shape.
Unknowns by node: for each plane deflection, then slope.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.string_beam import StringBeam

Floats = NDArray[np.float64]


def element_matrices(beam: StringBeam, with_axial: bool = True) -> Floats:
    """Bending and axial stiffness of each element in one plane, (n, 4, 4). [N/m, N, N m]"""
    h = beam.lengths
    one = np.ones_like(h)
    bending = np.array([
        [12 * one, 6 * h, -12 * one, 6 * h],
        [6 * h, 4 * h**2, -6 * h, 2 * h**2],
        [-12 * one, -6 * h, 12 * one, -6 * h],
        [6 * h, 2 * h**2, -6 * h, 4 * h**2],
    ]) * (beam.stiffness / h**3)  # fmt: skip
    axial = np.array([
        [36 * one, 3 * h, -36 * one, 3 * h],
        [3 * h, 4 * h**2, -3 * h, -(h**2)],
        [-36 * one, -3 * h, 36 * one, -3 * h],
        [3 * h, -(h**2), -3 * h, 4 * h**2],
    ]) * (beam.axial * with_axial / (30.0 * h))  # fmt: skip
    return np.asarray(np.moveaxis(bending + axial, 2, 0))


def element_loads(beam: StringBeam) -> Floats:
    """Consistent loads of the hole's bend, the axial force in it, and the weight, (n, 4, p)."""
    h, p = beam.lengths[:, None], beam.mean.shape[1]
    force = beam.axial[:, None]
    even, tilt = beam.lateral + force * beam.mean, force * beam.slope
    loads = np.empty((len(h), 4, p))
    loads[:, 0] = h * even / 2.0 - 0.2 * h * tilt
    loads[:, 1] = h**2 * even / 12.0 - h**2 * tilt / 60.0
    loads[:, 2] = h * even / 2.0 + 0.2 * h * tilt
    loads[:, 3] = -(h**2) * even / 12.0 - h**2 * tilt / 60.0
    stiff = beam.stiffness[:, None]
    loads[:, 0] -= stiff * 2.0 * beam.slope / h
    loads[:, 1] -= stiff * (beam.slope - beam.mean)
    loads[:, 2] += stiff * 2.0 * beam.slope / h
    loads[:, 3] -= stiff * (beam.slope + beam.mean)
    return loads


def lower_band(matrices: Floats, planes: int) -> Floats:
    """Lower band of the whole matrix, (2p + 2, 2p nodes), in the layout of LAPACK's `dpbtrf`."""
    n, per = len(matrices), 2 * planes
    band = np.zeros((per + 2, (n + 1) * per))
    for plane in range(planes):
        own = [2 * plane, 2 * plane + 1, per + 2 * plane, per + 2 * plane + 1]
        for j in range(4):
            for i in range(j, 4):
                columns = slice(own[j], own[j] + n * per, per)
                band[own[i] - own[j], columns] += matrices[:, i, j]
    return band


def whole_loads(loads: Floats) -> Floats:
    """Loads of all elements together, (nodes, p, 2): force and couple at each node."""
    n, _, planes = loads.shape
    whole = np.zeros((n + 1, planes, 2))
    whole[:-1, :, 0] += loads[:, 0]
    whole[:-1, :, 1] += loads[:, 1]
    whole[1:, :, 0] += loads[:, 2]
    whole[1:, :, 1] += loads[:, 3]
    return whole


def end_actions(matrices: Floats, loads: Floats, moved: Floats) -> Floats:
    """What each element does to its ends, (n, 4, p): force and couple left, force and couple right.

    The bending moment is minus the couple at the left end and the couple at the right end.
    """
    ends = np.stack((moved[:-1, :, 0], moved[:-1, :, 1], moved[1:, :, 0], moved[1:, :, 1]), axis=1)
    return np.asarray(np.einsum("nij,njp->nip", matrices, ends) - loads)
