"""What a rod's looks say: findings that still stand, each from one look."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rodhand.advice.card import (
    NewSizes,
    Past,
    Taken,
    bow_of,
    held_against,
    past_own_limit,
    was_straight,
)
from rodhand.advice.people import names_of
from rodhand.advice.rules import Rule

INCH = 0.0254
OVAL_DIFFERENCE = 0.03 * INCH
"""Two diameters of one joint further apart than this: oval (this project's proposal). [m]"""
GROWN_AT_LEAST = 0.005 * INCH
"""Growth between two looks told as growth and not as the gauge's error (proposal). [m]"""
GROWTH_ITEMS = ("box-swell", "joint-od")
DEFAULT_OD_LOSS = 0.10
NOT_A_JOINT = ("straightness", "tube-od", "tube-wall")
"""Looks whose two readings are no two diameters of a joint."""
NEW_STEEL = ("re-cut", "replaced")
"""Work after which an end is new: nothing found before it still stands."""


@dataclass(frozen=True)
class Look:
    """One look at one thing, in order of the work.

    Parameters
    ----------
    entry, when : str
        Entry it came from; ISO date.
    item, found, end : str
        What was looked at, what was found in the crew's words, which end.
    reading, second_reading, third_reading : float or None
        Gauge numbers; two at right angles for a diameter, three gaps for a bow. [m]
    gauge_error : float or None
        The gauge's own error; None where nobody gave it. [m]
    method, span : str, float or None
        How a bow was read, and over what length. [m]
    by : str
        Who looked; empty when unknown.
    began, ended : str
        First and last minute it may have been, as texts in order of time; empty when unknown.
    device, counter : str, int
        Where it was entered, and as which entry of that device.
    """

    entry: str
    when: str
    item: str
    found: str
    end: str = ""
    reading: float | None = None
    second_reading: float | None = None
    third_reading: float | None = None
    gauge_error: float | None = None
    method: str = ""
    span: float | None = None
    by: str = ""
    began: str = ""
    ended: str = ""
    device: str = ""
    counter: int = 0

    def is_after(self, other: Look) -> bool:
        """Whether it surely came after another look.

        By the clock; of two in one minute on one device, by the order they were entered in. Where
        only days are known, on a later day.
        """
        if not (self.began and other.ended):
            return self.when > other.when
        to_the_minute = self.began == self.ended
        return self.began > other.ended or (to_the_minute and _entered_after(self, other))

    @property
    def taken(self) -> Taken:
        """Its readings."""
        numbers = (self.reading, self.second_reading, self.third_reading)
        return Taken(
            tuple(each for each in numbers if each is not None),
            self.gauge_error,
            self.method,
            self.span,
        )


@dataclass(frozen=True)
class Dressed:
    """Work done on one end of one thing; ``began`` to ``counter`` as for a `Look`."""

    when: str
    what: str
    end: str = ""
    began: str = ""
    ended: str = ""
    device: str = ""
    counter: int = 0

    def is_after(self, look: Look) -> bool:
        """Whether it surely came after a look, so that it may have mended what that found.

        By the clock; of two told to the same day or minute on one device, by the order they were
        entered in. Without a clock, on the same day or later.
        """
        if not look.when:
            return False
        if not (self.began and look.ended):
            return self.when >= look.when
        return self.began > look.ended or _entered_after(self, look)


def _entered_after(one: Look | Dressed, other: Look) -> bool:
    """Whether one was entered after another on the same device, both told to the same moment."""
    same = (one.began, one.ended, one.device) == (other.began, other.ended, other.device)
    return same and one.counter > other.counter


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


_NOT = r"\b(?:no|not|never|without)\s+(?:any\s+)?(?:signs?\s+of\s+|further\s+)?$"


@lru_cache(maxsize=256)
def _pattern(words: str) -> re.Pattern[str]:
    """A word of the table with its usual endings: crack, cracks, cracked; thin, but not nothing."""
    return re.compile(rf"\b{re.escape(words)}(?:s|es|d|\w?(?:ed|ing))?\b")


def words_in(found: str, words: Sequence[FoundWord]) -> tuple[FoundWord, ...]:
    """The known words in what the crew typed, each part of the text read once.

    Parameters
    ----------
    found : str
        As typed. A word behind *no*, *not* or *without* is not found.
    words : sequence of FoundWord
        What words mean; where two fit the same text the first of the table counts.

    Returns
    -------
    tuple of FoundWord
        In the order of the table; empty when no word is known.
    """
    text = found.casefold()
    known = []
    for word in words:
        hits = list(_pattern(word.words).finditer(text))
        if any(not re.search(_NOT, text[: hit.start()]) for hit in hits):
            known.append(word)
        for hit in hits:
            text = text[: hit.start()] + "#" * len(hit[0]) + text[hit.end() :]
    return tuple(known)


def _is_sound(look: Look, words: Sequence[FoundWord]) -> bool:
    """Whether a look found nothing wrong: it says so, and says nothing else."""
    known = words_in(look.found, words)
    return bool(known) and not any(word.standing for word in known)


def _from_numbers(
    look: Look, earlier: Sequence[float], rules: dict[str, Rule], joint_od: float | None
) -> list[Finding]:
    """Findings that rest on gauge numbers: oval, grown, worn.

    Growth is counted from the last reading or from the first, whichever shows more: steps too
    small to tell one by one add up.
    """
    found: list[Finding] = []

    def add(name: str, standing: str, number: float, limit: float | None, cleared: str) -> None:
        found.append(
            Finding(
                name, standing, look.when, look.entry, look.item, look.end, number, limit, cleared
            )
        )

    if look.reading is None:
        return found
    if look.second_reading is not None and look.item not in NOT_A_JOINT:
        difference = abs(look.reading - look.second_reading)
        if difference > OVAL_DIFFERENCE:
            add("oval joint", "set aside", difference, OVAL_DIFFERENCE, "re-cut")
    if earlier and look.item in GROWTH_ITEMS:
        growth = look.reading - min(earlier[0], earlier[-1])
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


def _from_card(
    look: Look,
    earlier: Sequence[Look],
    rules: dict[str, Rule],
    new: NewSizes,
    words: Sequence[FoundWord],
) -> list[Finding]:
    """Findings of the rod card's readings: past or near a limit, bowed."""

    def finding(past: Past, name: str, standing: str, limit: float | None) -> Finding:
        return Finding(
            name, standing, look.when, look.entry, look.item, look.end, past.number, limit,
            past.cleared_by if name == past.finding else "",
        )  # fmt: skip

    taken = look.taken
    past = past_own_limit(look.item, taken, rules, new)
    rule = rules.get(look.item)
    if look.item == "joint-od" and rule and rule.limit:
        past = held_against(look.item, taken, rule.limit, rule.standing, new)
    if past is not None and past.state == "near":
        return [finding(past, "near limit", "watch", past.limit)]
    if past is not None:
        # A joint past the trade's figure is told by `_from_numbers`.
        is_told = look.item == "joint-od" or past.state == "inside"
        return [] if is_told else [finding(past, past.finding, past.standing, past.limit)]
    bow = bow_of(taken) if look.item == "straightness" else None
    if bow is None or not bow.told_from_straight:
        return []
    seen = [bow_of(each.taken) for each in earlier if each.taken.readings or _is_sound(each, words)]
    standing = "set aside" if was_straight(bow, seen) else "watch"
    return [
        Finding(
            "bow", standing, look.when, look.entry, look.item, look.end, bow.height,
            cleared_by="straightened",
        )
    ]  # fmt: skip


def _is_on(done: Dressed, end: str) -> bool:
    return done.end in ("", "whole", end)


def _cleared(
    finding: Finding,
    dressings: Sequence[Dressed],
    later: Sequence[Look],
    words: Sequence[FoundWord],
    first: Look,
) -> bool:
    """Whether work since took the finding away, or a later look at the same item found it sound.

    What sets a rod aside is cleared by the work it needs or by a person's word, never by a look;
    work clears nothing of which nobody knows whether it came before. Where another person finds it
    sound, the stricter of the two stands until a third look; who gave no name may be another.
    """
    same_end = [d for d in dressings if d.is_after(first) and _is_on(d, finding.end)]
    if any(d.what in (finding.cleared_by, *NEW_STEEL) for d in same_end):
        return True
    if finding.standing == "set aside":
        return False
    sound = [
        look
        for look in later
        if look.is_after(first)
        and look.item == finding.item
        and look.end == finding.end
        and _is_sound(look, words)
    ]
    others = [look for look in sound if is_another(look, first)]
    if len(sound) > len(others):
        return True
    by_whom = [(names_of(look.by), look.when) for look in others]
    return len({each for each in by_whom if each[0]}) + sum(not by for by, _ in by_whom) > 1


def is_another(look: Look, first: Look) -> bool:
    """Whether somebody else looked; on one day, one who gave no name may be somebody else.

    Where several were on, nobody of the first look may be among those of the other.
    """
    if "" in (look.by, first.by):
        return look.when <= first.when
    return not names_of(look.by) & names_of(first.by)


def _earlier(looks: Sequence[Look], look: Look, dressings: Sequence[Dressed]) -> tuple[float, ...]:
    """Gauge numbers of the same item and end since its steel was last cut or replaced. [m]"""
    cut = max(
        (d.when for d in dressings
         if d.what in NEW_STEEL and _is_on(d, look.end) and d.when <= look.when),
        default="",
    )  # fmt: skip
    return tuple(
        each.reading
        for each in looks
        if each.item == look.item
        and each.end == look.end
        and each.when >= cut
        and each.reading is not None
    )


def _since_straightened(
    looks: Sequence[Look], look: Look, dressings: Sequence[Dressed]
) -> list[Look]:
    """Earlier looks at the same item since the rod was last straightened or its end was new."""
    work = ("straightened", *NEW_STEEL)
    done = max((d.when for d in dressings if d.what in work and d.when <= look.when), default="")
    return [each for each in looks if each.item == look.item and each.when >= done]


def standing_findings(
    looks: Sequence[Look],
    dressings: Sequence[Dressed],
    words: Sequence[FoundWord],
    rules: dict[str, Rule],
    joint_od: float | None = None,
    new: NewSizes | None = None,
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
    new : NewSizes, optional
        All sizes when new, for the readings of the rod card.

    Returns
    -------
    tuple of Finding
        Each from one look; a word nobody knows makes no finding.
    """
    found: list[Finding] = []
    for index, look in enumerate(looks):
        earlier = _earlier(looks[:index], look, dressings)
        made = _from_numbers(look, earlier, rules, joint_od)
        same = _since_straightened(looks[:index], look, dressings)
        made += _from_card(look, same, rules, new or NewSizes(joint_od=joint_od), words)
        for word in words_in(look.found, words):
            if word.standing and word.finding not in {f.finding for f in made}:
                made.append(
                    Finding(
                        word.finding, word.standing, look.when, look.entry, look.item, look.end,
                        cleared_by=word.cleared_by,
                    )
                )  # fmt: skip
        found.extend(f for f in made if not _cleared(f, dressings, looks[index + 1 :], words, look))
    return tuple(found)
