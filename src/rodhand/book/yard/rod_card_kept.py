"""What was found on one rod, kept at once: refused where it cannot be, asked about where odd."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.card import CardItem, NewSizes, Taken
from rodhand.advice.card_readings import Doubt, impossible, unlikely
from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.rig.left_in_hole import say_out
from rodhand.book.source_words import source_in_words
from rodhand.book.tasks.look_faults import reading_fault, shown_as_typed, where_on_card
from rodhand.book.tasks.standings import new_sizes
from rodhand.book.work.bows import taken_of_check
from rodhand.book.work.in_force import default_rules
from rodhand.book.work.rod_types import type_of_thing
from rodhand.book.yard.card_photos import CardPhoto, keep_photos
from rodhand.book.yard.rod_card import card_items, card_view, refusal, thing_in
from rodhand.faults import BadInputError, Fault
from rodhand.record.book_looks import Check
from rodhand.record.book_things import Thing
from rodhand.record.entry import Draft
from rodhand.record.validate import read_payload
from rodhand.units import Figure, Standing
from rodhand.words import say

SOURCE = "rod card"
SOUND = "nothing found"
MEASURED = "measured"
READINGS = ("reading", "second_reading", "third_reading")
A, M = Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class Typed:
    """What the form of a card holds.

    Parameters
    ----------
    said : mapping of str to tuple of str
        Item and end to what was touched: *nothing found*, or faults.
    numbers : mapping of str to mapping of str to str
        Item and end to its columns as typed.
    photos : sequence of CardPhoto
        Pictures taken.
    """

    said: Mapping[str, tuple[str, ...]]
    numbers: Mapping[str, Mapping[str, str]]
    photos: Sequence[CardPhoto] = ()
    happened: str = ""
    by: str = ""


def keep_card(folder: Path, name: str, typed: Typed) -> tuple[str, ...]:
    """Keep all looks of a card at once, or none.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Mark or key of the rod.
    typed : Typed
        What was touched, typed and photographed. Items left alone are not looked at.

    Returns
    -------
    tuple of str
        Ids of the entries: a look an item, one more where it was a full look, photos last.

    Raises
    ------
    BadInputError
        If the rod is in the hole or gone, nothing was said, an item is both sound and faulty, or
        a reading cannot be; with every fault, and nothing is kept.
    """
    book = book_in(folder)
    thing = thing_in(book, name)
    refused, hole = refusal(book, thing)
    if refused is not None:
        code = "card_in_hole" if hole else "card_gone"
        raise BadInputError([Fault(code, thing.name)], SOURCE)
    new = new_sizes(type_of_thing(book, thing))
    drafts, faults = [], []
    for item in card_items():
        payload = _payload(thing, item, typed)
        if payload is None:
            continue
        wrong = [*_contradictions(item, typed), *_reading_faults(item, payload, new)]
        faults += wrong
        drafts.append(Draft("check", payload, typed.happened, "", typed.by))
    if not drafts and not typed.photos and not faults:
        faults.append(Fault("card_empty", thing.name))
    photos, unread = keep_photos(folder, thing.name, typed.photos if not faults else ())
    faults += unread
    if faults:
        raise BadInputError(faults, SOURCE)
    looks = len(drafts)
    if is_full(drafts):
        sound = all(draft.payload["found"] in (SOUND, MEASURED) for draft in drafts)
        found = SOUND if sound else say("card.see_items")
        whole = {"things": thing.name, "end": "whole", "item": "full-look", "found": found}
        drafts.append(Draft("check", whole, typed.happened, "", typed.by))
    drafts += [Draft("photo", photo, typed.happened, "", typed.by) for photo in photos]
    entered = enter(folder, drafts, SOURCE)
    return tuple(entry.id for entry in entered.entries[: looks + 1])


def is_full(drafts: Sequence[Draft]) -> bool:
    """Whether looks take in every item a full look needs."""
    looked = {(draft.payload["item"], draft.payload.get("end", "")) for draft in drafts}
    return all((each.item, each.end) in looked for each in card_items() if each.full)


def _payload(thing: Thing, item: CardItem, typed: Typed) -> dict[str, str] | None:
    """The entry of one item; None where nothing was said of it."""
    said = typed.said.get(item.name, ())
    numbers = {column: text for column, text in typed.numbers.get(item.name, {}).items() if text}
    read = any(column.startswith(READINGS) for column in numbers)
    if not said and not read:
        return None
    if not read:
        numbers = {}  # a gauge's error alone says nothing
    found = "; ".join(said) if said else MEASURED
    return {"things": thing.name, "end": item.end, "item": item.item, "found": found, **numbers}


def _contradictions(item: CardItem, typed: Typed) -> list[Fault]:
    said = typed.said.get(item.name, ())
    where = where_on_card(item.item, item.end)
    known = {SOUND, *item.faults}
    if SOUND in said and len(said) > 1:
        return [Fault("card_both", ", ".join(said), values=where)]
    return [Fault("card_unknown", each, values=where) for each in said if each not in known]


def taken_of(payload: Mapping[str, str]) -> Taken:
    """Readings of a look's payload in SI; what cannot be read is left out."""
    values = read_payload("check", payload).values
    numbers = [values.get(each) for each in READINGS]
    error, span = values.get("gauge_error"), values.get("span")
    return Taken(
        tuple(each for each in numbers if isinstance(each, float)),
        error if isinstance(error, float) else None,
        str(values.get("method", "")),
        span if isinstance(span, float) else None,
    )


