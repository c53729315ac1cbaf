"""Pullback in two touches: it starts behind a tool or with the product, and it ends."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.press import Press
from rodhand.book.opening import book_in
from rodhand.book.rig.rows_tomorrow import RowsTomorrow, rows_tomorrow
from rodhand.book.work.at_hand import AtHand, at_hand, entered_last, rods_in_string
from rodhand.book.work.happenings import RETIRED_PLACES, whereabouts_of
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass
from rodhand.record.book_looks import StandingGiven
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.words import say

SOURCE = "pullback"
PULLBACK = "pullback"
PRODUCT = "product"
REASONS = ("bent", "galled", "jaw_bite", "shoulder", "tight", "worn", "crack", "other")
"""Reasons a rod is set aside for while it comes out; words under ``pull_reason``."""


@dataclass(frozen=True)
class RodComingOut:
    """One rod of the string; ``reason`` and ``entry`` are empty while it is not set aside.

    ``press`` keeps it set aside, once the ``why`` of a reason is put to it.
    """

    name: str
    press: Press
    reason: str = ""
    entry: str = ""


@dataclass(frozen=True)
class ReasonAside:
    """A reason a rod is set aside for: its code, and the why kept with it."""

    code: str
    why: str


@dataclass(frozen=True)
class PullbackView:
    """A rig's pullback: before it, under way, or ended.

    Parameters
    ----------
    at : AtHand
        Rig, bore, pass and station.
    state : {"no bore", "before", "under way", "ended"}
        What there is to press.
    tools : tuple of str
        Reamers in the book that may be on this rig.
    behind : str
        Tool it was started with; ``product`` where only that was said; empty before.
    entry : str
        Id of the entry that started it; empty before.
    rods : tuple of RodComingOut
        Rods of the string, the one that comes out first in front.
    known : str
        How surely they are known.
    reasons : tuple of ReasonAside
        To choose one before a rod.
    presses : tuple of Press
        To start it, one for each tool and the product; to end it while it is under way.
    tomorrow : RowsTomorrow or None
        Once it has ended: where each rod lies tomorrow; None where the order is not known.
    figures : dict
        rods and aside.
    """

    invented: bool
    at: AtHand
    state: str
    tools: tuple[str, ...]
    behind: str
    entry: str
    rods: tuple[RodComingOut, ...]
    known: str
    reasons: tuple[ReasonAside, ...]
    presses: tuple[Press, ...]
    end_later: Press | None
    tomorrow: RowsTomorrow | None
    cautions: tuple[Sentence, ...]
    figures: dict[str, Figure]


def tools_of(book: Book, rig: str, day: str = "") -> tuple[str, ...]:
    """Reamers that may be on a rig: its own and those of no rig, not away."""
    return tuple(
        thing.name
        for thing in book.things.values()
        if thing.what == "reamer"
        and fold(thing.rig) in ("", fold(rig))
        and whereabouts_of(book, thing.key, day) not in RETIRED_PLACES
    )


def last_pullback(bore: Bore) -> BorePass | None:
    """The pullback entered last; None when none was."""
    return entered_last(each for each in bore.passes if each.what == PULLBACK)


def has_ended(each: BorePass | None) -> bool:
    """Whether a pullback was said to have come out whole."""
    return each is not None and each.to_station is not None


def pullback_view(folder: Path, rig: str, bore: str = "") -> PullbackView:
    """A rig's pullback as it stands.

    Parameters
    ----------
    folder : Path
        The book's folder.
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
    at = at_hand(book, rig, bore)
    one = book.bores.get(at.bore)
    now = last_pullback(one) if one else None
    state = "no bore" if one is None else "before" if now is None else "under way"
    if has_ended(now):
        state = "ended"
    rods, known = _rods(book, one, now) if one else ((), "unknown")
    tomorrow = rows_tomorrow(book, at.rig) if state == "ended" else None
    aside = sum(bool(each.entry) for each in rods)
    return PullbackView(
        is_invented(book), at, state, tools_of(book, at.rig), _behind(now),
        now.origin.entry if now and now.origin else "", rods, known,
        tuple(ReasonAside(code, _why(at, code)) for code in REASONS),
        _presses(book, at, state), _end_later(book, one) if one and state == "before" else None,
        tomorrow,
        (caution("exit"), caution("rods"), caution("joint")),
        {"rods": Figure("pull.rods", float(len(rods)), "count", Standing.COMPUTED),
         "aside": Figure("pull.aside", float(aside), "count", Standing.MEASURED)},
    )  # fmt: skip


def _behind(now: BorePass | None) -> str:
    if now is None:
        return ""
    return now.tool or (PRODUCT if now.product == "yes" else "")


def _rods(book: Book, bore: Bore, now: BorePass | None) -> tuple[tuple[RodComingOut, ...], str]:
    """Rods of the string, the one next to the rig first, with who set them aside since it began."""
    string = rods_in_string(book, bore, now.name if now else PULLBACK, None)
    aside = _set_aside_since(book, now.origin.at if now and now.origin else "")
    rods = []
    for key in reversed(string.keys):
        word = aside.get(key) if now else None
        rods.append(
            RodComingOut(book.things[key].name, _aside_press(book.things[key].name),
                         word.why if word else "", word.origin.entry if word else "")
        )  # fmt: skip
    return tuple(rods), string.known


