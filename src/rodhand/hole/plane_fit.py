"""One plane of the best path: banded least squares with a curvature prior.

Unknown at every node along the hole: direction, slow curvature and, where positions were read,
position. Direction changes by the slow curvature and by a wander of its own; slow curvature
forgets itself over some metres. All of it is Gaussian, so the best path, its covariance and the
probability of the readings come from one banded Cholesky factor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rodhand.hole.bends import IntArray
from rodhand.hole.readings import FloatArray

MEMORY = 15.0
"""Length over which a steered curve is remembered (ours). [m]"""
SHAPE_SD = 0.005
"""What the shape between two nodes may shift the position by, for each root metre (ours). [m]"""
START_POSITION_SD = 0.01
"""How well the start of the path is known (ours). [m]"""
ANY_DIRECTION = 2.0
"""Prior standard deviation of the first direction: as good as nothing known. [rad]"""


@dataclass(frozen=True)
class Scales:
    """Sizes learnt from the readings.

    Parameters
    ----------
    wander : float
        Direction change that each rod has of its own, for each root metre. [rad/m^0.5]
    curve : float
        Standard deviation of the slow curvature. [1/m]
    noise : float
        Factor on the reading error assumed. [1]
    """

    wander: float
    curve: float
    noise: float = 1.0

    @property
    def logs(self) -> FloatArray:
        """Natural logarithms, the coordinates in which the sizes are learnt."""
        return np.log([self.wander, self.curve, self.noise])

    @staticmethod
    def of(logs: FloatArray) -> Scales:
        """Sizes from their logarithms."""
        wander, curve, noise = np.exp(logs).tolist()
        return Scales(wander, curve, noise)


@dataclass(frozen=True, eq=False)
class PlaneReadings:
    """What was read in one plane.

    Parameters
    ----------
    along : ndarray (n+1,)
        Nodes along the hole, increasing. [m]
    lift : ndarray (n,)
        Bend over change of direction in each stretch: 1 in the vertical, cos pitch sideways. [1]
    direction, direction_sd : ndarray (n+1,)
        Direction read, NaN where not, and its error. [rad]
    position, position_sd : ndarray (n+1,)
        Position across read, NaN where not, and its error. [m]
    rise, at_level : ndarray (n,)
        Position gained in a stretch: at_level + rise times the mean direction. [m/rad, m]
    bias_sd : float
        Error all direction readings share; matters only where positions were read. [rad]
    """

    along: FloatArray
    lift: FloatArray
    direction: FloatArray
    direction_sd: FloatArray
    position: FloatArray
    position_sd: FloatArray
    rise: FloatArray
    at_level: FloatArray
    bias_sd: float

    @property
    def has_position(self) -> bool:
        """Whether any position was read."""
        return bool(np.isfinite(self.position).any())


@dataclass(frozen=True, eq=False)
class Excess:
    """Where a reading or a bend is out of the ordinary: variance beside the usual one.

    Parameters
    ----------
    reading : ndarray (n+1,)
        Extra variance of a direction reading. [rad2]
    bend : ndarray (n,)
        Extra variance of a stretch's own bend. [rad2]
    """

    reading: FloatArray
    bend: FloatArray


@dataclass(frozen=True, eq=False)
class PlanePosterior:
    """The plane given all its readings, for one set of sizes.

    Parameters
    ----------
    state : ndarray (n+1, k)
        Means: position where k is 3, direction [rad], slow curvature [1/m].
    log_evidence : float
        Logarithm of the probability of the readings under these sizes.
    factor : ndarray
        Banded Cholesky factor of the precision (lower form).
    border : ndarray or None
        Response of the state to the shared bias, over the root of its precision.
    """

    state: FloatArray
    log_evidence: float
    factor: FloatArray
    border: FloatArray | None
    bias: float = 0.0
    """Most probable error all direction readings share. [rad]"""

    @property
    def direction(self) -> FloatArray:
        """Mean direction at the nodes. [rad]"""
        return np.asarray(self.state[:, -2])

    def spread(self, rows: FloatArray, shared: bool = True) -> FloatArray:
        """Covariance of state and some linear functions of it: A^-1 rows. (N, r) to (N, r)

        Without ``shared`` the error all readings share is taken as known.
        """
        from scipy.linalg.lapack import dpbtrs

        answer, _ = dpbtrs(self.factor, rows, lower=1)
        if shared and self.border is not None:
            answer = answer + np.outer(self.border, self.border @ rows)
        return np.asarray(answer)

    def direction_rows(self, nodes: IntArray | slice) -> FloatArray:
        """Unit functions that pick the direction at some nodes. (N, r)"""
        size, width = self.state.shape
        index = np.arange(size)[nodes]
        rows = np.zeros((size * width, index.size), order="F")
        rows[index * width + width - 2, np.arange(index.size)] = 1.0
        return rows

    def direction_covariance(self) -> FloatArray:
        """Covariance of the directions at all nodes. (n+1, n+1) [rad2]"""
        width = self.state.shape[1]
        answer = self.spread(self.direction_rows(slice(None)))[width - 2 :: width]
        return np.asarray((answer + answer.T) / 2.0)

    def draw_directions(self, normal: FloatArray) -> FloatArray:
        """Directions drawn from the posterior. (N + 1, s) standard normals to (n+1, s) [rad]"""
        from scipy.linalg.lapack import dtbtrs

        width = self.state.shape[1]
        drawn, _ = dtbtrs(self.factor, normal[:-1], uplo="L", trans="T")
        drawn = drawn[width - 2 :: width]
        if self.border is not None:
            drawn = drawn + self.border[width - 2 :: width, None] * normal[-1]
        return np.asarray(self.direction[:, None] + drawn)


@dataclass(frozen=True, eq=False)
class _Rows:
    """Linear rows, each over the states of two nodes that follow each other: w (c x - d)^2."""

    coefficients: FloatArray
    target: FloatArray


class PlaneFit:
    """The readings of one plane made ready: any sizes can be tried on them quickly.

    Parameters
    ----------
    readings : PlaneReadings
        What was read; at least two nodes.
    excess : Excess, optional
        What is out of the ordinary; nothing when left out.
    """

    def __init__(self, readings: PlaneReadings, excess: Excess | None = None) -> None:
        self.readings = readings
        n = readings.along.size - 1
        self.excess = excess or Excess(np.zeros(n + 1), np.zeros(n))
        self.width = 3 if readings.has_position else 2
        self.length = np.diff(readings.along)
        self._own = self._own_bend_rows()
        self._own_products = self._products(self._own)
        self._fixed_band, self._fixed_rhs, self._fixed_cost = self._position_terms()
        keep = np.exp(-self.length / MEMORY)
        self._renewed = 1.0 - keep**2
        coefficients = np.zeros((n, 2 * self.width))
        coefficients[:, self.width - 1] = -keep
        coefficients[:, -1] = 1.0
        self._curve_band = self._added(
            np.zeros_like(self._fixed_band),
            self._products(_Rows(coefficients, np.zeros(n))), 1.0 / self._renewed,
        )  # fmt: skip
        self._curve_band[0, self.width - 1] += 1.0
        self._log_curve = float(np.log(self._renewed).sum())

    def _own_bend_rows(self) -> _Rows:
        """Bend of a stretch beside the slow curve's share: lift (d2 - d1) - l (c1 + c2)/2."""
        w, n = self.width, self.length.size
        coefficients = np.zeros((n, 2 * w))
        coefficients[:, w - 2] = -self.readings.lift
        coefficients[:, 2 * w - 2] = self.readings.lift
        coefficients[:, w - 1] = coefficients[:, 2 * w - 1] = -self.length / 2.0
        return _Rows(coefficients, np.zeros(n))

    def _products(self, rows: _Rows) -> list[tuple[int, int, FloatArray]]:
        """Products of every pair of coefficients that are not nothing."""
        c = rows.coefficients
        used = np.flatnonzero(np.abs(c).sum(axis=0))
        return [(int(b - a), int(a), c[:, a] * c[:, b]) for a in used for b in used if b >= a]

    def _added(
        self, band: FloatArray, products: list[tuple[int, int, FloatArray]],
        weight: FloatArray | float,
    ) -> FloatArray:  # fmt: skip
        """Weighted rows added to a banded matrix, in place."""
        w, n = self.width, self.length.size
        for below, first, product in products:
            band[below, first::w][:n] += product * weight
        return band

    def _position_terms(self) -> tuple[FloatArray, FloatArray, float]:
        """Terms no size changes: the position's own equations, the start, positions read."""
        w, size = self.width, self.readings.along.size
        band, rhs = np.zeros((2 * w, w * size)), np.zeros(w * size)
        band[0, w - 2] += 1.0 / ANY_DIRECTION**2
        finite = self.readings.direction[np.isfinite(self.readings.direction)]
        start = float(finite[0]) if finite.size else 0.0
        rhs[w - 2] += start / ANY_DIRECTION**2
        cost = (start / ANY_DIRECTION) ** 2
        if w == 2:
            return band, rhs, cost
        rise, level = self.readings.rise, self.readings.at_level
        coefficients = np.zeros((size - 1, 2 * w))
        coefficients[:, 0], coefficients[:, w] = -1.0, 1.0
        coefficients[:, 1] = coefficients[:, w + 1] = -rise / 2.0
        weight = 1.0 / (SHAPE_SD**2 * self.length)
        self._added(band, self._products(_Rows(coefficients, level)), weight)
        for column in range(2 * w):
            rhs[column::w][: size - 1] += coefficients[:, column] * level * weight
        cost += float((level**2 * weight).sum())
        band[0, 0] += 1.0 / START_POSITION_SD**2
        seen = np.isfinite(self.readings.position)
        precision = np.where(seen, self.readings.position_sd**-2.0, 0.0)
        value = np.where(seen, self.readings.position, 0.0)
        band[0, ::w] += precision
        rhs[::w] += precision * value
        return band, rhs, cost + float((precision * value**2).sum())

    def at(self, scales: Scales) -> PlanePosterior:
        """The plane's posterior for one set of sizes.

        Raises
        ------
        FloatingPointError
            If the sizes are so extreme that the matrix cannot be factored.
        """
        from scipy.linalg.lapack import dpbtrf, dpbtrs

        w = self.width
        own = scales.wander**2 * self.length + self.excess.bend
        band = self._fixed_band + self._curve_band / scales.curve**2
        self._added(band, self._own_products, 1.0 / own)
        seen = np.isfinite(self.readings.direction)
        variance = (scales.noise * self.readings.direction_sd) ** 2 + self.excess.reading
        precision = np.where(seen, 1.0 / variance, 0.0)
        value = np.where(seen, self.readings.direction, 0.0)
        band[0, w - 2 :: w] += precision
        rhs = self._fixed_rhs.copy()
        rhs[w - 2 :: w] += precision * value
        factor, bad = dpbtrf(band, lower=1)
        if bad:
            raise FloatingPointError("the plane's matrix is not positive definite")
        log_det = 2.0 * float(np.log(factor[0]).sum())
        cost = self._fixed_cost + float((precision * value**2).sum())
        border, bias = None, 0.0
        if w == 3 and seen.any():
            shared = np.zeros(rhs.size)
            shared[w - 2 :: w] = precision
            both, _ = dpbtrs(factor, np.stack([rhs, shared], axis=1), lower=1)
            x, response = both[:, 0], both[:, 1]
            pivot = precision.sum() + self.readings.bias_sd**-2.0 - shared @ response
            bias = float(((precision * value).sum() - shared @ x) / pivot)
            cost -= float(rhs @ x) + float(pivot * bias**2)
            x = x - response * bias
            border = response / math.sqrt(pivot)
            log_det += math.log(pivot * self.readings.bias_sd**2)
        else:
            x, _ = dpbtrs(factor, rhs[:, None], lower=1)
            x = x[:, 0]
            cost -= float(rhs @ x)
        prior = (
            float(np.log(own / self.readings.lift**2).sum())
            + self._log_curve
            + 2.0 * (self.length.size + 1) * math.log(scales.curve)
        )
        noise = float(np.log(variance[seen]).sum())
        log_evidence = -0.5 * (prior + noise + log_det + cost)
        return PlanePosterior(x.reshape(-1, w), log_evidence, factor, border, bias)

    def own_bends(
        self, found: PlanePosterior, scales: Scales, least: float
    ) -> tuple[IntArray, FloatArray, FloatArray]:
        """Stretches whose own bend is large, with its own prior left out.

        What the rest of the readings say of it, so that it can be held against the usual size.

        Parameters
        ----------
        found, scales
            A posterior and its sizes.
        least : float
            Only bends above so many usual standard deviations. [1]

        Returns
        -------
        which : ndarray of int (r,)
            The stretches.
        mean, variance : ndarray (r,)
            Of their own bends. [rad, rad2]
        """
        w = self.width
        usual = scales.wander**2 * self.length + self.excess.bend
        pairs = np.hstack([found.state[:-1], found.state[1:]])
        mean = (self._own.coefficients * pairs).sum(axis=1)
        which = np.flatnonzero(np.abs(mean) > least * np.sqrt(usual))
        rows = np.zeros((found.state.size, which.size), order="F")
        for column in range(2 * w):
            rows[which * w + column, np.arange(which.size)] = self._own.coefficients[which, column]
        variance = np.einsum("ij,ij->j", rows, found.spread(rows))
        rest = 1.0 / np.maximum(1.0 / variance - 1.0 / usual[which], 1e-12)
        return which, rest * mean[which] / variance, rest


