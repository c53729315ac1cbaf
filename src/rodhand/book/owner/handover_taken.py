"""Taking a former owner's file into a book: every rod's work there, assumed here."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rodhand.book.entry.keeping import enter
from rodhand.book.owner.handover import FORM, NUMBERS, WHAT, digest_of
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.book_things import RodSet
from rodhand.record.choices import FORMER_SECTIONS, STANDINGS
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import fold
from rodhand.record.things import former_numbers
from rodhand.record.validate import rod_type_from_payload
from rodhand.words import say

LARGEST = 50_000_000
"""Most bytes a file may have."""
TOLD_ON = ("dress", "set aside", "scrap")
"""Standings of the former owner's book that are kept until somebody here says otherwise. *Watch*
is not: no rod is *fit* here before it was looked at, and life used asks for it by itself."""
OF_STEEL = (
    "tube_od", "wall", "length", "joint_od", "joint_bore", "joint_length", "yield_stress",
    "build",
)  # fmt: skip
"""What two rod types of one name must agree in."""


@dataclass(frozen=True)
class HandoverTaken:
    """What came in: how many rods, the set they are in, whether it is new, rods told on."""

    rods: int
    set: str
    owner: str
    new_set: bool
    told_on: tuple[str, ...]


def read_handover(data: bytes, source: str) -> dict[str, Any]:
    """The content of a former owner's file, checked.

    Raises
    ------
    BadInputError
        If it is no such file, of a newer form, changed since it was written, or its numbers
        cannot be what they say.
    """
    try:
        document = json.loads(data.decode("utf-8")) if len(data) <= LARGEST else None
    except (ValueError, RecursionError):
        document = None
    if not isinstance(document, dict) or document.get("what") != WHAT:
        raise BadInputError([Fault("handover_not_one", source)], source)
    if document.get("form") != FORM:
        found = str(document.get("form"))[:20]
        raise BadInputError([Fault("handover_newer", found)], source)
    try:
        held = digest_of(document)
    except ValueError:
        held = ""
    if document.get("sha256") != held:
        raise BadInputError([Fault("handover_changed", str(document.get("sha256"))[:64])], source)
    if not _is_whole(document):
        raise BadInputError([Fault("handover_not_whole", source)], source)
    return document


def _is_whole(document: Mapping[str, Any]) -> bool:
    """Whether everything that is read stands in it and can be what it says."""
    rods, book = document.get("rods"), document.get("book")
    return (
        all(isinstance(document.get(name), str) for name in ("owner", "set", "rod_type"))
        and bool(document["set"].strip())
        and isinstance(book, dict)
        and isinstance(document.get("rod_types"), dict)
        and document.get("numbers") == list(NUMBERS)
        and isinstance(rods, list)
        and bool(rods)
        and all(_is_rod(rod) for rod in rods)
    )


def _is_rod(rod: object) -> bool:
    if not isinstance(rod, dict) or not isinstance(rod.get("damage"), dict):
        return False
    texts = ("mark", "rod_type", "serial", "since", "until", "hours", "standing")
    wholes, numbers = ("number", "pin_cuts", "box_cuts"), ("rotating_h", "length_m", "value")
    return (
        all(isinstance(rod.get(name), str) for name in texts)
        and all(type(rod.get(name)) is int and 0 <= rod[name] < 100_000 for name in wholes)
        and all(rod.get(name) is None or _is_number(rod[name]) for name in numbers)
        and bool(rod["mark"] or rod["number"])
        and rod["standing"] in STANDINGS
        and all(former_numbers(_numbers(rod, name)) for name in FORMER_SECTIONS)
    )


def _is_number(value: object) -> bool:
    return type(value) in (int, float) and math.isfinite(value) and 0 <= value < 1e9  # type: ignore[arg-type, operator]


def _numbers(rod: Mapping[str, Any], section: str) -> str:
    values = rod["damage"].get(section)
    if not isinstance(values, list) or not all(_is_number(each) for each in values):
        return ""
    return " ".join(repr(float(each)) for each in values)


def take_handover(
    folder: Path, data: bytes, source: str, rod_set: str = "", happened: str = "", by: str = ""
) -> HandoverTaken:
    """Take a former owner's file into a book, all of it or nothing.

    Parameters
    ----------
    folder : Path
        The book's folder; one without a book gets one.
    data : bytes
        The file.
    source : str
        Its name.
    rod_set : str
        Set the rods go by here: a new one, or one of the book's whose rods these are, found by
        mark, and by number without one. The former owner's name of it when empty, as a new set.
    happened : str
        When they came; now when empty.
    by : str
        Key of who says it.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written.
    """
    document = read_handover(data, source)
    book, book_id = _book_in(folder)
    if document["book"].get("id") == book_id:
        raise BadInputError([Fault("handover_own", document["owner"])], source)
    if any(former.digest == document["sha256"] for former in book.formers):
        raise BadInputError([Fault("handover_taken", document["sha256"])], source)
    name = rod_set.strip() or document["set"]
    there = next((each for each in book.sets.values() if fold(each.name) == fold(name)), None)
    if there is not None and not rod_set.strip():
        raise BadInputError([Fault("handover_set_there", there.name)], source)
    if there is None:
        drafts, names = _new_set(book, document, name, source)
    else:
        drafts, names = [], _found_in(book, there, document, source)
    rods = list(zip(names, document["rods"], strict=True))
    # Words on standing come first: they were given without knowing what is told here.
    drafts += [_standing(rod_name, rod, document) for rod_name, rod in rods if _told_on(rod)]
    drafts += [_former_use(rod_name, rod, document) for rod_name, rod in rods]
    enter(folder, [Draft(d.kind, d.payload, happened, "", by) for d in drafts], source)
    told_on = tuple(rod_name for rod_name, rod in rods if _told_on(rod))
    return HandoverTaken(len(rods), name, document["owner"], there is None, told_on)


def take_handover_file(
    folder: Path, file: Path, rod_set: str = "", happened: str = "", by: str = ""
) -> HandoverTaken:
    """Take a file in; see `take_handover`. Raises CannotReadError if it cannot be read."""
    with told_plainly(file):
        data = file.read_bytes()
    return take_handover(folder, data, file.name, rod_set, happened, by)


def _book_in(folder: Path) -> tuple[Book, str]:
    if not (folder / FILE_NAME).exists():
        return Book(), ""
    journal = journal_of(folder)
    return journal.book(), journal.book_id


def _told_on(rod: Mapping[str, Any]) -> bool:
    return rod["standing"] in TOLD_ON


def _new_set(
    book: Book, document: Mapping[str, Any], name: str, source: str
) -> tuple[list[Draft], list[str]]:
    """Rod types the book lacks, the set with its unmarked rods, and the marked ones."""
    drafts = _rod_types(book, document, source)
    bare = sum(1 for rod in document["rods"] if not rod["mark"])
    facts = {"set": name, "rod_type": document["rod_type"], "count": str(bare)}
    if document.get("bought"):
        facts["bought"] = str(document["bought"])
    drafts.append(Draft("set", {**facts, "note": _from(document)}))
    names, number = [], 0
    for rod in document["rods"]:
        if not rod["mark"]:
            number += 1
            names.append(f"{name} no. {number}")
            continue
        names.append(rod["mark"])
        thing = {"thing": rod["mark"], "what": "rod", "set": name, "rod_type": rod["rod_type"]}
        if rod["serial"]:
            thing["serial"] = rod["serial"]
        if rod["value"] is not None:
            thing["value"] = repr(rod["value"])
        drafts.append(Draft("thing", thing))
    return drafts, names


def _rod_types(book: Book, document: Mapping[str, Any], source: str) -> list[Draft]:
    known = {fold(name): each for name, each in book.rod_types.items()}
    drafts, faults = [], []
    for name, payload in document["rod_types"].items():
        here = known.get(fold(name))
        if here is None:
            drafts.append(Draft("rod-type", payload))
            continue
        try:
            theirs = rod_type_from_payload(payload)
        except BadInputError as error:
            raise BadInputError(error.faults, source) from error
        other = [part for part in OF_STEEL if getattr(here, part) != getattr(theirs, part)]
        if other:
            faults.append(Fault("handover_rod_type", name, values={"parts": ", ".join(other)}))
    if faults:
        raise BadInputError(faults, source)
    return drafts


def _found_in(book: Book, rod_set: RodSet, document: Mapping[str, Any], source: str) -> list[str]:
    """Names of the book's own rods the file is about, in its order."""
    names: list[str] = []
    keys: list[str] = []
    faults = []
    for rod in document["rods"]:
        name = rod["mark"] or f"{rod_set.name} no. {rod['number']}"
        thing = book.thing_named(name)
        if thing is None or thing.key not in rod_set.things or thing.key in keys:
            faults.append(Fault("handover_no_such_rod", name, values={"set": rod_set.name}))
            continue
        told = any(f.thing == thing.key and f.owner == document["owner"] for f in book.formers)
        if told:
            faults.append(Fault("handover_told", name, values={"owner": document["owner"]}))
        names.append(name)
        keys.append(thing.key)
    if faults:
        raise BadInputError(faults, source)
    return names


