"""Make-up at hand: torque for this joint and compound, the gauge, where the jaws go, compound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rodhand.advice.rules import Rule
from rodhand.advice.suspects import UNDER_TORQUE_BELOW
from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.press import Press
from rodhand.book.opening import book_in
from rodhand.book.rig.gauge_table import GaugeShows, gauge_shows
from rodhand.book.rig.joint_at_hand import MeasuredOd, joint_at_hand
from rodhand.book.rig.makeup_answer import MakeupAnswer
from rodhand.book.rig.makeup_rig import RigForMakeup
from rodhand.book.rig.rig_events import event_press
from rodhand.book.rig.worn_makeup import wear_share
from rodhand.book.work.at_hand import AtHand, at_hand
from rodhand.book.work.event_checks import NO_TORQUE
from rodhand.book.work.in_force import is_invented, settings_in_force
from rodhand.book.work.verdicts import caution, source_of
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing
from rodhand.words import say

SOURCE = "makeup"
C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class GaugeLine:
    """The gauge for one gear: a reading, or a sentence why there is none."""

    gear: str
    circuit: str
    reading: Figure
    why: Sentence | None


@dataclass(frozen=True)
class JointSaid:
    """What was said of the joint at hand: compound yes or no; entry empty where nothing was."""

    compound_on: str = ""
    entry: str = ""


@dataclass(frozen=True)
class MakeupAtHand:
    """Make-up of the joint at hand.

    Parameters
    ----------
    at : AtHand
        Rig, bore and station.
    rod_type : str
        The rods' type; empty where it is not known.
    run : bool
        Whether there is a torque to set. No torque, no joint.
    lead : tuple of Sentence
        What to set, the window, what stands beside it; or why nothing is set and what to measure.
    notes : tuple of str
        What else a reader must be told.
    gauge : tuple of GaugeLine
        From the rig's own table; empty without one.
    jaws : Sentence
        Where the jaws grip, with its standing in ``jaws_source``.
    compound : Sentence
        The compound in use and its factor.
    said : JointSaid
        What was said of this joint already.
    presses : tuple of Press
        Compound yes, compound no, would not torque up; none without a joint at hand.
    figures : dict
        torque, low, highest: the window; any of them None where not known.
    cautions : tuple of Sentence
        Beside the buttons.
    """

    invented: bool
    at: AtHand
    rod_type: str
    run: bool
    lead: tuple[Sentence, ...]
    notes: tuple[str, ...]
    gauge: tuple[GaugeLine, ...]
    jaws: Sentence
    jaws_source: str
    compound: Sentence
    said: JointSaid
    presses: tuple[Press, ...]
    figures: dict[str, Figure]
    cautions: tuple[Sentence, ...]


def makeup_at_hand(folder: Path, rig: str, bore: str = "") -> MakeupAtHand:
    """Make-up of the joint a rig has at hand.

    Parameters
    ----------
    folder : Path
        The book's folder; it is only read.
    rig : str
        The rig.
    bore : str
        One of its bores; the one at hand when empty.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    joint = joint_at_hand(book, rig, bore)
    at, rod_type, own, answer = joint.at, joint.rod_type, joint.own, joint.answer
    figures = _window(answer)
    told = tuple(say(f"fault.{each.code}.do", **each.values) for each in joint.faults)
    lead = _lead(answer, told, rod_type, figures, joint.measured)
    torque = answer.torque if answer else None
    shown = gauge_shows(book, at.rig, torque) if torque is not None else ()
    rule = settings_in_force(book, date.today().isoformat()).rules["jaw-bite"]
    return MakeupAtHand(
        is_invented(book), at, rod_type.name if rod_type else "", torque is not None, lead,
        _notes(answer, own), tuple(_gauge_line(each, k) for k, each in enumerate(shown, 1)),
        _jaws(rod_type, rule),
        source_of(rule, "look"), _compound(own), said_of_joint(book, at), _presses(at), figures,
        (Sentence("makeup.caution.hands"), caution("joint"), Sentence("makeup.caution.manuals")),
    )  # fmt: skip


def _window(answer: MakeupAnswer | None) -> dict[str, Figure]:
    """Torque to set, and what it may not fall below or pass; None where not known."""
    torque = answer.torque if answer else None
    standing = A if answer and answer.maker_torque is not None else C
    low = None if torque is None else UNDER_TORQUE_BELOW * torque
    highest = answer.highest if answer and torque is not None else None
    return {
        "torque": Figure("rig_makeup.torque", torque, "torque", standing),
        "low": Figure("rig_makeup.low", low, "torque", C),
        "highest": Figure("rig_makeup.highest", highest, "torque", C),
    }


