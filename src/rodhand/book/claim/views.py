"""What the file of a break or loss shows: facts on record, each with its standing and its dates."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.views import BendShare, BoreShare, Figures, SectionRow


@dataclass(frozen=True)
class IncidentRow:
    """One break, loss or event as entered.

    what: break / loss / event. thing, bore, section: empty when not said. bore_said: whether the
    entry names the bore; else it follows from dates. figures: station, place.
    """

    what: str
    thing: str
    bore: str
    bore_said: bool
    section: str
    happened: str
    entered: str
    entry: str
    by: str
    note: str
    figures: Figures


@dataclass(frozen=True)
class DatedLine:
    """One entry with both its dates.

    known: before / same day / after the day of the break or loss, by the day it was typed; empty
    when that day is unknown. late: it happened before that day and was typed on it or later.
    """

    entry: str
    happened: str
    entered: str
    known: str
    late: bool
    kind: str
    text: Sentence
    struck: bool
    by: str


@dataclass(frozen=True)
class KnownThen:
    """What the book gave for one thing from the entries typed by the end of a day.

    day: ISO. standing, reasons: as this version works them out from those entries. figures:
    life_used (band), design, entries.
    """

    day: str
    standing: str
    reasons: tuple[Verdict, ...]
    figures: Figures


@dataclass(frozen=True)
class PassOfThing:
    """One pass of one bore as it counts for a thing.

    what is empty where the passes are not told apart, because its place is in doubt. figures:
    place, turns, hole_diameter.
    """

    bore: str
    happened: str
    what: str
    who: str
    recorded: bool
    rung: str
    figures: Figures


@dataclass(frozen=True)
class BendOver:
    """A bend over or likely over a limit.

    how: passed / in_it / may_have. figures: share, radius.
    """

    bore: str
    happened: str
    station: float
    verdict: str
    how: str
    figures: Figures


@dataclass(frozen=True)
class MakeupRow:
    """A torque at a joint of a thing, or that its joints saw.

    what: reading / shift / spike. side: toward_the_tool / toward_the_rig; empty where it is
    about all of them. figures: torque, share, limit (the make-up torque it is held against).
    """

    bore: str
    happened: str
    station: float | None
    what: str
    side: str
    figures: Figures


@dataclass(frozen=True)
class LookRow:
    """A look at a thing or work done on it; figures: reading, second_reading, removed."""

    happened: str
    entered: str
    what: str
    end: str
    found: str
    gauge: str
    figures: Figures


@dataclass(frozen=True)
class SisterRow:
    """A rod of the same set or batch, or that went through the same bores.

    how: codes set / batch / bores. figures: bores_in_common, life_used.
    """

    key: str
    name: str
    set: str
    how: tuple[str, ...]
    where: str
    standing: str
    last_look: str
    figures: Figures


@dataclass(frozen=True)
class DownHoleRow:
    """One thing down the hole. known: itself / entered / of_the_rig; figures: value."""

    key: str
    name: str
    what: str
    serial: str
    known: str
    where: str
    figures: Figures


@dataclass(frozen=True)
class PhotoRow:
    """A photo: entered, found in the folder, or both. state: see `rodhand.book.claim.photos`."""

    file: str
    sha256: str
    state: str
    entered: str
    things: tuple[str, ...]
    note: str
    figures: Figures


@dataclass(frozen=True)
class ClaimThing:
    """Everything on record about one thing that broke or was lost.

    figures: life_used (band), design, metres, rotating_time, bores, turns, length, assumed_share.
    """

    key: str
    name: str
    marks: tuple[str, ...]
    what: str
    set: str
    rod_type: str
    bought: str
    serial: str
    where: str
    standing: str
    figures: Figures
    sections: tuple[SectionRow, ...]
    bores: tuple[BoreShare, ...]
    passes: tuple[PassOfThing, ...]
    bends: tuple[BendShare, ...]
    overs: tuple[BendOver, ...]
    makeups: tuple[MakeupRow, ...]
    looks: tuple[LookRow, ...]
    facts: tuple[Sentence, ...]
    then: KnownThen | None
    unknown: tuple[Sentence, ...]


@dataclass(frozen=True)
class ClaimView:
    """The file of a break or loss.

    kind: thing / bore. day, day_before: of the break or loss, empty when not known. gauges: how
    the make-up gauges compared, compounds in use. keep: steel to keep as it is. rests_on: ids of
    the entries it rests on. figures: entries, rests_on, known_before, late, values.
    """

    subject: str
    kind: str
    invented: bool
    as_of: str
    day: str
    day_before: str
    incidents: tuple[IncidentRow, ...]
    things: tuple[ClaimThing, ...]
    timeline: tuple[DatedLine, ...]
    sisters: tuple[SisterRow, ...]
    gauges: tuple[Sentence, ...]
    items: tuple[DownHoleRow, ...]
    string: tuple[Sentence, ...]
    unknown: tuple[Sentence, ...]
    photos: tuple[PhotoRow, ...]
    keep: tuple[Sentence, ...]
    rests_on: tuple[str, ...]
    figures: Figures