def _set_aside_since(book: Book, at: str) -> dict[str, StandingGiven]:
    """Things a person set aside since a moment, unless another word came after."""
    found: dict[str, StandingGiven] = {}
    for word in book.standings:
        if word.origin.at >= at:
            for key in word.things:
                found.pop(key, None)
                if word.standing == "set aside":
                    found[key] = word
    return found


def start_pullback(
    folder: Path, rig: str, behind: str, by: str = "", happened: str = "", bore: str = ""
) -> str:
    """Start a pullback behind a tool or with the product, and give the entry's id.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    behind : str
        A reamer of the book, or ``product``.
    by, happened, bore : str
        Who says it, when (now when empty), and a bore other than the one at hand.

    Raises
    ------
    BadInputError
        If there is no bore, no such tool, or a pullback is under way; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    if not at.bore:
        raise BadInputError([Fault("event_no_bore", at.rig, column="bore")], SOURCE)
    now = last_pullback(book.bores[at.bore])
    if now is not None and not has_ended(now):
        raise BadInputError([Fault("pull_under_way", now.name, column="pass")], SOURCE)
    tools = tools_of(book, at.rig)
    if behind != PRODUCT and behind not in tools:
        values = {"tools": ", ".join(tools) or say("number.dash")}
        raise BadInputError([Fault("pull_tool", behind, column="behind", values=values)], SOURCE)
    press = start_press(book.bores[at.bore], behind)
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id


def start_press(bore: Bore, behind: str) -> Press:
    """What the touch that starts a pullback keeps."""
    payload = {"bore": bore.name, "pass": _name_for(bore), "what": PULLBACK}
    payload |= {"product": "yes"} if behind == PRODUCT else {"tool": behind}
    return Press(behind, "pass", payload)


def _end_later(book: Book, bore: Bore) -> Press | None:
    """The end of a pullback that a device without a signal starts by itself."""
    rods = rods_in_string(book, bore, PULLBACK, None).places
    return end_press(bore, _name_for(bore), rods) if rods else None


def end_press(bore: Bore, name: str, rods: int) -> Press:
    """What the touch that ends a pullback keeps: so many rods came out, to the last."""
    payload = {"bore": bore.name, "pass": name, "what": PULLBACK,
               "from_station": f"{rods}", "to_station": "0"}  # fmt: skip
    return Press("end", "pass", payload)


def _aside_press(thing: str, why: str = "") -> Press:
    payload = {"things": thing, "standing": "set aside"}
    return Press(thing, "standing", payload | ({"why": why} if why else {}))


def _why(at: AtHand, reason: str) -> str:
    return say("pull.why", reason=say(f"pull_reason.{reason}"), bore=at.bore or at.rig)


def _presses(book: Book, at: AtHand, state: str) -> tuple[Press, ...]:
    """What there is to press: starts where none is under way, else the end."""
    bore = book.bores.get(at.bore)
    if bore is None:
        return ()
    now = last_pullback(bore)
    if state != "under way" or now is None:
        return tuple(start_press(bore, tool) for tool in (*tools_of(book, at.rig), PRODUCT))
    rods = rods_in_string(book, bore, now.name, None).places
    return (end_press(bore, now.name, rods),) if rods else ()


def _name_for(bore: Bore) -> str:
    taken = {fold(each.name) for each in bore.passes if each.origin is not None}
    number = 1
    while (name := PULLBACK if number == 1 else f"{PULLBACK} {number}") in taken:
        number += 1
    return name


def end_pullback(folder: Path, rig: str, by: str = "", happened: str = "", bore: str = "") -> str:
    """End the pullback under way: all of the string is out. Gives the entry's id.

    Raises
    ------
    BadInputError
        If none is under way, or the pilot has no rods on record; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.

    Notes
    -----
    Turns are not entered: the time between the two touches holds rods being broken and waiting.
    They follow from the rig's habit like those of any pass nobody counted.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    now = last_pullback(book.bores[at.bore]) if at.bore else None
    if now is None or has_ended(now):
        raise BadInputError([Fault("pull_not_begun", at.bore, column="pass")], SOURCE)
    rods = rods_in_string(book, book.bores[at.bore], now.name, None).places
    if not rods:
        raise BadInputError([Fault("pull_no_rods", at.bore, column="from_station")], SOURCE)
    press = end_press(book.bores[at.bore], now.name, rods)
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id


def set_aside(
    folder: Path, rig: str, thing: str, reason: str, by: str = "", happened: str = "",
    bore: str = "",
) -> str:  # fmt: skip
    """Set a rod aside while it comes out, with a reason, and give the entry's id.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    thing : str
        Name of the rod.
    reason : str
        One of `REASONS`, kept in words with the bore.
    by, happened, bore : str
        Who says it, when (now when empty), and a bore other than the one at hand.

    Raises
    ------
    BadInputError
        If there is no such reason or rod; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    if reason not in REASONS:
        raise BadInputError([Fault("pull_reason", reason, column="reason")], SOURCE)
    at = at_hand(book_in(folder), rig, bore)
    press = _aside_press(thing, _why(at, reason))
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id
