"""Make-up of a worn joint: the joint formula with the sizes measured on this rod."""

from __future__ import annotations

from rodhand.advice.suspects import UNDER_TORQUE_BELOW
from rodhand.advice.verdict import Sentence
from rodhand.book.rig.makeup import makeup
from rodhand.book.rig.makeup_answer import MakeupAnswer
from rodhand.book.work.assess import Assessment
from rodhand.book.work.gauge_register import looks_with_errors
from rodhand.faults import BadInputError
from rodhand.record.book_things import Thing
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing
from rodhand.words import say

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


def _least_od(assessment: Assessment, key: str, end: str, new: float) -> float | None:
    """Last measured diameter of a joint, its gauge's error taken off, not above new. [m]"""
    looks = [
        look
        for look in looks_with_errors(assessment, key)
        if look.item == "joint-od" and look.end == end and look.taken.readings
    ]
    if not looks:
        return None
    return min(new, min(looks[-1].taken.readings) - (looks[-1].gauge_error or 0.0))


def _counterbore(assessment: Assessment, key: str, rod_type: RodType) -> float | None:
    """Last measured counterbore of the box with its gauge's error, not below new. [m]"""
    looks = [
        look
        for look in looks_with_errors(assessment, key)
        if look.item == "box-swell" and look.reading is not None
    ]
    if not looks or rod_type.joint is None or looks[-1].reading is None:
        return None
    return max(rod_type.joint.counterbore, looks[-1].reading + (looks[-1].gauge_error or 0.0))


def _computed(
    rod_type: RodType, od: float | None = None, counterbore: float | None = None
) -> MakeupAnswer | None:
    try:
        return makeup(rod_type.name, od=od, counterbore=counterbore, entered=rod_type)
    except BadInputError:
        return None


def wear_share(
    rod_type: RodType, od: float | None, counterbore: float | None = None
) -> float | None:
    """Make-up torque of a joint as measured over that of a new one, by the joint formula.

    Parameters
    ----------
    rod_type : RodType
        What the joint was new.
    od, counterbore : float or None
        As measured. [m]

    Returns
    -------
    float or None
        At most 1: wear never raises a torque. None where the sizes of the thread are not known
        or no metal is left. [-]
    """
    new, worn = _computed(rod_type), _computed(rod_type, od, counterbore)
    if new is None or worn is None or new.computed is None or worn.computed is None:
        return None
    return min(1.0, worn.computed.makeup_torque / new.computed.makeup_torque)


def worn_makeup(assessment: Assessment, thing: Thing) -> tuple[Sentence, ...]:
    """The make-up window of a rod's measured joints.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    thing : Thing
        The rod.

    Returns
    -------
    tuple of Sentence
        One an end with a measured diameter; nothing where none was measured. Without the sizes of
        the thread no torque is printed, only what to measure.

    Notes
    -----
    The diameter counts less its gauge's error, a counterbore with it. The maker's figure, where
    there is one, is lowered in the ratio the formula gives; it is never raised. Compound factor 1.
    """
    rod_type = assessment.rod_type_of(thing)
    if rod_type is None:
        return ()
    told: list[Sentence] = []
    for end in ("pin", "box"):
        od = _least_od(assessment, thing.key, end, rod_type.joint_od)
        counterbore = _counterbore(assessment, thing.key, rod_type) if end == "box" else None
        if od is not None:
            told.append(_of_end(rod_type, end, od, counterbore))
    if told:
        told.append(Sentence("worn_makeup.caution"))
    return tuple(told)


def _of_end(rod_type: RodType, end: str, od: float, counterbore: float | None) -> Sentence:
    name, own = say(f"card.end.{end}"), f"worn_makeup.{end}"
    values: dict[str, str | Figure] = {"end": name, "od": Figure(f"{own}.od", od, "size", M)}
    if rod_type.joint is None:
        return Sentence("worn_makeup.no_thread", values)
    new, worn = _computed(rod_type), _computed(rod_type, od, counterbore)
    if worn is None or worn.computed is None:
        return Sentence("worn_makeup.no_metal", values)
    if new is None or new.computed is None:
        return Sentence("worn_makeup.no_thread", values)
    share = wear_share(rod_type, od, counterbore) or 0.0
    start = rod_type.makeup_torque or new.computed.makeup_torque
    most = share * start
    if worn.highest is not None:
        most = min(most, worn.highest)
    least = UNDER_TORQUE_BELOW * share * start
    values |= {
        "share": Figure(f"{own}.share", share, "share", C),
        "least": Figure(f"{own}.least", least, "torque", C),
        "most": Figure(f"{own}.most", most, "torque", C),
        "weaker": say(f"card.end.{worn.computed.weaker}"),
        "start": say("worn_makeup.maker" if rod_type.makeup_torque else "worn_makeup.formula"),
    }
    return Sentence("worn_makeup.do_not_run" if least > most else "worn_makeup.window", values)
