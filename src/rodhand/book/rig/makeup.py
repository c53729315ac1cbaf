"""Use case: the torque for a joint as new or worn, its yields, and what the compound leaves open.

The maker's figure governs. A computed one stands beside it as "computed, oilfield formula". No
maker's figure and no measured sizes: no torque.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from rodhand.book.rig.makeup_answer import ComputedJoint, MakeupAnswer
from rodhand.book.work.tables import (
    built_in_rod_types,
    connections,
    find_connection,
    load_rod_type,
)
from rodhand.faults import BadInputError, Fault
from rodhand.steel import double_shoulder
from rodhand.steel.fields import FieldReader
from rodhand.steel.joint import (
    FRICTION_FACTOR_BAND,
    MAKEUP_STRESS,
    PIN_SECTION,
    YIELD_STRESS,
    JointStrength,
    joint_strength,
    makeup_band,
)
from rodhand.steel.rod_type import RodType
from rodhand.steel.thread import GAUGE_POINT, JointDimensions

APART = 0.10
"""How far a computed figure may lie from the maker's before both are pointed at. Ours. [-]"""


def makeup_from_fields(joint_name: str, typed: Mapping[str, object], capped: bool) -> MakeupAnswer:
    """The same from values as typed, their units in the keys.

    Parameters
    ----------
    joint_name : str
        See `makeup`.
    typed : mapping
        ``od_in`` or ``od_mm``, ``bore_*``, ``counterbore_*``, ``friction_factor`` and
        ``maker_torque_Nm`` or ``maker_torque_ftlb``; None is not given.
    capped : bool
        See `makeup`.

    Returns
    -------
    MakeupAnswer
        The answer.

    Raises
    ------
    BadInputError
        With every fault: a number that is none or far out of range, two units for one size, and
        those of `makeup`.
    CannotReadError
        If a rod type file cannot be read.
    """
    reader = FieldReader(typed, joint_name)
    od = reader.number("od", "size", 0.015, 0.5)
    bore = reader.number("bore", "size", 0.003, 0.4)
    counterbore = reader.number("counterbore", "size", 0.01, 0.45)
    maker_torque = reader.number("maker_torque", "torque", 20.0, 5e5)
    factor = reader.plain("friction_factor", 0.3, 3.0)
    reader.finish()
    return makeup(
        joint_name, od, bore, counterbore, 1.0 if factor is None else factor, capped, maker_torque
    )


def makeup(
    joint_name: str,
    od: float | None = None,
    bore: float | None = None,
    counterbore: float | None = None,
    friction_factor: float = 1.0,
    capped: bool = True,
    maker_torque: float | None = None,
    entered: RodType | None = None,
) -> MakeupAnswer:
    """Make-up torque, yields and weaker member of a joint, with what may be wrong about them.

    Parameters
    ----------
    joint_name : str
        A connection of the standards or one of its aliases, a built-in rod type, or the path of
        a rod type file.
    od, bore, counterbore : float, optional
        Sizes as measured; a rod type's own when not given. [m]
    friction_factor : float
        Factor of the compound in use. [-]
    capped : bool
        Whether the seat radius is capped (see `rodhand.steel.joint.shoulder_radius`).
    maker_torque : float, optional
        The maker's make-up torque; before a rod type's own. [N m]
    entered : RodType, optional
        A rod type as a book has it; ``joint_name`` is then only its name.

    Returns
    -------
    MakeupAnswer
        The answer.

    Raises
    ------
    BadInputError
        If the joint is not known, sizes are missing or leave no metal, with every fault.
    CannotReadError
        If a rod type file cannot be read.
    """
    connection = None if entered else find_connection(joint_name)
    if connection is not None:
        new = None
        dimensions: JointDimensions | None = connection.dimensions
        name, source, provenance = connection.name, connection.source, connection.provenance
    else:
        new = entered or _rod_type(joint_name)
        dimensions = new.joint
        name, source, provenance = new.name, new.name, "as entered"
        od = new.joint_od if od is None else od
        bore = new.joint_bore if bore is None else bore
        maker_torque = new.makeup_torque if maker_torque is None else maker_torque
    measured = dimensions
    if dimensions is not None and counterbore is not None:
        measured = replace(dimensions, counterbore=counterbore)
    _refuse(name, measured, od, bore, friction_factor, maker_torque)
    shoulders = "single" if new is None else new.shoulders
    computed = None
    if measured is not None and od is not None and bore is not None:
        computed = _compute(measured, od, bore, friction_factor, capped, shoulders)
        if maker_torque is not None:
            computed = _at_makers_torque(computed, maker_torque, new is None)
    if maker_torque is None and (computed is None or computed.second_seat == "not counted"):
        raise BadInputError([Fault("makeup_no_sizes", column="nose_od + nose_id")], name)
    maker_yield = None if new is None else new.joint_torsional_yield
    answer = MakeupAnswer(
        joint=name,
        od=od,
        bore=bore,
        counterbore=None if measured is None else measured.counterbore,
        friction_factor=friction_factor,
        capped=capped,
        maker_torque=maker_torque,
        maker_yield=maker_yield,
        computed=computed,
        highest=_highest(new, computed, friction_factor, capped),
        source=source,
        provenance=provenance,
    )
    return replace(answer, notes=_notes(answer, new))


def _rod_type(joint_name: str) -> RodType:
    if joint_name.strip().lower().endswith(".toml"):
        return load_rod_type(joint_name)
    found = built_in_rod_types().get(joint_name.strip().lower())
    if found is None:
        names = ", ".join([*connections(), *built_in_rod_types()])
        raise BadInputError([Fault("makeup_joint_not_known", joint_name, values={"names": names})])
    return found


