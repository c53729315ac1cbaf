"""Pull and torque together: what a made-up joint takes (API RP 7G, appendix A.10 type).

Point names and forms are from memory, re-derived and self-consistent. Pressure and bending are
left out and the factor of safety is one (READ as a remark on A.10.7): derate.
"""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.steel.joint import YIELD_STRESS, JointStrength


@dataclass(frozen=True)
class Envelope:
    """Corner points and lines of the envelope of one joint.

    Parameters
    ----------
    strength : JointStrength
        The joint.
    yield_stress : float
        Yield stress of the joint. [Pa]
    """

    strength: JointStrength
    yield_stress: float = YIELD_STRESS

    @property
    def pin_tension(self) -> float:
        """P1: the pin alone yields. [N]"""
        return self.yield_stress * self.strength.pin_area

    @property
    def box_torque(self) -> float:
        """T1: the box yields in torsion. [N m]"""
        return self.yield_stress * self.strength.box_area * self.strength.arm.total()

    @property
    def pin_torque(self) -> float:
        """T2: the pin yields in torsion. [N m]"""
        return self.pin_tension * self.strength.arm.total()

    @property
    def open_pin_torque(self) -> float:
        """T3: the pin yields when the shoulder carries nothing (pull P1). [N m]"""
        return self.pin_tension * self.strength.arm.without_shoulder

    @property
    def best_makeup(self) -> float:
        """T4: make-up at which opening and pin yield meet, for the highest pull. [N m]"""
        pin, box = self.strength.pin_area, self.strength.box_area
        return self.yield_stress * self.strength.arm.total() * pin * box / (pin + box)

    def opening_tension(self, makeup_torque: float) -> float:
        """Pull that opens the shoulder after a make-up torque.

        Parameters
        ----------
        makeup_torque : float
            Torque set. [N m]

        Returns
        -------
        float
            Po = (T/k)(Ap + Ab)/Ab; 0 without make-up. [N]
        """
        pin, box = self.strength.pin_area, self.strength.box_area
        return makeup_torque / self.strength.arm.total() * (pin + box) / box

    def pin_yield_tension(self, makeup_torque: float) -> float:
        """Pull that yields the pin after a make-up torque above `best_makeup`.

        Parameters
        ----------
        makeup_torque : float
            Torque set. [N m]

        Returns
        -------
        float
            PY = (Sy Ap - T/k)(Ap + Ab)/Ap. [N]
        """
        pin, box = self.strength.pin_area, self.strength.box_area
        spare = self.pin_tension - makeup_torque / self.strength.arm.total()
        return spare * (pin + box) / pin

    def allowed_pull(self, makeup_torque: float) -> float:
        """Smallest of the pulls that open the shoulder or yield the pin. [N]

        A tighter joint is not a stronger one in pull.
        """
        return min(self.opening_tension(makeup_torque), self.yielding_pull(makeup_torque))

    def yielding_pull(self, makeup_torque: float) -> float:
        """Pull at which the pin yields after a make-up torque; P1 once its shoulder is open. [N]"""
        if makeup_torque <= self.best_makeup:
            return self.pin_tension
        return self.pin_yield_tension(makeup_torque)

    def torque_limit(self, pull: float) -> float:
        """Torque at which the weaker side yields while a pull acts.

        Parameters
        ----------
        pull : float
            Pull on the joint, not above `pin_tension`. [N]

        Returns
        -------
        float
            Torque, a straight line from T2 to T3 where the pin governs. [N m]

        Raises
        ------
        ValueError
            If the pull is negative or above the pin's own yield.
        """
        if not 0.0 <= pull <= self.pin_tension * (1 + 1e-12):
            raise ValueError(f"pull must lie between 0 and {self.pin_tension:.0f} N, got {pull} N")
        seat = min(self.pin_tension - pull, self.yield_stress * self.strength.box_area)
        seat = max(seat, 0.0)
        arm = self.strength.arm
        return min(seat + pull, self.pin_tension) * arm.without_shoulder + seat * arm.shoulder
