"""What is usual on each rig: its speeds, and its turns per metre where it has a past."""

from __future__ import annotations

from collections.abc import Mapping

from rodhand.book.work.pass_work import Habits
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass


def habits_of(book: Book) -> dict[str, Habits]:
    """What is usual on each rig: its speeds, and its turns per metre where it has a past."""
    past = _own_past(book)
    return {
        name: Habits(
            pilot_speed=rig.pilot_rpm / 60.0 if rig.pilot_rpm else None,
            pull_speed=rig.pull_rpm / 60.0 if rig.pull_rpm else None,
            pilot_per_metre=past[name].pilot_per_metre if name in past else None,
            pull_per_metre=past[name].pull_per_metre if name in past else None,
        )
        for name, rig in book.rigs.items()
    }


def _own_past(book: Book) -> dict[str, Habits]:
    """Turns per metre of each rig's own past, where turns were counted or timed."""
    sums: dict[tuple[str, bool], tuple[float, float]] = {}
    for bore in book.bores.values():
        lengths = _lengths_by_station(book, bore)
        for each in bore.passes:
            turns, length = _counted(each, lengths)
            if length > 0.0:
                key = bore.rig, each.what in ("pilot", "push-ream")
                before = sums.get(key, (0.0, 0.0))
                sums[key] = before[0] + turns, before[1] + length
    rigs = {rig for rig, _ in sums}
    rates = {key: turns / length for key, (turns, length) in sums.items()}
    return {
        rig: Habits(pilot_per_metre=rates.get((rig, True)), pull_per_metre=rates.get((rig, False)))
        for rig in rigs
    }


def _lengths_by_station(book: Book, bore: Bore) -> dict[float, float]:
    """Length drilled to each station of a pilot: the row's, else that of the rod type. [m]"""
    pilot, rod_type = bore.pass_of("pilot"), rod_type_of_bore(book, bore)
    usual = rod_type.length if rod_type else None
    found = {}
    for row in pilot.readings if pilot else ():
        length = row.length if row.length is not None else usual
        if row.station == int(row.station) and length is not None:
            found[row.station] = length
    return found


def _counted(each: BorePass, lengths: Mapping[float, float]) -> tuple[float, float]:
    """Turns and metres of a pass whose turns were counted or timed, by row or as a whole."""
    if not each.readings:
        whole = _turns_said(each.turns, each.rpm, each.rotating_time)
        if whole is None or each.from_station is not None or each.to_station is not None:
            return 0.0, 0.0
        return whole, sum(lengths.values())
    turns = length = 0.0
    for row in each.readings:
        said = _turns_said(row.turns, row.rpm, row.rotating_time)
        if said is not None and row.station in lengths:
            turns += said
            length += lengths[row.station]
    return turns, length


def _turns_said(turns: float | None, rpm: float | None, time: float | None) -> float | None:
    """Turns counted, or speed [1/min] times time [s]; None when neither is on record."""
    if turns is None and rpm is not None and time is not None:
        return rpm / 60.0 * time
    return turns
