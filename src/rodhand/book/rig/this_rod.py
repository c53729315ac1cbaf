"""This rod: which one it is, what was read last, how far it may be steered, and keeping its row."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.rig.bends_now import (
    PLACES_NAMED,
    BendsNow,
    FrontOfString,
    bends_now,
    front_of_string,
)
from rodhand.book.rig.plan_target import PlanTarget, plan_target
from rodhand.book.rig.two_devices import two_devices
from rodhand.book.rig.two_views import TwoDevices
from rodhand.book.telling import names_in_words
from rodhand.book.work.at_hand import (
    AtHand,
    at_hand,
    bores_of,
    drilled_by,
    rods_at_places,
    who_stood_in,
)
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.hole_of import Hole, hole_of
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.book.work.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.hole.limits import LONG_LIFE_DIAMETERS
from rodhand.hole.readings import ReadingError
from rodhand.hole.room_left import RoomLeft, room_left
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, Reading
from rodhand.record.entry import Draft
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing

SOURCE = "this rod"
TYPED = ("pitch_pct", "heading_deg", "push_ft", "push_m", "rotating_min", "remark", "anew")
"""Columns of the form; which of the two lengths is asked follows the units shown."""
AS_BEFORE = 'pitch_pct "'
NOTHING_READ = "not read"


@dataclass(frozen=True)
class RoomView:
    """Room for this rod, or why it is not known.

    Parameters
    ----------
    told : Sentence
        What to do: end between two pitches, or what to read first.
    figures : dict
        from, to (pitch at the end of this rod), up, down, sideways (changes), long_up, long_down
        (the long-life line), last (pitch read last), limit_radius, length. Where several pitches
        were told of the last rod also last_low and last_high: from and to keep the limit from
        either.
    governs : str
        ``rod`` or ``head``; empty when nothing is known.
    """

    told: Sentence
    figures: dict[str, Figure]
    governs: str = ""


@dataclass(frozen=True)
class ThisRodView:
    """The page of the rod being drilled.

    Parameters
    ----------
    at : AtHand
        Rig, bore, pass and rods in the hole.
    station : int or None
        Number of this rod; None without a bore, or once the pilot is done.
    rods : str
        Rods that may stand there, in words; empty when nobody knows.
    known : str
        How surely they are known.
    last : str
        Pitch of the rod before as it was typed, in percent; empty when it was not read.
    bores : tuple of str
        Bores of the rig, newest first.
    anew : int
        How often the hole was drilled anew.
    bends : BendsNow
        The rod read last where it bends past a limit, and the sharpest bend rods stand in now.
    plan : PlanTarget or None
        What the bore's plan asks of this rod.
    string : FrontOfString or None
        What a device tells an over-steer from without a signal; None without a rod to drill.
    ease : Sentence or None
        After an over-steer: between which pitches to end this rod, the easier on the rods.
    """

    invented: bool
    at: AtHand
    station: int | None
    rods: str
    known: str
    last: str
    room: RoomView
    caution: Sentence
    bores: tuple[str, ...]
    figures: dict[str, Figure]
    two: TwoDevices | None = None
    anew: int = 0
    bends: BendsNow = field(default_factory=BendsNow)
    plan: PlanTarget | None = None
    string: FrontOfString | None = None
    ease: Sentence | None = None


def this_rod(folder: Path, rig: str, bore: str = "") -> ThisRodView:
    """The rod being drilled, and how far it may be steered.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig, bore : str
        The rig, and a bore of it; the newest when empty.

    Returns
    -------
    ThisRodView
        Without station and room where the rig has no bore, or where a later pass has begun.

    Raises
    ------
    NoSuchRigError
        If there is no such rig.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    names = tuple(each.name for each in reversed(bores_of(book, at.rig)))
    known = book.bores.get(at.bore)
    under_way = known is not None and at.pass_name == "pilot"
    station = drilled_by(known) + 1 if known is not None and under_way else None
    rods, sure = ("", "")
    string = None
    if known is not None and station is not None:
        who = who_stood_in(book, known, max(station, PLACES_NAMED))
        keys, sure = rods_at_places(book, who, (station,))
        rods = names_in_words([book.things[key].name for key in keys])
        string = front_of_string(book, known, who)
    key = f"this_rod.{at.rig}"
    room = RoomView(Sentence("this_rod.no_bore"), {})
    last, bends, plan = "", BendsNow(), None
    if known is not None and station is None:
        room = RoomView(Sentence("this_rod.pilot_done"), {})
    elif known is not None and station is not None and string is not None:
        last = _last_typed(known, station)
        hole, room = pilot_and_room(book, known, key)
        bends = bends_now(book, known, hole, string, key)
        rod_type = rod_type_of_bore(book, known)
        plan = plan_target(book, known.name, rod_type, hole, station, room.figures, key)
    figures = dict(room.figures)
    if station is not None:
        figures["station"] = Figure(f"{key}.station", float(station), "count", Standing.COMPUTED)
    return ThisRodView(
        is_invented(book), at, station, rods, sure, last, room, caution("rotating"), names, figures,
        two_devices(known) if known is not None else None,
        drilled_anew(known) if known is not None else 0, bends, plan, string,
        _ease(room) if bends.over else None,
    )  # fmt: skip


