"""How a string that lies in its hole answers to a small change of the hole's bend.

The contacts found stay as they are: the answer is one more solution of the same banded matrix,
for as many changes at once as wanted. Good while a change is small against the play. Thrust is left
out of the answer: near buckling the tangent has no end, and the true change is held by the walls.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbtrf, dpbtrs

from rodhand.drillstring.beam_matrix import element_matrices, lower_band
from rodhand.drillstring.contact import Contact
from rodhand.drillstring.string_beam import HoleLine, StringBeam, hole_bends_at

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
WALL_OVER_ELEMENT = 1e3
"""Stiffness of a wall that is touched, over that of the softest element. [-]"""


def moment_response(
    solved: Contact, edges: Floats, changes: Floats, element: Integers, side: Integers
) -> Floats:
    """Change of the bending moment for changes of the hole's curvature.

    Parameters
    ----------
    solved : Contact
        A settled string.
    edges : (m+1,) array of float
        Ends of the stretches of hole. [m]
    changes : (m, p, q) array of float
        Changes of curvature in p planes, q of them. [1/m]
    element, side : (k,) array of int
        Elements wanted, and at which end: 0 the first, 1 the last.

    Returns
    -------
    (k, p, q) array of float
        Change of the moment there. [N m]

    Raises
    ------
    ValueError
        If the string did not settle.
    """
    if not solved.is_settled:
        raise ValueError("a string that did not settle has no small answer")
    beam = replace(solved.beam, axial=np.maximum(solved.beam.axial, 0.0))
    planes, count = changes.shape[1], changes.shape[2]
    flat = changes.reshape(len(changes), planes * count)
    mean, slope = hole_bends_at(HoleLine(edges, flat, 1.0), beam.nodes)
    shape = (len(beam.lengths), planes, count)
    loads = _loads(beam, mean.reshape(shape), slope.reshape(shape))
    matrices = element_matrices(beam)
    whole = np.zeros((len(beam.nodes), planes, 2, count))
    whole[:-1, :, 0] += loads[:, 0]
    whole[:-1, :, 1] += loads[:, 1]
    whole[1:, :, 0] += loads[:, 2]
    whole[1:, :, 1] += loads[:, 3]
    factor, _ = dpbtrf(_held(solved, lower_band(matrices, planes)), lower=1)
    moved, _ = dpbtrs(factor, whole.reshape(-1, count), lower=1)
    moved = moved.reshape(whole.shape)
    near, far = moved[element], moved[element + 1]
    ends = np.stack((near[:, :, 0], near[:, :, 1], far[:, :, 0], far[:, :, 1]), axis=1)
    row = np.where(side == 0, 1, 3)
    sign = np.where(side == 0, -1.0, 1.0)
    k, four = len(element), 4
    inner = matrices[element, row][:, None, :] @ ends.reshape(k, four, planes * count)
    couple = inner.reshape(k, planes, count) - loads[element, row]
    return np.asarray(sign[:, None, None] * couple)


def _loads(beam: StringBeam, mean: Floats, slope: Floats) -> Floats:
    """Loads of a change of bend, as `beam_matrix.element_loads` has them without weight."""
    h = beam.lengths[:, None, None]
    force, stiff = beam.axial[:, None, None], beam.stiffness[:, None, None]
    even, tilt = force * mean, force * slope
    return np.stack(
        (
            h * even / 2.0 - 0.2 * h * tilt - stiff * 2.0 * slope / h,
            h**2 * even / 12.0 - h**2 * tilt / 60.0 - stiff * (slope - mean),
            h * even / 2.0 + 0.2 * h * tilt + stiff * 2.0 * slope / h,
            -(h**2) * even / 12.0 - h**2 * tilt / 60.0 - stiff * (slope + mean),
        ),
        axis=1,
    )


def _held(solved: Contact, band: Floats) -> Floats:
    """The matrix with the walls that are touched, each along its own normal, and the ends."""
    beam, planes = solved.beam, solved.offset.shape[1]
    per = 2 * planes
    wall = WALL_OVER_ELEMENT * float(np.min(12.0 * beam.stiffness / beam.lengths**3))
    on = solved.wall_force > 0.0
    out = np.linalg.norm(solved.offset, axis=1)
    normal = np.zeros_like(solved.offset)
    normal[on] = solved.offset[on] / out[on, None]
    tangent = np.zeros_like(out)
    tangent[on] = solved.wall_force[on] / out[on]
    held = band.copy()
    for a in range(planes):
        for b in range(a + 1):
            stiff = (wall * on - tangent) * normal[:, a] * normal[:, b]
            held[2 * (a - b), 2 * b :: per] += stiff + (tangent if a == b else 0.0)
    hold = float(band[0].max()) * 1e3
    held[0, :per] += hold
    held[0, -per:] += hold
    return held
