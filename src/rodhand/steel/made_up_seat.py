"""A rod type's joint, and the force on its outer seat when it is made up in full."""

from __future__ import annotations

from dataclasses import astuple, dataclass, replace

from rodhand.steel.joint import JointStrength, LeverArm, joint_strength
from rodhand.steel.rod_type import RodType
from rodhand.steel.shoulder_opening import Seat


@dataclass(frozen=True)
class MadeUpSeat:
    """A seat and its full preload.

    Parameters
    ----------
    seat : Seat
        The outer seat.
    full_preload : float
        Force on it after the full make-up torque. [N]
    is_by_yield : bool
        Whether the preload comes from the share of its torsional yield the joint is made up to,
        and not from the torque formula.
    """

    seat: Seat
    full_preload: float
    is_by_yield: bool

    @property
    def pressure(self) -> float:
        """Seat pressure at full make-up. [Pa]"""
        return self.full_preload / self.seat.area


@dataclass(frozen=True)
class MadeUpJoint:
    """Strength of a rod type's joint whose lever arm is torque over the force on its outer seat.

    Parameters
    ----------
    strength : JointStrength
        Areas, yields and that lever arm.
    is_by_yield : bool
        Whether the arm comes from the maker's torsional yield, and not from the torque formula.
    """

    strength: JointStrength
    is_by_yield: bool


def made_up_joint(rod: RodType) -> MadeUpJoint | None:
    """How torque presses the outer seat of a rod type's joint.

    Parameters
    ----------
    rod : RodType
        Thread and seat sizes, make-up torque, the maker's torsional yield.

    Returns
    -------
    MadeUpJoint or None
        None where sizes or torques are missing.

    Notes
    -----
    One shoulder whose thread takes the make-up torque below yield: the torque formula (API RP 7G,
    appendix A). Else every part of the arm is stretched alike until the weaker of pin and box
    yields at the maker's torsional yield, at 120,000 psi: at yield that member carries its yield
    force, and below it forces follow torque. Of two shoulders the outer one's part is so taken to
    grow in step with the nose's; a nose too long or short shifts it. Own reasoning, no source.
    """
    if rod.joint is None or rod.makeup_torque is None:
        return None
    try:
        strength = joint_strength(rod.joint, rod.joint_od, rod.joint_bore)
    except ValueError:
        return None
    if rod.shoulders == "single" and rod.makeup_torque < strength.torsional_yield:
        return MadeUpJoint(strength, is_by_yield=False)
    if rod.joint_torsional_yield is None:
        return None
    stretch = rod.joint_torsional_yield / strength.torsional_yield
    arm = LeverArm(*(each * stretch for each in astuple(strength.arm)))
    whole = replace(strength, arm=arm, torsional_yield=rod.joint_torsional_yield)
    return MadeUpJoint(whole, is_by_yield=True)


def made_up_seat(rod: RodType) -> MadeUpSeat | None:
    """Seat and full preload of a rod type's joint; see `made_up_joint`.

    Parameters
    ----------
    rod : RodType
        Thread and seat sizes, make-up torque, the maker's torsional yield.

    Returns
    -------
    MadeUpSeat or None
        None where sizes or torques are missing.
    """
    joint = made_up_joint(rod)
    if joint is None or rod.joint is None or rod.makeup_torque is None:
        return None
    strength = joint.strength
    seat = Seat(rod.joint_od, rod.joint.counterbore, strength.pin_area, strength.box_area)
    return MadeUpSeat(seat, rod.makeup_torque / strength.arm.total(), joint.is_by_yield)
