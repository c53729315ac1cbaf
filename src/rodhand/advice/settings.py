"""The owner's dated settings: which there are, what may be said in them, and what they change."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace

from rodhand.advice.rules import Rule, Thresholds

COPY_DAYS = "copy_days"
PRICED = (
    "cleaned",
    "dressed",
    "refaced",
    "chased",
    "re-cut",
    "straightened",
    "bite-blended",
    "replaced",
)
"""Work an owner may set a price for: ``price.<work>``, in the book's money."""
RULE_PARTS = ("every", "limit", "minutes")
"""What of a rule an owner may set: ``rule.<key>.every``, ``.limit`` and ``.minutes``."""


@dataclass(frozen=True)
class OwnSettings:
    """What holds after the owner's settings.

    Parameters
    ----------
    thresholds : Thresholds
        Lines on life used.
    rules : mapping of str to Rule
        The rule table; an owner's number is marked ``OWNER``.
    copy_days : float
        Days after which the first page asks for a new copy of the book. [d]
    prices : mapping of str to float
        The owner's price of the yard's work, by its word in the record; none where none was set.
    """

    thresholds: Thresholds
    rules: Mapping[str, Rule]
    copy_days: float = 7.0
    prices: Mapping[str, float] = field(default_factory=dict)


def setting_names(rules: Mapping[str, Rule]) -> tuple[str, ...]:
    """Every setting there is, thresholds first."""
    of_rules = [f"rule.{key}.{part}" for key in rules for part in RULE_PARTS]
    prices = [f"price.{work}" for work in PRICED]
    return (*(each.name for each in fields(Thresholds)), COPY_DAYS, *of_rules, *prices)


def setting_fault(name: str, typed: str, rules: Mapping[str, Rule]) -> str:
    """Code of what is wrong with a setting; empty when it can be used.

    Parameters
    ----------
    name, typed : str
        As entered.
    rules : mapping of str to Rule
        The rule table that comes with the program.

    Returns
    -------
    str
        ``setting_unknown``, ``setting_number``, ``setting_range`` or nothing.
    """
    if name not in setting_names(rules):
        return "setting_unknown"
    try:
        value = float(typed)
    except ValueError:
        return "setting_number"
    if not math.isfinite(value):
        return "setting_number"
    least_allowed = name.endswith(".limit") and value == 0.0  # no crack is allowed
    too_much = name == "known_share" and value > 1.0
    return "" if (value > 0.0 or least_allowed) and not too_much else "setting_range"


def own_settings(values: Mapping[str, str], rules: Mapping[str, Rule]) -> OwnSettings:
    """Thresholds and rules with the owner's settings put over them.

    Parameters
    ----------
    values : mapping of str to str
        Name of a setting to the text in force; what cannot be used is passed over.
    rules : mapping of str to Rule
        The rule table that comes with the program.

    Returns
    -------
    OwnSettings
        What holds.
    """
    usable = {
        name: float(typed)
        for name, typed in values.items()
        if not setting_fault(name, typed, rules)
    }
    lines = {each.name for each in fields(Thresholds)}
    changed = dict(rules)
    for name, value in usable.items():
        if name.startswith("rule."):
            key, part = name.removeprefix("rule.").rsplit(".", 1)
            changed[key] = _with_part(changed[key], part, value)
    return OwnSettings(
        Thresholds(**{name: value for name, value in usable.items() if name in lines}),
        changed,
        usable.get(COPY_DAYS, OwnSettings.copy_days),
        {
            name.removeprefix("price.").replace("bite-", "bite "): value
            for name, value in usable.items()
            if name.startswith("price.")
        },
    )


def _with_part(rule: Rule, part: str, value: float) -> Rule:
    own = replace(rule, standing_of_number="OWNER")
    if part == "every":
        return replace(own, every=value)
    return replace(own, limit=value) if part == "limit" else replace(own, minutes=value)
