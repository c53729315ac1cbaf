"""The page of what would narrow a band: the list, and how sure the order of rods is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.bore.narrow import NarrowView, narrow_of_bore, narrow_of_thing, rod_belief
from rodhand.book.work.assess import Assessment
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.wear.narrowing import damage_of
from rodhand.wear.sampled_points import share_above

C = Standing.COMPUTED


@dataclass(frozen=True)
class AboveRow:
    """One rod against the next: figures ``design`` of the first, ``above`` share of samples."""

    rod: str
    other: str
    sentence: Sentence
    figures: dict[str, Figure]


MOST_PAIRS = 8


@lru_cache(maxsize=256)
def ranks_of_thing(assessment: Assessment, key: str) -> tuple[AboveRow, ...]:
    """How sure it is that a rod has used more life than the next of its set, and less.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    key : str
        Key of the rod.

    Returns
    -------
    tuple of AboveRow
        Against the rod just above it and the one just below it by design value; nothing where a
        rod's place in the string is in doubt.
    """
    thing = assessment.book.things[key]
    mine = assessment.histories.get(key)
    if mine is None or thing.set not in assessment.book.sets or not mine.bores:
        return ()
    used = {}
    for other in {*assessment.book.sets[thing.set].things, key}:
        history = assessment.histories.get(other)
        if history is not None and history.bores and not history.life.worst.at_least:
            used[other] = history.life.worst.design
    order = sorted(used, key=lambda each: (-used[each], assessment.book.things[each].name))
    if key not in order:
        return ()
    at = order.index(key)
    near = order[max(at - 1, 0) : at + 2]
    return _above_rows(assessment, near, None, f"thing.{thing.name}.rank")


@lru_cache(maxsize=256)
def ranks_of_bore(assessment: Assessment, name: str) -> tuple[AboveRow, ...]:
    """How sure the order of a bore's hardest worked rods is, each against the next."""
    used = {}
    for key, history in assessment.histories.items():
        for did in history.bores:
            if did.bore == name and not did.in_doubt:
                used[key] = history.life_of(did).worst.design
    order = sorted(used, key=lambda each: (-used[each], assessment.book.things[each].name))
    return _above_rows(assessment, order[:MOST_PAIRS], name, f"bore.{name}.rank")


def _above_rows(
    assessment: Assessment, order: Sequence[str], bore: str | None, key: str
) -> tuple[AboveRow, ...]:
    """Each rod against the next, the one that has used most on average first."""
    made = {}
    for each in order:
        history = assessment.histories[each]
        bores = [did for did in history.bores if bore is None or did.bore == bore]
        if not any(did.in_doubt for did in bores):
            made[each] = damage_of(rod_belief(assessment, history, bores, bore is None)[0])[1]
    rows = []
    for one, other in pairwise(sorted(made, key=lambda each: -float(made[each].mean()))):
        names = [assessment.book.things[each].name for each in (one, other)]
        above = Figure(f"{key}.{names[0]}.above", share_above(made[one], made[other]), "share", C)
        sentence = Sentence("narrow.above", {"one": names[0], "other": names[1], "above": above})
        rows.append(AboveRow(names[0], names[1], sentence, {"above": above}))
    return tuple(rows)


@dataclass(frozen=True)
class NarrowPage:
    """The page: whose it is, what would narrow its band, how sure the order of rods is."""

    what: str
    name: str
    invented: bool
    narrow: NarrowView | None
    ranks: tuple[AboveRow, ...]


def narrow_page_of_thing(assessment: Assessment, name: str) -> NarrowPage:
    """The page of a rod. Raises NoSuchThingError if nothing carries that mark or key."""
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    return NarrowPage(
        "thing", thing.name, assessment.invented, narrow_of_thing(assessment, thing.key),
        ranks_of_thing(assessment, thing.key),
    )  # fmt: skip


def narrow_page_of_bore(assessment: Assessment, name: str) -> NarrowPage:
    """The page of a bore. Raises NoSuchBoreError if there is none of that name with rows."""
    found = next((each for each in assessment.works if fold(each) == fold(name)), None)
    if found is None:
        raise NoSuchBoreError(name)
    return NarrowPage(
        "bore", found, assessment.invented, narrow_of_bore(assessment, found),
        ranks_of_bore(assessment, found),
    )  # fmt: skip
