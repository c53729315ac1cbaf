"""The five sections of a rod that are counted: where they are, and what each makes of a bend."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.meetings import PinToward
from rodhand.drillstring.passes import PassKind
from rodhand.steel.curves import Curve
from rodhand.steel.rod_type import RodType

Floats = NDArray[np.float64]


class Section(StrEnum):
    """Sections of a rod from the pin to the box."""

    PIN_THREAD = "pin thread"
    PIN_UPSET = "pin-side upset end"
    MID_TUBE = "mid tube"
    BOX_UPSET = "box-side upset end"
    BOX_THREAD = "box thread"


SECTIONS = tuple(Section)
"""Order of the five in every array."""

UPSET_FACTOR = 0.86
"""Net factor of an upset end on the high-strength curve; fitted to an assumed bore mix, class
error 0.78 to 1.06 told apart. [-]"""
WELD_FACTOR = 0.60
"""Factor of a friction weld whose flash is not recorded as removed, on class C in air. [-]"""
BITE_FACTOR = 1.5
"""Factor of a jaw bite on the tube until it is dressed; assumed. [-]"""
JOINT_MAGNIFICATION_AWAY = 1.1
JOINT_MAGNIFICATION_TOWARD = 1.25
"""How much more than the tube's mean bend the joint and upset ends take in thrust and in pull;
assumed constants of model 1. [-]"""


class MakeUp(StrEnum):
    """What is known about how a joint is made up."""

    KNOWN = "known"
    UNKNOWN = "unknown"
    OPEN = "shoulder open"


THREAD_SHARE = {MakeUp.KNOWN: 0.23, MakeUp.UNKNOWN: 0.30, MakeUp.OPEN: 1.0}
"""Share of the tube's outer-fibre range that the thread carries (band 0.17 to 0.30 belongs to the
class error); all of it once the shoulder opens. [-]"""


@dataclass(frozen=True)
class Condition:
    """What was found on one rod and counts while it turns.

    Parameters
    ----------
    bite : bool
        A jaw bite on the tube, not dressed.
    pin_makeup, box_makeup : MakeUp
        How the joint at each end is made up.
    bow : float
        Last measured bow, height over span; 0 where none was measured. [m/m]
    """

    bite: bool = False
    pin_makeup: MakeUp = MakeUp.UNKNOWN
    box_makeup: MakeUp = MakeUp.UNKNOWN
    bow: float = 0.0


@dataclass(frozen=True)
class CurveSet:
    """Fatigue curves of the three kinds of section.

    Parameters
    ----------
    tube : Curve
        High-strength base metal: mid tube and upset ends.
    weld : Curve
        Class C in air: friction weld with flash.
    thread : Curve
        Category 50 without knee: threads. Leaving out the knee and the cut-off departs from the
        standard on the safe side.
    """

    tube: Curve
    weld: Curve
    thread: Curve


def counts_as_welded(rod: RodType) -> bool:
    """Whether the upset ends count as a friction weld with flash.

    True unless the rod is known to be one piece or the flash is recorded as removed.
    """
    return rod.build != "one-piece" and rod.weld_flash != "removed"


def section_curves(rod: RodType, curves: CurveSet) -> tuple[Curve, ...]:
    """Curve of each section of a rod, in the order of `SECTIONS`."""
    upset = curves.weld if counts_as_welded(rod) else curves.tube
    return (curves.thread, upset, curves.tube, upset, curves.thread)


def local_factors(rod: RodType, condition: Condition) -> Floats:
    """Local factor f of each section on the tube's outer-fibre stress range.

    Parameters
    ----------
    rod : RodType
        Build and flash decide the upset ends.
    condition : Condition
        Bite and make-up.

    Returns
    -------
    (5,) array of float
        Factors in the order of `SECTIONS`. [-]
    """
    upset = WELD_FACTOR if counts_as_welded(rod) else UPSET_FACTOR
    return np.array(
        [
            THREAD_SHARE[condition.pin_makeup],
            upset,
            BITE_FACTOR if condition.bite else 1.0,
            upset,
            THREAD_SHARE[condition.box_makeup],
        ]
    )


def magnifications(kind: PassKind) -> Floats:
    """Magnification B of each section on a kind of pass.

    Returns
    -------
    (5,) array of float
        1.0 at mid tube; 1.1 elsewhere while the string is pushed away from the rig, 1.25 while it
        is pulled toward it. [-]
    """
    at_joint = JOINT_MAGNIFICATION_AWAY if kind.away_from_rig else JOINT_MAGNIFICATION_TOWARD
    return np.array([at_joint, at_joint, 1.0, at_joint, at_joint])


def positions(length: float, joint_length: float, pin_toward: PinToward) -> Floats:
    """Distance of each section from the rod's end that faces away from the rig.

    Parameters
    ----------
    length : float
        Measured length of the rod. [m]
    joint_length : float
        Length of the thick part at one end. [m]
    pin_toward : {"head", "rig"}
        Which way the pins of this rig look.

    Returns
    -------
    (5,) array of float
        Threads at the shoulders, upset ends where the joint ends, mid tube in the middle. [m]
    """
    from_pin = np.array([0.0, joint_length, length / 2.0, length - joint_length, length])
    return from_pin if pin_toward == "head" else length - from_pin
