"""Passes of the bores and the readings of each, read back in the order of the work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from rodhand.record.book_bores import BorePass, Reading
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said, SortKey
from rodhand.record.origin import Problem
from rodhand.record.things import Yard

PILOT = "pilot"


@dataclass
class _Travel:
    """A pass while it is being read back."""

    record: BorePass
    order: SortKey
    rows: dict[float, list[Said]] = field(default_factory=lambda: defaultdict(list))


@dataclass(frozen=True)
class RowsOf:
    """What was said of the passes of one bore, each in the order of facts."""

    passes: tuple[Said, ...] = ()
    readings: tuple[Said, ...] = ()


def rows_of_bores(yard: Yard, heard: Heard) -> tuple[dict[str, RowsOf], list[Problem]]:
    """Passes and readings by bore; those of unknown bores are told."""
    found: dict[str, tuple[list[Said], list[Said]]] = defaultdict(lambda: ([], []))
    problems: list[Problem] = []
    for which, kind in enumerate(("pass", "reading")):
        for said in heard.by_kind[kind]:
            bore = bore_of_row(yard, said)
            if bore is None:
                problems.append(said.problem("bore_unknown", "bore", said.values["bore"]))
            else:
                found[bore][which].append(said)
    return {bore: RowsOf(tuple(p), tuple(r)) for bore, (p, r) in found.items()}, problems


def bore_of_row(yard: Yard, said: Said) -> str | None:
    """The bore of a pass or reading as first spelled; None when nobody entered it."""
    return yard.names.bores.get(fold(said.values["bore"]))


def read_passes(rows: RowsOf, yard: Yard) -> tuple[tuple[BorePass, ...], list[Problem]]:
    """Passes of one bore, and the rods named in them that nobody knows."""
    travels: dict[str, _Travel] = {}
    problems: list[Problem] = []
    for said in rows.passes:
        problems += _pass(yard, travels, said)
    for said in rows.readings:
        rod = said.values.get("rod")
        key = yard.names.thing(rod, said.origin.at) if rod else None
        if rod and key is None:
            problems.append(said.problem("rod_unknown", "rod", rod))
        if rod:
            said.values["thing"] = key or ""
        travel = _travel_of(travels, said)
        travel.rows[said.values["station"]].append(said)
    return tuple(_finished(travels)), problems


def _pass(yard: Yard, known: dict[str, _Travel], said: Said) -> list[Problem]:
    tail, problems = yard.names.things(said, "tail_rods")
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
    return problems


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
