"""Which load each bore was drilled with, and how many bores ago the box was seen so."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from rodhand.record.book_bores import Load
from rodhand.record.ground import Ground
from rodhand.record.marks import fold
from rodhand.record.order import Heard, SortKey
from rodhand.record.things import Yard


def read_loads(ground: Ground, yard: Yard, heard: Heard) -> dict[str, Load]:
    """The load each bore was drilled with: its own, or the rig's last one before it.

    A load with a rod nobody knows, or a rod twice, is not used: every place behind that rod
    would be wrong, and an unknown order is safer than a wrong one.
    """
    usable: list[tuple[SortKey, Load]] = []
    for said in heard.by_kind["load"]:
        things, problems = yard.names.things(said)
        problems = [*yard.names.settle(said, ("rig", "bore")), *problems]
        values = said.values
        bore = ground.bores.get(values.get("bore", ""))
        if bore is not None and fold(bore.rig) != fold(values["rig"]):
            problems.append(said.problem("load_rig", "rig", values["rig"], rig=bore.rig))
        ground.problems += problems
        if not problems:
            load = Load(said.origin, values["rig"], values.get("bore", ""), things, values["how"])
            usable.append((said.key, load))
    ground.loads = tuple(load for _, load in usable)
    return _loads_of_bores(ground, usable)


def _loads_of_bores(ground: Ground, usable: list[tuple[SortKey, Load]]) -> dict[str, Load]:
    own = {load.bore: load for _, load in usable if load.bore}
    free: dict[str, list[tuple[SortKey, Load]]] = defaultdict(list)
    for key, load in usable:
        if not load.bore:
            free[load.rig].append((key, load))
    current: dict[str, Load] = {}
    found = {}
    for name in ground.drilled():
        rig = ground.bores[name].rig
        while free[rig] and free[rig][0][0] <= ground.order[name]:
            current[rig] = free[rig].pop(0)[1]
        if name in own:
            current[rig] = own[name]
        if rig in current:
            found[name] = current[rig]
            current[rig] = replace(current[rig], loads_ago=current[rig].loads_ago + 1)
    return found
