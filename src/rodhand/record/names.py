"""What names stand for: things by their marks at a time, sets, rigs, rod types."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from rodhand.record.marks import fold
from rodhand.record.order import Said
from rodhand.record.origin import Problem


@dataclass(frozen=True, slots=True)
class Carried:
    """One thing carrying one mark for a time; ``until`` empty is still."""

    key: str
    since: str
    until: str = ""

    def at(self, moment: str) -> bool:
        """Whether the mark was on the thing at a moment."""
        return self.since <= moment and (not self.until or moment < self.until)


@dataclass
class Names:
    """Every name the entries define, compared without case."""

    rod_types: dict[str, str] = field(default_factory=dict)
    rigs: dict[str, str] = field(default_factory=dict)
    bores: dict[str, str] = field(default_factory=dict)
    sets: dict[str, str] = field(default_factory=dict)
    members: dict[str, list[str]] = field(default_factory=dict)
    joined: dict[str, list[tuple[str, str]]] = field(default_factory=lambda: defaultdict(list))
    marks: dict[str, list[Carried]] = field(default_factory=lambda: defaultdict(list))

    def thing(self, name: str, at: str) -> str | None:
        """Key of the thing that carries a mark at a moment, else of the first that ever did."""
        carried = self.marks.get(fold(name))
        if not carried:
            return None
        return next((each.key for each in carried if each.at(at)), carried[0].key)

    def carriers(self, mark: str, since: str, but: str) -> list[str]:
        """Keys of the things that carry a mark from a moment on, but for one."""
        return [
            each.key
            for each in self.marks.get(fold(mark), ())
            if each.key != but and (not each.until or each.until > since)
        ]

    def put_mark(self, mark: str, key: str, since: str, until: str = "") -> bool:
        """Put a mark on a thing; False if another thing carries it then or later."""
        if self.carriers(mark, since, key):
            return False
        self.marks[fold(mark)].append(Carried(key, since, until))
        return True

    def join(self, key: str, rod_set: str, since: str) -> None:
        """Put a thing into a set from a moment on; the first it was ever in counts from before."""
        known = self.joined[key]
        known.append((since if known else "", rod_set))
        known.sort(key=lambda each: each[0])
        members = self.members.setdefault(fold(rod_set), [])
        if key not in members:
            members.append(key)

    def set_at(self, key: str, at: str) -> str:
        """Name of the set a thing is in at a moment; empty when in none."""
        return next((s for since, s in reversed(self.joined.get(key, ())) if since <= at), "")

    def members_at(self, rod_set: str, at: str) -> list[str]:
        """Keys of the things in a set at a moment, in the order they came to it."""
        name = fold(rod_set)
        return [key for key in self.members.get(name, ()) if fold(self.set_at(key, at)) == name]

    def take_mark(self, mark: str, key: str, until: str) -> None:
        """End a mark on a thing."""
        carried = self.marks[fold(mark)]
        for index, each in enumerate(carried):
            if each.key == key and not each.until:
                carried[index] = Carried(key, each.since, until)

    def things(self, said: Said, column: str = "things") -> tuple[tuple[str, ...], list[Problem]]:
        """Keys of a list of marks and set names, and what of it is unknown or doubled."""
        keys: list[str] = []
        problems = []
        for name in said.values.get(column, ()):
            found = self.thing(name, said.origin.at)
            members = [found] if found else self.members_at(name, said.origin.at)
            if not members:
                problems.append(said.problem("thing_unknown", column, name))
            if any(key in keys for key in members):
                problems.append(said.problem("mark_twice", column, name, part=name))
            keys += [key for key in members if key not in keys]
        return tuple(keys), problems

    def settle(self, said: Said, fields: Iterable[str]) -> list[Problem]:
        """Spell the names in some fields as they were first given; tell those nobody gave.

        A field is one of ``rod_type``, ``rig``, ``bore``, ``set``; the value of an unknown name
        stays as typed.
        """
        problems = []
        for name in fields:
            typed = said.values.get(name)
            if typed is None:
                continue
            given = self._register(name).get(fold(typed))
            if given is None:
                problems.append(said.problem(f"{name}_unknown", name, typed))
            else:
                said.values[name] = given
        return problems

    def unknown(self, values: Mapping[str, Any], fields: Iterable[str]) -> list[tuple[str, str]]:
        """Names nobody gave, each with its field: those of `settle`, and marks of things."""
        found = [
            (name, values[name]) for name in fields
            if name in values and fold(values[name]) not in self._register(name)
        ]  # fmt: skip
        marks = [("thing", values["thing"])] if "thing" in values else []
        marks += [("things", each) for each in values.get("things", ())]
        sets = self.sets
        return found + [
            (name, mark) for name, mark in marks
            if not self.marks.get(fold(mark)) and (name == "thing" or fold(mark) not in sets)
        ]  # fmt: skip

    def _register(self, field_name: str) -> dict[str, str]:
        return {
            "rod_type": self.rod_types, "rig": self.rigs, "bore": self.bores, "set": self.sets,
        }[field_name]  # fmt: skip
