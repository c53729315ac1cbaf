"""How far a hole drawn in short straight pieces stays from what is in the way."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.plan_limits import DEPTH_ERROR, InWay

Floats = NDArray[np.float64]


def clear_of(points: Floats, in_way: Sequence[InWay]) -> Floats:
    """Distance of every piece from everything, beyond what is to be kept.

    Parameters
    ----------
    points : ndarray (3, m, n+1)
        Ends of the pieces of m holes: level along the line (rising), right of it, depth. [m]
    in_way : sequence of InWay
        Each with a depth from the same height; one without an offset runs across.

    Returns
    -------
    ndarray (m, n, k)
        From the nearest point of each piece, the head's depth error taken off. [m]

    Notes
    -----
    What is in the way is a straight stretch along the line, or a line across. The distance to it
    grows outward from its nearest, so of a piece the nearest points of what lies before it, beside
    it and past it are enough.
    """
    first, step = points[:, :, :-1], np.diff(points, axis=2)
    found = [_from_one(first, step, each) for each in in_way]
    return np.stack(found, axis=2) if found else np.zeros((*first.shape[1:], 0))


def _from_one(first: Floats, step: Floats, each: InWay) -> Floats:
    sideways = 0.0 if each.offset is None else 1.0
    x, y, z = first[0], sideways * (first[1] - (each.offset or 0.0)), first[2] - (each.depth or 0.0)
    dx, dy, dz = np.maximum(step[0], 1e-9), sideways * step[1], step[2]
    begins = np.clip((each.at - x) / dx, 0.0, 1.0)
    ends = np.clip((each.to - x) / dx, 0.0, 1.0)
    aside = dy**2 + dz**2
    across = dx**2 + aside
    beside = -(y * dy + z * dz) / np.maximum(aside, 1e-18)
    nearest = [
        np.clip(-((x - each.at) * dx + y * dy + z * dz) / across, 0.0, begins),
        np.clip(beside, begins, ends),
        np.clip(-((x - each.to) * dx + y * dy + z * dz) / across, ends, 1.0),
    ]
    least = np.full(x.shape, np.inf)
    for share in nearest:
        here = x + share * dx
        off = np.maximum(np.maximum(each.at - here, here - each.to), 0.0)
        away = np.sqrt(off**2 + (y + share * dy) ** 2 + (z + share * dz) ** 2)
        deep = np.maximum(first[2] + share * step[2], 0.0)
        least = np.minimum(least, away - DEPTH_ERROR * deep)
    return np.asarray(least - each.keep)
