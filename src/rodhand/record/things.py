"""Rod types, rigs, sets and things, read back from what was said of them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from rodhand.faults import BadInputError
from rodhand.record.book_looks import Dressing
from rodhand.record.book_things import (
    Cut,
    DeclaredPast,
    FormerUse,
    LengthSince,
    LimitSince,
    Mark,
    Rig,
    RodSet,
    SetSince,
    Thing,
)
from rodhand.record.choices import FORMER_SECTIONS, GONE
from rodhand.record.marks import MarksError, count_up, fold
from rodhand.record.names import Names
from rodhand.record.order import Heard, Said
from rodhand.record.origin import Problem
from rodhand.record.validate import rod_type_from_payload
from rodhand.steel.rod_type import RodType


@dataclass
class Yard:
    """Everything that is not a bore, while it is being read back."""

    names: Names = field(default_factory=Names)
    rod_types: dict[str, RodType] = field(default_factory=dict)
    limits: dict[str, list[LimitSince]] = field(default_factory=dict)
    rigs: dict[str, Rig] = field(default_factory=dict)
    sets: dict[str, RodSet] = field(default_factory=dict)
    things: dict[str, Thing] = field(default_factory=dict)
    gone: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_yard(heard: Heard) -> Yard:
    """Read rod types, rigs, sets, things and their marks; whatever was said when."""
    yard = Yard()
    for said in heard.by_kind["rod-type"]:
        _rod_type(yard, said)
    for said in heard.by_kind["rig"]:
        _rig(yard, said)
    _in_turn(yard, heard)
    _settle_sets(yard)
    for said in heard.by_kind["past"]:
        _past(yard, said)
    return yard


def _in_turn(yard: Yard, heard: Heard) -> None:
    """Sets, things, marks and where they are by date, because a mark that came free may be given
    again.

    What leans on a set or thing that is dated later is read after it.
    """
    read = {
        "set": _set, "thing": _thing, "mark": _mark, "membership": _join, "whereabouts": _went,
    }  # fmt: skip
    waiting = []
    for said in sorted(
        (said for kind in read for said in heard.by_kind[kind]), key=lambda each: each.key
    ):
        if _leans_on_later(yard, said):
            waiting.append(said)
        else:
            read[said.entry.kind](yard, said)
    for said in waiting:
        read[said.entry.kind](yard, said)


def _leans_on_later(yard: Yard, said: Said) -> bool:
    rod_set, thing = said.values.get("set", ""), said.values.get("thing", "")
    if said.entry.kind == "mark":
        return yard.names.thing(thing, said.origin.at) is None
    if said.entry.kind not in ("thing", "membership"):
        return False
    no_set = bool(rod_set) and fold(rod_set) not in yard.names.sets
    return no_set or bool(said.entry.kind == "membership" and yard.names.things(said)[1])


def _rod_type(yard: Yard, said: Said) -> None:
    try:
        rod_type = rod_type_from_payload(said.entry.payload)
    except BadInputError as error:
        yard.problems += [
            said.problem(fault.code, fault.column or "", fault.found, **fault.values)
            for fault in error.faults
        ]
        return
    name = yard.names.rod_types.setdefault(fold(rod_type.name), rod_type.name)
    yard.rod_types[name] = replace(rod_type, name=name)
    yard.limits.setdefault(name, []).append(LimitSince(rod_type.limit_radius, said.origin))


def _rig(yard: Yard, said: Said) -> None:
    yard.problems += yard.names.settle(said, ("rod_type",))
    values = dict(said.values)
    name = values.pop("rig")
    name = yard.names.rigs.setdefault(fold(name), name)
    known = yard.rigs.get(name) or Rig(name, said.origin)
    yard.rigs[name] = replace(known, **values)


def _set(yard: Yard, said: Said) -> None:
    values = said.values
    name = values["set"]
    if fold(name) in yard.names.sets:
        yard.problems.append(said.problem("set_twice", "set", name))
        return
    yard.problems += yard.names.settle(said, ("rod_type", "rig"))
    marks: tuple[str, ...] = ()
    try:
        if "marks_start" in values:
            marks = count_up(values["marks_start"], values["count"])
    except MarksError as error:
        yard.problems.append(said.problem(error.code, "marks_start", error.found))
    keys = tuple(f"{said.entry.id}#{number}" for number in range(1, values["count"] + 1))
    yard.names.sets[fold(name)] = name
    yard.names.members.setdefault(fold(name), [])
    for number, key in enumerate(keys, 1):
        mark = marks[number - 1] if marks else ""
        # An unmarked rod answers to set and number, and goes on doing so once it is marked.
        yard.names.put_mark(f"{name} no. {number}", key, "")
        yard.names.join(key, name, "")
        yard.things[key] = Thing(
            key, "rod", _first_mark(yard, said, mark, key), said.origin, set=name, number=number,
            rod_type=values["rod_type"], rig=values.get("rig", ""), sets=(SetSince(name),),
        )  # fmt: skip
    yard.sets[name] = RodSet(
        name, values["rod_type"], values["count"], said.origin, keys,
        bought=values.get("bought", ""), rig=values.get("rig", ""), note=values.get("note", ""),
    )  # fmt: skip


def _first_mark(yard: Yard, said: Said, mark: str, key: str) -> tuple[Mark, ...]:
    if not mark:
        return ()
    if not _put_mark(yard, said, mark, key):
        yard.problems.append(said.problem("mark_taken", found=mark))
        return ()
    return (Mark(mark, said.origin.happened.start),)


def _put_mark(yard: Yard, said: Said, mark: str, key: str, until: str = "") -> bool:
    """Put a mark on a thing; one that is gone by then gives its mark up."""
    at = said.origin.at
    for other in yard.names.carriers(mark, at, key):
        if yard.gone.get(other, at + "~") > at:
            return False
        yard.names.take_mark(mark, other, at)
        marks = yard.things[other].marks
        ended = replace(marks[-1], until=said.origin.happened.start)
        yard.things[other] = replace(yard.things[other], marks=(*marks[:-1], ended))
    return yard.names.put_mark(mark, key, at, until)


def _went(yard: Yard, said: Said) -> None:
    """Note what is sold, lost or scrapped, and what came back; the rest is read as facts."""
    for key in yard.names.things(said)[0]:
        yard.gone.pop(key, None)
        if said.values["where"] in GONE:
            yard.gone[key] = said.origin.at


def _thing(yard: Yard, said: Said) -> None:
    yard.problems += yard.names.settle(said, ("rod_type", "rig", "set"))
    values = dict(said.values)
    name, key = values.pop("thing"), f"{said.entry.id}#1"
    if not _put_mark(yard, said, name, key):
        yard.problems.append(said.problem("mark_taken", "thing", name))
        return
    marks = (Mark(name, said.origin.happened.start),)
    sets: tuple[SetSince, ...] = ()
    if fold(values.get("set", "")) in yard.names.sets:
        yard.names.join(key, values["set"], "")
        sets = (SetSince(values["set"]),)
    lengths = (LengthSince(values.get("length")),)
    yard.things[key] = Thing(
        key, values.pop("what"), marks, said.origin, sets=sets, lengths=lengths, **values
    )


def _mark(yard: Yard, said: Said) -> None:
    key = yard.names.thing(said.values["thing"], said.origin.at)
    if key is None:
        yard.problems.append(said.problem("thing_unknown", "thing", said.values["thing"]))
        return
    mark, until = said.values["mark"], said.values.get("until", "")
    if not _put_mark(yard, said, mark, key, until):
        yard.problems.append(said.problem("mark_taken", "mark", mark))
        return
    since = said.origin.happened.start
    thing = yard.things[key]
    marks = list(thing.marks)
    if marks and not marks[-1].until:
        yard.names.take_mark(marks[-1].text, key, said.origin.at)
        marks[-1] = replace(marks[-1], until=since)
    yard.things[key] = replace(thing, marks=(*marks, Mark(mark, since, until)))


def _join(yard: Yard, said: Said) -> None:
    """Put things into another set from a day on."""
    keys, problems = yard.names.things(said)
    problems = [*yard.names.settle(said, ("set",)), *problems]
    yard.problems += problems
    if not problems:
        for key in keys:
            yard.names.join(key, said.values["set"], said.origin.at)
            since = SetSince(said.values["set"], said.origin.happened.start)
            sets = sorted((*yard.things[key].sets, since), key=lambda each: each.since)
            yard.things[key] = replace(yard.things[key], sets=tuple(sets))


def _settle_sets(yard: Yard) -> None:
    """Let every thing and set know where things are in the end."""
    for key, thing in yard.things.items():
        if thing.sets:
            yard.things[key] = replace(thing, set=thing.sets[-1].set)
    for name, rod_set in yard.sets.items():
        members = yard.names.members.get(fold(name), ())
        kept = tuple(key for key in members if yard.things[key].set == name)
        yard.sets[name] = replace(rod_set, things=kept)


def _past(yard: Yard, said: Said) -> None:
    problems = yard.names.settle(said, ("set",))
    yard.problems += problems
    if not problems:
        values = said.values
        members = yard.names.members_at(values["set"], said.origin.at)
        past = DeclaredPast(
            said.origin, values.get("rotating_time"), values.get("ground", "unknown"),
            values.get("order", "unknown"), tuple(members),
        )  # fmt: skip
        yard.sets[values["set"]] = replace(yard.sets[values["set"]], past=past)


def read_formers(yard: Yard, heard: Heard) -> tuple[FormerUse, ...]:
    """What former owners' books say; numbers that cannot be read are told and not used."""
    found = []
    for said in heard.by_kind["former-use"]:
        values = dict(said.values)
        key = yard.names.thing(values.pop("thing"), said.origin.at)
        if key is None:
            yard.problems.append(said.problem("thing_unknown", "thing", said.values["thing"]))
            continue
        bad = [name for name in FORMER_SECTIONS if not former_numbers(values[name])]
        yard.problems += [said.problem("former_numbers", name, values[name][:60]) for name in bad]
        if not bad:
            sections = tuple(former_numbers(values.pop(name)) for name in FORMER_SECTIONS)
            former = FormerUse(said.origin, key, sections=sections, **values)
            yard.things[key] = _as_handed_over(yard.things[key], former)
            found.append(former)
    return tuple(found)


