"""Something odd told in one press: kept at once, then which rods it concerns, what to look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.press import Press
from rodhand.book.opening import book_in, entries_in
from rodhand.book.rig.left_in_hole import left_in_hole
from rodhand.book.source_words import source_in_words
from rodhand.book.telling import in_name_order, names_in_words
from rodhand.book.views import LeftInHole
from rodhand.book.work.at_hand import AtHand, at_hand, bores_of, drilled_by, who_stood_in
from rodhand.book.work.event_checks import (
    NO_TORQUE,
    ConcernedBy,
    OddThing,
    checks_after,
    concerned_by,
    odd_things,
)
from rodhand.book.work.in_force import default_rules, is_invented
from rodhand.book.work.verdicts import caution
from rodhand.book.work.who import WhoInBore
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.entry import Draft, Entry
from rodhand.units import Figure, Standing
from rodhand.words import say

IN_ONE_PRESS = ("torque spike", "jerk", "weep", "pressure drop", "break")
SOURCE = "event"
NEWEST = 6
"""Odd things of the bore at hand that a page lists again."""
OWN = {"event", "makeup"}


@dataclass(frozen=True)
class LookAfter:
    """A look an event asks for: its words, where that comes from, how long one takes. [min]"""

    item: str
    words: str
    source: str
    standing: str
    minutes: float


@dataclass(frozen=True)
class EventAnswer:
    """What one odd thing concerns and asks for.

    Parameters
    ----------
    entry, what, bore, pass_name, happened : str
        As it was told.
    which : {"string", "at-rig"}
        Every rod in the hole then, or the two next to the rig.
    names : tuple of str
        Rods that stood, or may have stood, there; the one behind the tool first.
    others : tuple of str
        The saver sub and the head, where they saw it.
    known : str
        How surely the rods are known: marked, by row, set only, unknown.
    told, do, caution : Sentence
        What it was, what to do, what to mind.
    looks : tuple of LookAfter
        Most telling first.
    figures : dict
        station and joints; None where nobody wrote how many rods were in the hole.
    """

    entry: str
    what: str
    bore: str
    pass_name: str
    happened: str
    which: str
    names: tuple[str, ...]
    others: tuple[str, ...]
    known: str
    told: Sentence
    do: Sentence
    caution: Sentence
    looks: tuple[LookAfter, ...]
    figures: dict[str, Figure]
    torque: str = ""
    note: str = ""


@dataclass(frozen=True)
class EventsView:
    """The page of events of one rig.

    Parameters
    ----------
    at : AtHand
        Bore, pass and station an event is written with.
    bores : tuple of str
        Bores of the rig one may choose from, newest first.
    presses : tuple of Press
        Events with a button; none without a bore.
    answer : EventAnswer or None
        The one asked for.
    newest : tuple of EventAnswer
        Of the bore at hand, newest first.
    concerned : dict of str to str
        Event to the rods it would concern now, in words, for a device without a signal.
    figures : dict
        station.
    left : LeftInHole or None
        What the record leaves in the hole since a day before today.
    """

    invented: bool
    at: AtHand
    bores: tuple[str, ...]
    presses: tuple[Press, ...]
    answer: EventAnswer | None
    newest: tuple[EventAnswer, ...]
    concerned: dict[str, str]
    figures: dict[str, Figure]
    left: LeftInHole | None = None


def _who_now(book: Book, at: AtHand) -> WhoInBore | None:
    """Who stood in the pilot's places of the bore at hand; None without any."""
    bore = book.bores.get(at.bore)
    drilled = drilled_by(bore) if bore else 0
    return who_stood_in(book, bore, drilled) if bore and drilled else None


def _concerned_now(book: Book, at: AtHand, known: WhoInBore | None) -> dict[str, str]:
    """Rods each event would concern if it were pressed now, in words; a dash for none known."""
    if not at.bore:
        return {}
    bore = book.bores[at.bore]
    found = {}
    for what in IN_ONE_PRESS:
        odd = OddThing(bore.origin, at.bore, at.pass_name, at.station, what)
        names = [book.things[key].name for key in concerned_by(book, odd, known).rods.keys]
        found[what] = names_in_words(names)
    return found


def looks_after(what: str) -> tuple[LookAfter, ...]:
    """Looks an event asks for, in words, with the minutes of the rule table."""
    rules = default_rules()
    return tuple(
        LookAfter(each.item, say(f"rig_look.{each.item}"), source_in_words(each.source),
                  say(f"source.{each.standing_of_number}"), rules[each.item].minutes)
        for each in checks_after(what)
    )  # fmt: skip


def answer_of(
    book: Book, odd: OddThing, payload: Mapping[str, str], known: WhoInBore | None = None
) -> EventAnswer:
    """What an odd thing concerns and asks for, in words."""
    by = concerned_by(book, odd, known)
    name, key = odd.what.replace(" ", "_"), f"event.{odd.origin.entry}"
    station = None if odd.station is None else float(odd.station)
    figures = {
        "station": Figure(f"{key}.station", station, "count", Standing.MEASURED),
        "joints": _joints(by, key),
    }
    day = odd.origin.happened.start
    torque = next((f"{text} {c.partition('_')[2]}" for c, text in payload.items()
                   if c.startswith("torque")), "")  # fmt: skip
    return EventAnswer(
        odd.origin.entry, odd.what, odd.bore, odd.pass_name, day.replace("T", " ")[:16], by.which,
        tuple(book.things[k].name_on(day[:10]) for k in by.rods.keys),
        in_name_order(book.things[k].name_on(day[:10]) for k in by.others),
        by.rods.known,
        Sentence(f"rig_event.{name}.what", {"bore": odd.bore, "station": figures["station"]}),
        Sentence(f"rig_event.{name}.do"), caution("joint"), looks_after(odd.what), figures,
        torque, odd.note,
    )  # fmt: skip


