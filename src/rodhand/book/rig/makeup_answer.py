"""What is answered about the make-up of a joint: torque, yields, what must be told beside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.steel.envelope import Envelope
from rodhand.steel.joint import FRICTION_FACTOR_BAND, YIELD_STRESS, JointStrength
from rodhand.units import Figure, Standing

TOLD_FACTORS = (0.8, 0.9, 1.15, 1.25)
"""Friction factors makers and compound sheets name (READ) for which the stress is told. [-]"""


@dataclass(frozen=True)
class ComputedJoint:
    """What the oilfield formula gives for measured sizes.

    Parameters
    ----------
    makeup_torque, torsional_yield : float
        With the friction factor in use, and at yield. [N m]
    tensile_yield : float
        Pull that yields the pin alone. [N]
    weaker : {"pin", "box"}
        Weaker member.
    second_seat : {"none", "counted", "not counted", "not known"}
        What was done about a seat at the pin nose.
    band : tuple of float, optional
        Torques for the same preload at the ends of the published friction factors; for one seat.
    highest : float, optional
        Torque at which the weaker member yields with the most slippery compound. [N m]
    strength : JointStrength, optional
        The joint with one seat, where that describes it.
    set_torque : float, optional
        Torque that is set. [N m]
    """

    makeup_torque: float
    torsional_yield: float
    tensile_yield: float
    weaker: str
    second_seat: str
    band: tuple[float, float] | None
    highest: float | None
    strength: JointStrength | None
    set_torque: float | None

    @property
    def yield_shares(self) -> Mapping[float, float]:
        """Real friction factor to stress over yield, once the torque is set. [-]"""
        if self.strength is None or self.set_torque is None:
            return {}
        stress = self.strength.stress_after
        return {f: stress(self.set_torque, f) / YIELD_STRESS for f in TOLD_FACTORS}

    @property
    def pull_left(self) -> float | None:
        """Pull that opens the shoulder or yields the pin after the make-up. [N]"""
        if self.strength is None or self.set_torque is None:
            return None
        return max(0.0, Envelope(self.strength).allowed_pull(self.set_torque))


@dataclass(frozen=True)
class MakeupAnswer:
    """The answer for one joint.

    Parameters
    ----------
    joint : str
        Name of the connection or rod type.
    od, bore, counterbore : float or None
        Sizes used. [m]
    friction_factor : float
        Factor of the compound as given. [-]
    capped : bool
        Whether the seat radius was capped.
    maker_torque, maker_yield : float or None
        The maker's figures. [N m]
    computed : ComputedJoint or None
        None when sizes are missing.
    highest : float or None
        Torque that must not be passed. [N m]
    source, provenance : str
        Where the thread's sizes come from.
    notes : tuple of str
        Codes of what a reader must be told; words under `makeup.note.<code>`.
    """

    joint: str
    od: float | None
    bore: float | None
    counterbore: float | None
    friction_factor: float
    capped: bool
    maker_torque: float | None
    maker_yield: float | None
    computed: ComputedJoint | None
    highest: float | None
    source: str
    provenance: str
    notes: tuple[str, ...] = ()

    @property
    def factor_band(self) -> tuple[float, float]:
        """Lowest and highest friction factor published for compounds. [-]"""
        return FRICTION_FACTOR_BAND

    @property
    def wanted(self) -> float:
        """The maker's figure where there is one, else the computed one. [N m]"""
        if self.maker_torque is not None:
            return self.maker_torque
        assert self.computed is not None  # refused before
        return self.computed.makeup_torque

    @property
    def do_not_run(self) -> bool:
        """Whether the torque wanted lies above the one that must not be passed."""
        return self.highest is not None and self.wanted > self.highest

    @property
    def torque(self) -> float | None:
        """Torque to set; None when the window is empty. [N m]"""
        return None if self.do_not_run else self.wanted

    @property
    def torsional_yield(self) -> float | None:
        """The maker's yield torque where there is one, else the computed one. [N m]"""
        if self.maker_yield is not None:
            return self.maker_yield
        return None if self.computed is None else self.computed.torsional_yield

    @property
    def difference(self) -> float | None:
        """Computed make-up at factor 1 over the maker's, less 1; None without both. [-]"""
        if self.maker_torque is None or self.computed is None:
            return None
        return self.computed.makeup_torque / self.friction_factor / self.maker_torque - 1.0

    def figures(self) -> list[Figure]:
        """Every number of the answer, as pages and papers print it."""
        computed, figures = self.computed, []

        def add(key: str, value: float | None, quantity: str, standing: Standing) -> None:
            figures.append(Figure(f"makeup.{key}", value, quantity, standing))

        from_maker = self.maker_torque is not None
        add("torque", self.torque, "torque", _standing(from_maker))
        add("maker_torque", self.maker_torque, "torque", Standing.ASSUMED)
        add("torsional_yield", self.torsional_yield, "torque", _standing(bool(self.maker_yield)))
        add("highest", self.highest, "torque", Standing.COMPUTED)
        if computed is not None:
            add("computed_torque", computed.makeup_torque, "torque", Standing.COMPUTED)
            add("computed_yield", computed.torsional_yield, "torque", Standing.COMPUTED)
            add("tensile_yield", computed.tensile_yield, "force", Standing.COMPUTED)
            add("pull_left", computed.pull_left, "force", Standing.COMPUTED)
        return figures


def _standing(from_maker: bool) -> Standing:
    # A maker's figure is taken over, not measured here; pages print "the maker's figure".
    return Standing.ASSUMED if from_maker else Standing.COMPUTED
