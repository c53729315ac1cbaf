"""Why the room left to steer the rod being drilled is what it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.opening import book_in
from rodhand.book.rig.this_rod import RoomView, pilot_and_room
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart, WhyView
from rodhand.book.work.at_hand import at_hand
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.hole.limits import USUAL_CUTOFFS
from rodhand.hole.readings import ReadingError
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
KEY = "why.room"


def why_room(folder: Path, rig: str, bore: str = "") -> WhyView:
    """The room left for the rod being drilled, with what it rests on.

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
        One number: the room, and the two pitches it leaves.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    NoSuchNumberError
        If no room is told: no bore, the pilot done, or no pitch read last.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    at = at_hand(book, rig, bore)
    known = book.bores.get(at.bore)
    if known is None or at.pass_name != "pilot":
        raise NoSuchNumberError(rig)
    room = pilot_and_room(book, known, KEY)[1]
    if "room" not in room.figures:
        raise NoSuchNumberError(rig)
    results = [
        WhyInput("room", None, Figure(f"{KEY}.left", room.figures["room"].value, "fine_angle", C)),
        *(WhyInput(f"room_{code}", None, room.figures[code]) for code in ("from", "to")),
    ]
    how = [Sentence("why.how_room")]
    if "sideways" in room.figures:
        results.append(WhyInput("room_sideways", None, room.figures["sideways"]))
        how.append(Sentence("why.how_room_sideways"))
    part = WhyPart(Sentence("why.room_part"), tuple(results), tuple(how),
                   tuple(_inputs(book, known, room)))  # fmt: skip
    return WhyView(
        Sentence("why.title_room", {"rig": at.rig}), is_invented(book), (part,),
        f"/rig-rod/{at.rig}", Sentence("why.back_room", {"rig": at.rig}),
    )  # fmt: skip


def _inputs(book: Book, bore: Bore, room: RoomView) -> Iterator[WhyInput]:
    figures = room.figures
    pilot = bore.pass_of("pilot")
    rows = [
        r for r in (pilot.readings if pilot else ()) if r.pitch is not None and r.station % 1 == 0
    ]
    last = max(rows, key=lambda row: row.station, default=None)
    if last is not None:
        source = Sentence("why.source.reading", {"station": f"{last.station:g}"})
        if "last_low" in figures:
            for name in ("last_low", "last_high"):
                told = (row for row in (last, *last.alternatives))
                entry = next(r.origin.entry for r in told if r.pitch == figures[name].value)
                yield WhyInput("pitch_last", source, figures[name], entry=entry)
        else:
            yield WhyInput("pitch_last", source, figures["last"], entry=last.origin.entry)
    else:
        yield WhyInput("pitch_last", Sentence("why.source.rig_pitch"), figures["last"],
                       entry=bore.origin.entry)  # fmt: skip
    rod_type = rod_type_of_bore(book, bore)
    name = rod_type.name if rod_type else ""
    typed = Sentence("why.source.rod_type", {"name": name})
    yield WhyInput("rod_length", typed, figures["length"])
    radius = figures["limit_radius"].value
    limit = Figure(f"{KEY}.limit", radius, "length", A)
    if room.governs == "head":
        front = front_of(book, bore)
        head = book.thing_named(bore.head, day_of(bore.origin.happened.start))
        source = Sentence("why.source.limit_head", {"name": front.name})
        yield WhyInput("limit_radius", source, limit, entry=head.origin.entry if head else "")
    else:
        given = book.limits.get(name, ())
        entry = next((x.origin.entry for x in reversed(given) if x.radius == radius), "")
        source = Sentence("why.source.limit_rods", {"name": name})
        yield WhyInput("limit_radius", source, limit, entry=entry)
    usual = ReadingError()
    common = Sentence("why.source.reading_error")
    yield WhyInput("repeat", common, Figure(f"{KEY}.repeat", usual.pitch_repeat, "fine_share", A))
    yield WhyInput("step", common, Figure(f"{KEY}.step", usual.pitch_step, "fine_share", A))
    if "heading" in figures:
        figure = Figure(f"{KEY}.heading_error", usual.heading, "fine_angle", A)
        yield WhyInput("heading_error", common, figure)
        source = Sentence("why.source.reading", {"station": f"{last.station:g}" if last else "0"})
        yield WhyInput("heading_last", source, figures["heading"],
                       entry=last.origin.entry if last else "")  # fmt: skip
    yield WhyInput("from_within_error", Sentence("why.source.cutoff"),
                   Figure(f"{KEY}.within", USUAL_CUTOFFS.within_error, "share", A))  # fmt: skip