def _joints(by: ConcernedBy, key: str) -> Figure:
    count = None if by.joints is None else float(by.joints)
    return Figure(f"{key}.joints", count, "count", Standing.COMPUTED)


def _opened(folder: Path) -> tuple[Book, dict[str, Entry]]:
    return book_in(folder), {each.id: each for each in entries_in(folder) if each.kind in OWN}


def events_view(folder: Path, rig: str, bore: str = "", entry: str = "") -> EventsView:
    """The page of events of one rig, with the answer to one of them.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    bore : str
        One of its bores; the one at hand when empty.
    entry : str
        Id of the event to answer; none when empty.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book, entries = _opened(folder)
    at = at_hand(book, rig, bore)
    own = odd_things(book.bores[at.bore]) if at.bore else ()
    known = _who_now(book, at)
    answers = [
        answer_of(book, odd, entries[odd.origin.entry].payload, known) for odd in reversed(own)
    ]
    answer = next((each for each in answers if each.entry == entry), None)
    station = None if at.station is None else float(at.station)
    return EventsView(
        is_invented(book), at, tuple(each.name for each in reversed(bores_of(book, at.rig))),
        tuple(event_press(at, what) for what in IN_ONE_PRESS) if at.bore else (), answer,
        tuple(each for each in answers if each.entry != entry)[:NEWEST],
        _concerned_now(book, at, known),
        {"station": Figure("events.station", station, "count", Standing.MEASURED)},
        left_in_hole(book, at.rig),
    )  # fmt: skip


def press_event(
    folder: Path,
    rig: str,
    what: str,
    bore: str = "",
    station: str = "",
    by: str = "",
    happened: str = "",
) -> str:
    """Keep an event at once, with the moment and the station at hand, and give its id.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.
    what : str
        One of `IN_ONE_PRESS`, or ``no torque`` for a joint that would not torque up.
    bore : str
        One of its bores; the one at hand when empty.
    station : str
        Rods in the hole as the screen showed them; as the record has it when empty.
    by, happened : str
        Who says it, and when; now when empty.

    Raises
    ------
    BadInputError
        If there is no such event, the rig has no bore yet, or a joint that would not torque up
        has no station; then nothing is kept.
    NoSuchRigError, CannotReadError
        If there is no such rig, or the book cannot be read or written.
    """
    at = at_hand(book_in(folder), rig, bore)
    if what not in (*IN_ONE_PRESS, NO_TORQUE):
        told = ", ".join(IN_ONE_PRESS)
        raise BadInputError([Fault("event_what", what, column="what", values={"events": told})])
    if not at.bore:
        raise BadInputError([Fault("event_no_bore", at.rig, column="bore")], SOURCE)
    press = event_press(at, what, station.strip())
    return enter(folder, [press.draft(happened, by)], SOURCE).entries[0].id


def event_press(at: AtHand, what: str, station: str = "") -> Press:
    """What the press of an event keeps; its station is the one at hand when none is given.

    Raises
    ------
    BadInputError
        If a joint that would not torque up has no station.
    """
    shown = station or ("" if at.station is None else f"{at.station}")
    here = {"bore": at.bore, "pass": at.pass_name}
    if what == NO_TORQUE:
        payload = {**here, **_joint(shown), "result": "would not torque up"}
        return Press(what, "makeup", payload)
    if shown:
        here["station"] = shown
    return Press(what, "event", {**here, "what": what})


def _joint(station: str) -> dict[str, str]:
    if not station or station == "0":
        raise BadInputError([Fault("event_no_station", station, column="station")], SOURCE)
    return {"from_station": station, "to_station": station}


def add_details(folder: Path, entry: str, details: Mapping[str, str], by: str = "") -> str:
    """Put details to an event already kept: it is entered again with them, the bare one struck.

    Parameters
    ----------
    folder : Path
        The book's folder.
    entry : str
        Id of the event.
    details : mapping of str to str
        Column to text; a blank text takes nothing away.
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the new entry; the old id where there was nothing to add.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written.
    """
    _, entries = _opened(folder)
    known = entries.get(entry)
    if known is None:
        raise BadInputError([Fault("event_unknown", entry, column="entry")], SOURCE)
    added = {column: text.strip() for column, text in details.items() if text.strip()}
    if known.kind == "makeup" and "station" in added:
        added |= _joint(added.pop("station"))
    payload = {**known.payload, **added}
    if payload == dict(known.payload):
        return entry
    drafts = [
        Draft(known.kind, payload, known.happened, known.zone, by or known.by),
        Draft("strike", {"entry": entry, "why": say("rig_event.details_added")}, "", "", by),
    ]
    return enter(folder, drafts, SOURCE).entries[0].id
