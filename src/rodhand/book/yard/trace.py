"""One bad end: what it met since it was last seen sound, and what the likely cause met."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.tasks.standings import all_standings
from rodhand.book.tasks.task_parts import in_use
from rodhand.book.tasks.walking import WalkStop, place_in_words, walking_order
from rodhand.book.telling import in_name_order
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.make_ups import ENDS, EndLife, OnRecord, make_ups_on_record
from rodhand.book.work.verdicts import caution
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.drillstring.meetings import Thread
from rodhand.units import Figure, Standing
from rodhand.wear.tracing import FURTHEST, SUREST_FIRST, Reached, likely_sources, spread
from rodhand.words import say

C = Standing.COMPUTED
SUSPECTS_SHOWN = 5


@dataclass(frozen=True)
class TraceRow:
    """An end that the bad end reached.

    Parameters
    ----------
    name, end : str
        The thing's name and which of its ends.
    hand : int
        1 met the bad end itself, 2 met one that did, and so on.
    by : str
        Name of the thing it had it from.
    bore : str
        The bore they met in.
    known : str
        How sure: the least sure joint of the way there.
    where : str
        Where it lies now.
    standing, found : str
        Its standing now, and what was found on this end since; empty where nothing was.
    """

    name: str
    end: Thread
    hand: int
    by: str
    bore: str
    known: str
    where: str
    standing: str
    found: str


@dataclass(frozen=True)
class SuspectRow:
    """An end that may have spoiled the bad one; figures spoiled and met are counts of ends."""

    name: str
    end: Thread
    known: str
    found: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class TraceView:
    """The page of one traced end.

    Parameters
    ----------
    name, end : str
        The thing and the end asked for.
    invented : bool
        Whether the book says of itself that it is invented.
    lead : Sentence
        What was found on it and when, and since when it counts as bad.
    first, further : tuple of TraceRow
        First hands, and all hands after; what is scrapped, sold or lost left out.
    cleared : dict of str to tuple of str
        By end, things that it reached but that were seen sound or mended since; not in the rows.
    suspects : tuple of SuspectRow
        The likely cause, the likeliest first.
    walk : tuple of WalkStop
        First hands only, as they lie.
    caution : Sentence
        What to mind when cleaning and looking.
    limits : tuple of Sentence
        What the trace cannot know.
    figures : dict
        first and further: how many.
    """

    name: str
    end: Thread
    invented: bool
    lead: Sentence
    first: tuple[TraceRow, ...]
    further: tuple[TraceRow, ...]
    cleared: dict[str, tuple[str, ...]]
    suspects: tuple[SuspectRow, ...]
    walk: tuple[WalkStop, ...]
    caution: Sentence
    limits: tuple[Sentence, ...]
    figures: dict[str, Figure]


def trace_view(assessment: Assessment, name: str, end: str) -> TraceView:
    """Trace one end both ways.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name, end : str
        Mark or key of the thing; ``pin`` or ``box``.

    Returns
    -------
    TraceView
        The end counts as bad since it was last seen sound, dressed, re-cut or replaced before it
        was found bad; without a finding, since the last time. Counts and ranks, no cause.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key, or there is no such end.
    """
    thing = assessment.book.thing_named(name)
    if thing is None or end not in ENDS:
        raise NoSuchThingError(name)
    which: Thread = "pin" if end == "pin" else "box"
    record = make_ups_on_record(assessment)
    life = record.lives.get((thing.key, which), EndLife())
    spell = life.spell_of_look(life.bad[-1][0]) if life.bad else len(life.clear)
    number = record.number_of(thing.key, which, spell)
    rows, cleared = ((), {}) if number is None else _rows(assessment, record, number)
    first = tuple(row for row in rows if row.hand == 1)
    own = f"trace.{thing.name}.{which}"
    counts = {"first": float(len(first)), "further": float(len(rows) - len(first))}
    return TraceView(
        name=thing.name,
        end=which,
        invented=assessment.invented,
        lead=_lead(life, spell, number is None),
        first=first,
        further=tuple(row for row in rows if row.hand > 1),
        cleared=cleared,
        suspects=() if number is None else _suspects(assessment, record, number, own),
        walk=walking_order(assessment, [row.name for row in first]),
        caution=caution("threads"),
        limits=(
            Sentence("trace.limit_bores"),
            Sentence("trace.limit_hands", {"hands": f"{FURTHEST}"}),
        ),
        figures={key: Figure(f"{own}.{key}", value, "count", C) for key, value in counts.items()},
    )


def _lead(life: EndLife, spell: int, alone: bool) -> Sentence:
    since = day_of(life.clear[spell - 1]) if spell else ""
    values: dict[str, str | Figure] = {"since": since or say("trace.never")}
    if life.bad:
        at, finding = life.bad[-1]
        values |= {"finding": finding, "day": day_of(at) or say("number.unknown")}
    key = "found" if life.bad else "not_found"
    return Sentence(f"trace.{key}{'_alone' if alone else ''}", values)


def _rows(
    assessment: Assessment, record: OnRecord, bad: int
) -> tuple[tuple[TraceRow, ...], dict[str, tuple[str, ...]]]:
    """Ends reached, nearest hand first, then the surest, then as they were met; ends cleared since.

    An end has as many numbers as it was cleared; only one that was not cleared after is to look at.
    """
    reached = spread(record.make_ups, bad)
    ends = np.flatnonzero(reached.hands > 0)
    order = record.make_ups.order[reached.by[ends]]
    ranked = ends[np.lexsort((order, reached.known[ends], reached.hands[ends]))]
    usable = in_use(assessment)
    rows: list[TraceRow] = []
    cleared: set[tuple[str, str]] = set()
    for number in ranked.tolist():
        key, end, spell = record.ends[number]
        if key not in usable or (key, end) == record.ends[bad][:2]:
            continue
        if spell < len(record.lives.get((key, end), EndLife()).clear):
            cleared.add((assessment.book.things[key].name, end))
        else:
            rows.append(_row(assessment, record, reached, number))
    cleared -= {(row.name, row.end) for row in rows}
    by_end = {end: in_name_order(name for name, at in cleared if at == end) for end in ENDS}
    return tuple(rows), {end: names for end, names in by_end.items() if names}


def _row(assessment: Assessment, record: OnRecord, reached: Reached, number: int) -> TraceRow:
    things = assessment.book.things
    key, end, _ = record.ends[number]
    made = int(reached.by[number])
    pin, box = int(record.make_ups.pin[made]), int(record.make_ups.box[made])
    return TraceRow(
        things[key].name, end, int(reached.hands[number]),
        things[record.ends[box if number == pin else pin][0]].name,
        record.bore_of[made], str(SUREST_FIRST[int(reached.known[number])]),
        place_in_words(assessment, key), all_standings(assessment)[key][0],
        _found_on(record, number),
    )  # fmt: skip


def _found_on(record: OnRecord, number: int) -> str:
    key, end, spell = record.ends[number]
    life = record.lives.get((key, end), EndLife())
    found = [(at, finding) for at, finding in life.bad if life.spell_of_look(at) == spell]
    return f"{found[0][1]}, {day_of(found[0][0])}" if found else ""


def _suspects(
    assessment: Assessment, record: OnRecord, bad: int, own: str
) -> tuple[SuspectRow, ...]:
    """The likeliest causes; of an end under two numbers the likelier counts."""
    ranked = likely_sources(record.make_ups, bad, record.found_at)
    made: dict[tuple[str, Thread], SuspectRow] = {}
    for k, number in enumerate(ranked.end.tolist()):
        key, end, _ = record.ends[number]
        name = assessment.book.things[key].name
        if (key, end) in made:
            continue
        counts = {"spoiled": float(ranked.spoiled[k]), "met": float(ranked.met[k])}
        made[key, end] = SuspectRow(
            name, end, str(SUREST_FIRST[int(ranked.known[k])]), _found_on(record, number),
            {each: Figure(f"{own}.{name}.{each}", value, "count", C)
             for each, value in counts.items()},
        )  # fmt: skip
        if len(made) == SUSPECTS_SHOWN:
            break
    return tuple(made.values())
