"""The rod card: its items, what a reading may be, and what a reading asks for.

A number alone asks for a standing only past a limit of the owner's own; whose figure a limit is
stands with the item. Two findings need no limit: metal beyond the joint under a jaw, and a bow on
a rod that was straight before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rodhand.advice.rules import Rule
from rodhand.steel.straightness import Bow, bow_by_line, bow_by_rolling, bow_by_three_gaps

INCH = 0.0254
BY_EYE = 0.001
"""Bow a look without a number cannot see (this project's proposal). [m/m]"""
OWNER = "OWNER"


@dataclass(frozen=True)
class CardItem:
    """One item of the card, at one end.

    Parameters
    ----------
    item, end : str
        As the record names them.
    touch : bool
        Whether *looked, nothing found* can be said of it without a gauge.
    faults : tuple of str
        What a finger can say was found.
    number : str
        Form of its readings; empty for none.
    rule, scope : str
        Row of the rule table with its limit, and whose figure that is.
    full : bool
        Whether a full look takes it in.
    """

    item: str
    end: str
    touch: bool
    faults: tuple[str, ...]
    number: str
    rule: str
    scope: str
    full: bool

    @property
    def name(self) -> str:
        """Item and end in one word, for a form."""
        return f"{self.item}.{self.end}"


@dataclass(frozen=True)
class NewSizes:
    """Sizes of a rod when new; None where nobody entered one. [m]"""

    joint_od: float | None = None
    joint_bore: float | None = None
    joint_length: float | None = None
    tube_od: float | None = None
    wall: float | None = None
    length: float | None = None
    counterbore: float | None = None


@dataclass(frozen=True)
class Taken:
    """Readings of one item, in order; the gauge's error where it is known.

    ``method`` and ``span`` belong to a bow. [m]
    """

    readings: tuple[float, ...]
    error: float | None = None
    method: str = ""
    span: float | None = None


@dataclass(frozen=True)
class Past:
    """A reading held against a limit.

    Parameters
    ----------
    finding, standing, cleared_by : str
        What it is past its limit, the standing it asks for, the work that clears it.
    number, limit : float
        The number and the limit, in the same quantity. [m]
    beyond : float
        How far past the limit; below zero when it is not. [m]
    error : float or None
        Of the number. [m]
    """

    finding: str
    standing: str
    cleared_by: str
    number: float
    limit: float
    beyond: float
    error: float | None

    @property
    def state(self) -> str:
        """``past``, ``near`` when only the gauge's error keeps it inside, ``inside``.

        A larger error never makes it better.
        """
        if self.beyond > 0.0:
            return "past"
        return "near" if self.error is not None and self.beyond + self.error > 0.0 else "inside"


def items_from_rows(rows: Iterable[Mapping[str, str]]) -> tuple[CardItem, ...]:
    """Items of the card in walking order, from the rows of its table."""
    return tuple(
        CardItem(
            row["item"], row["end"], row["touch"] == "yes",
            tuple(filter(None, row["faults"].split(";"))), row["number"], row["rule"],
            row["scope"], row["full"] == "yes",
        )
        for row in rows
    )  # fmt: skip


def bow_of(taken: Taken) -> Bow | None:
    """The bow some readings make; None where a method or a reading is missing.

    An unknown error counts as none here; `Past` then says nothing of *near*.
    """
    if taken.span is None or not taken.readings:
        return None
    error, gaps = taken.error or 0.0, taken.readings
    if taken.method == "rolled" and len(gaps) == 2:
        return bow_by_rolling(gaps[0], gaps[1], taken.span, error)
    if taken.method == "three gaps" and len(gaps) == 3:
        return bow_by_three_gaps(gaps, taken.span, error)
    return bow_by_line(gaps[0], taken.span, error) if taken.method == "line" else None


def _lost(
    finding: str, standing: str, new: float | None, taken: Taken, share: float
) -> Past | None:
    if not new or not taken.readings:
        return None
    lost, limit = new - min(taken.readings), share * new
    return Past(finding, standing, "", lost, limit, lost - limit, taken.error)


def _above(
    finding: str, standing: str, cleared: str, number: float, limit: float, error: float | None
) -> Past:
    return Past(finding, standing, cleared, number, limit, number - limit, error)


def held_against(
    item: str, taken: Taken, limit: float, standing: str, new: NewSizes
) -> Past | None:
    """A reading held against a limit of the rule table, in that row's unit.

    Parameters
    ----------
    item : str
        As the record names it.
    taken : Taken
        Its readings.
    limit : float
        In the unit of the item's row: in for lead, counterbore and shoulder, mm for a jaw mark,
        % lost of a tube's or joint's diameter, % left of a wall, mm in a metre for a bow.
    standing : str
        Standing asked for past it.
    new : NewSizes
        Sizes when new.

    Returns
    -------
    Past or None
        None where the reading or the new size it needs is missing.
    """
    if not taken.readings:
        return None
    first, error = taken.readings[0], taken.error
    if item == "pin-lead":
        return _above("stretched pin", "set aside", "re-cut", first, limit * INCH, error)
    if item == "shoulder":
        return _above("deep mark", standing, "refaced", first, limit * INCH, error)
    if item == "box-swell":
        if new.counterbore is None:
            return None
        grown = first - new.counterbore
        return _above("swollen box", standing, "re-cut", grown, limit * INCH, error)
    if item == "jaw-bite":
        allowed = limit / 1000.0
        return Past("jaw mark", standing, "dressed", first, allowed, allowed - first, error)
    if item == "tube-wall":
        if new.wall is None:
            return None
        least = limit / 100.0 * new.wall
        left = min(taken.readings)
        return Past("thin wall", standing, "", left, least, least - left, error)
    if item == "straightness":
        bow = bow_of(taken)
        if bow is None:
            return None
        known = None if error is None else bow.error
        return _above("bow", standing, "straightened", bow.height, limit / 1e3 * bow.span, known)
    if item == "tube-od":
        return _lost("worn tube", standing, new.tube_od, taken, limit / 100.0)
    if item == "joint-od":
        return _lost("worn joint", standing, new.joint_od, taken, limit / 100.0)
    return None


def past_own_limit(
    item: str, taken: Taken, rules: Mapping[str, Rule], new: NewSizes
) -> Past | None:
    """A reading held against the owner's limit; None where the owner has set none.

    A published figure is no limit here until the owner takes it on. The trade's figure for the
    diameter of a joint is in force from the start, see `rodhand.advice.looks`.
    """
    rule = rules.get(item)
    if rule is None or rule.limit is None or rule.standing_of_number != OWNER:
        return None
    return held_against(item, taken, rule.limit, rule.standing, new)


def was_straight(bow: Bow, earlier: Sequence[Bow | None]) -> bool:
    """Whether a rod bowed now was straighter before.

    Parameters
    ----------
    bow : Bow
        Now.
    earlier : sequence of (Bow or None)
        Earlier looks that found it straight; None where such a look had no number.

    Returns
    -------
    bool
        True where it grew by more than both errors, or by more than the eye misses.
    """
    return bow.told_from_straight and any(
        bow.share - bow.share_error > BY_EYE
        if each is None
        else bow.share - each.share > bow.share_error + each.share_error
        for each in earlier
    )