def _ease(room: RoomView) -> Sentence | None:
    """The first thing to do after an over-steer; None where the easier middle is not known."""
    if "long_from" not in room.figures:
        return None
    ends = {"low": room.figures["long_from"], "high": room.figures["long_to"]}
    return Sentence("this_rod.ease", ends)


def drilled_anew(bore: Bore) -> int:
    """How often a bore was drilled anew beside a hole left behind."""
    pilot = bore.pass_of("pilot")
    return max((old.number for old in pilot.old_holes), default=0) if pilot else 0


def _last_typed(bore: Bore, station: int) -> str:
    """Pitch of the row before in percent: as typed, worked out only where it was not in percent.

    Empty where none was read, and where several were told and nobody picked.
    """
    row = _row(bore, station - 1)
    if row is None or row.pitch is None or "pitch" in row.open:
        return ""
    return row.typed.get("pitch_pct") or f"{100.0 * math.tan(row.pitch):.1f}"


def _row(bore: Bore, station: int) -> Reading | None:
    pilot = bore.pass_of("pilot")
    rows = pilot.readings if pilot else ()
    return next((row for row in rows if row.station == station), None)


def pilot_and_room(book: Book, bore: Bore, key: str) -> tuple[Hole | None, RoomView]:
    """The pilot's hole, and the room of the next rod from the last reading.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : Bore
        One of its bores.
    key : str
        First part of the figures' keys.

    Returns
    -------
    tuple of Hole or None, RoomView
        No hole without rows or a limit of the rods; the room then says what is missing.
    """
    rod_type = rod_type_of_bore(book, bore)
    if rod_type is None or not rod_type.limit_radius:
        return None, RoomView(Sentence("this_rod.no_limit"), {})
    front = front_of(book, bore)
    limits = {"rod": rod_type.limit_radius}  # the one in force for this bore
    if front.limit_radius:
        limits["head"] = front.limit_radius
    governs = max(limits, key=lambda name: limits[name])
    lines = _lines(key, rod_type, limits[governs])
    pilot = bore.pass_of("pilot")
    hole = None if pilot is None else hole_of(
        pilot, rod_type.length, front.length, front.bit_to_sensor, bore.rig_pitch
    )  # fmt: skip
    pitch, heading, unread = _direction(hole, bore)
    if unread:
        count = Figure(f"{key}.unread", float(unread), "count", Standing.MEASURED)
        told = Sentence("this_rod.not_read", {"count": count})
        return hole, RoomView(told, {"unread": count, **lines}, governs)
    if pitch is None:
        return hole, RoomView(Sentence("this_rod.no_pitch"), lines, governs)
    pitches, headings = _told_last(bore, pitch, heading)
    return hole, _told(key, pitches, headings, lines, governs)


