"""Where a rod stands: the worst of what its life used, its looks and its events ask for.

Standing gets worse by computation and better only by a person with a reason: a standing a person
gave covers everything known on that day, and nothing that came after.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rodhand.advice.looks import Finding
from rodhand.advice.rules import Thresholds

LIFE_CODES = ("", "life-inspect", "life-downgrade", "life-declared", "life-retire")
"""What the owner's lines on life used ask for, from least to most."""
ORDER = ("fit", "not looked at", "watch", "dress", "set aside", "scrap")
"""From best to worst: what nobody looked at is worse than fit and better than any finding."""


@dataclass(frozen=True)
class Given:
    """A standing a person gave, when and why.

    ``covers`` holds the entries of looks and the names of bores known when it was given; what is
    not in it came to be known later, and counts.
    """

    standing: str
    when: str
    why: str
    covers: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Held:
    """A standing only a changed rule would have made better; it stays until a person's word."""

    standing: str
    when: str
    why: str


@dataclass(frozen=True)
class Happening:
    """Something that happened to a rod and asks for a look until one is made.

    ``code`` is over-torque, under-torque, over-steer, overload, jerk or break; ``number`` what was
    read or computed, in the unit of ``quantity``; ``when`` the last ISO day it may have been,
    empty when unknown.
    """

    code: str
    when: str
    bore: str
    number: float | None
    quantity: str
    standing: str = "watch"


@dataclass(frozen=True)
class RodState:
    """Everything a rod's standing rests on.

    Parameters
    ----------
    design : float or None
        Life used on the design curve, worst section; None when unknown. [1]
    recorded : float or None
        The part of it that rests on recorded work alone. [1]
    design_when_given, recorded_when_given : float or None
        The same two as they were known when a person last gave a standing. [1]
    held : sequence of Held
        Standings kept since a person last gave one, because only a rule was changed.
    known_share : float or None
        Share of its work, by rotating time, that is not assumed; None where nobody knows how
        much work it did before. [1]
    last_full_look : str
        ISO date of the last full look; empty when never.
    """

    design: float | None
    recorded: float | None
    known_share: float | None
    findings: Sequence[Finding] = ()
    happenings: Sequence[Happening] = ()
    last_full_look: str = ""
    given: Given | None = None
    design_when_given: float | None = None
    recorded_when_given: float | None = None
    held: Sequence[Held] = ()


@dataclass(frozen=True)
class Reason:
    """One thing that decides a standing: a code, the standing it asks for, and its number."""

    code: str
    standing: str
    number: float | None
    quantity: str
    when: str = ""
    finding: Finding | None = None
    happening: Happening | None = None


def worse(one: str, other: str) -> str:
    """The worse of two standings."""
    return max(one, other, key=ORDER.index)


def days_between(earlier: str, later: str) -> int:
    """Days from one ISO date to another. [d]"""
    return (date.fromisoformat(later[:10]) - date.fromisoformat(earlier[:10])).days


def by_life(
    design: float | None, recorded: float | None, thresholds: Thresholds, under: bool
) -> tuple[str, str]:
    """What the design value of life used asks for: (code, standing); ('', '') for nothing.

    Parameters
    ----------
    design, recorded : float or None
        Life used on the design curve, in all and by recorded work alone. [1]
    thresholds : Thresholds
        The owner's thresholds.
    under : bool
        Whether the next bore runs under a road, rail or water, where the stricter one holds.

    Notes
    -----
    A declared past is a memory, right within times or over 3. It can ask for a look and keep a
    rod from the front of the string; it does not set a rod aside by itself.
    """
    if design is None:
        return "", ""
    retire = thresholds.retire_under if under else thresholds.retire
    if recorded is not None and recorded >= retire:
        return "life-retire", "set aside"
    if design >= retire:
        return "life-declared", "watch"
    if design >= thresholds.downgrade:
        return "life-downgrade", "watch"
    if design >= thresholds.inspect:
        return "life-inspect", "watch"
    return "", ""


def standing_of(
    state: RodState,
    thresholds: Thresholds,
    today: str,
    look_due_after: float,
    under: bool = False,
) -> tuple[str, tuple[Reason, ...]]:
    """Standing of a rod and what decides it, worst first.

    Parameters
    ----------
    state : RodState
        What is known of the rod.
    thresholds : Thresholds
        The owner's thresholds.
    today : str
        ISO date of the day it is asked for.
    look_due_after : float
        Days after which a full look is due again. [d]
    under : bool
        Whether the next bore runs under a road, rail or water.

    Returns
    -------
    str, tuple of Reason
        One of `ORDER`; *fit* only with a look within its due time and enough known history.
    """
    reasons = [*_of_life(state, thresholds, under)]
    given = state.given
    covers = given.covers if given else frozenset()
    for finding in state.findings:
        if finding.entry not in covers:
            reasons.append(
                Reason("finding", finding.standing, finding.number, "size", finding.when, finding)
            )
    for happening in state.happenings:
        looked = "" < happening.when < state.last_full_look
        if happening.bore not in covers and not looked:
            reasons.append(
                Reason(
                    happening.code, happening.standing, happening.number, happening.quantity,
                    happening.when, happening=happening,
                )
            )  # fmt: skip
    reasons += [Reason("held", each.standing, None, "count", each.when) for each in state.held]
    if given:
        reasons.append(Reason("given", given.standing, None, "count", given.when))
    last = max(state.last_full_look, given.when if given else "")
    if given and given.standing == "fit":
        # A person's "fit" is a look, and goes out of date like one.
        age = days_between(last, today) if last else None
        if age is None:
            reasons.append(Reason("never-looked", "not looked at", None, "days"))
        elif age > look_due_after:
            reasons.append(_overdue(age))
    if not reasons:
        return _without_reasons(state, thresholds, today, look_due_after)
    reasons.sort(key=lambda reason: ORDER.index(reason.standing), reverse=True)
    return reasons[0].standing, tuple(reasons)


def _of_life(state: RodState, thresholds: Thresholds, under: bool) -> tuple[Reason, ...]:
    """What life used asks for, unless a person's word was given with as much of it known."""
    code, asked = by_life(state.design, state.recorded, thresholds, under)
    seen = ""
    if state.given:
        # A word given once is not taken for one about the road or rail the next bore runs under.
        seen, _ = by_life(state.design_when_given, state.recorded_when_given, thresholds, False)
    if LIFE_CODES.index(code) <= LIFE_CODES.index(seen):
        return ()
    return (Reason(code, asked, state.design, "life"),)


def _overdue(age: int) -> Reason:
    return Reason("look-overdue", "not looked at", age * 86400.0, "days")


def _without_reasons(
    state: RodState, thresholds: Thresholds, today: str, look_due_after: float
) -> tuple[str, tuple[Reason, ...]]:
    """Fit with a look in time and known history; not looked at otherwise."""
    if not state.last_full_look:
        return "not looked at", (Reason("never-looked", "not looked at", None, "days"),)
    age = days_between(state.last_full_look, today)
    if age > look_due_after:
        return "not looked at", (_overdue(age),)
    if state.known_share is None:
        return "not looked at", (Reason("history-unknown", "not looked at", None, "share"),)
    if state.known_share < thresholds.known_share:
        return "not looked at", (
            Reason("history-assumed", "not looked at", state.known_share, "share"),
        )
    return "fit", (Reason("looked", "fit", age * 86400.0, "days", state.last_full_look),)
