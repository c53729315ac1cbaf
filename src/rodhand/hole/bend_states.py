"""The hole as a string is laid into it: signed curvature in two planes, with its uncertainty.

The best state is the mean of the bends given all readings; independent standard normal factors
move it as the readings leave it open. Where neither heading nor offset was read the sideways bend
is a wander like the vertical's own (definition of this project), in low none, in high with the
plan's curve.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.hole.bend_posterior import BendPosterior, PlaneBends
from rodhand.hole.readings import BoolArray, FloatArray

LEAST_SHARE = 1e-6
"""Factors whose variance is below this share of the largest are left out. [1]"""


@dataclass(frozen=True, eq=False)
class BendState:
    """Curvature of the hole by stretch and plane.

    Parameters
    ----------
    edges : ndarray (m+1,)
        Ends of the stretches along the hole. [m]
    curvature : ndarray (m, 2)
        Signed, vertical and sideways. [1/m]
    factors : ndarray (m, 2, q)
        What one standard deviation of each of q independent factors adds. [1/m]
    """

    edges: FloatArray
    curvature: FloatArray
    factors: FloatArray


def plain_state(edges: FloatArray, curvature: FloatArray) -> BendState:
    """A hole taken as exact: no factor moves it.

    Parameters
    ----------
    edges : ndarray (m+1,)
        Ends of the stretches. [m]
    curvature : ndarray (m, 2)
        Signed, vertical and sideways. [1/m]
    """
    return BendState(edges, curvature, np.zeros((*curvature.shape, 1)))


def posterior_state(
    posterior: BendPosterior, sideways_seen: BoolArray, wander: float, plan_curvature: float = 0.0
) -> BendState:
    """The hole given all readings.

    Parameters
    ----------
    posterior : BendPosterior
        Bends of the rods' intervals.
    sideways_seen : ndarray of bool (m,)
        Whether heading or offset told the sideways bend.
    wander : float
        Standard deviation of the sideways curvature where nothing told it. [1/m]
    plan_curvature : float
        Sideways curvature there, for the high state. [1/m]

    Returns
    -------
    BendState
        Sideways intervals nobody saw have the plan's curvature and the wander, each on its own.
    """
    length = posterior.length
    seen = np.asarray(sideways_seen, dtype=bool)
    across = PlaneBends(
        np.where(seen, posterior.sideways.mean, plan_curvature * length),
        np.where(np.outer(seen, seen), posterior.sideways.covariance, 0.0)
        + np.diag(np.where(seen, 0.0, (wander * length) ** 2)),
    )
    planes = [_factors(posterior.vertical, length), _factors(across, length)]
    sizes = [each.shape[1] for each in planes]
    factors = np.zeros((length.size, 2, sum(sizes)))
    factors[:, 0, : sizes[0]] = planes[0]
    factors[:, 1, sizes[0] :] = planes[1]
    mean = np.stack((posterior.vertical.mean / length, across.mean / length), axis=1)
    return BendState(posterior.edges, mean, factors)


def _factors(plane: PlaneBends, length: FloatArray) -> FloatArray:
    """Columns whose squares add up to the covariance of the curvature. [1/m]"""
    values, vectors = np.linalg.eigh(plane.covariance / np.outer(length, length))
    kept = values > LEAST_SHARE * max(float(values.max(initial=0.0)), 1e-30)
    return np.asarray(vectors[:, kept] * np.sqrt(values[kept]))