def _lead(
    answer: MakeupAnswer | None,
    faults: Sequence[str],
    rod_type: RodType | None,
    figures: dict[str, Figure],
    measured: MeasuredOd | None,
) -> tuple[Sentence, ...]:
    if answer is None:
        return (
            Sentence("rig_makeup.nothing"),
            *(Sentence("rig_makeup.measure", {"told": told}) for told in faults),
        )
    wanted = Figure("rig_makeup.wanted", answer.wanted, "torque", A)
    if answer.do_not_run:
        limit = Figure("rig_makeup.limit", answer.highest, "torque", C)
        return (Sentence("rig_makeup.do_not_run", {"wanted": wanted, "highest": limit}),)
    told = [_set_to(answer, rod_type, figures["torque"])]
    told.append(Sentence("rig_makeup.low", {"low": figures["low"]}))
    over = "highest" if answer.highest is not None else "highest_unknown"
    told.append(Sentence(f"rig_makeup.{over}", {"highest": figures["highest"]}))
    if answer.maker_torque is not None and answer.computed is not None:
        beside = Figure("rig_makeup.computed", answer.computed.makeup_torque, "torque", C)
        told.append(Sentence("rig_makeup.beside", {"computed": beside}))
    if measured and rod_type:
        od = Figure("rig_makeup.od", measured.least, "size", M)
        told.append(Sentence("rig_makeup.measured", {"od": od, "day": measured.day}))
        if measured.least < rod_type.joint_od and wear_share(rod_type, measured.least) is None:
            told.append(Sentence("rig_makeup.worn_not_known"))
    return tuple(told)


def _set_to(answer: MakeupAnswer, rod_type: RodType | None, torque: Figure) -> Sentence:
    """What to make up to, and whose figure it is."""
    if answer.maker_torque is None:
        return Sentence("rig_makeup.set_computed", {"torque": torque})
    new = rod_type.makeup_torque if rod_type else None
    if new is None or answer.maker_torque >= new:
        return Sentence("rig_makeup.set_maker", {"torque": torque})
    less = Figure("rig_makeup.less", 1.0 - answer.maker_torque / new, "share", C)
    return Sentence("rig_makeup.set_worn", {"torque": torque, "less": less})


def _notes(answer: MakeupAnswer | None, own: RigForMakeup) -> tuple[str, ...]:
    """Codes of the make-up answer a crew has to hear at the joint, in words without numbers."""
    if answer is None:
        return ()
    told = [say(f"rig_makeup.note_{code}") for code in answer.notes
            if code in ("apart", "second_seat_not_counted", "second_seat_not_known")]  # fmt: skip
    if own.turns_less(answer.wanted):
        told.append(say("rig_makeup.note_turns_less"))
    return tuple(told)


def _gauge_line(shows: GaugeShows, number: int) -> GaugeLine:
    reading = Figure(f"rig_makeup.gauge.{number}", shows.pressure, "pressure", C)
    why = Sentence(f"rig_makeup.gauge_{shows.why}") if shows.why else None
    return GaugeLine(shows.gear, shows.circuit, reading, why)


def _jaws(rod_type: RodType | None, rule: Rule) -> Sentence:
    """Where the jaws grip: clear of the shoulder and within the thick joint, where both are known.

    The rule's number is in millimetres from the shoulder.
    """
    clear = None if rule.limit is None else rule.limit / 1000.0
    long = rod_type.joint_length if rod_type else None
    values = {
        "clear": Figure("rig_makeup.clear", clear, "size", A),
        "long": Figure("rig_makeup.joint_length", long, "size", M),
    }
    empty = clear is not None and long is not None and long <= clear
    return Sentence("rig_makeup.jaws_no_room" if empty else "rig_makeup.jaws", values)


def _compound(own: RigForMakeup) -> Sentence:
    if not own.compound:
        return Sentence("rig_makeup.no_compound")
    factor = Figure("rig_makeup.factor", own.friction_factor, "ratio", M)
    return Sentence(
        "rig_makeup.compound", {"compound": own.compound, "since": own.since, "factor": factor}
    )


def compound_press(at: AtHand, compound_on: str, station: str = "") -> Press:
    """What the press of compound yes or no keeps, of the joint at hand when none is given."""
    joint = station or f"{at.station or ''}"
    payload = {"bore": at.bore, "pass": at.pass_name, "from_station": joint,
               "to_station": joint, "compound_on": compound_on}  # fmt: skip
    return Press(compound_on, "makeup", payload)


def _presses(at: AtHand) -> tuple[Press, ...]:
    if not at.bore or not at.station:
        return ()
    said = tuple(compound_press(at, word) for word in ("yes", "no"))
    return (*said, event_press(at, NO_TORQUE))


def said_of_joint(book: Book, at: AtHand) -> JointSaid:
    """Whether somebody said of the joint at hand that compound is on, the last word first."""
    if not at.bore or not at.station:
        return JointSaid()
    for each in reversed(book.bores[at.bore].makeups):
        here = each.from_station == each.to_station == at.station
        if here and each.pass_name == at.pass_name and each.compound_on:
            return JointSaid(each.compound_on, each.origin.entry)
    return JointSaid()


def tell_compound(
    folder: Path, rig: str, compound_on: str, station: str = "", by: str = "", happened: str = ""
) -> str:
    """Keep whether compound is on the joint at hand, and give the entry's id.

    Raises
    ------
    BadInputError
        If it is neither yes nor no, or there is no joint at hand; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    at = at_hand(book_in(folder), rig)
    joint = station.strip() or (f"{at.station}" if at.station else "")
    if not at.bore or not joint:
        raise BadInputError([Fault("event_no_station", joint, column="station")], SOURCE)
    press = compound_press(at, compound_on, joint)
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id