def left_out(
    found: PlanePosterior, readings: PlaneReadings, variance: FloatArray, least: float
) -> tuple[IntArray, FloatArray, FloatArray, float]:
    """Direction readings that lie off, each against what all others say.

    Parameters
    ----------
    found : PlanePosterior
        With all readings.
    readings : PlaneReadings
        The readings.
    variance : ndarray (n+1,)
        Variance each was used with. [rad2]
    least : float
        Only readings that lie off the line between their neighbours by so many times what is
        usual here; the first and the last have none on one side and are not doubted. [1]

    Returns
    -------
    which : ndarray of int (r,)
        Their nodes.
    difference, spread : ndarray (r,)
        Reading less prediction, and the prediction's own variance. [rad, rad2]
    usual : float
        What a reading usually lies off the line between its neighbours, by the median. [rad]
    """
    seen = np.flatnonzero(np.isfinite(readings.direction))
    x, y = readings.along[seen], readings.direction[seen]
    between = np.diff(y)[:-1] - np.diff(x)[:-1] * (y[2:] - y[:-2]) / (x[2:] - x[:-2])
    usual = np.maximum(
        1.4826 * np.median(np.abs(between)) if between.size else 0.0, np.sqrt(variance[seen[1:-1]])
    )
    which = seen[1:-1][np.abs(between) > least * usual]
    rows = found.direction_rows(which)
    own = np.einsum("ij,ij->j", rows, found.spread(rows, shared=False))
    rest = 1.0 / np.maximum(1.0 / own - 1.0 / variance[which], 1e-9)
    read = readings.direction[which] - found.bias
    predicted = rest * (found.direction[which] / own - read / variance[which])
    typical = float(np.median(usual)) if between.size else 0.0
    return which, read - predicted, rest, typical
