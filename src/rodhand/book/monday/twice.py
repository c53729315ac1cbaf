"""Rods and sets that two books both have, told with the day each book last saw them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from rodhand.advice.verdict import Sentence
from rodhand.book.monday.files import FileRead
from rodhand.book.owner.schedule import last_where, rig_of, type_of
from rodhand.book.tasks.task_parts import GONE
from rodhand.book.telling import in_name_order, names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.record.book_things import Thing
from rodhand.record.marks import fold
from rodhand.words import say

Pair = tuple[str, str]


def twice_in(files: Sequence[FileRead]) -> tuple[Sentence, ...]:
    """What two books both have.

    Parameters
    ----------
    files : sequence of FileRead
        Files of which none is a part of another.

    Returns
    -------
    tuple of Sentence
        Between books that share entries: things which the two say are on different rigs.
        Between others: things with one serial, or one mark and one type, and unmarked sets of one
        name and one type. Two crews may use the same marks: it is told, not settled.
    """
    return tuple(
        sentence
        for one, other in combinations(files, 2)
        if one.assessment is not None and other.assessment is not None
        for sentence in _between(one, one.assessment, other, other.assessment)
    )


def _between(one: FileRead, left: Assessment, other: FileRead, right: Assessment) -> list[Sentence]:
    pairs = _moved(left, right) if one.ids & other.ids else _alike(left, right)
    groups: dict[tuple[str, str], list[Pair]] = {}
    for here, there in pairs:
        at = _stands(left, left.book.things[here]), _stands(right, right.book.things[there])
        groups.setdefault(at, []).append((here, there))
    found = []
    for (here, there), alike in groups.items():
        names = in_name_order({left.book.things[key].name for key, _ in alike})
        values = {
            "things": names_in_words(names),
            "count": f"{len(alike)}",
            "file": one.name, "place": here, "day": _seen(left, [key for key, _ in alike]),
            "other": other.name, "there": there, "then": _seen(right, [k for _, k in alike]),
        }  # fmt: skip
        found.append(Sentence("monday.twice_one" if len(alike) == 1 else "monday.twice", values))
    return [*found, *(() if one.ids & other.ids else _sets(one, left, other, right))]


def _moved(left: Assessment, right: Assessment) -> list[Pair]:
    """Things both books know by the same entry and have in different places."""
    return [
        (key, key)
        for key in left.book.things
        if key in right.book.things
        and _here(left, key)
        and _here(right, key)
        and _stands(left, left.book.things[key]) != _stands(right, right.book.things[key])
    ]


def _alike(left: Assessment, right: Assessment) -> list[Pair]:
    """Things of two strange books with one serial, or one mark and one type."""
    named: dict[tuple[str, ...], str] = {}
    for key in right.book.things:
        for sign in _signs(right, key):
            named.setdefault(sign, key)
    found = []
    for key in left.book.things:
        match = next((named[sign] for sign in _signs(left, key) if sign in named), None)
        if match is not None:
            found.append((key, match))
    return found


def _signs(assessment: Assessment, key: str) -> list[tuple[str, ...]]:
    """What a thing that is here may be known by in another book: its serial, its mark and type."""
    thing = assessment.book.things[key]
    if not _here(assessment, key):
        return []
    signs: list[tuple[str, ...]] = []
    if thing.serial:
        signs.append(("serial", thing.what, fold(thing.serial)))
    if any(mark.text and not mark.until for mark in thing.marks):
        signs.append(("mark", thing.what, fold(thing.name), fold(type_of(assessment, thing))))
    return signs


def _here(assessment: Assessment, key: str) -> bool:
    return not last_where(assessment.book, key).startswith(GONE)


def _stands(assessment: Assessment, thing: Thing) -> str:
    """Where a book has a thing: what was said last, else its rig, else its set."""
    said = last_where(assessment.book, thing.key)
    return said or rig_of(assessment.book, thing) or thing.set or say("number.unknown")


def _seen(assessment: Assessment, keys: Sequence[str]) -> str:
    """The last ISO day a book has anything of one of some things; the word where none is known."""
    wanted, book = set(keys), assessment.book
    days = [day_of(book.things[key].origin.happened.start) for key in keys]
    told = [(each.things, each.origin) for each in book.checks]
    told += [(each.things, each.origin) for each in book.whereabouts]
    told += [(each.things, each.origin) for each in book.dressings]
    days += [day_of(origin.happened.start) for things, origin in told if wanted & set(things)]
    for key in keys:
        if key in assessment.histories:
            days += [did.happened for did in assessment.histories[key].bores]
    return max(days, default="") or say("number.unknown")


def _sets(one: FileRead, left: Assessment, other: FileRead, right: Assessment) -> list[Sentence]:
    """Unmarked sets with one name and one rod type: their rods have no marks to tell them by."""
    theirs = {(fold(s.name), fold(s.rod_type)): s for s in right.book.sets.values()}
    found = []
    for each in left.book.sets.values():
        twin = theirs.get((fold(each.name), fold(each.rod_type)))
        if twin is None or any(_signs(left, key) for key in each.things):
            continue
        values = {
            "set": each.name,
            "file": one.name, "place": each.rig or each.name, "day": _seen(left, each.things),
            "other": other.name, "there": twin.rig or twin.name, "then": _seen(right, twin.things),
        }  # fmt: skip
        found.append(Sentence("monday.twice_set", values))
    return found
