"""What makes a turn cost more than its bend alone: an open shoulder, salt or sour ground.

Factors on damage, by member, section and stretch, for low, for best and design, and for high.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.meetings import PinToward
from rodhand.steel.rod_type import RodType
from rodhand.wear.sections import (
    SECTIONS,
    THREAD_SHARE,
    Condition,
    CurveSet,
    MakeUp,
    Section,
    section_curves,
)

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
FREE_CORROSION = 3.0
"""Life in air over life of steel that corrodes freely (DNV-RP-C203, from memory). [-]"""
SOUR_STRESS = 0.6
"""Stress for the same life in corrosive mud over that in air (API RP 7G, from memory). [-]"""


@dataclass(frozen=True, eq=False)
class DamageFactors:
    """Factors on the damage of one leg; each can be broadcast to members x sections x stretches.

    Parameters
    ----------
    low, best, high : array of float
        For low, for best and design, and for high; low <= best <= high. [-]
    """

    low: Floats
    best: Floats
    high: Floats

    def __mul__(self, other: DamageFactors) -> DamageFactors:
        """Both at once."""
        return DamageFactors(self.low * other.low, self.best * other.best, self.high * other.high)


def ground_factors(rod: RodType, curves: CurveSet, salt_or_sour: bool) -> DamageFactors:
    """What the ground's water does to the life of each section.

    Parameters
    ----------
    rod, curves : RodType, CurveSet
        Decide the slopes.
    salt_or_sour : bool
        Whether the ground is known to be salt or sour; else fresh alkaline mud is taken.

    Returns
    -------
    DamageFactors
        Of shape (1, 5, 1). Fresh: none in low and best, a third of the life in high. Salt or sour:
        none in low, a third of the life in best and design, 0.6 on stress in high. [-]

    Notes
    -----
    The two published reductions differ by 1.5 at m = 3 and by 3.7 at m = 4.7; so one is the
    middle and the other the end of the band. Sections on the second slope of a curve take the
    factor of the first, the smaller of the two.
    """
    slopes = np.array([curve.slope for curve in section_curves(rod, curves)])
    none, third = np.ones(len(SECTIONS)), np.full(len(SECTIONS), FREE_CORROSION)
    low, best, high = (none, third, SOUR_STRESS**-slopes) if salt_or_sour else (none, none, third)
    return DamageFactors(*(each[None, :, None] for each in (low, best, high)))


def opening_factors(
    sure: Bools,
    open_: Bools,
    may: Bools,
    conditions: Sequence[Condition],
    slope: float,
    pin_toward: PinToward,
) -> DamageFactors:
    """What an open shoulder does: the thread takes all of the load in place of its share.

    Parameters
    ----------
    sure, open_, may : (r, 2, m) array of bool
        Where the shoulder at each member's end away from the rig and at its end toward the rig
        surely opens, opens by the best figures, and may open.
    conditions : sequence of Condition
        Of the members; their make-up is the share the damage was worked out with.
    slope : float
        m of the thread's curve, of one slope only. [-]
    pin_toward : {"head", "rig"}
        Which way the pins look.

    Returns
    -------
    DamageFactors
        (1 / share)^m where open, 1 elsewhere; (1/0.23)^3 = 82, (1/0.30)^3 = 37. [-]
    """
    shape = (len(sure), len(SECTIONS), sure.shape[2])
    pin, box = (0, 1) if pin_toward == "head" else (1, 0)
    share = THREAD_SHARE
    made = np.array([[share[c.pin_makeup], share[c.box_makeup]] for c in conditions])
    full = share[MakeUp.OPEN]
    factors = []
    for is_open in (sure, open_, may):
        factor = np.ones(shape)
        for side, (section, end) in enumerate(
            ((Section.PIN_THREAD, pin), (Section.BOX_THREAD, box))
        ):
            harder = (full / made[:, side]) ** slope
            column = SECTIONS.index(section)
            factor[:, column] = np.where(is_open[:, end], harder[:, None], 1.0)
        factors.append(factor)
    return DamageFactors(*factors)
