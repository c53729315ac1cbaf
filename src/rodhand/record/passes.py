"""Passes of the bores and the readings of each, read back in the order of the work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from rodhand.record.book import BorePass, Reading
from rodhand.record.ground import Ground
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said, SortKey
from rodhand.record.things import Yard

PILOT = "pilot"


@dataclass
class _Travel:
    """A pass while it is being read back."""

    record: BorePass
    order: SortKey
    rows: dict[float, list[Said]] = field(default_factory=lambda: defaultdict(list))


def read_passes(ground: Ground, yard: Yard, heard: Heard) -> dict[str, list[BorePass]]:
    """Passes of each bore; readings of unknown bores and rods are told."""
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
        if rod:
            key = yard.names.thing(rod, said.origin.at)
            said.values["thing"] = key or ""
            if key is None:
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
    travel.record = replace(travel.record, **values)


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
        if _agree(values, row.values):
            typed.update({c: t for c, t in row.entry.payload.items() if c not in typed})
            values.update(row.values)
        else:
            others.append(_as_reading(row, row.values, row.entry.payload))
    return replace(_as_reading(first, values, typed), alternatives=tuple(others))


def _agree(values: Mapping[str, Any], others: Mapping[str, Any]) -> bool:
    """Whether two rows say nothing different; how their sheets were filled in does not count."""
    return all(values.get(name, said) == said for name, said in others.items() if name != "signs")


_NOT_OF_A_READING = ("bore", "pass")


def _as_reading(said: Said, values: Mapping[str, Any], typed: Mapping[str, str]) -> Reading:
    kept = {name: value for name, value in values.items() if name not in _NOT_OF_A_READING}
    shown = {column: text for column, text in typed.items() if column not in _NOT_OF_A_READING}
    return Reading(said.origin, typed=shown, **kept)
