"""What pages, papers and commands show: plain records filled by the use cases.

A template only prints what stands here. Every number is a `Figure`, every text a `Sentence` or a
name somebody typed, so a page, a paper and the JSON twin cannot tell different stories.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.rig.two_views import TwoDevices
from rodhand.book.work.lacking import Lacking
from rodhand.units import Figure

Figures = Mapping[str, Figure]
"""Figures by short name within their row; each figure also carries its full key."""


@dataclass(frozen=True)
class StationRow:
    """One row of a bore's path.

    figures: measured_length, north, east, depth, pitch, heading, bend, bend_percent, bend_radius,
    share_of_limit, bend_low, bend_high (band of the bend), read_depth, rotating_time, push.
    over: over / likely / within_error / no / unknown. inside: a reading inside the rod.
    """

    station: float
    inside: bool
    over: str
    figures: Figures


@dataclass(frozen=True)
class RodRow:
    """One rod of a bore's string, as it stands at the moment shown.

    who: marked / by row / set only / unknown; loads_ago: bores since the box's order was last
    confirmed. start, end: its ends along the hole [m], NaN-free;
    in_hole False when it stands outside. name: as it was known on the day of the bore; since: the
    name it goes by now where that is another. figures: place, turns, life_used (band, this bore to
    then), life_used_all (band, all its history to then), assumed_share, turns_tighter_30 ... 500.
    """

    key: str
    name: str
    place: int
    who: str
    in_hole: bool
    start: float
    end: float
    standing: str
    mostly_assumed: bool
    figures: Figures
    loads_ago: int | None = None
    since: str = ""


@dataclass(frozen=True)
class OverSteerRow:
    """One bend over, likely over or within reading error of a limit, and the rods it concerns.

    Rods are named as they were known on the day of the bore. in_box: where those without a mark
    lay, by row and number; marked_since: what is written on them now; not_known: what nobody
    knows of which rods they are and of the bend; best: the rod's bend with its 90 % band given all
    readings of the bore; cost: what it took in all passes.
    """

    station: float
    verdict: str
    limit: str
    sentence: Sentence
    passed: tuple[str, ...]
    in_it: tuple[str, ...]
    to_come: tuple[str, ...]
    start: float
    end: float
    figures: Figures
    in_box: Sentence | None = None
    marked_since: Sentence | None = None
    not_known: tuple[Sentence, ...] = ()
    best: Sentence | None = None
    cost: tuple[Sentence, ...] = ()


@dataclass(frozen=True)
class PassRow:
    """One pass of a bore: figures turns, rotating_time, hole_diameter; rung says whence turns."""

    name: str
    what: str
    recorded: bool
    rung: str
    figures: Figures


@dataclass(frozen=True)
class Picture:
    """What the picture of a bore is drawn from; all lengths in metres.

    along, down, right: the path's points (distance from entry level, depth, to the right; right
    is empty when heading is unknown). bend_edges: ends of the bend bars along the hole; bend,
    bend_low, bend_high: mean bend [rad per rod length]; NaN where unread. limit, long_life: lines
    [rad per rod length]. tool: tool's position along the hole; head_name: what leads. old: points
    (along, down, right) of each hole left behind, from where it was left.
    """

    measured: tuple[float, ...]
    along: tuple[float, ...]
    down: tuple[float, ...]
    right: tuple[float, ...]
    bend_edges: tuple[float, ...]
    bend: tuple[float, ...]
    bend_low: tuple[float, ...]
    bend_high: tuple[float, ...]
    limit: float
    long_life: float
    rod_length: float
    tool: float
    drilled: float
    head_name: str
    old: tuple[tuple[tuple[float, float, float], ...], ...] = ()


@dataclass(frozen=True)
class OldRow:
    """One rod of a hole left behind: figures pitch, share (of the limit); its verdict."""

    station: float
    over: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class OldHoleView:
    """A hole left behind.

    Parameters
    ----------
    told : tuple of Sentence
        Which, from where, which rods turned in it, and how they came back.
    rows : tuple of OldRow
        What was read in it beyond where it was left.
    figures : dict
        turns in it, the way back with them.
    """

    number: int
    told: tuple[Sentence, ...]
    rows: tuple[OldRow, ...]
    figures: dict[str, Figure]


@dataclass(frozen=True)
class BoreView:
    """One bore at one moment of its work.

    at_pass, at: the pass and the tool's position shown (end of the bore when not asked).
    figures: length, at, rods, stations, deepest, rotating_time, turns_total. slider: for each
    pass its name and first and last tool position [m]. cost: what it took of its rods; lacking: the
    price nobody gave for it; on no paper. two: values several devices told of one rod.
    """

    name: str
    rig: str
    rod_type: str
    place: str
    ground: str
    under: str
    happened: str
    invented: bool
    at_pass: str
    at: float
    figures: Figures
    stations: tuple[StationRow, ...]
    rods: tuple[RodRow, ...]
    over_steers: tuple[OverSteerRow, ...]
    three_rod: tuple[OverSteerRow, ...]
    passes: tuple[PassRow, ...]
    slider: tuple[tuple[str, float, float], ...]
    picture: Picture
    warnings: tuple[Sentence, ...]
    verdicts: tuple[Verdict, ...]
    measured_how: tuple[Sentence, ...]
    cost: Sentence | None = None
    lacking: tuple[Lacking, ...] = ()
    two: TwoDevices | None = None
    old_holes: tuple[OldHoleView, ...] = ()


@dataclass(frozen=True)
class HistoryLine:
    """One entry about a thing, for its whole history; struck entries stay, marked."""

    entry: str
    happened: str
    kind: str
    text: Sentence
    struck: bool
    by: str


@dataclass(frozen=True)
class BoreShare:
    """What one bore did to one rod: figures turns, life_used, share, tightest_radius, place.

    places: where it stood, or the places it may have stood in; loads_ago: bores since the box's
    order was last confirmed. outside: work that is no bore of this book.
    """

    bore: str
    happened: str
    who: str
    figures: Figures
    places: tuple[int, ...] = ()
    loads_ago: int | None = None
    outside: bool = False


@dataclass(frozen=True)
class IdentityRow:
    """What a thing became on one day, and was from then on.

    figures: length, pin_generation, box_generation, life_used (band, to that day).
    """

    day: str
    changes: tuple[Sentence, ...]
    name: str
    set: str
    where: str
    figures: Figures


@dataclass(frozen=True)
class BendShare:
    """What one bend did to one rod: figures radius, turns, share (of its life used)."""

    bore: str
    station: float
    over: str
    figures: Figures


@dataclass(frozen=True)
class SectionRow:
    """Life used of one of a rod's five sections: figures low, best, high, design."""

    section: str
    governs: bool
    figures: Figures


