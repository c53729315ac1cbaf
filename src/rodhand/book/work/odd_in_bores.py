"""Odd things in all bores, the things each concerns, and what that asks of their standing."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from rodhand.advice.fitness import Happening
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.event_checks import OddThing, concerned_by, odd_things
from rodhand.book.work.happenings import happenings_of
from rodhand.book.work.overloads import overloads
from rodhand.book.work.tight_makeups import tight_makeups


def code_of(odd: OddThing) -> str:
    """Code of a happening: the event with a hyphen for each blank."""
    return odd.what.replace(" ", "-")


@lru_cache(maxsize=4)
def odd_in_bores(assessment: Assessment) -> tuple[tuple[OddThing, tuple[str, ...]], ...]:
    """Odd things of all bores with the keys of what each concerns.

    A spike with its torque is weighed against the make-up torque elsewhere, and a break whose
    thing is known is told with that thing: both are left out here.
    """
    found = []
    for bore in assessment.book.bores.values():
        for odd in odd_things(bore):
            if not _told_elsewhere(assessment, odd):
                known = assessment.who.get(bore.name)
                found.append((odd, concerned_by(assessment.book, odd, known).keys))
    return tuple(found)


def _told_elsewhere(assessment: Assessment, odd: OddThing) -> bool:
    if odd.what == "torque spike" and odd.torque is not None:
        work = assessment.works.get(odd.bore)
        return work is not None and bool(work.rod_type.makeup_torque)
    return odd.what == "break" and any(each.bore == odd.bore for each in assessment.book.breaks)


def _event_happenings(assessment: Assessment) -> tuple[tuple[str, Happening], ...]:
    """What asks for a look of each thing an odd thing concerns, as (key, happening)."""
    return tuple(
        (key, Happening(code_of(odd), day_of(odd.origin.happened.end), odd.bore,
                        None if odd.station is None else float(odd.station), "count"))
        for odd, keys in odd_in_bores(assessment)
        for key in keys
    )  # fmt: skip


def _limit_happenings(assessment: Assessment) -> tuple[tuple[str, Happening], ...]:
    """Overloads, and joints made up past make-up torque."""
    over = [
        (key, Happening("overload", each.when, each.bore, each.share, "share",
                        "set aside" if each.verdict == "over" else "watch"))
        for each in overloads(assessment)
        for key in each.things
    ]  # fmt: skip
    tight = [
        (key, Happening("made-up-over", each.when, each.bore, each.share, "share"))
        for each in tight_makeups(assessment)
        for key in each.things
    ]
    return (*over, *tight)


def all_happenings(assessment: Assessment) -> Mapping[str, tuple[Happening, ...]]:
    """What happened to each thing and asks for a look, odd things of the bores too, by key."""
    found = dict(happenings_of(assessment))
    for key, happening in (*_event_happenings(assessment), *_limit_happenings(assessment)):
        found[key] = (*found.get(key, ()), happening)
    return found
