"""A joint with a second seat at the pin nose.

The energy balance is that of the single shoulder with one force per seat (READ: an inspection
engineer's article on double shoulders). Two forces need a second equation: how stiff the two
load paths are and how far apart the two seats meet.
"""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.steel import tube
from rodhand.steel.joint import FRICTION, YIELD_STRESS, box_area, lever_arm, pin_area
from rodhand.steel.thread import JointDimensions


def _nose(dimensions: JointDimensions) -> tuple[float, float]:
    if dimensions.nose_od is None or dimensions.nose_id is None:
        raise ValueError("a double shoulder needs the nose's outside and inside diameter")
    return dimensions.nose_od, dimensions.nose_id


def nose_arm(dimensions: JointDimensions, od: float, bore: float) -> float:
    """Torque per force on the nose seat, p/2pi + Rt f/cos + Rs2 f, Rs2 = (Dn + dn)/4.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and both seats.
    od, bore : float
        Outside diameter and bore of the joint. [m]

    Returns
    -------
    float
        Lever arm. [m]

    Raises
    ------
    ValueError
        If the nose diameters are not given.
    """
    nose_od, nose_id = _nose(dimensions)
    arm = lever_arm(dimensions, od, bore)
    return arm.without_shoulder + FRICTION * (nose_od + nose_id) / 4.0


def torsional_yield(
    dimensions: JointDimensions,
    od: float,
    bore: float,
    yield_stress: float = YIELD_STRESS,
    capped: bool = True,
) -> float:
    """Torque at which both seats carry what their weaker sides can.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and both seats.
    od, bore : float
        Outside diameter and bore of the joint. [m]
    yield_stress : float
        Yield stress of the joint. [Pa]
    capped : bool
        See `rodhand.steel.joint.shoulder_radius`.

    Returns
    -------
    float
        Sy [min(Ap, Ab) K1 + min(Anose, Abox) K2]. [N m]

    Raises
    ------
    ValueError
        If the nose diameters are not given.

    Notes
    -----
    Derived from a free body: the pin base carries only the outer seat's force in tension, the
    nose only its own in compression, so the areas do not compete. Needs both seats to close;
    with the wrong gap between them one seat yields first and the torque is lower.
    """
    nose_od, nose_id = _nose(dimensions)
    outer = min(pin_area(dimensions, bore), box_area(dimensions, od))
    inner = min(tube.area(nose_od, nose_id), tube.area(od, nose_od))
    outer_arm = lever_arm(dimensions, od, bore, capped).total()
    return yield_stress * (outer * outer_arm + inner * nose_arm(dimensions, od, bore))


@dataclass(frozen=True)
class SeatStiffness:
    """Two springs side by side: the outer seat's path and the nose's. Our own 1-D model.

    Parameters
    ----------
    outer, nose : float
        Stiffness of each path. [N/m]
    gap : float
        Advance of the pin after the outer seat touches until the nose does; negative when the
        nose lands first. [m]
    """

    outer: float
    nose: float
    gap: float


def seat_forces(
    torque: float, outer_arm: float, nose_arm: float, stiffness: SeatStiffness
) -> tuple[float, float]:
    """Force on each seat after a make-up torque.

    Parameters
    ----------
    torque : float
        Torque set. [N m]
    outer_arm, nose_arm : float
        Lever arms of the two seats. [m]
    stiffness : SeatStiffness
        The two springs and the gap.

    Returns
    -------
    tuple of float
        Force on the outer seat and on the nose. [N]

    Notes
    -----
    F1 = k1 x and F2 = k2 (x - gap), each only when its seat touches. Facing one seat alone
    changes the gap by what was taken off.
    """
    gap = stiffness.gap
    both = stiffness.outer * outer_arm + stiffness.nose * nose_arm
    advance = (torque + stiffness.nose * nose_arm * gap) / both
    outer, nose = stiffness.outer * advance, stiffness.nose * (advance - gap)
    if nose < 0.0:
        return torque / outer_arm, 0.0
    if outer < 0.0:
        return 0.0, torque / nose_arm
    return outer, nose
