"""Which checks are due: by weeks and months, hours, make-ups, a long rest, or what happened."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from rodhand.advice.fitness import days_between
from rodhand.advice.rules import Rule

Period = Literal["make-up", "hours", "weekly", "periodic", "yearly", "season", "event"]
Code = Literal["due", "not-due", "not-known", "rested", "always", "on-occasion"]
WEEK, HALF_YEAR = 7.0, 183.0
HOURS, MAKEUPS, IDLE = "rotating_hours", "makeups", "idle_days"
BY_EYE = ("galling", "shoulder", "pin-nose", "jaw-bite", "straightness")
"""Looks that a full look holds as well; what needs a gauge it does not (common practice, no
source)."""
FULL = ("full-look", "full-evaluation")


@dataclass(frozen=True)
class Work:
    """Work on one day: rotating time [s] and make-ups, None where not known."""

    day: str
    time: float | None = None
    makeups: float | None = None


@dataclass(frozen=True)
class CheckHistory:
    """What is known of a thing, a rig or a set that is looked at.

    Parameters
    ----------
    since : str
        ISO day it came into the book; empty when not known.
    looks : tuple of (str, str)
        Key of the rule and ISO day.
    work : tuple of Work
        In any order.
    happened : tuple of (str, str)
        What happened, as the rule table or the table of events names it, and ISO day.
    """

    since: str
    looks: tuple[tuple[str, str], ...] = ()
    work: tuple[Work, ...] = ()
    happened: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class CheckState:
    """How one check stands.

    Parameters
    ----------
    rule : Rule
        The rule.
    code : Code
        ``rested``: nothing worked since the last look; ``always``: at every make-up;
        ``on-occasion``: only when something happens; ``not-known``: nobody knows the hours or
        make-ups since.
    last : str
        ISO day of the last look that counts for it; empty when never.
    done, every : float or None
        Days, hours or make-ups since, and after how many it is due; None where it has no count.
    because : str
        What happened that makes it due; empty otherwise.
    """

    rule: Rule
    code: Code
    last: str
    done: float | None = None
    every: float | None = None
    because: str = ""

    @property
    def late(self) -> float:
        """How late it is, as a share of its interval. [1]"""
        if self.done is None or not self.every:
            return 1.0
        return (self.done - self.every) / self.every


def period_of(rule: Rule) -> Period:
    """Which list of checks a rule belongs to."""
    if rule.due_after_days is not None:
        days = rule.due_after_days
        return "weekly" if days <= WEEK else "periodic" if days <= HALF_YEAR else "yearly"
    by_unit: Mapping[str, Period] = {HOURS: "hours", MAKEUPS: "make-up", IDLE: "season"}
    return by_unit.get(rule.every_unit, "event")


def check_states(
    history: CheckHistory,
    rules: Iterable[Rule],
    today: str,
    asked_after: Mapping[str, tuple[str, ...]],
) -> tuple[CheckState, ...]:
    """How each check of something stands on a day.

    Parameters
    ----------
    history : CheckHistory
        What is known of it.
    rules : iterable of Rule
        Rules that hold for it.
    today : str
        ISO day.
    asked_after : mapping of str to tuple of str
        Keys of the rules each event asks for.

    Returns
    -------
    tuple of CheckState
        In the order of the rules.

    Notes
    -----
    A look on the day of work or of an event counts as made before it: the order within a day is
    not known, and a check too many does no harm. Nothing is due by the calendar for what did not
    work since its last look; a check never made is due at once.
    """
    return tuple(_state(history, rule, today, asked_after) for rule in rules)


def _state(
    history: CheckHistory, rule: Rule, today: str, asked_after: Mapping[str, tuple[str, ...]]
) -> CheckState:
    last = _last(history, rule.key)
    reasons = [
        what
        for what, day in sorted(history.happened, key=lambda each: each[1])
        if day >= last and (what == rule.every_unit or rule.key in asked_after.get(what, ()))
    ]
    if reasons:
        return CheckState(rule, "due", last, because=reasons[-1])
    since = [each for each in history.work if each.day >= last and each.day <= today]
    if rule.due_after_days is not None:
        return _by_calendar(history, rule, today, last, bool(since))
    if rule.every_unit == MAKEUPS and rule.every <= 1.0:
        return CheckState(rule, "always", last)
    if rule.every_unit in (HOURS, MAKEUPS):
        parts = [each.time if rule.every_unit == HOURS else each.makeups for each in since]
        known = [each for each in parts if each is not None]
        done = sum(known) / (3600.0 if rule.every_unit == HOURS else 1.0)
        if done >= rule.every:  # what is known is enough
            return CheckState(rule, "due", last, done, rule.every)
        code: Code = "not-due" if len(known) == len(parts) else "not-known"
        return CheckState(rule, code, last, done if code == "not-due" else None, rule.every)
    if rule.every_unit == IDLE:
        done = _longest_rest(history, last, today)
        return CheckState(rule, "due" if done >= rule.every else "not-due", last, done, rule.every)
    return CheckState(rule, "on-occasion", last)


def _last(history: CheckHistory, key: str) -> str:
    """The last look that counts for a rule; empty when never."""
    counts = (key, *FULL) if key in BY_EYE else FULL if key == FULL[0] else (key,)
    return max((day for item, day in history.looks if item in counts), default="")


def _by_calendar(
    history: CheckHistory, rule: Rule, today: str, last: str, worked: bool
) -> CheckState:
    every = rule.due_after_days or 0.0
    if not last:
        done = days_between(history.since, today) if history.since else None
        return CheckState(rule, "due", last, done, every)
    done = days_between(last, today)
    if not worked:
        return CheckState(rule, "rested", last, done, every)
    return CheckState(rule, "due" if done >= every else "not-due", last, done, every)


def _longest_rest(history: CheckHistory, last: str, today: str) -> float:
    """Longest rest since the last look, the one that goes on counted; 0 before any work. [d]"""
    days = sorted({each.day for each in history.work if each.day and each.day <= today})
    if not days:
        return 0.0
    rests = zip(days, [*days[1:], today], strict=True)
    return float(max(max(days_between(max(start, last), end), 0.0) for start, end in rests))