def _from(document: Mapping[str, Any]) -> str:
    return say("handover.from", owner=document["owner"], set=document["set"])


def _standing(name: str, rod: Mapping[str, Any], document: Mapping[str, Any]) -> Draft:
    why = say("handover.standing_why", owner=document["owner"], standing=rod["standing"])
    return Draft("standing", {"things": name, "standing": rod["standing"], "why": why})


def _former_use(name: str, rod: Mapping[str, Any], document: Mapping[str, Any]) -> Draft:
    payload = {
        "thing": name,
        "owner": document["owner"],
        "since": rod["since"],
        "until": rod["until"],
        "rotating_h": repr(rod["rotating_h"]) if rod["rotating_h"] is not None else "",
        "hours": rod["hours"],
        "length_m": repr(rod["length_m"]) if rod["length_m"] is not None else "",
        "pin_cuts": str(rod["pin_cuts"]),
        "box_cuts": str(rod["box_cuts"]),
        **{section: _numbers(rod, section) for section in FORMER_SECTIONS},
        "digest": document["sha256"],
        "note": say(
            "handover.note", mark=rod["mark"] or f"{document['set']} no. {rod['number']}",
            standing=rod["standing"], figures=rod["damage"].get("standing", "assumed"),
        ),
    }  # fmt: skip
    return Draft("former-use", {column: text for column, text in payload.items() if text})


def sets_to_hand_over(folder: Path) -> Sequence[tuple[str, str, int]]:
    """Name, rod type and count of rods of every set of a book.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    book = journal_of(folder).book()
    return [(each.name, each.rod_type, len(each.things)) for each in book.sets.values()]