def _reading_faults(item: CardItem, payload: Mapping[str, str], sizes: NewSizes) -> list[Fault]:
    read = read_payload("check", payload)
    where = where_on_card(item.item, item.end)
    faults = [
        Fault(each.code, each.found, None, each.column, {**each.values, **where})
        for each in read.faults
    ]
    if faults:
        return faults
    taken = taken_of(payload)
    if item.number == "bow" and taken.readings and not taken.method:
        return [Fault("card_method", values=where)]
    doubt = impossible(item.item, taken, sizes)
    if doubt is not None:
        return [reading_fault(doubt, payload, where)]
    long = sizes.joint_length
    on_tube = (
        item.item == "jaw-bite" and long is not None and max(taken.readings, default=0.0) > long
    )
    if on_tube and "bite" not in payload["found"]:
        return [Fault("card_on_tube", shown_as_typed(taken.readings[0], payload), values=where)]
    return []


def asked_about(folder: Path, entries: Sequence[str]) -> tuple[Sentence, ...]:
    """What is asked about readings just kept.

    Parameters
    ----------
    folder : Path
        The book's folder.
    entries : sequence of str
        Ids of the looks.

    Returns
    -------
    tuple of Sentence
        Each with the item, the number and what it was held against.
    """
    book = book_in(folder)
    told = []
    for number, check in enumerate(book.checks):
        if check.origin.entry not in entries or not check.things:
            continue
        thing = book.things[check.things[0]]
        earlier = [
            each
            for each in book.checks[:number]
            if thing.key in each.things and (each.item, each.end) == (check.item, check.end)
            and each.reading is not None and each.origin.entry not in entries
        ]  # fmt: skip
        before = taken_of_check(earlier[-1]) if earlier else None
        sizes = new_sizes(type_of_thing(book, thing))
        for doubt in unlikely(check.item, taken_of_check(check), sizes, before):
            told.append(_asked(doubt, check))
        if check.reading is not None and check.gauge_error is None:
            told.append(Sentence("card.asked_no_error", _where(check)))
    return tuple(told)


def _where(check: Check) -> dict[str, str | Figure]:
    return {**where_on_card(check.item, check.end)}


def _asked(doubt: Doubt, check: Check) -> Sentence:
    own = f"card.asked.{check.item}.{check.end}.{doubt.code}"
    values = _where(check)
    values["number"] = Figure(f"{own}.number", doubt.number, "size", M)
    if doubt.against is not None:
        values["against"] = Figure(f"{own}.against", doubt.against, "size", A)
    return Sentence(f"card.asked_{doubt.code}", values)


def out_of_the_hole(folder: Path, name: str, by: str) -> str:
    """Keep the word that a rod, and the string it is in, is out of the hole; the entry's id."""
    view = card_view(folder, name)
    if view.hole is None:
        raise BadInputError([Fault("card_not_in_hole", view.name)], SOURCE)
    if view.hole.bore:
        return say_out(folder, book_in(folder).bores[view.hole.bore].rig, by)
    payload = {"things": ", ".join(view.hole_names), "where": "row"}
    return enter(folder, [Draft("whereabouts", payload, "", "", by)], SOURCE).entries[0].id


def take_on(folder: Path, item: str, by: str) -> str:
    """Make a published number the owner's own limit; the entry's id.

    Raises
    ------
    BadInputError
        If the item has no published number, or nobody says who takes it on.
    """
    rules = default_rules()
    known = {each.rule for each in card_items() if each.number}
    rule = rules.get(item) if item in known else None
    faults = [] if rule and rule.limit is not None else [Fault("card_no_number", item)]
    if not by.strip():
        faults.append(Fault("card_who", column="by"))
    if faults or rule is None or rule.limit is None:
        raise BadInputError(faults, SOURCE)
    payload = {"setting": f"rule.{item}.limit", "value": f"{rule.limit:g}",
               "why": say("card.taken_on", source=source_in_words(rule.source))}  # fmt: skip
    return enter(folder, [Draft("setting", payload, "", "", by)], SOURCE).entries[0].id
