"""What a steady stress makes of a turn's cost: pull, and a bow the hole straightens.

A bow turns with its rod, so the hole that straightens it puts a mean stress on each fibre and no
range. A rule for the mean belongs to its curve (`rodhand.steel.curves`); detail classes, which
threads and friction welds have, take none.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.wear.damage_factors import DamageFactors
from rodhand.wear.sections import SECTIONS, CurveSet, Section, section_curves

Floats = NDArray[np.float64]
HOLD_REVERSED = (Section.PIN_UPSET, Section.BOX_UPSET)
"""Sections whose local factor holds the reduction for fully reversed load. That of the mid tube is
1.00: nothing was taken off for reversal there, so a mean has nothing to add."""


def bow_stress(rod: RodType, bow: float, hole: float, length: float) -> float:
    """Mean stress in a bowed rod that its hole straightens.

    Parameters
    ----------
    rod : RodType
        Sizes.
    bow : float
        Height over span of an even bow. [m/m]
    hole : float
        Diameter of the hole. [m]
    length : float
        Of the rod. [m]

    Returns
    -------
    float
        E r 8 e / L^2 with e what is left of the bow's height beyond the clearance; 0 where the
        bow lies free. [Pa]

    Notes
    -----
    Clearance: joints against one wall, the tube's middle against the other, hole diameter less
    the mean of joint and tube. The bow's height is over the whole rod, of one even arc. A bow
    within it is free of stress (page "from hole to steel", finding 6).
    """
    clearance = max(hole - (rod.joint_od + rod.tube_od) / 2.0, 0.0)
    beyond = max(bow * length - clearance, 0.0)
    return ELASTIC_MODULUS * rod.tube_od / 2.0 * 8.0 * beyond / length**2


def mean_stress_factors(
    rod: RodType,
    curves: CurveSet,
    size: Floats,
    pulls: tuple[float, float, float],
    bows: Sequence[float],
) -> DamageFactors:
    """What pull and bows make of each member's damage.

    Parameters
    ----------
    rod, curves : RodType, CurveSet
        Sizes, and each section's curve with its rule.
    size : (5, m) array of float
        Bend of the steel. [1/m]
    pulls : three floats
        Low, best and high pull; thrust, below zero, is taken as none. [N]
    bows : sequence of float
        Mean stress of each member's bow (see `bow_stress`). [Pa]

    Returns
    -------
    DamageFactors
        Of shape (members or 1, 5, m): (range with the mean over range at zero mean)^m. [-]

    Notes
    -----
    The curve's rule is entered with the tube's nominal stresses, E r b and P/A + bow: a local
    factor that multiplies range and mean alike falls out. Thrust lowers the factor and is given
    no credit.
    """
    bowed = np.asarray(bows, dtype=float)
    bowed = bowed if bowed.any() else np.zeros(1)
    amplitude = ELASTIC_MODULUS * rod.tube_od / 2.0 * size
    turned = np.nan_to_num(amplitude) > 0.0
    ends = []
    for pull in pulls:
        mean = max(pull, 0.0) / rod.tube_area + bowed[:, None]
        factor = np.ones((bowed.size, *size.shape))
        for j, curve in enumerate(section_curves(rod, curves)):
            if SECTIONS[j] in HOLD_REVERSED:
                range_factor = curve.mean_over_reversed(
                    np.where(turned[j], amplitude[j], 1.0), mean
                )
                factor[:, j] = np.where(turned[j], range_factor**curve.slope, 1.0)
        ends.append(factor)
    if any((worse < better).any() for better, worse in pairwise(ends)):
        raise ValueError(f"pulls must not fall from low to high, got {pulls} N")
    return DamageFactors(*ends)
