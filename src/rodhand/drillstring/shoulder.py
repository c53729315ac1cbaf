"""Where along the hole a joint's shoulder opens: what its place asks of its make-up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.combined import seat_share
from rodhand.steel.made_up_seat import MadeUpSeat

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
PRELOAD_BAND = (0.82, 1.22)
"""Preload at one torque with compounds of friction factor 1.25 and 0.8, the ends of the published
ones, over that at factor 1 (derived with the torque formula). [-]"""


@dataclass(frozen=True, eq=False)
class Needed:
    """Share of the full make-up below which the seat opens, in each stretch of the hole. [1]

    ``low`` with low bend and pull, ``best`` and ``high`` likewise; NaN where nobody read the bend.
    """

    low: Floats
    best: Floats
    high: Floats


def needed_makeup(
    seat: MadeUpSeat,
    stiffness: float,
    bends: tuple[Floats, Floats, Floats],
    pulls: tuple[Floats, Floats, Floats],
) -> Needed:
    """What each stretch asks of the make-up of a joint that stands in it.

    Parameters
    ----------
    seat : MadeUpSeat
        The joint.
    stiffness : float
        E I of the tube, which the bends are moments over. [N m^2]
    bends : three (m,) arrays of float
        Low, best and high bend of the steel at the joint; NaN unknown. [1/m]
    pulls : three (m,) arrays of float
        Low, best and high pull; thrust, below zero, is taken as none. [N]

    Returns
    -------
    Needed
        Above 1 the seat opens however well it was made up.
    """
    low, best, high = (
        seat_share(seat.seat, seat.full_preload, pull, stiffness * bend)
        for bend, pull in zip(bends, pulls, strict=True)
    )
    return Needed(low, best, high)


def opens(made: Floats, needed: Needed) -> tuple[Bools, Bools, Bools]:
    """Where joints open: surely, by the best figures, and where they may.

    Parameters
    ----------
    made : array of float
        Share of the full make-up of each joint; NaN unknown: then nothing is known of its
        opening either. [1]
    needed : Needed
        For m stretches.

    Returns
    -------
    sure, open, may : (..., m) array of bool
        False where make-up or bend is unknown.
    """
    least, most = PRELOAD_BAND
    share = np.asarray(made, dtype=float)[..., None]
    best = share <= needed.best
    return (share * most <= needed.low) & best, best, (share * least <= needed.high) | best
