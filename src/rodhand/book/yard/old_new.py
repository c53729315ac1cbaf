"""Old rods and new ones on one rig: what to dress first, what to keep apart, breaking in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.fitness import ORDER
from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import open_assessment
from rodhand.book.tasks.standings import findings_of
from rodhand.book.tasks.task_parts import in_use, where_of
from rodhand.book.telling import in_name_order
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_of import NoSuchRigError
from rodhand.book.work.rod_types import type_of_thing
from rodhand.book.work.thread_mix import thread_faults
from rodhand.book.work.verdicts import caution
from rodhand.book.yard.rod_card import slug
from rodhand.faults import BadInputError, Fault
from rodhand.record.book_things import Thing
from rodhand.record.entry import Draft
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.words import render_fault, say

BREAK_IN = "break-in"
MAKE_UPS = 3
"""Make-ups of a new joint before it works: dope, make, break, three times (trade press, READ)."""
THREAD_ITEMS = ("thread-form", "profile-gauge", "galling", "full-look")
SPREADING = ("galled", "light galling", "torn thread", "peaked crests", "rolled crests",
             "missing thread", "profile gap", "dirty", "stretched pin", "swollen box", "grown box",
             "shoulder nick", "deep mark", "mushroomed nose", "washout")  # fmt: skip
"""Findings of an end that spoil what it is made up with (common practice, no source)."""
CLEAN = "nothing found"
SOURCE = "mix"
C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class OldEnd:
    """An old end and why it is dressed first or kept apart."""

    name: str
    end: str
    standing: str
    why: tuple[str, ...]


@dataclass(frozen=True)
class NewRod:
    """A new rod: how many clean make-ups it has, and what was found meanwhile."""

    name: str
    make_ups: int
    found: tuple[str, ...]


@dataclass(frozen=True)
class OldNewView:
    """Old with new on one rig.

    Parameters
    ----------
    refused : tuple of str
        Threads that differ: these are never made up.
    unknown_threads : tuple of str
        Rod types whose thread nobody entered; the gauge has to say.
    dress, apart : tuple of OldEnd
        Old ends to dress before new rods join; old ends kept apart until mended.
    not_looked : tuple of str
        Old rods whose threads nobody looked at.
    new : tuple of NewRod
        Rods without a bore on record.
    figures : dict
        dress, apart, not_looked, new: counts.
    """

    invented: bool
    rig: str
    refused: tuple[str, ...]
    unknown_threads: tuple[str, ...]
    dress: tuple[OldEnd, ...]
    apart: tuple[OldEnd, ...]
    not_looked: tuple[str, ...]
    new: tuple[NewRod, ...]
    make_ups: int
    do: Sentence
    caution: Sentence
    figures: dict[str, Figure]


def is_new(assessment: Assessment, thing: Thing) -> bool:
    """Whether a rod has no bore and no work before the book on record."""
    history = assessment.histories.get(thing.key)
    return thing.what == "rod" and history is not None and not (history.bores or history.outside)


def _old_ends(assessment: Assessment, thing: Thing) -> list[OldEnd]:
    found = []
    for end in ("pin", "box"):
        bad = [
            each
            for each in findings_of(assessment, thing.key)
            if each.finding in SPREADING and each.end in (end, "", "whole")
        ]
        if bad:
            worst = max((each.standing for each in bad), key=ORDER.index)
            why = tuple(dict.fromkeys(say(f"finding.{slug(each.finding)}") for each in bad))
            found.append(OldEnd(thing.name, end, worst, why))
    return found


def new_rod(assessment: Assessment, thing: Thing) -> NewRod:
    """Clean make-ups since the last that was not."""
    clean, found = 0, []
    for look in assessment.looks.get(thing.key, ()):
        if look.item == BREAK_IN:
            sound = look.found == CLEAN
            clean = clean + 1 if sound else 0
            found += [] if sound else [look.found]
    bad = [say(f"finding.{slug(each.finding)}") for each in findings_of(assessment, thing.key)
           if each.finding in SPREADING]  # fmt: skip
    return NewRod(thing.name, clean, tuple(dict.fromkeys([*found, *bad])))


def old_new_view(folder: Path, rig: str) -> OldNewView:
    """Old rods and new ones of a rig.

    Parameters
    ----------
    folder : Path
        The book's folder.
    rig : str
        The rig.

    Returns
    -------
    OldNewView
        Scrapped and gone things are left out.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    """
    assessment = open_assessment(folder)
    book = assessment.book
    name = next((each for each in book.rigs if fold(each) == fold(rig)), "")
    if not name:
        raise NoSuchRigError(rig)
    here = in_use(assessment)
    things = [
        thing
        for key, thing in book.things.items()
        if key in here and thing.what in ("rod", "sub", "saver sub")
        and where_of(assessment, thing) == name
    ]  # fmt: skip
    new = [thing for thing in things if is_new(assessment, thing)]
    old = [thing for thing in things if thing not in new]
    ends = [end for thing in old for end in _old_ends(assessment, thing)]
    dress = tuple(end for end in ends if ORDER.index(end.standing) <= ORDER.index("dress"))
    apart = tuple(end for end in ends if end not in dress)
    looked = {key for key, looks in assessment.looks.items()
              if any(look.item in THREAD_ITEMS for look in looks)}  # fmt: skip
    unlooked = in_name_order(thing.name for thing in old if thing.key not in looked)
    typed = (type_of_thing(book, thing) for thing in things)
    types = {each.name: each for each in typed if each is not None}
    blank = tuple(sorted(name for name, each in types.items() if each.joint is None))
    refused = tuple(
        render_fault(Fault(f.code, f.found, values=f.values))
        for f in thread_faults(book, (thing.key for thing in things))
    )
    counts = {"dress": len(dress), "apart": len(apart), "not_looked": len(unlooked),
              "new": len(new)}  # fmt: skip
    return OldNewView(
        assessment.invented, name, refused, blank if len(types) > 1 else (), dress, apart,
        tuple(unlooked), tuple(new_rod(assessment, thing) for thing in new), MAKE_UPS,
        _what_to_do(refused, bool(new), bool(dress), bool(apart), bool(unlooked)),
        caution("threads"),
        {key: Figure(f"old_new.{key}", float(n), "count", M) for key, n in counts.items()},
    )  # fmt: skip


def _what_to_do(
    refused: tuple[str, ...], new: bool, dress: bool, apart: bool, unlooked: bool
) -> Sentence:
    if refused:
        return Sentence("old_new.do_refused")
    if not new:
        return Sentence("old_new.do_no_new")
    if unlooked:
        return Sentence("old_new.do_look")
    if apart:
        return Sentence("old_new.do_apart")
    return Sentence("old_new.do_dress" if dress else "old_new.do_break_in")


def break_in(folder: Path, rig: str, names: tuple[str, ...], clean: bool, by: str) -> str:
    """Keep one make-up of new rods: clean, or galled; the entry's id.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    BadInputError
        If no new rod of the rig was named, or threads are known to differ.
    """
    view = old_new_view(folder, rig)
    known = {each.name for each in view.new}
    faults = [Fault("old_new_differ", view.rig)] if view.refused else []
    faults += [Fault("old_new_none", view.rig)] if not names else []
    faults += [Fault("old_new_not_new", name) for name in names if name not in known]
    if faults:
        raise BadInputError(faults, SOURCE)
    payload = {"things": ", ".join(names), "end": "whole", "item": BREAK_IN,
               "found": CLEAN if clean else "galled"}  # fmt: skip
    return enter(folder, [Draft("check", payload, "", "", by)], SOURCE).entries[0].id
