"""Bores with their passes, readings, loads and what happened in them, read back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from rodhand.record.book import (
    Bore,
    BorePass,
    Event,
    Load,
    MakeupShift,
    Problem,
    Reading,
    Remark,
    Slip,
)
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said, SortKey
from rodhand.record.things import Yard, merged

PILOT = "pilot"


@dataclass
class Ground:
    """The bores while they are being read back."""

    bores: dict[str, Bore] = field(default_factory=dict)
    order: dict[str, SortKey] = field(default_factory=dict)
    loads: tuple[Load, ...] = ()
    problems: list[Problem] = field(default_factory=list)

    def drilled(self) -> list[str]:
        """Names of the bores in the order they were drilled."""
        return sorted(self.bores, key=lambda name: self.order[name])


def read_bores(heard: Heard, yard: Yard, remarks: Sequence[Remark]) -> Ground:
    """Read the bores back, in the order they were drilled."""
    ground = Ground()
    for said in heard.by_kind["bore"]:
        _bore(ground, yard, said)
    passes = _passes(ground, yard, heard)
    slips = _of_bores(ground, yard, heard, "slip", _slip)
    events = _of_bores(ground, yard, heard, "event", _event)
    makeups = _of_bores(ground, yard, heard, "makeup", _makeup)
    loads = _loads(ground, yard, heard)
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
    ground.bores[name] = merged(known or Bore(name, values["rig"], said.origin), values)


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


def _makeup(_ground: Ground, _yard: Yard, said: Said) -> MakeupShift:
    values = dict(said.values)
    return MakeupShift(said.origin, pass_name=values.pop("pass", ""), **values)


# --- passes and readings ------------------------------------------------------------------------


@dataclass
class _Travel:
    """A pass while it is being read back."""

    record: BorePass
    order: SortKey
    rows: dict[float, list[Said]] = field(default_factory=lambda: defaultdict(list))


def _passes(ground: Ground, yard: Yard, heard: Heard) -> dict[str, list[BorePass]]:
    travels: dict[str, dict[str, _Travel]] = defaultdict(dict)
    for said in heard.by_kind["pass"]:
        problems = yard.names.settle(said, ("bore",))
        ground.problems += problems
        if not problems:
            _pass(ground, yard, travels[said.values["bore"]], said)
    for said in heard.by_kind["reading"]:
        bore = yard.names.bores.get(fold(said.values["bore"]))
        if bore is None:
            found = said.values["bore"]
            ground.problems.append(said.problem("bore_unknown", "bore", found))
            continue
        rod = said.values.get("rod")
        if rod and yard.names.thing(rod, said.origin.at) is None:
            ground.problems.append(said.problem("rod_unknown", "rod", rod))
        travel = _travel_of(travels[bore], said)
        travel.rows[said.values["station"]].append(said)
    return {bore: _finished(known) for bore, known in travels.items()}


def _pass(ground: Ground, yard: Yard, known: dict[str, _Travel], said: Said) -> None:
    tail, problems = yard.names.things(said, "tail_rods")
    ground.problems += problems
    values = dict(said.values)
    del values["bore"]
    name = values.pop("pass")
    if "tail_rods" in values:
        values["tail_rods"] = tail
    travel = known.get(fold(name))
    if travel is None:
        record = BorePass(name, values["what"], (), said.origin)
        travel = known[fold(name)] = _Travel(record, said.key)
    travel.record = merged(travel.record, values)


def _travel_of(known: dict[str, _Travel], said: Said) -> _Travel:
    """The pass a reading belongs to; one without a name belongs to the pilot."""
    name = said.values.get("pass", "")
    travel = known.get(fold(name or PILOT))
    if travel is None and not name:
        travel = next((each for each in known.values() if each.record.what == PILOT), None)
    if travel is None:
        name = name or PILOT
        travel = known[fold(name)] = _Travel(BorePass(name, _what(name), ()), said.key)
    return travel


def _what(name: str) -> str:
    """Kind of a pass that has readings but was never entered, by its name."""
    folded = fold(name)
    if folded == PILOT:
        return PILOT
    return "pullback" if folded.startswith("pull") else "ream"


def _finished(known: dict[str, _Travel]) -> list[BorePass]:
    """Passes in the order of the work: pilot first, pullback last, others as they happened."""
    rank = {PILOT: 0, "pullback": 2}
    order = sorted(known.values(), key=lambda each: (rank.get(each.record.what, 1), each.order))
    return [
        replace(
            each.record,
            readings=tuple(_reading(each.rows[station]) for station in sorted(each.rows)),
        )
        for each in order
    ]


def _reading(rows: list[Said]) -> Reading:
    """One reading of what was said of a station, with what contradicts it beside it.

    On one device the later entry comes first. A row that says nothing else of what both say
    adds to the reading (pitch by one crew member, torque by another); any other is kept as an
    alternative until one is struck.
    """
    if len(rows) == 1:
        return _as_reading(rows[0], rows[0].values, rows[0].entry.payload)
    rows = sorted(rows, key=lambda each: (-each.entry.counter, each.entry.device, each.entry.id))
    first, values = rows[0], dict(rows[0].values)
    typed = dict(first.entry.payload)
    others = []
    for row in rows[1:]:
        if all(values.get(name, value) == value for name, value in row.values.items()):
            typed.update({c: t for c, t in row.entry.payload.items() if c not in typed})
            values.update(row.values)
        else:
            others.append(_as_reading(row, row.values, row.entry.payload))
    return replace(_as_reading(first, values, typed), alternatives=tuple(others))


_NOT_OF_A_READING = ("bore", "pass")


def _as_reading(said: Said, values: dict[str, Any], typed: Any) -> Reading:
    kept = {name: value for name, value in values.items() if name not in _NOT_OF_A_READING}
    shown = {column: text for column, text in typed.items() if column not in _NOT_OF_A_READING}
    return Reading(said.origin, typed=shown, **kept)


# --- loads --------------------------------------------------------------------------------------


def _loads(ground: Ground, yard: Yard, heard: Heard) -> dict[str, Load]:
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
