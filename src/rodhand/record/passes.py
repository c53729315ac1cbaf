"""Passes of the bores and the readings of each, read back in the order of the work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from rodhand.record.book_bores import BorePass, OldHole, Pick, Reading, StationShift
from rodhand.record.marks import fold
from rodhand.record.order import Heard, Said, SortKey
from rodhand.record.origin import Problem
from rodhand.record.redrills import Left, split
from rodhand.record.things import Yard
from rodhand.record.voices import joined, picks_in_force

PILOT = "pilot"


@dataclass
class _Travel:
    """A pass while it is being read back."""

    record: BorePass
    order: SortKey
    rows: dict[float, list[Said]] = field(default_factory=lambda: defaultdict(list))
    shifts: list[StationShift] = field(default_factory=list)


ROWS = {
    "pass": "passes", "reading": "readings", "pick": "picks", "station-shift": "shifts",
    "redrill": "redrills",
}  # fmt: skip
"""Kinds that make the passes of a bore, and where `RowsOf` keeps them."""


@dataclass(frozen=True)
class RowsOf:
    """What was said of the passes of one bore, each in the order of facts."""

    passes: tuple[Said, ...] = ()
    readings: tuple[Said, ...] = ()
    picks: tuple[Said, ...] = ()
    shifts: tuple[Said, ...] = ()
    redrills: tuple[Said, ...] = ()


def rows_of_bores(yard: Yard, heard: Heard) -> tuple[dict[str, RowsOf], list[Problem]]:
    """What makes passes by bore; those of unknown bores are told."""
    found: dict[str, dict[str, list[Said]]] = defaultdict(lambda: defaultdict(list))
    problems: list[Problem] = []
    for kind, kept_in in ROWS.items():
        for said in heard.by_kind[kind]:
            bore = bore_of_row(yard, said)
            if bore is None:
                problems.append(said.problem("bore_unknown", "bore", said.values["bore"]))
            else:
                found[bore][kept_in].append(said)
    rows = {
        bore: RowsOf(**{kept_in: tuple(said) for kept_in, said in of.items()})
        for bore, of in found.items()
    }
    return rows, problems


def bore_of_row(yard: Yard, said: Said) -> str | None:
    """The bore of a pass or reading as first spelled; None when nobody entered it."""
    return yard.names.bores.get(fold(said.values["bore"]))


def read_passes(rows: RowsOf, yard: Yard) -> tuple[tuple[BorePass, ...], list[Problem]]:
    """Passes of one bore, and the rods named in them that nobody knows."""
    travels: dict[str, _Travel] = {}
    problems: list[Problem] = []
    shifted: dict[str, float] = {}
    for said in rows.passes:
        problems += _pass(yard, travels, said)
    readings = []
    for said in rows.readings:
        rod = said.values.get("rod")
        key = yard.names.thing(rod, said.origin.at) if rod else None
        if rod and key is None:
            problems.append(said.problem("rod_unknown", "rod", rod))
        if rod:
            said.values["thing"] = key or ""
        readings.append((said, _travel_of(travels, said)))
    for said in rows.shifts:
        travel = _known_travel(travels, said)
        if travel is not None:
            travel.shifts.append(_shift(said))
    for said, travel in readings:
        by = stations_put_right(said, travel.shifts)
        if by:
            shifted[said.entry.id] = by
        travel.rows[said.values["station"] + by].append(said)
    return tuple(_finished(travels, rows.redrills, picks_in_force(rows.picks), shifted)), problems


def stations_put_right(said: Said, shifts: Sequence[StationShift]) -> float:
    """By how much the station of a row was put right; of several that take it in, the last one.

    Parameters
    ----------
    said : Said
        A reading.
    shifts : sequence of StationShift
        Those of its pass, in the order of facts.

    Returns
    -------
    float
        To be added to its station as typed; 0 where nobody put it right, or it would come to
        stand before the first rod. [1]
    """
    device, count = fold(said.entry.device), said.entry.counter
    by = 0.0
    for run in shifts:
        if fold(run.device) == device and run.from_count <= count <= run.to_count:
            by = run.stations
    return by if said.values["station"] + by >= 0.0 else 0.0


def _shift(said: Said) -> StationShift:
    names = ("device", "from_count", "to_count", "stations")
    return StationShift(said.origin, *(said.values[name] for name in names))


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


def _known_travel(known: dict[str, _Travel], said: Said) -> _Travel | None:
    """The pass an entry names; one without a name belongs to the pilot."""
    name = said.values.get("pass", "")
    travel = known.get(fold(name or PILOT))
    if travel is None and not name:
        travel = next((each for each in known.values() if each.record.what == PILOT), None)
    return travel


def _travel_of(known: dict[str, _Travel], said: Said) -> _Travel:
    """The pass a reading belongs to, which need not have been entered."""
    travel = _known_travel(known, said)
    if travel is None:
        name = said.values.get("pass", "") or PILOT
        travel = known[fold(name)] = _Travel(BorePass(name, _what(name), ()), said.key)
    return travel


def _what(name: str) -> str:
    """Kind of a pass that has readings but was never entered, by its name."""
    folded = fold(name)
    if folded == PILOT:
        return PILOT
    return "pullback" if folded.startswith("pull") else "ream"


def _finished(
    known: dict[str, _Travel],
    redrills: Sequence[Said],
    picked: tuple[Pick, ...],
    shifted: Mapping[str, float],
) -> list[BorePass]:
    """Passes in the order of the work: pilot first, pullback last, others as they happened."""
    rank = {PILOT: 0, "pullback": 2}
    order = sorted(known.values(), key=lambda each: (rank.get(each.record.what, 1), each.order))

    def readings(rows: Mapping[float, list[Said]]) -> tuple[Reading, ...]:
        return tuple(_reading(at, rows[at], picked, shifted) for at in sorted(rows))

    def with_rows(travel: _Travel) -> BorePass:
        record = replace(travel.record, shifts=tuple(travel.shifts))
        if record.what != PILOT:
            return replace(record, readings=readings(travel.rows))
        rows, left = split(travel.rows, redrills)
        old = tuple(_old_hole(each, readings(each.rows)) for each in left)
        return replace(record, readings=readings(rows), old_holes=old)

    return [with_rows(each) for each in order]


def _old_hole(left: Left[Said], rows: tuple[Reading, ...]) -> OldHole:
    said = left.said
    values = said.values if said else {}
    return OldHole(
        left.number, left.left_at, rows, said.origin if said else None,
        values.get("turned", ""), values.get("turns"), values.get("note", ""),
    )  # fmt: skip


def _reading(
    station: float, rows: list[Said], picked: tuple[Pick, ...], shifted: Mapping[str, float]
) -> Reading:
    """The reading of a station, numbered as it was put right."""
    moved = {row.entry.id: shifted[row.entry.id] for row in rows if row.entry.id in shifted}
    read = joined(rows, picked, moved)
    if not moved:
        return read
    others = tuple(replace(each, station=station) for each in read.alternatives)
    return replace(read, station=station, alternatives=others)
