"""Make-up, torsional yield and tensile yield of a single-shouldered joint.

The torque formula is that of API RP 7G, appendix A (Farr 1957, the "modified screw jack"), as
restated in the appendix of Standard DS-1 volume 3, 3rd edition (READ there, partly garbled; the
equation numbers inside RP 7G are from memory):

    T = S A [ p/(2 pi) + Rt f / cos(theta) + Rs f ]

A worn joint uses the same formula with the measured OD, bore and counterbore.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.steel import tube
from rodhand.steel.thread import GAUGE_POINT, JointDimensions
from rodhand.units import INCH, PSI

FRICTION = 0.08
"""Friction coefficient behind the RP 7G tables (READ, OSTI 5965604). [-]"""
MAKEUP_STRESS = 72_000 * PSI
"""Stress at make-up of used tool joints, 60 % of yield (READ, DS-1 appendix). [Pa]"""
YIELD_STRESS = 120_000 * PSI
"""Yield of every API tool joint, whatever the pipe's grade (READ, trade page of 2017). [Pa]"""
PIN_SECTION = 0.75 * INCH
"""Distance from the shoulder of the pin section that counts (addendum 2003, READ). [m]"""
OLD_PIN_SECTION = GAUGE_POINT
"""Pin section of tensile yields in tables before the 2003 addendum, 5/8 in. [m]"""
BOX_SECTION = 0.375 * INCH
"""Distance from the shoulder of the box section that counts. [m]"""
FRICTION_FACTOR_BAND = (0.8, 1.25)
"""Friction factors published for compounds (union of the values READ). [-]"""


def pin_area(dimensions: JointDimensions, bore: float, section: float = PIN_SECTION) -> float:
    """Metal area of the pin at a distance from its shoulder, at the thread root.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    bore : float
        Bore of the pin. [m]
    section : float
        Distance from the shoulder. [m]

    Returns
    -------
    float
        pi/4 [(C - B)^2 - bore^2], B = 2 (H/2 - Srs) + taper (section - 5/8 in). [m^2]

    Raises
    ------
    ValueError
        If no metal is left between root and bore.

    Notes
    -----
    No relief groove. C stands at 5/8 in, so the section 3/4 in away lies 1/8 in further.
    """
    thread = dimensions.thread
    root = dimensions.pitch_diameter - 2.0 * thread.dedendum
    root -= thread.taper * (section - GAUGE_POINT)
    return tube.area(root, bore)


def box_area(dimensions: JointDimensions, od: float) -> float:
    """Metal area of the box 3/8 in from its shoulder.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat; a swollen box enters through its counterbore.
    od : float
        Outside diameter of the joint. [m]

    Returns
    -------
    float
        pi/4 [OD^2 - (Qc - taper 3/8 in)^2]. [m^2]

    Raises
    ------
    ValueError
        If no metal is left outside the counterbore.
    """
    return tube.area(od, dimensions.counterbore - dimensions.thread.taper * BOX_SECTION)


def thread_radius(dimensions: JointDimensions) -> float:
    """Mean radius of the engaged thread, [2 C - (Lpc - 5/8 in) taper] / 4. [m]"""
    drop = (dimensions.pin_length - GAUGE_POINT) * dimensions.thread.taper
    return (2.0 * dimensions.pitch_diameter - drop) / 4.0


def balanced_od(dimensions: JointDimensions, bore: float) -> float:
    """Outside diameter at which box and pin have the same area.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    bore : float
        Bore of the pin. [m]

    Returns
    -------
    float
        Diameter. [m]
    """
    inner = dimensions.counterbore - dimensions.thread.taper * BOX_SECTION
    return math.sqrt(4.0 / math.pi * pin_area(dimensions, bore) + inner**2)


def shoulder_radius(
    dimensions: JointDimensions, od: float, bore: float, capped: bool = True
) -> float:
    """Mean radius of the seat, (OD + Qc)/4.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    od, bore : float
        Outside diameter and bore of the joint. [m]
    capped : bool
        Not above the value at the OD where box and pin areas are equal (READ, DS-1).
        The recalled torsional yields of RP 7G table 8 are not capped.

    Returns
    -------
    float
        Radius. [m]
    """
    if capped:
        od = min(od, balanced_od(dimensions, bore))
    return (od + dimensions.counterbore) / 4.0


@dataclass(frozen=True)
class LeverArm:
    """Torque per axial force in the thread, in its three parts.

    Parameters
    ----------
    screw : float
        p / 2 pi, without friction. [m]
    thread : float
        Rt f / cos(theta). [m]
    shoulder : float
        Rs f. [m]
    """

    screw: float
    thread: float
    shoulder: float

    def total(self, friction_factor: float = 1.0) -> float:
        """Whole arm with the two friction parts multiplied by a factor. [m]"""
        return self.screw + friction_factor * (self.thread + self.shoulder)

    @property
    def without_shoulder(self) -> float:
        """Arm when the shoulder carries nothing. [m]"""
        return self.screw + self.thread


def lever_arm(dimensions: JointDimensions, od: float, bore: float, capped: bool = True) -> LeverArm:
    """The lever arm of the torque formula.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    od, bore : float
        Outside diameter and bore of the joint. [m]
    capped : bool
        See `shoulder_radius`.

    Returns
    -------
    LeverArm
        Its three parts.
    """
    thread = dimensions.thread
    return LeverArm(
        screw=thread.lead / (2.0 * math.pi),
        thread=thread_radius(dimensions) * FRICTION / math.cos(thread.half_angle),
        shoulder=shoulder_radius(dimensions, od, bore, capped) * FRICTION,
    )