def _as_handed_over(thing: Thing, former: FormerUse) -> Thing:
    """A thing with the threads and length it came with; what was measured here goes before."""
    cuts = (Cut("pin", ""),) * former.pin_cuts + (Cut("box", ""),) * former.box_cuts
    changed = replace(thing, cuts=(*thing.cuts, *cuts), generation=thing.generation + len(cuts))
    if former.length is None or thing.length is not None:
        return changed
    return replace(changed, length=former.length, lengths=(LengthSince(former.length),))


def former_numbers(typed: str) -> tuple[float, ...]:
    """Design, low, best and high sum and width of one section; nothing if they cannot be that."""
    try:
        numbers = tuple(float(part) for part in typed.split())
    except ValueError:
        return ()
    if len(numbers) != 5 or not all(0.0 <= number < 1e9 for number in numbers):
        return ()
    return numbers if numbers[1] <= numbers[2] <= numbers[3] else ()


def dress(yard: Yard, dressings: tuple[Dressing, ...]) -> None:
    """Put the re-cuts and new lengths of all dressings, in order, on the things."""
    for dressing in dressings:
        since = dressing.origin.happened.start
        is_cut = dressing.what == "re-cut"
        for key in dressing.things:
            thing = yard.things[key]
            changes: dict[str, Any] = {}
            length = _length_after(yard, thing, dressing)
            if length is not None:
                before = thing.lengths or (LengthSince(thing.length),)
                changes = {"length": length, "lengths": (*before, LengthSince(length, since))}
            if is_cut:
                changes["cuts"] = (*thing.cuts, Cut(dressing.end, since))
            generation = thing.generation + is_cut
            yard.things[key] = replace(thing, generation=generation, **changes)


def _length_after(yard: Yard, thing: Thing, dressing: Dressing) -> float | None:
    """Length after work on an end: as measured, or by what a re-cut took; None if unchanged. [m]"""
    if dressing.new_length is not None:
        return dressing.new_length
    if dressing.what != "re-cut" or dressing.removed is None:
        return None
    rod_type = yard.rod_types.get(thing.rod_type)
    before = thing.length or (rod_type.length if rod_type else None)
    return None if before is None else before - dressing.removed
