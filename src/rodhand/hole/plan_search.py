"""Search of a planned shape's numbers within bounds: the least worth, from a crowd of starts.

Differential evolution (Storn and Price, J. Global Optimization 11 (1997) 341, from memory), kind
best/1/bin: each trial is the best moved by the difference of two others. A number past its bound
is set on the bound: the best shapes lie there (least radius, steepest exit).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SPREAD = 0.1
"""Half the crowd begins this far about the grid's best, in standard deviations of the bounds."""
CROSS = 0.8
"""Share of a trial's numbers that move."""
SETTLED = 1e-5
"""The search ends when the crowd's worths lie nearer together than this."""
PACE, HOPEFUL = 8, 20.0
"""A search for what is enough ends where the last rounds' pace, times this, would not reach it."""


def searched(
    worths: Callable[[Floats], Floats], starts: Floats, worth: Floats,
    bounds: tuple[Floats, Floats], crowd: int, rounds: int, enough: float = -np.inf,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Numbers of least worth found for each of several goals, and those worths.

    Parameters
    ----------
    worths : callable
        Worth by goal of rows of numbers, (goals, n, numbers) to (goals, n). The goals are searched
        side by side: measuring many rows at once costs little more than a few.
    starts : ndarray (n, numbers)
        Where to begin.
    worth : ndarray (goals, n)
        What each start is worth.
    bounds : tuple of ndarray
        Lowest and highest of each number.
    crowd, rounds : int
        Rows kept at once for each goal, and rounds at most.
    enough : float
        Ends as soon as every goal has reached this.

    Returns
    -------
    tuple of ndarray, ndarray
        (goals, numbers) and (goals,); the best start where none is better. Always the same for
        the same input.
    """
    low, high = bounds
    order = np.argsort(worth, axis=1, kind="stable")[:, : crowd // 2]
    first, values = starts[order], np.take_along_axis(worth, order, axis=1)
    goals = np.arange(len(worth))
    if np.all(values[:, 0] <= enough):
        return first[:, 0], values[:, 0]
    chance = np.random.default_rng(7)
    about = first + SPREAD * (high - low) * chance.standard_normal(first.shape)
    about = np.minimum(np.maximum(about, low), high)
    rows = np.concatenate((first, about), axis=1)
    values = np.concatenate((values, worths(about)), axis=1)
    told = [values.min(axis=1)]
    for turn in range(rounds):
        best = rows[goals, values.argmin(axis=1)][:, None, :]
        one, other = chance.integers(rows.shape[1], size=(2, rows.shape[1]))
        trial = best + chance.uniform(0.3, 0.9) * (rows[:, one] - rows[:, other])
        trial = np.where(chance.random(rows.shape) < CROSS, trial, rows)
        trial = np.minimum(np.maximum(trial, low), high)
        found = worths(trial)
        better = found <= values
        rows[better], values[better] = trial[better], found[better]
        least = values.min(axis=1)
        told.append(least)
        pace = (told[max(turn - PACE, 0)] - least) / min(turn + 1, PACE)
        reached = least - HOPEFUL * (rounds - turn) * pace
        hopeless = np.isfinite(enough) & (turn >= PACE) & (reached > enough)
        if np.all((least <= enough) | hopeless | (values.max(axis=1) - least < SETTLED)):
            break
    which = values.argmin(axis=1)
    return rows[goals, which], values[goals, which]
