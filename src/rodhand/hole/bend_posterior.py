"""Bends of the rods given all readings: expected powers, bands and samples.

Damage grows with a power of the bend. The expected power over the posterior is free of what
reading noise adds; the power of the best bend would be too small, that of a read bend too large.
Samples come from the posterior, never by adding noise to read bends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.hole.best_path import BestPath
from rodhand.hole.plane_fit import PlaneFit, PlanePosterior, Scales
from rodhand.hole.plane_learning import LearntPlane
from rodhand.hole.readings import FloatArray

NODES = 9
"""Points of the Gauss-Hermite rule in each plane. [1]"""
GRID = 24
"""Points in each plane from which the 5 and 95 % points of a bend are taken. [1]"""
SENSOR_SHARES = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Where in its range a sensor of unknown place is put in turn. [1]"""


@dataclass(frozen=True, eq=False)
class PlaneBends:
    """Bend of each rod in one plane.

    Parameters
    ----------
    mean : ndarray (m,)
        Signed bend. [rad]
    covariance : ndarray (m, m)
        Of the bends; neighbours share a reading. [rad2]
    """

    mean: FloatArray
    covariance: FloatArray

    @property
    def sd(self) -> FloatArray:
        """Standard deviation of each bend. [rad]"""
        return np.sqrt(np.diag(self.covariance))


@dataclass(frozen=True, eq=False)
class BendPosterior:
    """Bends of the rods' intervals given all readings.

    Parameters
    ----------
    edges : ndarray (m+1,)
        Ends of the intervals along the hole. [m]
    vertical, sideways : PlaneBends
        The planes, independent of each other.
    """

    edges: FloatArray
    vertical: PlaneBends
    sideways: PlaneBends

    @property
    def length(self) -> FloatArray:
        """Length of each interval. [m]"""
        return np.diff(self.edges)

    def expected_power(self, exponent: float) -> FloatArray:
        """E[bend^m given all readings] of each interval. [rad^m]

        Parameters
        ----------
        exponent : float
            m, above 0. [1]
        """
        points, weights = np.polynomial.hermite_e.hermegauss(NODES)
        share = np.outer(weights, weights) / weights.sum() ** 2
        up = self.vertical.mean[:, None] + self.vertical.sd[:, None] * points
        across = self.sideways.mean[:, None] + self.sideways.sd[:, None] * points
        square = up[:, :, None] ** 2 + across[:, None, :] ** 2
        return np.asarray((square ** (exponent / 2.0) * share).sum(axis=(1, 2)))

    def band(self, low: float = 0.05, high: float = 0.95) -> tuple[FloatArray, FloatArray]:
        """Two points of the distribution of each interval's bend. [rad]

        Parameters
        ----------
        low, high : float
            Probabilities. [1]
        """
        from scipy.special import ndtri

        z = ndtri((np.arange(GRID) + 0.5) / GRID)
        up = self.vertical.mean[:, None] + self.vertical.sd[:, None] * z
        across = self.sideways.mean[:, None] + self.sideways.sd[:, None] * z
        square = (up[:, :, None] ** 2 + across[:, None, :] ** 2).reshape(len(up), -1)
        square.sort(axis=1)
        at = np.array([low, high]) * square.shape[1] - 0.5
        under = np.floor(at).astype(int)
        rest = at - under
        found = square[:, under] * (1 - rest) + square[:, under + 1] * rest
        return np.sqrt(found[:, 0]), np.sqrt(found[:, 1])

    def draw(self, count: int, seed: int) -> FloatArray:
        """Bends drawn from the posterior; the same for the same seed. (count, m) [rad]

        Parameters
        ----------
        count : int
            Draws. [1]
        seed : int
            Of the counter-based generator.
        """
        rng = np.random.Generator(np.random.Philox(seed))
        planes = [
            plane.mean + rng.standard_normal((count, plane.mean.size)) @ root_of(plane.covariance).T
            for plane in (self.vertical, self.sideways)
        ]
        return np.hypot(*planes)


def root_of(covariance: FloatArray) -> FloatArray:
    """A matrix whose product with its transpose is a covariance, which may be singular."""
    values, vectors = np.linalg.eigh((covariance + covariance.T) / 2.0)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def bend_posterior(path: BestPath) -> BendPosterior:
    """Bends of the rods' intervals from the best path.

    Parameters
    ----------
    path : BestPath
        As `best_path` gives it.

    Returns
    -------
    BendPosterior
        One interval for each full row, and one for what lies ahead of the sensor.
    """
    level = np.ones(path.lift.size)
    return BendPosterior(
        path.edges,
        _plane(path, path.vertical, level),
        _plane(path, path.sideways, path.lift),
    )


def _plane(path: BestPath, plane: LearntPlane, lift: FloatArray) -> PlaneBends:
    """Mean and covariance over the points of the sizes and the places of the sensor."""
    shares = SENSOR_SHARES if path.sensor_most > 0.0 else (0.0,)
    parts = [
        (weight / len(shares), *_bends(path, plane.fit, scales, found, lift, share))
        for weight, scales, found in plane.points
        for share in shares
    ]
    mean = sum((weight * each for weight, each, _ in parts), np.zeros(path.rod_nodes.size - 1))
    covariance = np.zeros((mean.size, mean.size))
    for weight, each, spread in parts:
        covariance += weight * (spread + np.outer(each - mean, each - mean))
    return PlaneBends(mean, covariance)


def _bends(
    path: BestPath, fit: PlaneFit, scales: Scales, found: PlanePosterior, lift: FloatArray,
    share: float,
) -> tuple[FloatArray, FloatArray]:  # fmt: skip
    """Bends for one set of sizes and one place of the sensor."""
    n = path.along.size
    steps = np.zeros((n - 1, n))
    index = np.arange(n - 1)
    steps[index, index], steps[index, index + 1] = -lift, lift
    steps[: path.straight_to] = 0.0
    own = np.zeros((n - 1, n - 1))
    if share > 0.0:
        steps, own = _moved(path, fit, scales, steps, share * path.sensor_most)
    rods = np.add.reduceat(steps, path.rod_nodes[:-1], axis=0)
    between = np.add.reduceat(
        np.add.reduceat(own, path.rod_nodes[:-1], axis=0), path.rod_nodes[:-1], axis=1
    )
    covariance = rods @ found.direction_covariance() @ rods.T + between
    return rods @ found.direction, covariance


def _moved(
    path: BestPath, fit: PlaneFit, scales: Scales, steps: FloatArray, back: float
) -> tuple[FloatArray, FloatArray]:
    """Bends of the stretches where all readings stand farther back than was taken.

    The true direction at a node is then the one of a place farther along the readings, between
    two of them, with the wander a bridge between two readings has there.
    """
    n = path.along.size
    wanted = np.minimum(path.along + back, path.along[-1])
    after = np.clip(np.searchsorted(path.along, wanted), 1, n - 1)
    length = fit.length[after - 1]
    part = (wanted - path.along[after - 1]) / length
    moved = np.zeros((n, n))
    moved[np.arange(n), after - 1] = 1.0 - part
    moved[np.arange(n), after] += part
    variance = scales.wander**2 * length + fit.excess.bend[after - 1]
    same = after[:, None] == after[None, :]
    low, high = np.minimum.outer(part, part), np.maximum.outer(part, part)
    bridge = np.where(same, variance[:, None] * low * (1.0 - high), 0.0)
    difference = np.diff(np.eye(n), axis=0)
    return steps @ moved, difference @ bridge @ difference.T
