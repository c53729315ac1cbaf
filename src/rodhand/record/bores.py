"""Bores with their passes, loads and what happened in them, read back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rodhand.record.book_bores import Bore, Event, FreeReading, MakeupShift, Remark, Slip
from rodhand.record.ground import Ground
from rodhand.record.loads import read_loads
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said
from rodhand.record.origin import Problem
from rodhand.record.passes import RowsOf, read_passes, rows_of_bores
from rodhand.record.things import Yard

BORE_FACTS = {
    "slip": "slips", "event": "events", "makeup": "makeups", "free-reading": "free_readings",
}  # fmt: skip
"""Kinds whose entries are facts of a bore each by itself, and where the bore keeps them."""


def read_bores(heard: Heard, yard: Yard, remarks: Sequence[Remark]) -> Ground:
    """Read the bores back, in the order they were drilled."""
    ground = Ground()
    for said in heard.by_kind["bore"]:
        _bore(ground, yard, said)
    ground.rows, unknown = rows_of_bores(yard, heard)
    ground.problems += unknown
    facts = {kind: _of_bores(ground, yard, heard, kind) for kind in BORE_FACTS}
    loads = read_loads(ground, yard, heard)
    said_of: dict[str, list[Remark]] = defaultdict(list)
    for remark in remarks:
        said_of[remark.bore].append(remark)
    for name, bore in ground.bores.items():
        passes, problems = read_passes(ground.rows.get(name, RowsOf()), yard)
        ground.problems += problems
        own: dict[str, Any] = {BORE_FACTS[kind]: tuple(of[name]) for kind, of in facts.items()}
        ground.bores[name] = replace(
            bore,
            passes=passes,
            load=loads.get(name),
            remarks=tuple(said_of[name]),
            **own,
        )
    ground.bores = {name: ground.bores[name] for name in ground.drilled()}
    return ground


def _bore(ground: Ground, yard: Yard, said: Said) -> None:
    ground.problems += yard.names.settle(said, ("rig",))
    values = dict(said.values)
    name = values.pop("bore")
    name = yard.names.bores.setdefault(fold(name), name)
    known = ground.bores.get(name)
    if known is not None and fold(known.rig) != fold(values["rig"]):
        ground.problems.append(
            said.problem("bore_twice", "bore", name, rig=known.rig, other=values["rig"])
        )
        return
    head = values.get("head")
    if head and yard.names.thing(head, said.origin.at) is None:
        ground.problems.append(said.problem("head_unknown", "head", head))
    ground.order.setdefault(name, said.key)
    ground.bores[name] = replace(known or Bore(name, values["rig"], said.origin), **values)


def _of_bores(ground: Ground, yard: Yard, heard: Heard, kind: str) -> dict[str, list[Any]]:
    """Facts of one kind by the bore they belong to; those of unknown bores are told."""
    found: dict[str, list[Any]] = defaultdict(list)
    for said in heard.by_kind[kind]:
        fact, problems = bore_fact(said, yard)
        ground.problems += problems
        if fact is not None:
            found[fact.bore].append(fact)
    return found


def bore_fact(said: Said, yard: Yard) -> tuple[Any | None, list[Problem]]:
    """The fact of a bore an entry of one of `BORE_FACTS` makes; None where its bore is unknown."""
    named = Said(said.entry, dict(said.values), said.origin, said.key)
    problems = yard.names.settle(named, ("bore", "rig"))
    if problems:
        return None, problems
    values = named.values
    if said.entry.kind == "slip":
        things, problems = yard.names.things(named)
        return Slip(said.origin, values["rig"], values["bore"], things), problems
    name = values.pop("pass", "")
    if said.entry.kind == "event":
        return Event(said.origin, pass_name=name, **{"station": None, **values}), []
    record = MakeupShift if said.entry.kind == "makeup" else FreeReading
    return record(said.origin, pass_name=name, **values), []
