"""Why the make-up torque of the joint a rig has at hand is what it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from rodhand.advice.suspects import UNDER_TORQUE_BELOW
from rodhand.advice.verdict import Sentence
from rodhand.book.opening import book_in
from rodhand.book.rig.joint_at_hand import JointAtHand, joint_at_hand
from rodhand.book.rig.makeup import makeup
from rodhand.book.rig.makeup_answer import MakeupAnswer
from rodhand.book.rig.worn_makeup import wear_share
from rodhand.book.why.why import WhyInput, WhyPart, WhyView, text
from rodhand.book.work.in_force import is_invented
from rodhand.faults import BadInputError
from rodhand.record.book import Book
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing
from rodhand.words import say

C, A, M, U = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED, Standing.UNKNOWN
KEY = "why.makeup"


def why_makeup(folder: Path, rig: str, bore: str = "") -> WhyView:
    """The make-up window of the joint at hand, with what it rests on.

    Parameters
    ----------
    folder : Path
        The book's folder; it is only read.
    rig : str
        The rig.
    bore : str
        One of its bores; the one at hand when empty.

    Returns
    -------
    WhyView
        Torque to set and its window; the computed figure that stands beside it.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    joint = joint_at_hand(book, rig, bore)
    parts = [_window(book, joint)]
    beside = _beside(joint)
    if beside is not None:
        parts.append(beside)
    return WhyView(
        Sentence("why.title_makeup", {"rig": joint.at.rig}), is_invented(book), tuple(parts),
        f"/rig-makeup/{joint.at.rig}", Sentence("why.back_makeup", {"rig": joint.at.rig}),
    )  # fmt: skip


def _torque(code: str, value: float | None, standing: Standing) -> Figure:
    return Figure(f"{KEY}.{code}", value, "torque", U if value is None else standing)


def _window(book: Book, joint: JointAtHand) -> WhyPart:
    answer = joint.answer
    torque = answer.torque if answer else None
    low = None if torque is None else UNDER_TORQUE_BELOW * torque
    highest = answer.highest if answer else None
    from_maker = answer is not None and answer.maker_torque is not None
    results = [
        WhyInput("makeup_torque", None, _torque("torque", torque, A if from_maker else C)),
        WhyInput("makeup_low", None, _torque("low", low, C)),
        WhyInput("makeup_highest", None, _torque("highest", highest, C)),
    ]
    how = [Sentence(f"why.how_makeup_{'maker' if from_maker else 'computed'}"),
           Sentence("why.how_makeup_window")]  # fmt: skip
    if answer is None:
        how = [text(say(f"fault.{each.code}.do", **each.values)) for each in joint.faults]
    elif answer.do_not_run:
        how.append(Sentence("why.how_do_not_run"))
    inputs = [
        WhyInput("low_share", Sentence("why.source.proposal"),
                 Figure(f"{KEY}.low_share", UNDER_TORQUE_BELOW, "share", A)),
        *_of_type(book, joint.rod_type),
        *_wear(joint),
        *_compound(joint),
        *_rig(book, joint),
    ]  # fmt: skip
    return WhyPart(Sentence("why.makeup_window"), tuple(results), tuple(how), tuple(inputs))


def _of_type(book: Book, rod_type: RodType | None) -> Iterator[WhyInput]:
    """The maker's figures, as the rod type has them."""
    if rod_type is None:
        yield WhyInput("rod_type", Sentence("why.source.rod_type_missing"), said=text("–"),
                       standing=U.value, change="/enter/rig")  # fmt: skip
        return
    given = book.limits.get(rod_type.name, ())
    entry = given[-1].origin.entry if given else ""
    source = Sentence("why.source.rod_type", {"name": rod_type.name})
    yield WhyInput("rod_type", source, said=text(rod_type.name), standing=M.value, entry=entry)
    yield WhyInput("maker_torque", source, _torque("maker", rod_type.makeup_torque, A),
                   entry=entry)  # fmt: skip
    figure = _torque("maker_yield", rod_type.joint_torsional_yield, A)
    yield WhyInput("maker_yield", source, figure, entry=entry)