@dataclass(frozen=True)
class ThingView:
    """One thing's whole history and where it stands.

    figures: life_used (band), design, metres, rotating_time, bores, length, assumed_share, turns,
    chance_low and chance_high (1 in N, where shown). facts: what is on record and counts, no cause.
    mates: what its ends met last, with how sure. identity: who it was from day to day; others:
    other things that carried one of its marks at another time.
    """

    key: str
    name: str
    marks: tuple[str, ...]
    what: str
    set: str
    rod_type: str
    where: str
    standing: str
    invented: bool
    figures: Figures
    verdicts: tuple[Verdict, ...]
    sections: tuple[SectionRow, ...]
    bores: tuple[BoreShare, ...]
    bends: tuple[BendShare, ...]
    facts: tuple[Sentence, ...]
    mates: tuple[Sentence, ...]
    history: tuple[HistoryLine, ...]
    unknown: tuple[Sentence, ...]
    identity: tuple[IdentityRow, ...] = ()
    others: tuple[Sentence, ...] = ()


@dataclass(frozen=True)
class WeekLine:
    """One of at most seven lines: who, which things, where they stand, what, why, how long."""

    who: str
    things: tuple[str, ...]
    where: str
    verdict: Verdict
    how_long: Figure
    link: str


@dataclass(frozen=True)
class MovedRow:
    """Things a changed rule moved alike; ``held`` when they keep the worse standing."""

    things: tuple[str, ...]
    before: str
    after: str
    held: bool


@dataclass(frozen=True)
class MovedBatch:
    """What was found moved at one time, and which changed rules moved it."""

    when: str
    why: tuple[Sentence, ...]
    rows: tuple[MovedRow, ...]
    seen: bool


@dataclass(frozen=True)
class WeekView:
    """This week: what the crew has to do, loudest first.

    bends: over-steers of the season with rods passed, in it, still to come. rest: findings beyond
    the seven lines, shortly. figures: not_looked_at, rods, bores, copy_age, entries. copy_note:
    told when the last copy is old. moved: what changed rules moved and nobody has marked as seen.
    """

    as_of: str
    invented: bool
    lines: tuple[WeekLine, ...]
    rest: tuple[WeekLine, ...]
    bends: tuple[tuple[str, OverSteerRow], ...]
    nothing: Sentence | None
    warnings: tuple[Sentence, ...]
    figures: Figures
    copy_note: Sentence | None = None
    moved: tuple[MovedBatch, ...] = ()


@dataclass(frozen=True)
class YardRod:
    """One rod in its row: figures life_used (band), metres; assumed_share where there is any."""

    key: str
    name: str
    standing: str
    mostly_assumed: bool
    figures: Figures


@dataclass(frozen=True)
class YardRow:
    """One row of a box, near side first, or a group of rods not in a box.

    ``counts`` holds how many of its rods have each standing; ``loudest`` whether it is the one row
    of the yard that asks for most, shown open.
    """

    label: Sentence
    rods: tuple[YardRod, ...]
    counts: Mapping[str, Figure] = field(default_factory=dict)
    loudest: bool = False


@dataclass(frozen=True)
class LeftInHole:
    """Rods that count as in the hole since a day before today.

    ``since`` is the ISO day of the last row of the bore.
    """

    rig: str
    bore: str
    since: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class YardView:
    """Rods as they lie, per rig and set; counts of standings; looks due.

    ``left`` holds what a rig's string left in the hole by the record, by rig; ``unloaded`` the rigs
    of whose box nobody wrote how the rods lie.
    """

    invented: bool
    boxes: tuple[tuple[str, tuple[YardRow, ...]], ...]
    counts: Mapping[str, Figure]
    due: tuple[Verdict, ...]
    left: Mapping[str, LeftInHole] = field(default_factory=dict)
    unloaded: tuple[str, ...] = ()


@dataclass(frozen=True)
class OfficeBore:
    """One bore in the office table: figures length, rods, tightest_radius, life_spent."""

    name: str
    happened: str
    rig: str
    place: str
    ground: str
    over: str
    figures: Figures


@dataclass(frozen=True)
class OfficeSet:
    """One set: figures count, metres, rotating_time, bores, worst (band), breaks_per_1000_hours."""

    name: str
    rod_type: str
    rig: str
    figures: Figures


@dataclass(frozen=True)
class OfficeView:
    """Bores and sets."""

    invented: bool
    bores: tuple[OfficeBore, ...]
    sets: tuple[OfficeSet, ...]
    figures: Figures
