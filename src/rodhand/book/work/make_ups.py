"""Every make-up on record: which box met which pin, in which bore, as sure as both are known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from rodhand.advice.looks import NEW_STEEL, words_in
from rodhand.advice.suspects import GALLING
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of, origins_of
from rodhand.book.work.happenings import saver_sub_on
from rodhand.book.work.pass_work import PassWork
from rodhand.book.work.who import WhoInBore
from rodhand.drillstring.meetings import Meeting, PinToward, Thread, meetings_along
from rodhand.record.book_bores import Bore
from rodhand.record.book_looks import Check, Dressing
from rodhand.wear.tracing import SUREST_FIRST, Integers, MakeUps
from rodhand.wear.who_stood import WhoStood

End = tuple[str, Thread]
ENDS: tuple[Thread, Thread] = ("pin", "box")
SPREADS = (*GALLING, "torn thread", "peaked crests")
"""Findings of a thread that it hands on to what it is made up with (common practice, no source)."""
THREAD_ITEMS = ("full-look", "galling", "thread-form", "saver-sub")
"""Looks that see the thread: *sound* there says nothing was handed on before it."""
MENDED = (*NEW_STEEL, "dressed")


@dataclass(frozen=True)
class Candidates:
    """Who may have stood in one place of a string: one, or several who share their doubt."""

    things: tuple[str, ...]
    known: WhoStood


@dataclass(frozen=True)
class EndLife:
    """What is known of one thread over time, as starts of moments (ISO text, '' unknown).

    Parameters
    ----------
    clear : tuple of str
        When it was seen sound, dressed, re-cut or replaced, in order.
    bad : tuple of (str, str)
        When something that spreads was found on it, and what.
    """

    clear: tuple[str, ...] = ()
    bad: tuple[tuple[str, str], ...] = ()

    def spell_of_bore(self, ended: str) -> int:
        """How many clears lie before a bore: those of which it is not sure that it had ended."""
        return sum(1 for clear in self.clear if not (ended and clear and ended <= clear))

    def spell_of_look(self, at: str) -> int:
        """How many clears lie before a look; one of the same moment came after it."""
        return sum(1 for clear in self.clear if not at or clear < at)


@dataclass(frozen=True, eq=False)
class OnRecord:
    """All make-ups of a book, ready to be traced.

    Parameters
    ----------
    make_ups : MakeUps
        By number of end.
    ends : tuple of (str, str, int)
        Thing, end and spell of each number; a spell ends when the end was seen sound or mended.
    bore_of : tuple of str
        Bore of each make-up.
    found_at : (ends,) array of int
        Count of the work by which each end was found bad in its spell; -1 never.
    lives : mapping of (str, str) to EndLife
        What looks and work say of each end.
    """

    make_ups: MakeUps
    ends: tuple[tuple[str, Thread, int], ...]
    bore_of: tuple[str, ...]
    found_at: Integers
    lives: dict[End, EndLife]

    def number_of(self, key: str, end: Thread, spell: int) -> int | None:
        """Number of an end in a spell; None if it was in no make-up."""
        wanted = (key, end, spell)
        return self.ends.index(wanted) if wanted in self.ends else None


def end_lives(assessment: Assessment) -> dict[End, EndLife]:
    """What looks and work say of every thread; a look that names no end holds for both."""
    clear: dict[End, list[str]] = {}
    bad: dict[End, list[tuple[str, str]]] = {}
    for check in assessment.book.checks:
        found = [w.finding for w in words_in(check.found, assessment.words) if w.standing]
        at = check.origin.happened.start
        spreads = [finding for finding in found if finding in SPREADS]
        for end in _ends_of(check):
            if spreads:
                bad.setdefault(end, []).append((at, spreads[0]))
            elif _says_sound(check, assessment):
                clear.setdefault(end, []).append(at)
    for work in assessment.book.dressings:
        if work.what in MENDED:
            for end in _ends_of(work):
                clear.setdefault(end, []).append(work.origin.happened.start)
    return {
        end: EndLife(tuple(sorted(clear.get(end, ()))), tuple(sorted(bad.get(end, ()))))
        for end in {**clear, **bad}
    }


def _says_sound(check: Check, assessment: Assessment) -> bool:
    known = words_in(check.found, assessment.words)
    return check.item in THREAD_ITEMS and bool(known) and not any(w.standing for w in known)


def _ends_of(said: Check | Dressing) -> list[End]:
    named = [end for end in ENDS if said.end in (end, "", "whole")]
    return [(key, end) for key in said.things for end in named]


@lru_cache(maxsize=4)
def make_ups_on_record(assessment: Assessment) -> OnRecord:
    """Every make-up of the bores worked through, in the order of the work.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    OnRecord
        Each rod added or taken off at the rig meets the saver sub; neighbours in the string meet
        each other, the first rod meets the head. Where several rods share a doubt, each meeting
        any of them may have had is in it, at its first and its last chance.
    """
    lives = end_lives(assessment)
    numbers: dict[tuple[str, Thread, int], int] = {}
    rows: list[tuple[int, int, int, int]] = []
    bores: list[str] = []
    counts: list[tuple[str, int]] = []
    count = 0
    for name, work in assessment.works.items():
        ended = _ended(work.bore)
        for meeting, at, known in _of_bore(assessment, name):
            pair = []
            for key, end in ((meeting.pin_of, ENDS[0]), (meeting.box_of, ENDS[1])):
                spell = lives[key, end].spell_of_bore(ended) if (key, end) in lives else 0
                pair.append(numbers.setdefault((key, end, spell), len(numbers)))
            rows.append((pair[0], pair[1], count + at, SUREST_FIRST.index(known)))
            bores.append(name)
            counts.append((work.bore.origin.happened.start, rows[-1][2]))
        count = rows[-1][2] + 1 if rows else 0
    table = np.array(rows, dtype=np.int64).reshape(-1, 4)
    make_ups = MakeUps(table[:, 0], table[:, 1], table[:, 2], table[:, 3], len(numbers))
    ends = tuple(numbers)
    found_at = np.array([_found_at(end, lives, counts) for end in ends], dtype=np.int64)
    return OnRecord(make_ups, ends, tuple(bores), found_at, lives)


@lru_cache(maxsize=64)
def first_met(assessment: Assessment, key: str) -> dict[str, str]:
    """Things made up with another one, and the ISO day of the bore in which they first were."""
    record = make_ups_on_record(assessment)
    bores = assessment.book.bores
    found: dict[str, str] = {}
    for pin, box, bore in zip(
        record.make_ups.pin.tolist(), record.make_ups.box.tolist(), record.bore_of, strict=True
    ):
        one, other = record.ends[pin][0], record.ends[box][0]
        if key in (one, other):
            day = day_of(bores[bore].origin.happened.start)
            found.setdefault(other if one == key else one, day)
    return found


def _ended(bore: Bore) -> str:
    """The last minute a bore may have been worked on; empty when that is not known."""
    ends = [origin.happened.end for origin in origins_of(bore)]
    return max(ends) if all(ends) else ""


def _found_at(
    end: tuple[str, Thread, int], lives: dict[End, EndLife], counts: Sequence[tuple[str, int]]
) -> int:
    """Count of the last make-up in a bore begun before an end was first found bad; -1 never."""
    life = lives.get(end[:2], EndLife())
    found = [at for at, _ in life.bad if life.spell_of_look(at) == end[2]]
    if not found:
        return -1
    return max((count for begun, count in counts if not found[0] or begun <= found[0]), default=-1)


def _of_bore(assessment: Assessment, name: str) -> list[tuple[Meeting, int, WhoStood]]:
    """Make-ups of one bore with their count in it, in order."""
    work = assessment.works[name]
    day = day_of(work.bore.origin.happened.start)
    sub = saver_sub_on(assessment, work.bore.rig, day)
    head = assessment.book.thing_named(work.bore.head, day) if work.bore.head else None
    made: list[tuple[Meeting, int, WhoStood]] = []
    at = 0
    for each in work.passes:
        joints = _joints(
            each, assessment.who[name], head.key if head else "", sub.key if sub else ""
        )
        made += [
            (meeting, at + when, known)
            for meeting, when, known in _met(joints, assessment, work.pin_toward)
        ]
        at += len(joints) + 1
    return sorted(made, key=lambda row: row[1])


def _joints(
    each: PassWork, who: WhoInBore, head: str, sub: str
) -> list[tuple[Candidates, Candidates]]:
    """Joints of a pass in the order they are made: the side toward the exit first in each."""
    order = each.leg.order
    string = [_candidates(m.key, who, each.order_known) for m in order.rig_side]
    tail = [_candidates(m.key, who, each.order_known) for m in order.tail]
    saver = [Candidates((sub,), WhoStood.MARKED)] if sub else []
    if not each.leg.kind.away_from_rig:  # rods come off at the rig, and join the tail at the exit
        taken = [(rod, saver[0]) for rod in reversed(string) if saver]
        return [*taken, *zip(tail[1:], tail[:-1], strict=True)]
    made = []
    before = [Candidates((head,), WhoStood.MARKED)] if head else []
    for rod in string:
        made += [(front, rod) for front in before] + [(rod, each_sub) for each_sub in saver]
        before = [rod]
    return made


def _candidates(member: str, who: WhoInBore, order_known: bool) -> Candidates:
    """Who may be a member of a string: a place's rods, or a thing by its own key."""
    word, _, place = member.partition(" ")
    if word != "place" or not place.isdigit():
        return Candidates((member,), WhoStood.MARKED)
    group = who.at(int(place)) if order_known else who.unordered[0]
    return Candidates(group.rods, group.known)


def _met(
    joints: Sequence[tuple[Candidates, Candidates]], assessment: Assessment, pin_toward: PinToward
) -> Iterator[tuple[Meeting, int, WhoStood]]:
    """Meetings of the joints; those in doubt once for all joints of the same rods."""
    chances: dict[tuple[Candidates, Candidates], list[int]] = {}
    for at, joint in enumerate(joints):
        chances.setdefault(joint, []).append(at)
    things = assessment.book.things
    for (front, rear), times in chances.items():
        known = max(front.known, rear.known, key=SUREST_FIRST.index)
        for a in front.things:
            for b in rear.things:
                if a != b and a in things and b in things:
                    meeting = meetings_along((a, b), pin_toward)[0]
                    for at in sorted({times[0], times[-1]}):
                        yield meeting, at, known
