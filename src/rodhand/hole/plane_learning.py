"""How rough a plane is, learnt from its own readings; what in it is out of the ordinary.

Sizes are learnt by the probability of the readings with a wide prior around usual sizes; three
points along the least certain of them stand for what remains unknown about them. A reading
that is grossly wrong and a bend far past the usual wander are told apart by what each would have
to be for the rest to fit, one at a time, the most telling first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rodhand.hole.plane_fit import (
    Excess,
    PlaneFit,
    PlanePosterior,
    PlaneReadings,
    Scales,
    left_out,
)
from rodhand.hole.readings import FloatArray

GROSS_SD = 0.10
"""Standard deviation of a grossly wrong reading (ours). [rad]"""
GROSS_SHARE = 0.01
"""Share of readings held to be grossly wrong before anything is seen (ours). [1]"""
STEERED_CURVATURE = 0.025
"""Standard deviation of the curvature of a rod steered hard, R 40 m (ours). [1/m]"""
STEERED_SHARE = 0.02
"""Share of rods held to be so before anything is seen (ours). [1]"""
LOOK_AT_READING, LOOK_AT_BEND = 2.0, 1.5
"""Only readings so many times farther off their neighbours than usual, and bends so many times
the usual size, are looked at: the others cannot be out of the ordinary. [1]"""
MOST_ROUNDS = 6
STEP = 0.25
"""Step of the logarithms of the sizes in differences. [1]"""


@dataclass(frozen=True)
class SizePrior:
    """Usual sizes of a plane and how far they may lie off, as factors.

    Parameters
    ----------
    usual : Scales
        Middle.
    factors : tuple of float
        Standard deviation of the logarithms, in the order of `Scales`.
    """

    usual: Scales
    factors: tuple[float, float, float]

    def log_density(self, logs: FloatArray) -> float:
        """Logarithm of the prior, less a constant."""
        away = (logs - self.usual.logs) / np.asarray(self.factors)
        return -0.5 * float(away @ away)


@dataclass(frozen=True, eq=False)
class LearntPlane:
    """A plane with its sizes learnt.

    Parameters
    ----------
    fit : PlaneFit
        The readings, with what is out of the ordinary.
    scales : Scales
        Most probable sizes.
    points : tuple of (float, Scales, PlanePosterior)
        Weight, sizes and posterior of each point; weights sum to 1.
    gross : tuple of int
        Nodes whose reading is taken as grossly wrong.
    steered : tuple of int
        Stretches taken as steered hard.
    """

    fit: PlaneFit
    scales: Scales
    points: tuple[tuple[float, Scales, PlanePosterior], ...]
    gross: tuple[int, ...]
    steered: tuple[int, ...]


def learnt_plane(readings: PlaneReadings, prior: SizePrior) -> LearntPlane:
    """Learn a plane's sizes and mark what is out of the ordinary.

    Parameters
    ----------
    readings : PlaneReadings
        What was read.
    prior : SizePrior
        Usual sizes.

    Returns
    -------
    LearntPlane
        Ready to be asked.
    """
    n = readings.along.size - 1
    excess = Excess(np.zeros(n + 1), np.zeros(n))
    fit = PlaneFit(readings, excess)
    logs = prior.usual.logs
    for _ in range(MOST_ROUNDS):
        logs = _climbed(fit, prior, logs)
        more = _out_of_the_ordinary(fit, Scales.of(logs))
        if more is None:
            break
        excess = more
        fit = PlaneFit(readings, excess)
    else:
        logs = _climbed(fit, prior, logs)
    return LearntPlane(
        fit,
        Scales.of(logs),
        _points(fit, prior, logs),
        tuple(np.flatnonzero(excess.reading).tolist()),
        tuple(np.flatnonzero(excess.bend).tolist()),
    )


def _log_density(fit: PlaneFit, prior: SizePrior, logs: FloatArray) -> float:
    """Logarithm of prior times probability of the readings."""
    return fit.at(Scales.of(logs)).log_evidence + prior.log_density(logs)


def _climbed(fit: PlaneFit, prior: SizePrior, logs: FloatArray) -> FloatArray:
    """The most probable sizes, by parabolas in each logarithm in turn."""
    best = _log_density(fit, prior, logs)
    for _ in range(3):
        moved = 0.0
        for k in range(logs.size):
            up, down = logs.copy(), logs.copy()
            up[k] += STEP
            down[k] -= STEP
            high, low = (_log_density(fit, prior, each) for each in (up, down))
            bent = high + low - 2.0 * best
            go = STEP * (low - high) / (2.0 * bent) if bent < 0 else math.copysign(1.0, high - low)
            trial = logs.copy()
            trial[k] += min(max(go, -1.0), 1.0)
            value = _log_density(fit, prior, trial)
            if value > best:
                moved = max(moved, abs(go))
                logs, best = trial, value
        if moved < 0.15:
            break
    return logs


def _points(
    fit: PlaneFit, prior: SizePrior, logs: FloatArray
) -> tuple[tuple[float, Scales, PlanePosterior], ...]:
    """Three points along the least certain of the sizes: Gauss-Hermite."""
    size = logs.size
    centre = _log_density(fit, prior, logs)
    bent = np.array(
        [
            sum(_log_density(fit, prior, logs + s * e) for s in (1, -1)) - 2.0 * centre
            for e in STEP * np.eye(size)
        ]
    )
    certainty = np.maximum(-bent / STEP**2, 1.0)  # never wider than the factor e
    least = int(np.argmin(certainty))
    along = np.zeros(size)
    along[least] = math.sqrt(3.0 / certainty[least])
    made = []
    for weight, sign in ((2 / 3, 0.0), (1 / 6, 1.0), (1 / 6, -1.0)):
        scales = Scales.of(logs + sign * along)
        made.append((weight, scales, fit.at(scales)))
    return tuple(made)


def _gain(difference: FloatArray, spread: FloatArray, extra: FloatArray | float) -> FloatArray:
    """What extra variance would add to the logarithm of the probability."""
    return np.asarray(
        0.5 * np.log(spread / (spread + extra))
        + 0.5 * difference**2 * (1.0 / spread - 1.0 / (spread + extra))
    )


def _out_of_the_ordinary(fit: PlaneFit, scales: Scales) -> Excess | None:
    """The same excess with the most telling readings and bends added; None when there is none.

    Of two that lie within two nodes only the more telling is added in one round: the other may
    be no more than its shadow.
    """
    found = fit.at(scales)
    excess = fit.excess
    variance = (scales.noise * fit.readings.direction_sd) ** 2 + excess.reading
    nodes, difference, spread, typical = left_out(found, fit.readings, variance, LOOK_AT_READING)
    # a crew that steers back and forth makes every reading lie off its neighbours: what is usual
    # in this hole, by the median, is not out of the ordinary
    modelled = scales.wander**2 * np.median(fit.length) / 2.0 + 1.5 * np.median(variance)
    weave = max(1.0, typical**2 / modelled)
    expected = weave * (spread + variance[nodes])
    wrong = _gain(difference, expected, GROSS_SD**2) + math.log(GROSS_SHARE)
    wrong = np.where(excess.reading[nodes] == 0, wrong, -1.0)
    stretches, mean, rest = fit.own_bends(found, scales, LOOK_AT_BEND)
    usual = scales.wander**2 * fit.length[stretches]
    steered = (STEERED_CURVATURE * fit.length[stretches]) ** 2
    hard = _gain(mean, rest + usual, steered) + math.log(STEERED_SHARE)
    hard = np.where(excess.bend[stretches] == 0, hard, -1.0)
    place = np.concatenate([nodes, stretches + 0.5])
    gain = np.concatenate([wrong, hard])
    reading, bend = excess.reading.copy(), excess.bend.copy()
    taken: list[float] = []
    for k in np.argsort(-gain):
        if gain[k] <= 0:
            break
        if all(abs(place[k] - other) > 2.0 for other in taken):
            taken.append(float(place[k]))
            if k < wrong.size:
                reading[nodes[k]] = GROSS_SD**2
            else:
                bend[stretches[k - wrong.size]] = steered[k - wrong.size]
    return Excess(reading, bend) if taken else None
