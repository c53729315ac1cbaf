"""The list of checks due: by shift, hours, make-ups, weeks, months, years, rest and events."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.checks_due import CheckState, Period, check_states, period_of
from rodhand.advice.rules import Rule
from rodhand.advice.verdict import Sentence
from rodhand.book.rig.shift_checks import SHIFTS, SHORT, lines_of
from rodhand.book.telling import in_name_order
from rodhand.book.work.assess import Assessment
from rodhand.book.work.verdicts import caution, source_of
from rodhand.book.yard.check_histories import PARTS_OF, asked_after, looked_at
from rodhand.units import Figure, Standing

PERIODS: tuple[Period, ...] = (
    "weekly", "periodic", "yearly", "hours", "make-up", "season", "event",
)  # fmt: skip
WITHOUT_LOOK = ("set-life",)
"""Rules that count up and never start anew."""
C, A = Standing.COMPUTED, Standing.ASSUMED


@dataclass(frozen=True)
class CheckLine:
    """One check at one place.

    Parameters
    ----------
    item, where : str
        Key of the rule table; a rig or a set.
    due, never, unknown : tuple of str
        Names due, those of them never looked at, and those of which nobody knows enough.
    because : tuple of str
        What happened that makes them due.
    last : str
        ISO day of the oldest look among those due; empty when never.
    figures : mapping
        count (due), of (all there), minutes (in all).
    """

    item: str
    where: str
    due: tuple[str, ...]
    never: tuple[str, ...]
    unknown: tuple[str, ...]
    because: tuple[str, ...]
    last: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class RuleLine:
    """One check of the rule table with the places where it is due or not known.

    Parameters
    ----------
    item : str
        Its key.
    unit : str
        Unit of its interval; or the occasion.
    source : str
        Where it comes from.
    places : tuple of CheckLine
        Places where something is due or not known.
    figures : mapping
        every: its interval; none for a check on an occasion.
    """

    item: str
    unit: str
    source: str
    places: tuple[CheckLine, ...]
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class PeriodLines:
    """Checks of one period; figures: count of places due."""

    period: Period
    lines: tuple[RuleLine, ...]


@dataclass(frozen=True)
class ShiftLine:
    """Checks of one shift of a rig today; figures: done, lines."""

    rig: str
    shift: str
    when: str
    figures: Mapping[str, Figure]


@dataclass(frozen=True)
class ChecksDueView:
    """Every check there is, and where it is due."""

    invented: bool
    day: str
    shifts: tuple[ShiftLine, ...]
    periods: tuple[PeriodLines, ...]
    caution: Sentence


Found = dict[tuple[str, str], list[tuple[str, CheckState]]]
"""Rule and place -> names there with how their check stands."""


def checks_due_view(assessment: Assessment) -> ChecksDueView:
    """The list of checks due on the day the book is asked for.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    ChecksDueView
        Checks by period; within a check the places with most due first.
    """
    found = _states(assessment)
    rules: dict[Period, list[Rule]] = {period: [] for period in PERIODS}
    for rule in assessment.rules.values():
        rules[period_of(rule)].append(rule)
    periods = tuple(
        PeriodLines(period, tuple(_rule_line(rule, found) for rule in rules[period]))
        for period in PERIODS
    )
    return ChecksDueView(
        assessment.invented, assessment.today, _shifts(assessment), periods, caution("rods")
    )


def _states(assessment: Assessment) -> Found:
    found: Found = {}
    asked = asked_after()
    for subject in looked_at(assessment):
        rules = [each for each in assessment.rules.values()
                 if each.part in PARTS_OF[subject.kind]]  # fmt: skip
        for state in check_states(subject.history, rules, assessment.today, asked):
            rows = found.setdefault((state.rule.key, subject.where), [])
            rows.append((subject.name, state))
    return found


def _rule_line(rule: Rule, found: Found) -> RuleLine:
    places = [_place(rule, where, rows) for (key, where), rows in found.items() if key == rule.key]
    wanted = [each for each in places if each.due or each.unknown]
    wanted.sort(key=lambda each: (-len(each.due), each.where))
    figures = {}
    if rule.every > 0.0:
        standing = A if rule.standing_of_number != "READ" else C
        figures["every"] = Figure(f"checks.{rule.key}.every", rule.every, "count", standing)
    return RuleLine(rule.key, rule.every_unit, source_of(rule, "owner"), tuple(wanted), figures)


def _place(rule: Rule, where: str, rows: list[tuple[str, CheckState]]) -> CheckLine:
    due = [(name, state) for name, state in rows if state.code == "due"]
    own = f"checks.{rule.key}.{where}"
    because = tuple(dict.fromkeys(state.because for _, state in due if state.because))
    lasts = [state.last for _, state in due if state.last]
    return CheckLine(
        rule.key,
        where,
        in_name_order(name for name, _ in due),
        () if rule.key in WITHOUT_LOOK else in_name_order(n for n, each in due if not each.last),
        in_name_order(name for name, state in rows if state.code == "not-known"),
        because,
        min(lasts, default=""),
        {
            "count": Figure(f"{own}.count", float(len(due)), "count", C),
            "of": Figure(f"{own}.of", float(len(rows)), "count", C),
            "minutes": Figure(f"{own}.minutes", 60.0 * rule.minutes * len(due), "minutes", A),
        },
    )


def _shifts(assessment: Assessment) -> tuple[ShiftLine, ...]:
    rows = []
    for rig in assessment.book.rigs:
        for shift in SHIFTS:
            lines = lines_of(assessment.book, rig, shift, assessment.today)
            done = sum(line.state == "done" for line in lines)
            own = f"checks.shift.{rig}.{SHORT[shift]}"
            figures = {
                "done": Figure(f"{own}.done", float(done), "count", Standing.MEASURED),
                "lines": Figure(f"{own}.lines", float(len(lines)), "count", Standing.MEASURED),
            }
            rows.append(ShiftLine(rig, shift, SHORT[shift], figures))
    return tuple(rows)
