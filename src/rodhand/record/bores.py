"""Bores with their passes, loads and what happened in them, read back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rodhand.record.book import Bore, Event, FreeReading, MakeupShift, Remark, Slip
from rodhand.record.ground import Ground
from rodhand.record.loads import read_loads
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said
from rodhand.record.passes import read_passes
from rodhand.record.things import Yard


def read_bores(heard: Heard, yard: Yard, remarks: Sequence[Remark]) -> Ground:
    """Read the bores back, in the order they were drilled."""
    ground = Ground()
    for said in heard.by_kind["bore"]:
        _bore(ground, yard, said)
    passes = read_passes(ground, yard, heard)
    slips = _of_bores(ground, yard, heard, "slip", _slip)
    events = _of_bores(ground, yard, heard, "event", _event)
    makeups = _of_bores(ground, yard, heard, "makeup", _makeup)
    free = _of_bores(ground, yard, heard, "free-reading", _free_reading)
    loads = read_loads(ground, yard, heard)
    said_of: dict[str, list[Remark]] = defaultdict(list)
    for remark in remarks:
        said_of[remark.bore].append(remark)
    for name, bore in ground.bores.items():
        ground.bores[name] = replace(
            bore,
            passes=tuple(passes.get(name, ())),
            load=loads.get(name),
            slips=tuple(slips[name]),
            events=tuple(events[name]),
            makeups=tuple(makeups[name]),
            free_readings=tuple(free[name]),
            remarks=tuple(said_of[name]),
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


def _of_bores(
    ground: Ground, yard: Yard, heard: Heard, kind: str, make: Any
) -> dict[str, list[Any]]:
    """Facts of one kind by the bore they belong to; those of unknown bores are told."""
    found: dict[str, list[Any]] = defaultdict(list)
    for said in heard.by_kind[kind]:
        problems = yard.names.settle(said, ("bore", "rig"))
        ground.problems += problems
        if not problems:
            found[said.values["bore"]].append(make(ground, yard, said))
    return found


def _slip(ground: Ground, yard: Yard, said: Said) -> Slip:
    things, problems = yard.names.things(said)
    ground.problems += problems
    return Slip(said.origin, said.values["rig"], said.values["bore"], things)


def _event(_ground: Ground, _yard: Yard, said: Said) -> Event:
    values = {"station": None, **said.values}
    return Event(said.origin, pass_name=values.pop("pass", ""), **values)


def _free_reading(_ground: Ground, _yard: Yard, said: Said) -> FreeReading:
    values = dict(said.values)
    return FreeReading(said.origin, pass_name=values.pop("pass", ""), **values)


def _makeup(_ground: Ground, _yard: Yard, said: Said) -> MakeupShift:
    values = dict(said.values)
    return MakeupShift(said.origin, pass_name=values.pop("pass", ""), **values)
