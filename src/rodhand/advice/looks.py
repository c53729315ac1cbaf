"""What a rod's looks say: findings that still stand, each from one look."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.advice.rules import Rule

INCH = 0.0254
OVAL_DIFFERENCE = 0.03 * INCH
"""Two diameters of one joint further apart than this: oval (this project's proposal). [m]"""
GROWN_AT_LEAST = 0.005 * INCH
"""Growth between two looks told as growth and not as the gauge's error (proposal). [m]"""
GROWTH_ITEMS = ("box-swell", "joint-od")
DEFAULT_OD_LOSS = 0.10


@dataclass(frozen=True)
class Look:
    """One look at one thing, in order of the work.

    Parameters
    ----------
    entry, when : str
        Entry it came from; ISO date.
    item, found, end : str
        What was looked at, what was found in the crew's words, which end.
    reading, second_reading : float or None
        Gauge numbers; two at right angles for a diameter. [m]
    """

    entry: str
    when: str
    item: str
    found: str
    end: str = ""
    reading: float | None = None
    second_reading: float | None = None


@dataclass(frozen=True)
class Dressed:
    """Work done on one end of one thing."""

    when: str
    what: str
    end: str = ""


@dataclass(frozen=True)
class FoundWord:
    """A word crews use in a look, the finding it names, its standing and what clears it."""

    words: str
    finding: str
    standing: str
    cleared_by: str


@dataclass(frozen=True)
class Finding:
    """Something a look found that still stands.

    ``number`` is the number that makes it: a difference, a growth or a loss in [m], or None where
    the finding is words only; ``limit`` the number it was held against, in [m].
    """

    finding: str
    standing: str
    when: str
    entry: str
    item: str
    end: str = ""
    number: float | None = None
    limit: float | None = None
    cleared_by: str = ""


def word_for(found: str, words: Sequence[FoundWord]) -> FoundWord | None:
    """The first known word in what the crew typed, or None when none is known."""
    text = found.casefold()
    return next((word for word in words if word.words in text), None)


def _from_numbers(
    look: Look, earlier: Look | None, rules: dict[str, Rule], joint_od: float | None
) -> list[Finding]:
    """Findings that rest on gauge numbers: oval, grown, worn."""
    found: list[Finding] = []

    def add(name: str, standing: str, number: float, limit: float | None, cleared: str) -> None:
        found.append(
            Finding(
                name, standing, look.when, look.entry, look.item, look.end, number, limit, cleared
            )
        )

    if look.reading is None:
        return found
    if look.second_reading is not None:
        difference = abs(look.reading - look.second_reading)
        if difference > OVAL_DIFFERENCE:
            add("oval joint", "set aside", difference, OVAL_DIFFERENCE, "re-cut")
    if earlier is not None and earlier.reading is not None and look.item in GROWTH_ITEMS:
        growth = look.reading - earlier.reading
        if growth > GROWN_AT_LEAST:
            rule = rules.get("box-swell")
            limit = rule.limit * INCH if rule and rule.limit else None
            over = limit is not None and growth > limit
            add("grown box", "set aside" if over else "watch", growth, limit, "re-cut")
    if look.item == "joint-od" and joint_od:
        rule = rules.get("joint-od")
        share = rule.limit / 100 if rule and rule.limit else DEFAULT_OD_LOSS
        smallest = min(look.reading, look.second_reading or look.reading)
        if joint_od - smallest > share * joint_od:
            add("worn joint", "set aside", joint_od - smallest, share * joint_od, "")
    return found


def _cleared(finding: Finding, dressings: Sequence[Dressed], later: Sequence[Look]) -> bool:
    """Whether work since took the finding away, or a later look at the same item found it sound.

    Steel that needs cutting (a crack, a bench mark gone) is cleared by the cut, never by a look.
    """
    same_end = [
        d for d in dressings if d.when >= finding.when and d.end in ("", "whole", finding.end)
    ]
    if any(d.what in (finding.cleared_by, "re-cut", "replaced") for d in same_end):
        return True
    needs_cut = finding.cleared_by == "re-cut"
    return not needs_cut and any(
        look.when > finding.when and look.item == finding.item and look.end == finding.end
        for look in later
    )


def standing_findings(
    looks: Sequence[Look],
    dressings: Sequence[Dressed],
    words: Sequence[FoundWord],
    rules: dict[str, Rule],
    joint_od: float | None = None,
) -> tuple[Finding, ...]:
    """Findings of a thing that still stand, oldest first.

    Parameters
    ----------
    looks, dressings : sequences
        In order of the work.
    words : sequence of FoundWord
        What the crew's words mean.
    rules : mapping of str to Rule
        The rule table.
    joint_od : float, optional
        Diameter of the joint when new. [m]

    Returns
    -------
    tuple of Finding
        Each from one look; a word nobody knows makes no finding.
    """
    found: list[Finding] = []
    for index, look in enumerate(looks):
        earlier = next(
            (o for o in reversed(looks[:index]) if o.item == look.item and o.end == look.end), None
        )
        made = _from_numbers(look, earlier, rules, joint_od)
        word = word_for(look.found, words)
        if word is not None and word.standing and word.finding not in {f.finding for f in made}:
            made.append(
                Finding(
                    word.finding, word.standing, look.when, look.entry, look.item, look.end,
                    cleared_by=word.cleared_by,
                )
            )  # fmt: skip
        found.extend(f for f in made if not _cleared(f, dressings, looks[index + 1 :]))
    return tuple(found)
