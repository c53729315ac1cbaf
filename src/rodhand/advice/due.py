"""Looks and checks that are due, by date, hours and what has happened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rodhand.advice.fitness import days_between
from rodhand.advice.rules import Rule


@dataclass(frozen=True)
class Subject:
    """Something that is looked at: a rod, a saver sub, a gauge, a set.

    Parameters
    ----------
    key, name, where : str
        Permanent key, its mark, and where it is (a rig or a set).
    last : mapping-like tuple of (str, str)
        (rule key, ISO date of the last look) pairs.
    since : str
        ISO date it came into the book: the clock starts here when it was never looked at; empty
        when unknown.
    hours_since : float or None
        Rotating hours since the last look; None when not known. [h]
    worked_on : str
        ISO date of its last work; empty when it never worked.
    """

    key: str
    name: str
    where: str
    last: tuple[tuple[str, str], ...]
    since: str
    hours_since: float | None = None
    worked_on: str = ""

    def last_look(self, rule: str) -> str:
        """Date of the last look under a rule; empty when never."""
        return next((when for key, when in self.last if key == rule), "")


@dataclass(frozen=True)
class Due:
    """One look that is due: under which rule, of what, and by how much it is late.

    ``late_by`` is in days for a rule by the calendar and in hours for a rule by hours; ``never``
    says that no look is on record.
    """

    rule: Rule
    subject: Subject
    late_by: float
    never: bool


def due_looks(subjects: Iterable[Subject], rules: Sequence[Rule], today: str) -> tuple[Due, ...]:
    """Looks due on a day, latest first.

    Parameters
    ----------
    subjects : iterable of Subject
        What is looked at.
    rules : sequence of Rule
        Rules that hold for these subjects.
    today : str
        ISO date.

    Returns
    -------
    tuple of Due
        Nothing for a subject that has not worked since its last look under the rule.
    """
    found = []
    for subject in subjects:
        for rule in rules:
            due = _due(subject, rule, today)
            if due is not None:
                found.append(due)
    found.sort(key=lambda each: (-each.late_by, each.subject.name, each.rule.key))
    return tuple(found)


def _due(subject: Subject, rule: Rule, today: str) -> Due | None:
    last = subject.last_look(rule.key)
    if last and not subject.worked_on > last:
        return None
    if rule.due_after_days is not None:
        since = last or subject.since
        late = days_between(since, today) - rule.due_after_days if since else 0.0
        if not last:
            return Due(rule, subject, max(late, 0.0), never=True)
        return Due(rule, subject, late, never=False) if late >= 0 else None
    if rule.every_unit == "rotating_hours" and subject.hours_since is not None:
        late = subject.hours_since - rule.every
        return Due(rule, subject, late, never=not last) if late >= 0 else None
    return None
