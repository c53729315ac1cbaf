"""The seat of a joint and the force on it when the joint is made up in full."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.steel.joint import YIELD_STRESS, joint_strength
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


def made_up_seat(rod: RodType) -> MadeUpSeat | None:
    """Seat and full preload of a rod type's joint.

    Parameters
    ----------
    rod : RodType
        Thread and seat sizes, make-up torque, the maker's torsional yield.

    Returns
    -------
    MadeUpSeat or None
        None where sizes or torques are missing.

    Notes
    -----
    One shoulder whose thread takes the make-up torque below yield: torque over lever arm (API
    RP 7G, appendix A). Else the share of the maker's torsional yield the joint is made up to, on
    the weaker of pin and box at 120,000 psi: at yield that member carries its yield force, and
    below it forces follow torque. Of two shoulders the outer one's part is so taken to grow in
    step with the nose's; a nose too long or short shifts it. Own reasoning, no source.
    """
    if rod.joint is None or rod.makeup_torque is None:
        return None
    try:
        strength = joint_strength(rod.joint, rod.joint_od, rod.joint_bore)
    except ValueError:
        return None
    seat = Seat(rod.joint_od, rod.joint.counterbore, strength.pin_area, strength.box_area)
    if rod.shoulders == "single" and rod.makeup_torque < strength.torsional_yield:
        return MadeUpSeat(seat, rod.makeup_torque / strength.arm.total(), is_by_yield=False)
    if rod.joint_torsional_yield is None:
        return None
    share = rod.makeup_torque / rod.joint_torsional_yield
    return MadeUpSeat(seat, share * YIELD_STRESS * strength.weaker_area, is_by_yield=True)
