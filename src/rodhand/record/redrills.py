"""A hole drilled anew beside the old one: which rows belong to which."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from rodhand.record.order import Said

Row = TypeVar("Row")


@dataclass(frozen=True)
class Left(Generic[Row]):
    """A hole left behind: the how manieth, from which station, its rows, the entry that says so."""

    number: int
    left_at: int
    rows: dict[float, list[Row]]
    said: Said | None = None


def parted(
    rows: Iterable[tuple[float, int, Row]], left_at: Mapping[int, int]
) -> tuple[dict[float, list[Row]], list[Left[Row]]]:
    """Rows of the hole as it is, and of each hole left behind, in the order they were left.

    Parameters
    ----------
    rows : iterable of (float, int, row)
        Station of each row, how often the hole had been drilled anew when it was read, and the
        row.
    left_at : mapping of int to int
        From which station it was drilled anew, by the how manieth time.

    Returns
    -------
    tuple of dict, list of Left
        Rows by station. A hole left behind holds the rows up to where it was left too.

    Notes
    -----
    Rows that tell of a time ``left_at`` does not have tell where that was: the station before the
    first of them. What is read later of a part both holes share belongs to both.
    """
    rows = list(rows)
    left = dict(left_at)
    for number in {times for _, times, _ in rows} - {0, *left}:
        first = min(math.ceil(station) for station, times, _ in rows if times == number)
        left[number] = max(first - 1, 0)
    by_time: dict[int, list[tuple[float, Row]]] = {}
    for station, times, row in rows:
        by_time.setdefault(_drilled_in(station, times, left), []).append((station, row))
    path: dict[float, list[Row]] = {}
    old: list[Left[Row]] = []
    for number in sorted({0, *left}):
        if number:
            old.append(Left(number, left[number], {at: [*each] for at, each in path.items()}))
            path = {station: each for station, each in path.items() if station <= left[number]}
        for station, row in by_time.get(number, ()):
            path.setdefault(station, []).append(row)
    return path, old


def _drilled_in(station: float, number: int, left: Mapping[int, int]) -> int:
    """The time a stretch was drilled that was read at some time: what is kept was there before."""
    while number and station <= left[number]:
        number = max((each for each in left if each < number), default=0)
    return number


def split(
    rows: Mapping[float, Sequence[Said]], redrills: Sequence[Said]
) -> tuple[dict[float, list[Said]], list[Left[Said]]]:
    """The same for the rows of a record's pilot.

    Parameters
    ----------
    rows : mapping of float to sequence of Said
        All rows of the pilot by station.
    redrills : sequence of Said
        Entries that say the hole was drilled anew, in the order of facts.

    Notes
    -----
    A row says itself in ``anew`` how often the hole had been drilled anew. Where it does not, it
    came after those entries that happened before it: by time where their spans do not overlap, by
    the counter on one device, else after.
    """
    begun = _numbered(redrills)
    path, old = parted(
        (
            (station, _times_before(row, begun), row)
            for station, said in rows.items()
            for row in said
        ),
        {number: said.values["to_station"] for number, said in begun.items()},
    )
    return path, [Left(o.number, o.left_at, o.rows, begun.get(o.number)) for o in old]


def _numbered(redrills: Sequence[Said]) -> dict[int, Said]:
    """Entries by their number, those without one in the numbers left over."""
    found = {said.values["number"]: said for said in redrills if "number" in said.values}
    following = 1
    for said in redrills:
        if "number" not in said.values:
            while following in found:
                following += 1
            found[following] = said
    return found


def _times_before(row: Said, begun: Mapping[int, Said]) -> int:
    """How often the hole had been drilled anew when a row was read."""
    if row.values.get("anew") is not None:
        return int(row.values["anew"])
    return max((number for number, said in begun.items() if _after(row, said)), default=0)


def _after(row: Said, redrill: Said) -> bool:
    """Whether a row was read after the hole was drilled anew."""
    read, drilled = row.origin.happened, redrill.origin.happened
    if read.start and drilled.start:
        if read.end < drilled.start:
            return False
        if drilled.end < read.start:
            return True
    return row.entry.device != redrill.entry.device or row.entry.counter > redrill.entry.counter
