"""One bore as it may have been: bends, hole, turns and make-up, each with how sure it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.steel.curves import Curve
from rodhand.wear.bend_powers import Scatter

Floats = NDArray[np.float64]
Booleans = NDArray[np.bool_]

LAID, READ = "bends", "bends as read"
"""Streams of the factors of a hole: those of laid strings, those where none could be laid."""
THREE = (0.05, 0.5, 0.95)
"""Probabilities that the low, the usual and the high of what is unknown stand for. [-]"""


@dataclass(frozen=True, eq=False)
class PassBelief:
    """One pass as it may have been, at some of the five sections.

    Parameters
    ----------
    turns : (3, r, s, m) array of float
        Best turns in each stretch, times what makes a turn cost more than its bend alone: at the
        least, best and most of that. [turns]
    stiffness : (r, s) array of float
        Stress range per bend of the steel. [Pa m]
    curves : sequence of Curve
        Of the s sections.
    scatter : Scatter
        Bends of the s sections, by the factors of the bore's hole.
    size : (s, m) array of float
        Best bends, for which of two slopes of a curve holds. [1/m]
    powers : mapping of float to (3, s, m) array of float
        Expected powers for every exponent: of laid strings in a narrow, the usual and a wide hole
        (see `THREE`), all alike where it was measured; else high, best and low as read.
        [1/m^slope]
    rung : str
        Where the turns come from.
    turns_sigma : float
        Standard deviation of ln turns. [-]
    may_be_none : bool
        True for a pass nobody recorded: the low end counts none of it.
    least : (r, s) array of float
        The least the stress may have been over what is taken, for joints nobody wrote a make-up
        torque of; 1 elsewhere. [-]
    by_force : mapping of float to (s, m) array of float
        Expected powers at the force usual for the rig, where nobody wrote the force; empty
        elsewhere. [1/m^slope]
    force_written : bool
        Whether thrust or pull was.
    factors : str
        `LAID`, or `READ` where the string could not be laid: passes that name the same are moved
        by the same factors.
    """

    turns: Floats
    stiffness: Floats
    curves: Sequence[Curve]
    scatter: Scatter
    size: Floats
    powers: Mapping[float, Floats]
    rung: str
    turns_sigma: float
    may_be_none: bool
    least: Floats
    by_force: Mapping[float, Floats]
    force_written: bool = True
    factors: str = LAID

    @property
    def hole_measured(self) -> bool:
        """Whether the size of the hole is no question, or its answer would not be used."""
        alike = all((rows == rows[0]).all() for rows in self.powers.values())
        return alike or self.factors != LAID


@dataclass(frozen=True, eq=False)
class BoreBelief:
    """One bore as it may have been.

    Parameters
    ----------
    seed : int
        Stands for the bore and what was entered of it (see `seed_of`).
    passes : sequence of PassBelief
        In order of the work; one row for each member, the same in all of them.
    sideways : (i, q) array of float
        Sideways curvature of each interval for one standard deviation of each of the factors of
        the hole. [1/m]
    flat : (i,) array of bool
        Intervals whose sideways bend nobody read.
    length : (i,) array of float
        Length of each interval. [m]
    """

    seed: int
    passes: Sequence[PassBelief]
    sideways: Floats
    flat: Booleans
    length: Floats


@dataclass(frozen=True, eq=False)
class HeadingRead:
    """What heading at every rod would tell of the factors of a hole.

    Parameters
    ----------
    told : (q,) array of float
        Where it moves their mean to. [-]
    left : (q, q) array of float
        A matrix whose product with its transpose is the covariance it leaves. [-]
    """

    told: Floats
    left: Floats
