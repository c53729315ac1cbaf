"""Where a rod stands end by end, what decides it, what to do about it, and who said otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from rodhand.advice.fitness import ORDER, worse
from rodhand.advice.looks import NEW_STEEL, Finding, is_another
from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in, open_assessment
from rodhand.book.rig.worn_makeup import worn_makeup
from rodhand.book.tasks.standings import findings_of, last_full_look, standing_of_thing
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_places import places_now
from rodhand.book.work.in_force import default_curves, default_words, settings_in_force
from rodhand.book.work.prices import owner_prices
from rodhand.book.work.tables import data_rows
from rodhand.book.work.verdicts import caution
from rodhand.book.yard.rod_bow import bow_sentences
from rodhand.book.yard.rod_card import card_items, size_or_finer, slug
from rodhand.book.yard.rod_card_kept import SOURCE, asked_about
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.faults import BadInputError, Fault
from rodhand.record.book_things import Thing
from rodhand.record.choices import STANDINGS
from rodhand.record.entry import Draft
from rodhand.units import INCH, Figure, Standing
from rodhand.words import has, say

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
PLACES = ("pin", "box", "tube", "whole")
REFACED = "refaced"
FACED_ITEMS = ("shoulder", "pin-nose", "bench-mark")
"""Looks whose findings are faced off a shoulder."""


@dataclass(frozen=True)
class Work:
    """What the yard does about one finding.

    Parameters
    ----------
    how, who : str
        In words.
    work : str
        A word of the record's dressings; empty where the work is none of them.
    minutes, price : Figure
        Common practice; the owner's price, None where none was set.
    gives_back : bool
        Whether steel with its damage is cut away; only that gives life back.
    source : str
        How sure.
    """

    how: str
    who: str
    work: str
    minutes: Figure
    price: Figure
    gives_back: bool
    source: str


@dataclass(frozen=True)
class EndVerdict:
    """One end, the tube, or the rod as a whole.

    ``deciding`` worst first; ``not_looked`` items a full look takes in and nobody looked at;
    ``left`` what may still be faced off, and work that mended nothing for all that is known.
    """

    end: str
    standing: str
    deciding: tuple[Sentence, ...]
    works: tuple[Work, ...]
    not_looked: tuple[str, ...]
    left: tuple[Sentence, ...]


@dataclass(frozen=True)
class GivenWord:
    """A standing a person gave: who, when, why."""

    standing: str
    by: str
    when: str
    why: str


@dataclass(frozen=True)
class VerdictView:
    """The verdict of one rod.

    ``asked`` is what is asked about readings just kept; ``disputed`` items on which the last two
    people differ; ``next_rod`` the next of the row nobody looked at that day.
    """

    invented: bool
    name: str
    standing: str
    by_looks: bool
    reasons: tuple[str, ...]
    ends: tuple[EndVerdict, ...]
    asked: tuple[Sentence, ...]
    disputed: tuple[Sentence, ...]
    makeup: tuple[Sentence, ...]
    bow: tuple[Sentence, ...]
    words: tuple[GivenWord, ...]
    next_rod: str
    standings: tuple[str, ...]
    caution: Sentence
    figures: dict[str, Figure]


@cache
def yard_work() -> Mapping[str, Mapping[str, str]]:
    """What the yard does about each finding, from the table that comes with the program."""
    return {row["finding"]: row for row in data_rows("yard_work.csv")}


def _place(finding: Finding) -> str:
    return finding.end if finding.end in PLACES else "whole"


def _deciding(finding: Finding, key: str) -> Sentence:
    values: dict[str, str | Figure] = {
        "finding": say(f"finding.{slug(finding.finding)}"), "when": finding.when,
    }  # fmt: skip
    if finding.number is None:
        return Sentence("rod_verdict.found", values)
    values["number"] = Figure(f"{key}.number", finding.number, size_or_finer(finding.number), M)
    if finding.limit is None:
        return Sentence("rod_verdict.found_number", values)
    values["limit"] = Figure(f"{key}.limit", finding.limit, size_or_finer(finding.limit), A)
    return Sentence("rod_verdict.found_past", values)


def _work(finding: Finding, key: str, prices: Mapping[str, float]) -> Work:
    row = yard_work().get(finding.finding) or yard_work()["worn"]
    minutes = Figure(f"{key}.minutes", float(row["minutes"]) * 60.0, "minutes", A)
    price = Figure(f"{key}.price", prices.get(row["work"]), "money", A)
    return Work(
        say(f"yard_work.{row['how']}"), say(f"yard_who.{row['who']}"), row["work"], minutes, price,
        row["cuts"] == "yes", say(f"source.{row['standing_of_number']}"),
    )  # fmt: skip


def faced_off(assessment: Assessment, key: str, end: str) -> float | None:
    """Metal faced off an end's shoulder since its steel was last cut.

    Returns
    -------
    float or None
        None where a facing was kept without how much it took. [m]
    """
    taken: float | None = 0.0
    for each in assessment.book.dressings:
        if key not in each.things or each.end not in (end, "", "whole"):
            continue
        if each.what == "re-cut":
            taken = 0.0
        elif each.what == REFACED:
            taken = None if taken is None or each.removed is None else taken + each.removed
    return taken


def _left_to_face(assessment: Assessment, thing: Thing, end: str) -> tuple[Sentence, ...]:
    """What may still be faced off a shoulder; an oilfield figure unless the owner took it on."""
    rule = assessment.rules.get("bench-mark")
    if end not in ("pin", "box") or rule is None or rule.limit is None:
        return ()
    taken, own = faced_off(assessment, thing.key, end), f"rod_verdict.{end}"
    if taken is None:
        return (Sentence("rod_verdict.face_unknown"),)
    left = max(0.0, rule.limit * INCH - taken)
    values: dict[str, str | Figure] = {
        "taken": Figure(f"{own}.taken", taken, "fine_size", M),
        "left": Figure(f"{own}.left", left, "fine_size", C),
    }
    name = "owner" if rule.standing_of_number == "OWNER" else "oilfield"
    return (Sentence(f"rod_verdict.face_left_{name}", values),)


def _not_looked(assessment: Assessment, key: str, end: str) -> tuple[str, ...]:
    looked = {(look.item, look.end) for look in assessment.looks.get(key, ())}
    return tuple(
        say(f"card.item.{slug(each.item)}")
        for each in card_items()
        if each.end == end and each.full and not {(each.item, end), (each.item, "whole")} & looked
    )


def _worked_same_day(assessment: Assessment, key: str, finding: Finding) -> bool:
    """Whether the work that mends a finding may have been done before it as well as after."""
    looks = assessment.looks.get(key, ())
    look = next((each for each in looks if each.entry == finding.entry), None)
    return look is not None and any(
        each.what in (finding.cleared_by, *NEW_STEEL)
        and each.end in ("", "whole", finding.end)
        and bool(each.began and look.began)
        and each.began <= look.ended
        and look.began <= each.ended
        for each in assessment.dressings.get(key, ())
    )


def end_verdict(
    assessment: Assessment, thing: Thing, end: str, prices: Mapping[str, float]
) -> EndVerdict:
    """Where one end stands by its looks.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    thing : Thing
        The rod.
    end : str
        ``pin``, ``box``, ``tube`` or ``whole``.
    prices : mapping of str to float
        The owner's price of each work; none where none was set.

    Returns
    -------
    EndVerdict
        Its standing is the worst any finding asks for; without one, *fit* only where every item
        was looked at.
    """
    found = sorted(
        (each for each in findings_of(assessment, thing.key) if _place(each) == end),
        key=lambda each: ORDER.index(each.standing),
        reverse=True,
    )
    missing = _not_looked(assessment, thing.key, end)
    standing = "not looked at" if missing else "fit"
    for each in found:
        standing = worse(standing, each.standing)
    keys = [f"rod_verdict.{end}.{number}" for number in range(len(found))]
    works: dict[str, Work] = {}
    for each, key in zip(found, keys, strict=True):
        one = _work(each, key, prices)
        works.setdefault(one.how, one)
    faced = any(each.item in FACED_ITEMS for each in found)
    left = _left_to_face(assessment, thing, end) if faced else ()
    if any(_worked_same_day(assessment, thing.key, each) for each in found):
        left = (*left, Sentence("rod_verdict.same_day"))
    told = tuple(_deciding(each, key) for each, key in zip(found, keys, strict=True))
    return EndVerdict(end, standing, told, tuple(works.values()), missing, left)


def _disputed(assessment: Assessment, key: str) -> tuple[Sentence, ...]:
    """Items on which somebody else found sound what one person did not."""
    told = []
    for finding in findings_of(assessment, key):
        looks = [
            look
            for look in assessment.looks.get(key, ())
            if (look.item, look.end) == (finding.item, finding.end) and look.when >= finding.when
        ]
        first = next((look for look in looks if look.entry == finding.entry), None)
        later = looks[looks.index(first) + 1 :] if first else []
        others = {look.by for look in later if first and is_another(look, first)}
        if first and others:
            item = f"card.item.{slug(finding.item)}"
            values = {
                "item": say(item) if has(item) else finding.item,
                "one": first.by or say("rod_verdict.somebody"),
                "other": ", ".join(by or say("rod_verdict.somebody") for by in sorted(others)),
            }
            told.append(Sentence("rod_verdict.disputed", values))
    return tuple(told)


def looks_alone(folder: Path) -> Assessment:
    """A book with its looks and settings and no bore worked through: enough for what looks say."""
    book = book_in(folder)
    today = date.today().isoformat()
    own = settings_in_force(book, today)
    return Assessment(
        book, {}, {}, {}, {}, default_curves(), own.rules, default_words(), own.thresholds, today
    )


def verdict_view(folder: Path, name: str, of: str = "") -> VerdictView:
    """The verdict of one rod.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Mark or key.
    of : str
        First entry of a card just kept; its readings are asked about, and the rod stands by its
        looks alone: the bores are not worked through while somebody waits in the yard.

    Returns
    -------
    VerdictView
        End by end in walking order; the rod as a whole last, where something was found on it.

    Raises
    ------
    NoSuchThingError
        If nothing carries that name.
    """
    assessment = looks_alone(folder) if of else open_assessment(folder)
    thing = assessment.book.things.get(name) or assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    prices = owner_prices(assessment).work
    judged = (end_verdict(assessment, thing, end, prices) for end in PLACES)
    ends = tuple(each for each in judged if each.deciding or each.end != "whole")
    if of:
        standing = max((each.standing for each in ends), key=ORDER.index)
        told: tuple[str, ...] = (say("rod_verdict.by_looks"),)
    else:
        standing, reasons = standing_of_thing(assessment, thing.key)
        codes = dict.fromkeys(slug(each.code) for each in reasons)
        told = tuple(say(f"rod_verdict.reason.{code}") for code in codes)
    given = tuple(
        GivenWord(each.standing, each.origin.by, each.origin.happened.start[:10], each.why)
        for each in assessment.book.standings
        if thing.key in each.things
    )
    waiting = tuple(end for end in ends if end.works)
    minutes = sum(work.minutes.value or 0.0 for end in waiting for work in end.works)
    figures = {"minutes": Figure("rod_verdict.minutes", minutes, "minutes", A)}
    return VerdictView(
        assessment.invented, thing.name, standing, bool(of), told, ends,
        asked_about(folder, _looks_of_card(assessment, of)) if of else (),
        _disputed(assessment, thing.key), worn_makeup(assessment, thing),
        bow_sentences(assessment, thing), given, next_to_look_at(assessment, thing), STANDINGS,
        caution("threads"), figures,
    )  # fmt: skip


def next_to_look_at(assessment: Assessment, thing: Thing) -> str:
    """The next rod of the box in walking order without a full look on the last day of looks."""
    places = places_now(assessment)
    here = places.get(thing.key)
    if here is None:
        return ""
    day = max((look.when for look in assessment.looks.get(thing.key, ())), default="")
    rest = sorted(
        (place, key) for key, place in places.items() if place[0] == here[0] and place > here
    )
    waiting = (key for _, key in rest if last_full_look(assessment, key) < day)
    key = next(waiting, "")
    return assessment.book.things[key].name if key else ""


def _looks_of_card(assessment: Assessment, first: str) -> tuple[str, ...]:
    """Looks kept together with a card's first one: same thing, same moment, same device."""
    checks = assessment.book.checks
    start = next((each for each in checks if each.origin.entry == first), None)
    if start is None:
        return ()
    return tuple(
        each.origin.entry
        for each in checks
        if each.things == start.things
        and each.origin.device == start.origin.device
        and each.origin.happened == start.origin.happened
        and 0 <= each.origin.counter - start.origin.counter < len(card_items())
    )


def give_standing(folder: Path, name: str, standing: str, why: str, by: str) -> str:
    """Keep a standing a person gives; the entry's id.

    Raises
    ------
    NoSuchThingError
        If nothing carries that name.
    BadInputError
        If it is no standing, or says not who and why.
    """
    assessment = open_assessment(folder)
    thing = assessment.book.things.get(name) or assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    faults = [] if standing in STANDINGS else [Fault("card_standing", standing, column="standing")]
    faults += [] if why.strip() else [Fault("card_why", column="why")]
    faults += [] if by.strip() else [Fault("card_who", column="by")]
    if faults:
        raise BadInputError(faults, SOURCE)
    payload = {"things": thing.name, "standing": standing, "why": why.strip()}
    return enter(folder, [Draft("standing", payload, "", "", by.strip())], SOURCE).entries[0].id
