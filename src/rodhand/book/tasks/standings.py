"""Where every thing of the book stands, and what decides it."""

from __future__ import annotations

from functools import lru_cache

from rodhand.advice.card import NewSizes
from rodhand.advice.fitness import Given, Happening, Held, Reason, RodState, standing_of
from rodhand.advice.looks import Finding, standing_findings
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import booked_work
from rodhand.book.work.days import day_of, origins_of
from rodhand.book.work.gauge_register import looks_with_errors
from rodhand.book.work.odd_in_bores import all_happenings
from rodhand.book.work.outside import DECLARED, FORMER
from rodhand.book.work.rod_history import RodHistory
from rodhand.book.work.stays import found_source
from rodhand.record.book import Book
from rodhand.record.book_looks import StandingGiven
from rodhand.record.book_things import Thing
from rodhand.record.origin import Origin
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import Sums, add_up, life_of_sums

FULL_LOOKS = ("full-look", "full-evaluation")
DEFAULT_LOOK_DAYS = 30.4
STRICT_UNDER = ("road", "rail", "water")
"""What a bore runs under when the stricter line on life used holds."""


@lru_cache(maxsize=2048)
def findings_of(assessment: Assessment, key: str) -> tuple[Finding, ...]:
    """Findings of a thing's looks that still stand, oldest first."""
    thing = assessment.book.things[key]
    rod_type = assessment.rod_type_of(thing)
    return standing_findings(
        looks_with_errors(assessment, key),
        assessment.dressings.get(key, ()),
        assessment.words,
        dict(assessment.rules),
        rod_type.joint_od if rod_type else None,
        new_sizes(rod_type),
    )


def new_sizes(rod_type: RodType | None) -> NewSizes:
    """Sizes of a rod type when new; nothing where the type is not known."""
    if rod_type is None:
        return NewSizes()
    return NewSizes(
        rod_type.joint_od,
        rod_type.joint_bore,
        rod_type.joint_length,
        rod_type.tube_od,
        rod_type.wall,
        rod_type.length,
        rod_type.joint.counterbore if rod_type.joint else None,
    )


def recorded_design(history: RodHistory) -> float:
    """Life used on the design curve by recorded work alone, worst section. [1]"""
    sums = recorded_sums(history)
    return life_of_sums(sums, history.slopes, classes=history.classes).worst.design


def recorded_sums(history: RodHistory) -> Sums:
    """What recorded work alone did to a rod; see `recorded_design`."""
    return add_up([each for each in history.contributions if each.assumed <= 0.5])


def last_full_look(assessment: Assessment, key: str) -> str:
    """ISO day of a thing's last full look; empty when never."""
    days = [look.when for look in assessment.looks.get(key, ()) if look.item in FULL_LOOKS]
    return max(days, default="")


def was_known(fact: Origin, word: Origin) -> bool:
    """Whether a fact was known to whoever gave a word: what cannot be ordered was not.

    On one device what was typed before was known, if it had happened by the day of the word. On
    two, it must have happened before.
    """
    happened, given = fact.happened, word.happened
    if fact.device == word.device:
        too_late = "" < day_of(given.end) < day_of(happened.start)
        return fact.counter < word.counter and not too_late
    if not (happened.end and given.start):
        return False
    if happened.precision == given.precision == "minute":
        return fact.at < word.at
    return day_of(happened.end) < day_of(given.start)


@lru_cache(maxsize=256)
def _work_known(assessment: Assessment, word: Origin) -> frozenset[str]:
    """Bores and declared pasts known to whoever gave a word, by their names as sources of wear."""
    book = assessment.book
    bores = {
        name
        for name, bore in book.bores.items()
        if all(was_known(origin, word) for origin in origins_of(bore))
    }
    given = day_of(word.happened.start)
    outside = {
        each.source
        for history in assessment.histories.values()
        for each in history.outside
        if all(was_known(origin, word) for origin in each.origins)
        # What was away still when the word was given is not covered by it.
        and (each.kind in (DECLARED, FORMER) or "" < each.end <= given)
    }
    fished = {
        found_source(stay)
        for stays in assessment.stays.values()
        for stay in stays
        if stay.where == "found" and was_known(stay.origin, word)
    }
    return frozenset(bores | outside | fished)


def _last_word(assessment: Assessment, key: str) -> StandingGiven | None:
    """The standing a person gave last."""
    found = [each for each in assessment.book.standings if key in each.things]
    return found[-1] if found else None


def given_standing(assessment: Assessment, key: str) -> Given | None:
    """The standing a person gave last, and what of this thing was known then."""
    last = _last_word(assessment, key)
    if last is None:
        return None
    looks = {
        check.origin.entry
        for check in assessment.book.checks
        if key in check.things and was_known(check.origin, last.origin)
    }
    day = day_of(last.origin.happened.start)
    return Given(last.standing, day, last.why, _work_known(assessment, last.origin) | looks)


def held_standings(assessment: Assessment, key: str) -> tuple[Held, ...]:
    """Standings of a thing kept over a changed rule and not answered by a person's word since."""
    last = _last_word(assessment, key)
    return tuple(
        Held(each.standing, day_of(each.origin.happened.start), each.why)
        for each in assessment.book.held
        if key in each.things and (last is None or not was_known(each.origin, last.origin))
    )


def state_of(assessment: Assessment, key: str, happenings: tuple[Happening, ...]) -> RodState:
    """Everything a thing's standing rests on."""
    history = assessment.histories.get(key)
    given = given_standing(assessment, key)
    then = history.of_sources(given.covers) if given is not None and history is not None else None
    return RodState(
        design=history.life.worst.design if history else None,
        recorded=recorded_design(history) if history else None,
        known_share=history.known_share if history else 1.0,
        findings=findings_of(assessment, key),
        happenings=happenings,
        last_full_look=last_full_look(assessment, key),
        given=given,
        design_when_given=then.life.worst.design if then else None,
        recorded_when_given=recorded_design(then) if then else None,
        held=held_standings(assessment, key),
    )


def rigs_booked_under(book: Book) -> frozenset[str]:
    """Rigs with a bore booked and not yet begun that runs under a road, rail or water."""
    return frozenset(each.rig for each in booked_work(book) if each.under in STRICT_UNDER)


def _rig_of(book: Book, thing: Thing) -> str:
    return thing.rig or (book.sets[thing.set].rig if thing.set in book.sets else "")


@lru_cache(maxsize=4)
def all_standings(assessment: Assessment) -> dict[str, tuple[str, tuple[Reason, ...]]]:
    """Standing and reasons of every thing, by key."""
    happened = all_happenings(assessment)
    rule = assessment.rules.get("full-look")
    due = rule.due_after_days if rule and rule.due_after_days else DEFAULT_LOOK_DAYS
    strict = rigs_booked_under(assessment.book)
    return {
        key: standing_of(
            state_of(assessment, key, happened.get(key, ())),
            assessment.thresholds,
            assessment.today,
            due,
            _rig_of(assessment.book, thing) in strict,
        )
        for key, thing in assessment.book.things.items()
    }


def standing_of_thing(assessment: Assessment, key: str) -> tuple[str, tuple[Reason, ...]]:
    """Standing of one thing and what decides it, worst first; nobody known is not looked at."""
    return all_standings(assessment).get(key, ("not looked at", ()))