def _refuse(
    name: str,
    dimensions: JointDimensions | None,
    od: float | None,
    bore: float | None,
    friction_factor: float,
    maker_torque: float | None,
) -> None:
    """Raise with every reason why nothing can be computed or set."""
    faults = []
    numbers = {"od": od, "bore": bore, "factor": friction_factor, "maker": maker_torque}
    if dimensions is not None:
        numbers["counterbore"] = dimensions.counterbore
    for key, value in numbers.items():
        if value is not None and not (math.isfinite(value) and value > 0.0):
            faults.append(Fault("makeup_not_above_zero", str(value), column=key))
    if maker_torque is None and (od is None or bore is None):
        missing = [word for word, size in (("OD", od), ("bore", bore)) if size is None]
        faults.append(Fault("makeup_no_sizes", column=" + ".join(missing)))
    if dimensions is not None and not faults:
        root = dimensions.pitch_diameter - 2.0 * dimensions.thread.dedendum
        if od is not None and od <= dimensions.counterbore:
            shown = f"{1e3 * od:.1f} mm / {1e3 * dimensions.counterbore:.1f} mm"
            faults.append(Fault("makeup_no_seat_left", shown, column="od"))
        root -= dimensions.thread.taper * (PIN_SECTION - GAUGE_POINT)
        if bore is not None and bore >= root:
            faults.append(Fault("makeup_no_pin_left", f"{1e3 * bore:.1f} mm", column="bore"))
    if faults:
        raise BadInputError(faults, name)


def _compute(
    dimensions: JointDimensions,
    od: float,
    bore: float,
    friction_factor: float,
    capped: bool,
    shoulders: str,
) -> ComputedJoint:
    strength = joint_strength(dimensions, od, bore, friction_factor, capped)
    if shoulders == "double" and dimensions.nose_od is not None:
        return _with_nose(strength, dimensions, od, bore, friction_factor, capped)
    second = {"single": "none", "double": "not counted"}.get(shoulders, "not known")
    low, high = makeup_band(strength)
    lowest_factor = FRICTION_FACTOR_BAND[0]
    return ComputedJoint(
        makeup_torque=strength.makeup_torque,
        torsional_yield=strength.torsional_yield,
        tensile_yield=strength.tensile_yield,
        weaker=strength.weaker,
        second_seat=second,
        band=(low, high),
        highest=YIELD_STRESS * strength.weaker_area * strength.arm.total(lowest_factor),
        strength=strength,
        set_torque=strength.makeup_torque,
    )


def _with_nose(
    strength: JointStrength,
    dimensions: JointDimensions,
    od: float,
    bore: float,
    friction_factor: float,
    capped: bool,
) -> ComputedJoint:
    """Both seats; how they share the force depends on their gap, so no band and no shares."""
    both = double_shoulder.torsional_yield(dimensions, od, bore, capped=capped)
    return ComputedJoint(
        makeup_torque=friction_factor * MAKEUP_STRESS / YIELD_STRESS * both,
        torsional_yield=both,
        tensile_yield=strength.tensile_yield,
        weaker=strength.weaker,
        second_seat="counted",
        band=None,
        highest=None,
        strength=None,
        set_torque=None,
    )


def _at_makers_torque(
    computed: ComputedJoint, maker_torque: float, standard_joint: bool
) -> ComputedJoint:
    """Stress and pull at the maker's torque; not for a rod maker's own joint.

    What steel that is made of nobody stated, so a share of its yield cannot be told.
    """
    if standard_joint:
        return replace(computed, set_torque=maker_torque)
    return replace(computed, strength=None, set_torque=None, band=None)


def _highest(
    new: RodType | None, computed: ComputedJoint | None, friction_factor: float, capped: bool
) -> float | None:
    """Torque that must not be passed.

    For a joint of the standards the computed one. For a rod type the maker's yield torque,
    scaled down by how much of the computed yield torque wear has taken: the formula says how
    strength falls with size better than what it is in a steel nobody stated.
    """
    if new is None:
        return None if computed is None else computed.highest
    if new.joint_torsional_yield is None or computed is None or new.joint is None:
        return new.joint_torsional_yield
    as_new = _compute(
        new.joint, new.joint_od, new.joint_bore, friction_factor, capped, new.shoulders
    )
    left = min(1.0, computed.torsional_yield / as_new.torsional_yield)
    return left * new.joint_torsional_yield


def _notes(answer: MakeupAnswer, new: RodType | None) -> tuple[str, ...]:
    """Codes of everything a reader must be told, most important first."""
    low, high = FRICTION_FACTOR_BAND
    computed, difference = answer.computed, answer.difference
    told = (
        ("do_not_run", answer.do_not_run),
        ("invented", new is not None and new.name in built_in_rod_types()),
        ("apart", difference is not None and abs(difference) > APART and not answer.do_not_run),
        ("factor_outside", not low <= answer.friction_factor <= high),
        (
            "factor_not_on_makers",
            answer.maker_torque is not None and answer.friction_factor != 1.0,
        ),
        ("not_computed", computed is None),
        ("second_seat_not_counted", computed is not None and computed.second_seat == "not counted"),
        ("second_seat_not_known", computed is not None and computed.second_seat == "not known"),
        ("from_memory", "MEMORY" in answer.provenance),
        ("uncapped", not answer.capped),
    )
    return tuple(code for code, holds in told if holds)
