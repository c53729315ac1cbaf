"""The joint a rig has at hand: its rods, what was measured of it, the answer for its make-up."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.rig.makeup import makeup
from rodhand.book.rig.makeup_answer import MakeupAnswer
from rodhand.book.rig.makeup_rig import RigForMakeup, rig_in_book
from rodhand.book.rig.worn_makeup import wear_share
from rodhand.book.work.at_hand import AtHand, at_hand, who_stood_in
from rodhand.book.work.days import day_of
from rodhand.book.work.gauge_register import read_with
from rodhand.book.work.rod_types import rod_type_named, rod_type_of_bore
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.steel.rod_type import RodType


@dataclass(frozen=True)
class MeasuredOd:
    """Least outside diameter measured on the two joints at hand.

    Parameters
    ----------
    reading : float
        As read. [m]
    error : float
        Of its gauge; 0 where nobody said it. [m]
    error_known : bool
        Whether the register or the look says it.
    day, entry : str
        ISO day and entry of the look.
    """

    reading: float
    error: float
    error_known: bool
    day: str
    entry: str

    @property
    def least(self) -> float:
        """The reading with its gauge's error taken off. [m]"""
        return self.reading - self.error


@dataclass(frozen=True)
class JointAtHand:
    """The joint at hand with everything its make-up rests on.

    answer is None where there is no torque; faults then say what to measure.
    """

    at: AtHand
    rod_type: RodType | None
    own: RigForMakeup
    measured: MeasuredOd | None
    answer: MakeupAnswer | None
    faults: tuple[Fault, ...]


def joint_at_hand(book: Book, rig: str, bore: str = "") -> JointAtHand:
    """The joint a rig has at hand, and the answer for it.

    Parameters
    ----------
    book : Book
        The book as read.
    rig, bore : str
        The rig; one of its bores, the one at hand when empty.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    """
    at = at_hand(book, rig, bore)
    rod_type = _rod_type(book, at)
    own = rig_in_book(book, at.rig)
    measured = measured_od(book, at) if rod_type else None
    answer, faults = _answer(rod_type, own, measured)
    return JointAtHand(at, rod_type, own, measured, answer, faults)


def _rod_type(book: Book, at: AtHand) -> RodType | None:
    if at.bore:
        return rod_type_of_bore(book, book.bores[at.bore])
    return rod_type_named(book, book.rigs[at.rig].rod_type)


def measured_od(book: Book, at: AtHand) -> MeasuredOd | None:
    """Least outside diameter measured on the two joints at hand, its gauge's error taken off.

    None where nobody measured them, or nobody knows which rods they are.
    """
    if not at.bore or not at.station:
        return None
    places = (at.station, at.station + 1)
    who = who_stood_in(book, book.bores[at.bore], at.station + 1)
    rods = {group.rods[0] for place in places if len((group := who.at(place)).rods) == 1}
    last: dict[tuple[str, str], MeasuredOd] = {}
    for check in book.checks:
        numbers = [n for n in (check.reading, check.second_reading) if n is not None]
        if check.item == "joint-od" and numbers:
            for key in rods & set(check.things):
                read = read_with(book, check)
                last[key, check.end] = MeasuredOd(
                    min(numbers), read.error if read.error_known else 0.0, read.error_known,
                    day_of(check.origin.happened.start), check.origin.entry,
                )  # fmt: skip
    return min(last.values(), key=lambda each: (each.least, each.day), default=None)


def _answer(
    rod_type: RodType | None, own: RigForMakeup, measured: MeasuredOd | None
) -> tuple[MakeupAnswer | None, tuple[Fault, ...]]:
    """The answer, or the faults that say what to measure."""
    if rod_type is None:
        return None, (Fault("rig_makeup_no_type", column="rod_type"),)
    od = min(measured.least, rod_type.joint_od) if measured else None
    share = wear_share(rod_type, od)
    maker = None
    if rod_type.makeup_torque is not None and share is not None:
        maker = share * rod_type.makeup_torque  # of two figures the stricter
    factor = 1.0 if own.friction_factor is None else own.friction_factor
    try:
        answer = makeup(
            rod_type.name, od=od, friction_factor=factor, maker_torque=maker, entered=rod_type
        )
        return answer, ()
    except BadInputError as error:
        told = tuple(
            Fault(f.code, f.found, values={"column": f.column or "", **f.values})
            for f in error.faults
        )
        return None, told