@dataclass(frozen=True)
class JointStrength:
    """What a joint of given sizes takes.

    Parameters
    ----------
    makeup_torque, torsional_yield : float
        Torque to set, and torque at which the weaker member yields. [N m]
    tensile_yield : float
        Pull at which the pin alone yields, before make-up is taken off. [N]
    weaker : {"pin", "box"}
        The member with the smaller area.
    pin_area, box_area : float
        Areas compared. [m^2]
    arm : LeverArm
        The lever arm used.
    """

    makeup_torque: float
    torsional_yield: float
    tensile_yield: float
    weaker: str
    pin_area: float
    box_area: float
    arm: LeverArm

    @property
    def weaker_area(self) -> float:
        """Area of the weaker member. [m^2]"""
        return min(self.pin_area, self.box_area)

    def stress_after(self, torque: float, friction_factor: float) -> float:
        """Stress in the weaker member after a make-up torque with a compound's real factor.

        Parameters
        ----------
        torque : float
            Torque set. [N m]
        friction_factor : float
            What the compound's factor really is. [-]

        Returns
        -------
        float
            Stress. [Pa]

        Notes
        -----
        The screw part of the arm has no friction in it, so stress falls less than in
        proportion.
        """
        return torque / (self.weaker_area * self.arm.total(friction_factor))


def joint_strength(
    dimensions: JointDimensions,
    od: float,
    bore: float,
    friction_factor: float = 1.0,
    capped: bool = True,
    makeup_stress: float = MAKEUP_STRESS,
    yield_stress: float = YIELD_STRESS,
    tension_section: float = PIN_SECTION,
) -> JointStrength:
    """Make-up torque, yields and weaker member of a single-shouldered joint.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat; for a worn box with its measured counterbore.
    od, bore : float
        Outside diameter and bore as measured. [m]
    friction_factor : float
        Factor of the compound in use; multiplies the make-up torque and nothing else. [-]
    capped : bool
        Whether the seat radius is capped, see `shoulder_radius`.
    makeup_stress, yield_stress : float
        Stress of the weaker member at make-up and at yield. [Pa]
    tension_section : float
        Pin section for the tensile yield; `OLD_PIN_SECTION` only to match old tables. [m]

    Returns
    -------
    JointStrength
        The result.

    Raises
    ------
    ValueError
        If no metal is left in pin or box, or the friction factor is not above zero.

    Notes
    -----
    Without pressure, bending and pull. No relief groove, no second shoulder. The friction
    factor is *defined* as a multiplier of torque (RP 7A1 scope, READ), although the screw part
    does not change: 1.4 % high at 1.15, 2.6 % low at 0.8 for one NC38.
    """
    if not friction_factor > 0:
        raise ValueError(f"friction_factor must be greater than 0, got {friction_factor}")
    pin, box = pin_area(dimensions, bore), box_area(dimensions, od)
    arm = lever_arm(dimensions, od, bore, capped)
    return JointStrength(
        makeup_torque=friction_factor * makeup_stress * min(pin, box) * arm.total(),
        torsional_yield=yield_stress * min(pin, box) * arm.total(),
        tensile_yield=yield_stress * pin_area(dimensions, bore, tension_section),
        weaker="pin" if pin <= box else "box",
        pin_area=pin,
        box_area=box,
        arm=arm,
    )


def makeup_band(
    strength: JointStrength,
    makeup_stress: float = MAKEUP_STRESS,
    factors: tuple[float, float] = FRICTION_FACTOR_BAND,
) -> tuple[float, float]:
    """Torques that reach the make-up stress at the ends of a band of friction factors.

    Parameters
    ----------
    strength : JointStrength
        The joint.
    makeup_stress : float
        Stress wanted in the weaker member. [Pa]
    factors : tuple of float
        Lowest and highest factor the compound may have. [-]

    Returns
    -------
    tuple of float
        Low and high torque. [N m]
    """
    force = makeup_stress * strength.weaker_area
    return force * strength.arm.total(factors[0]), force * strength.arm.total(factors[1])


def effective_od(counterbore: float, narrowest_shoulder: float) -> float:
    """OD that stands for a joint worn on one side: Qc + 2 x narrowest seat width.

    Parameters
    ----------
    counterbore : float
        Counterbore diameter as measured. [m]
    narrowest_shoulder : float
        Smallest width of the seat around the joint. [m]

    Returns
    -------
    float
        Outside diameter to put in the formulas. [m]

    Notes
    -----
    Derived here: a ring as thick all round as it is at its thinnest.
    """
    return counterbore + 2.0 * narrowest_shoulder


def bending_strength_ratio(dimensions: JointDimensions, od: float, bore: float) -> float:
    """Section modulus of the box at the pin's end over that of the pin at its shoulder.

    Parameters
    ----------
    dimensions : JointDimensions
        Thread and seat.
    od, bore : float
        Outside diameter and bore of the joint. [m]

    Returns
    -------
    float
        Ratio. [-]

    Notes
    -----
    Form READ in DS-1, details from memory. It does not rank joints for fatigue: two joints of
    one ratio differ widely (IADC/SPE 112105, abstract READ).
    """
    thread = dimensions.thread
    depth = 2.0 * thread.dedendum
    box_bore = dimensions.pitch_diameter + depth
    box_bore -= thread.taper * (dimensions.pin_length - GAUGE_POINT)
    pin_root = dimensions.pitch_diameter - depth - thread.taper * (PIN_SECTION - GAUGE_POINT)
    return (tube.inertia(od, box_bore) / od) / (tube.inertia(pin_root, bore) / pin_root)