def _wear(joint: JointAtHand) -> Iterator[WhyInput]:
    """What was measured of the joint, and what the formula makes of it."""
    if joint.rod_type is None:
        return
    new = Figure(f"{KEY}.od_new", joint.rod_type.joint_od, "fine_size", A)
    yield WhyInput("od_new", Sentence("why.source.rod_type", {"name": joint.rod_type.name}), new)
    measured = joint.measured
    if measured is None:
        figure = Figure(f"{KEY}.od", None, "fine_size", U)
        yield WhyInput("od_measured", Sentence("why.source.od_missing"), figure,
                       change="/enter/check")  # fmt: skip
        return
    taken = Sentence("why.source.measured", {"day": measured.day})
    yield WhyInput("od_measured", taken, Figure(f"{KEY}.od", measured.reading, "fine_size", M),
                   entry=measured.entry)  # fmt: skip
    known = "gauge" if measured.error_known else "gauge_unknown"
    yield WhyInput("gauge_error", Sentence(f"why.source.{known}"),
                   Figure(f"{KEY}.gauge_error", measured.error, "fine_size", A),
                   entry=measured.entry)  # fmt: skip
    share = wear_share(joint.rod_type, min(measured.least, joint.rod_type.joint_od))
    figure = Figure(f"{KEY}.wear_share", share, "fine_share", U if share is None else C)
    yield WhyInput("wear_share", Sentence("why.source.wear_share"), figure)


def _compound(joint: JointAtHand) -> Iterator[WhyInput]:
    """The compound in use and its friction factor."""
    own = joint.own
    if not own.compound:
        yield WhyInput("compound", Sentence("why.source.no_compound"), said=text("–"),
                       standing=U.value, change="/enter/compound")  # fmt: skip
        return
    since = Sentence("why.source.since", {"day": own.since})
    yield WhyInput("compound", since, said=text(own.compound), standing=M.value, entry=own.entry)
    factor = Figure(f"{KEY}.friction_factor", own.friction_factor, "ratio",
                    U if own.friction_factor is None else M)  # fmt: skip
    yield WhyInput("friction_factor", since, factor, entry=own.entry)


def _rig(book: Book, joint: JointAtHand) -> Iterator[WhyInput]:
    rig = book.rigs[joint.at.rig]
    yield WhyInput("rig_torque", Sentence("why.source.rig", {"name": rig.name}),
                   _torque("rig", rig.max_torque, A), entry=rig.origin.entry)  # fmt: skip


def _beside(joint: JointAtHand) -> WhyPart | None:
    """The oilfield formula's figure, and the sizes it was worked out from."""
    computed = joint.answer.computed if joint.answer else None
    if joint.answer is None or computed is None:
        return None
    answer: MakeupAnswer = joint.answer
    results = [
        WhyInput("computed_torque", None, _torque("computed", computed.makeup_torque, C)),
        WhyInput("computed_yield", None, _torque("computed_yield", computed.torsional_yield, C)),
        WhyInput("new_torque", None, _torque("new", _as_new(joint), C)),
    ]
    sizes = (("od_used", answer.od), ("bore_used", answer.bore),
             ("counterbore_used", answer.counterbore))  # fmt: skip
    source = Sentence("why.source.sizes")
    inputs = [
        WhyInput(code, source, Figure(f"{KEY}.{code}", value, "fine_size",
                                      U if value is None else C))
        for code, value in sizes
    ]  # fmt: skip
    factor = Figure(f"{KEY}.factor_used", answer.friction_factor, "ratio",
                    A if joint.own.friction_factor is None else M)  # fmt: skip
    inputs.append(WhyInput("friction_factor", Sentence("why.source.factor_used"), factor))
    return WhyPart(Sentence("why.makeup_beside"), tuple(results),
                   (Sentence("why.how_makeup_formula"),), tuple(inputs))  # fmt: skip


def _as_new(joint: JointAtHand) -> float | None:
    """The formula's figure for the joint as new with the same compound. [N m]"""
    if joint.rod_type is None or joint.answer is None:
        return None
    factor = joint.answer.friction_factor
    try:
        new = makeup(joint.rod_type.name, friction_factor=factor, entered=joint.rod_type)
    except BadInputError:
        return None
    return None if new.computed is None else new.computed.makeup_torque
