"""Prices of an assignment: of its places, and of a row's lifting shared out among its rods."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.order_case import Floats

Ints = NDArray[np.int64]
ROUNDING = 1e-13
"""Prices that differ by less, as a share of the largest cost, are the same. [-]"""


def shared_out(shares: Floats) -> Floats:
    """Each rod's share of lifting its row: every depth is paid for by the rods at it and below.

    Parameters
    ----------
    shares : (n,) array of float
        Who of them pays, on a log scale. [-]

    Returns
    -------
    (n,) array of float
        Shares of which the first k add up to k at most, for every k. [moves]
    """
    weight = np.exp(np.maximum(shares - shares.max(), -50.0))
    below = np.cumsum(weight[::-1])[::-1]
    return np.asarray(weight * np.cumsum(1.0 / below))


def settled(cost: Floats, at: Ints, prices: Floats) -> Floats:
    """Prices of the places at which every rod has its cheapest place in a least assignment.

    Taken off a cost matrix they leave its assignment as it is and make it, and those of matrices
    like it, quick to find.

    Parameters
    ----------
    cost : (n, n) array of float
        Cost of every rod in every place.
    at : (n,) array of int
        Place of each rod in the least assignment.
    prices : (n,) array of float
        Prices of a matrix like it, to begin with.

    Returns
    -------
    (n,) array of float
        By shortest paths over changes of places (Bellman and Ford), to rounding.
    """
    over = cost - cost[np.arange(len(cost)), at][:, None]
    least_change = ROUNDING * float(np.abs(cost).max(initial=0.0))
    rod_in = np.argsort(at)
    lowered = np.arange(len(cost))
    prices = prices.copy()
    for _ in range(len(cost)):
        rods = rod_in[lowered]
        offered = (prices[lowered][:, None] + over[rods]).min(axis=0)
        lowered = np.flatnonzero(offered < prices - least_change)
        if not len(lowered):
            break
        prices[lowered] = offered[lowered]
    return prices