def _told_last(
    bore: Bore, pitch: float, heading: float | None
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Every pitch and heading told of the last rod read; the one that counts comes first."""
    pilot = bore.pass_of("pilot")
    rows = [
        row for row in (pilot.readings if pilot else ())
        if row.pitch is not None and row.station % 1 == 0
    ]  # fmt: skip
    last = max(rows, key=lambda row: row.station, default=None)
    told = (last, *last.alternatives) if last is not None else ()
    pitches = (pitch, *(row.pitch for row in told if row.pitch is not None))
    headings = (heading, *(row.heading for row in told))
    known = (each for each in headings if each is not None and heading is not None)
    return tuple(dict.fromkeys(pitches)), tuple(dict.fromkeys(known))


def _direction(hole: Hole | None, bore: Bore) -> tuple[float | None, float | None, int]:
    """Pitch and heading read last, and how many rods went by since without a pitch."""
    if hole is None:
        return bore.rig_pitch, None, 0
    full = ~hole.readings.is_inside
    pitch, heading = hole.readings.pitch[full], hole.readings.heading[full]
    known = np.flatnonzero(np.isfinite(pitch))
    if not known.size:
        return None, None, len(pitch)
    last = int(known[-1])
    across = float(heading[last])
    return (
        float(pitch[last]), across if math.isfinite(across) else None, len(pitch) - 1 - last
    )  # fmt: skip


def _lines(key: str, rod_type: RodType, radius: float) -> dict[str, Figure]:
    """What the room follows from: known before anything was read."""
    easy = max(LONG_LIFE_DIAMETERS * rod_type.tube_od, radius)
    return {
        "limit_radius": Figure(f"{key}.limit_radius", radius, "radius", Standing.MEASURED),
        "long_radius": Figure(f"{key}.long_radius", easy, "radius", Standing.ASSUMED),
        "length": Figure(f"{key}.length", rod_type.length, "length", Standing.MEASURED),
    }


def _told(
    key: str,
    pitches: tuple[float, ...],
    headings: tuple[float, ...],
    lines: dict[str, Figure],
    governs: str,
) -> RoomView:
    """Room from every pitch told of the last rod: what keeps the limit from each of them."""
    length, radius, long_radius = (
        lines[name].value or 0.0 for name in ("length", "limit_radius", "long_radius")
    )
    error = ReadingError()
    pitch = pitches[0]
    room = min(_up_and_down(length, radius, error, each).room for each in pitches)
    easy = room_left(length, long_radius, 0.0, 0.0)
    computed, measured, assumed = Standing.COMPUTED, Standing.MEASURED, Standing.ASSUMED
    low, high = min(pitches), max(pitches)
    figures = {"last": Figure(f"{key}.last", pitch, "slope", measured)}
    if low < high:
        figures["last_low"] = Figure(f"{key}.last_low", low, "slope", measured)
        figures["last_high"] = Figure(f"{key}.last_high", high, "slope", measured)
        if high - room > low + room:
            ends = {"low": figures["last_low"], "high": figures["last_high"]}
            return RoomView(Sentence("this_rod.two_apart", ends), {**figures, **lines}, governs)
    figures |= {
        "from": Figure(f"{key}.from", high - room, "slope", computed),
        "to": Figure(f"{key}.to", low + room, "slope", computed),
        "room": Figure(f"{key}.room", room, "angle", computed),
        **lines,
    }
    if high - easy.limit <= low + easy.limit:
        figures["long_from"] = Figure(f"{key}.long_from", high - easy.limit, "slope", assumed)
        figures["long_to"] = Figure(f"{key}.long_to", low + easy.limit, "slope", assumed)
    if headings:
        level = max(math.cos(pitch), 0.1)
        sideways = _sideways(length, radius, error, pitch)
        apart = max(abs(math.remainder(each - headings[0], math.tau)) for each in headings)
        half = sideways.sideways(room / 2.0)
        across = {"sideways": sideways.room, "half_sideways": half}
        figures["heading"] = Figure(f"{key}.heading", headings[0], "angle", measured)
        figures |= {
            name: Figure(f"{key}.{name}", max(change / level - apart, 0.0), "angle", computed)
            for name, change in across.items()
        }
    values = {"low": figures["from"], "high": figures["to"], "radius": figures["limit_radius"]}
    return RoomView(Sentence(f"this_rod.room_{governs}", values), figures, governs)


def _up_and_down(length: float, radius: float, error: ReadingError, pitch: float) -> RoomLeft:
    sd = float(error.pitch_sd(np.array(pitch)))
    return room_left(length, radius, sd, sd)


def _sideways(length: float, radius: float, error: ReadingError, pitch: float) -> RoomLeft:
    sd = float(error.sideways_sd(np.array(pitch)))
    return room_left(length, radius, sd, sd)


def keep_row(
    folder: Path, rig: str, bore: str, station: str, what: str, typed: dict[str, str], by: str = ""
) -> str:
    """Keep the row of one rod.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig, bore, station : str
        Where it was read.
    what : {"read", "same", "not read"}
        A pitch typed, said to be the same as the one before, or none read.
    typed : dict
        Columns and texts of the form; blanks are left out.
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the entry.

    Raises
    ------
    BadInputError
        If no pitch was typed, or something typed cannot be.
    NoSuchRigError
        If there is no such rig.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    known = book.bores.get(at.bore)
    if known is None:
        raise BadInputError([Fault("press_no_bore", rig, column="bore")], SOURCE)
    payload = {"bore": at.bore, "station": station}
    payload |= {name: text for name, text in typed.items() if name in TYPED and text}
    if what == "same":
        number = int(station) if station.isdigit() else 0
        payload |= {"pitch_pct": _last_typed(known, number), "signs": AS_BEFORE}
    elif what == NOTHING_READ:
        payload.pop("pitch_pct", None)
    if what != NOTHING_READ and not payload.get("pitch_pct"):
        raise BadInputError([Fault("this_rod_no_pitch", column="pitch_pct")], SOURCE)
    return enter(folder, [Draft("reading", payload, "", "", by)], SOURCE).entries[0].id
