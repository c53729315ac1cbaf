"""Where every thing of the book stands, and what decides it."""

from __future__ import annotations

from functools import lru_cache

from rodhand.advice.fitness import Given, Happening, Reason, RodState, standing_of
from rodhand.advice.looks import Finding, standing_findings
from rodhand.book.assess import Assessment, day_of
from rodhand.book.happenings import happenings_of
from rodhand.book.lives import RodHistory
from rodhand.wear.life_used import rod_life

FULL_LOOKS = ("full-look", "full-evaluation")
DEFAULT_LOOK_DAYS = 30.4


@lru_cache(maxsize=2048)
def findings_of(assessment: Assessment, key: str) -> tuple[Finding, ...]:
    """Findings of a thing's looks that still stand, oldest first."""
    thing = assessment.book.things[key]
    rod_type = assessment.rod_type_of(thing)
    return standing_findings(
        assessment.looks.get(key, ()),
        assessment.dressings.get(key, ()),
        assessment.words,
        dict(assessment.rules),
        rod_type.joint_od if rod_type else None,
    )


def recorded_design(history: RodHistory) -> float:
    """Life used on the design curve by recorded work alone, worst section. [1]"""
    kept = [each for each in history.contributions if each.assumed <= 0.5]
    return rod_life(kept, history.slopes).worst.design


def last_full_look(assessment: Assessment, key: str) -> str:
    """ISO day of a thing's last full look; empty when never."""
    days = [look.when for look in assessment.looks.get(key, ()) if look.item in FULL_LOOKS]
    return max(days, default="")


def given_standing(assessment: Assessment, key: str) -> Given | None:
    """The standing a person gave last."""
    found = [each for each in assessment.book.standings if key in each.things]
    if not found:
        return None
    last = found[-1]
    return Given(last.standing, day_of(last.origin.happened.start), last.why)


def state_of(assessment: Assessment, key: str, happenings: tuple[Happening, ...]) -> RodState:
    """Everything a thing's standing rests on."""
    history = assessment.histories.get(key)
    given = given_standing(assessment, key)
    when_given = None
    if given is not None and history is not None:
        when_given = history.life_before(given.when + "~").worst.design
    return RodState(
        design=history.life.worst.design if history else None,
        recorded=recorded_design(history) if history else None,
        known_share=history.known_share if history else 1.0,
        findings=findings_of(assessment, key),
        happenings=happenings,
        last_full_look=last_full_look(assessment, key),
        given=given,
        design_when_given=when_given,
    )


@lru_cache(maxsize=4)
def all_standings(assessment: Assessment) -> dict[str, tuple[str, tuple[Reason, ...]]]:
    """Standing and reasons of every thing, by key."""
    happened = happenings_of(assessment)
    rule = assessment.rules.get("full-look")
    due = rule.due_after_days if rule and rule.due_after_days else DEFAULT_LOOK_DAYS
    return {
        key: standing_of(
            state_of(assessment, key, happened.get(key, ())),
            assessment.thresholds,
            assessment.today,
            due,
        )
        for key in assessment.book.things
    }


def standing_of_thing(assessment: Assessment, key: str) -> tuple[str, tuple[Reason, ...]]:
    """Standing of one thing and what decides it, worst first; nobody known is not looked at."""
    return all_standings(assessment).get(key, ("not looked at", ()))
