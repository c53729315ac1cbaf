"""Rod types, rigs, sets and things, read back from what was said of them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from rodhand.faults import BadInputError
from rodhand.record.book import (
    DeclaredPast,
    Dressing,
    Mark,
    Problem,
    Rig,
    RodSet,
    Thing,
)
from rodhand.record.marks import MarksError, count_up, fold
from rodhand.record.names import Names
from rodhand.record.order import Heard, Said
from rodhand.record.validate import rod_type_from_payload
from rodhand.steel.rod_type import RodType


@dataclass
class Yard:
    """Everything that is not a bore, while it is being read back."""

    names: Names = field(default_factory=Names)
    rod_types: dict[str, RodType] = field(default_factory=dict)
    rigs: dict[str, Rig] = field(default_factory=dict)
    sets: dict[str, RodSet] = field(default_factory=dict)
    things: dict[str, Thing] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_yard(heard: Heard) -> Yard:
    """Read rod types, rigs, sets, things and their marks; whatever was said when."""
    yard = Yard()
    for said in heard.by_kind["rod-type"]:
        _rod_type(yard, said)
    for said in heard.by_kind["rig"]:
        _rig(yard, said)
    _in_turn(yard, heard)
    for said in heard.by_kind["past"]:
        _past(yard, said)
    return yard


def _in_turn(yard: Yard, heard: Heard) -> None:
    """Sets, things and marks by date, because a mark that came free may be given again.

    What leans on a set or thing that is dated later is read after it.
    """
    read = {"set": _set, "thing": _thing, "mark": _mark}
    waiting = []
    for said in sorted(
        (said for kind in read for said in heard.by_kind[kind]), key=lambda each: each.key
    ):
        rod_set, thing = said.values.get("set", ""), said.values.get("thing", "")
        early = said.entry.kind == "thing" and rod_set and fold(rod_set) not in yard.names.sets
        if early or (said.entry.kind == "mark" and not yard.names.thing(thing, said.origin.at)):
            waiting.append(said)
        else:
            read[said.entry.kind](yard, said)
    for said in waiting:
        read[said.entry.kind](yard, said)


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
    yard.names.members[fold(name)] = list(keys)
    for number, key in enumerate(keys, 1):
        mark = marks[number - 1] if marks else ""
        # An unmarked rod answers to set and number, and goes on doing so once it is marked.
        yard.names.put_mark(f"{name} no. {number}", key, "")
        yard.things[key] = Thing(
            key, "rod", _first_mark(yard, said, mark, key), said.origin, set=name, number=number,
            rod_type=values["rod_type"], rig=values.get("rig", ""),
        )  # fmt: skip
    yard.sets[name] = RodSet(
        name, values["rod_type"], values["count"], said.origin, keys,
        bought=values.get("bought", ""), rig=values.get("rig", ""), note=values.get("note", ""),
    )  # fmt: skip


def _first_mark(yard: Yard, said: Said, mark: str, key: str) -> tuple[Mark, ...]:
    if not mark:
        return ()
    if not yard.names.put_mark(mark, key, said.origin.at):
        yard.problems.append(said.problem("mark_taken", found=mark))
        return ()
    return (Mark(mark, said.origin.happened.start),)


def _thing(yard: Yard, said: Said) -> None:
    yard.problems += yard.names.settle(said, ("rod_type", "rig", "set"))
    values = dict(said.values)
    name, key = values.pop("thing"), f"{said.entry.id}#1"
    if not yard.names.put_mark(name, key, said.origin.at):
        yard.problems.append(said.problem("mark_taken", "thing", name))
        return
    marks = (Mark(name, said.origin.happened.start),)
    yard.things[key] = Thing(key, values.pop("what"), marks, said.origin, **values)
    members = yard.names.members.get(fold(values.get("set", "")))
    if members is not None:
        members.append(key)
        rod_set = yard.sets[values["set"]]
        yard.sets[rod_set.name] = replace(rod_set, things=tuple(members))


def _mark(yard: Yard, said: Said) -> None:
    key = yard.names.thing(said.values["thing"], said.origin.at)
    if key is None:
        yard.problems.append(said.problem("thing_unknown", "thing", said.values["thing"]))
        return
    mark = said.values["mark"]
    if not yard.names.put_mark(mark, key, said.origin.at):
        yard.problems.append(said.problem("mark_taken", "mark", mark))
        return
    thing, since = yard.things[key], said.origin.happened.start
    marks = list(thing.marks)
    if marks:
        yard.names.take_mark(marks[-1].text, key, said.origin.at)
        marks[-1] = replace(marks[-1], until=since)
    yard.things[key] = replace(thing, marks=(*marks, Mark(mark, since)))


def _past(yard: Yard, said: Said) -> None:
    problems = yard.names.settle(said, ("set",))
    yard.problems += problems
    if not problems:
        values = said.values
        past = DeclaredPast(
            said.origin, values["rotating_time"], values.get("ground", "unknown"), values["order"]
        )
        yard.sets[values["set"]] = replace(yard.sets[values["set"]], past=past)


def dress(yard: Yard, dressings: tuple[Dressing, ...]) -> None:
    """Put the re-cuts and new lengths of all dressings, in order, on the things."""
    for dressing in dressings:
        changes: dict[str, Any] = {}
        if dressing.new_length is not None:
            changes["length"] = dressing.new_length
        for key in dressing.things:
            thing = yard.things[key]
            generation = thing.generation + (dressing.what == "re-cut")
            yard.things[key] = replace(thing, generation=generation, **changes)
