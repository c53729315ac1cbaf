"""Whether one log of a pilot stands some stations behind or ahead of another log of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.readings import ReadingError

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Counts = NDArray[np.int64]
Differences = frozenset[tuple[float, ...]]
Log = Mapping[int, tuple[float | None, float | None]]
"""Station -> pitch and heading read there; None where not read. [rad]"""

MOST_STATIONS = 3
TAIL = 9
"""Last rows from which a constant difference of the two devices is taken. [1]"""
ONE_IN = 100.0
"""One log in so many is a station out (ours)."""
WRONG_ROW = 0.1
"""Share of rows that speak for the wrong numbering: slips, coincidence (ours). [1]"""
WITHIN = 2.0
"""Two readings are alike within so many standard deviations of their difference. [1]"""
LEAST_ALIKE = 0.75
"""Of a run put right so many rows must be alike. [1]"""
LIKELY, NEARLY_SURE = 20.0, 200.0
"""Odds from which it is told, and from which it is told as nearly sure. [1]"""
FEWEST = 6


@dataclass(frozen=True)
class StationOut:
    """A run of rows of a log that belongs to other stations.

    Parameters
    ----------
    stations : int
        To be added to the stations of the run; plus where the log is behind. [1]
    first, last : int
        Stations of the run as numbered. [1]
    compared, alike_moved, alike_numbered : int
        Rows of the run compared, and how many of them are alike each way. [1]
    odds : float
        Odds that it is so, against the nearest other reading of the same rows. [1]
    """

    stations: int
    first: int
    last: int
    compared: int
    alike_moved: int
    alike_numbered: int
    odds: float

    @property
    def is_nearly_sure(self) -> bool:
        """Whether the odds are at least `NEARLY_SURE`."""
        return self.odds >= NEARLY_SURE


def station_out(log: Log, other: Log) -> StationOut | None:
    """How many stations the last rows of a log are behind or ahead of another log.

    Rows are alike where pitch, and heading where both have it, agree within reading error and a
    constant difference of the two devices. Rows alike both ways say nothing, so an even bore, an
    even curve and a constant difference never tell of a station out. A run begins with the
    first row that says so and reaches to the last row compared.

    Parameters
    ----------
    log, other : mapping of int to (float or None, float or None)
        Two logs of one pilot. [rad]

    Returns
    -------
    StationOut or None
        None below odds of `LIKELY`, which takes about six rows that tell the two numberings
        apart; also where two shifts fit alike.
    """
    stations = sorted(log)
    if len(stations) < FEWEST or len(other) < FEWEST:
        return None
    own = np.array([_numbers(log[s]) for s in stations])
    lags = range(-MOST_STATIONS, MOST_STATIONS + 1)
    rows = {
        n: _Compared.of(own, np.array([_numbers(other.get(s + n, UNREAD)) for s in stations]))
        for n in lags
    }
    usual = rows[0].differences
    agree = rows[0].alike(usual).sum(axis=1).max()
    if rows[0].known.sum() - agree < FEWEST:  # as nearly always: they agree as they are numbered
        return None
    found = [each for n in lags if n for each in _run(stations, n, rows)]
    best = max(found, key=lambda each: each.odds, default=None)
    return best if best is not None and best.odds >= LIKELY else None


UNREAD = (None, None)


def _numbers(row: tuple[float | None, float | None]) -> tuple[float, float]:
    pitch, heading = row
    return math.nan if pitch is None else pitch, math.nan if heading is None else heading


@dataclass(frozen=True, eq=False)
class _Compared:
    """Rows of a log beside those of the other, at one shift.

    ``apart`` is by how much pitch and heading differ, ``allowed`` how much two readings of one rod
    may, ``known`` are the rows with a pitch in both. [rad]
    """

    apart: Floats  # (channel, row)
    allowed: Floats  # (channel, row)
    known: Bools

    @classmethod
    def of(cls, own: Floats, theirs: Floats) -> _Compared:
        error = ReadingError()
        apart = (own - theirs).T
        apart[1] = np.remainder(apart[1] + math.pi, math.tau) - math.pi
        pitch_sd = error.pitch_sd(np.nan_to_num(own[:, 0]))
        sds = np.stack([pitch_sd, np.full_like(pitch_sd, error.heading)])
        return cls(apart, WITHIN * math.sqrt(2.0) * sds, np.isfinite(apart[0]))

    @cached_property
    def differences(self) -> Differences:
        """Constant differences the two devices may have: none, that of the last rows, of all."""
        usual = []
        for channel in self.apart:
            read = channel[np.isfinite(channel)]
            usual.append({0.0, *(float(np.median(x)) for x in (read[-TAIL:], read) if x.size)})
        return frozenset(product(*usual))

    def alike(self, differences: Differences) -> Bools:
        """Which rows agree, for each constant difference."""
        off = np.abs(self.apart[None] - np.array(sorted(differences))[:, :, None])
        found: Bools = ~((off > self.allowed).any(axis=1)) & self.known
        return found


def _run(stations: list[int], n: int, rows: Mapping[int, _Compared]) -> Iterator[StationOut]:
    """The run to the last row that is best put right by n; none where it does not fit.

    A device differs from another by one amount: before the run, as numbered, and in it, moved.
    """
    shared = rows[n].known & rows[0].known
    if shared.sum() < FEWEST:
        return
    usual = rows[n].differences | rows[0].differences
    moved, numbered = (_from(rows[lag].alike(usual) & shared) for lag in (n, 0))
    whole = numbered[:, :1] - numbered + moved  # alike in all, for each difference and begin
    best = int(np.argmax(whole.max(axis=1)))
    first = int(np.flatnonzero(whole[best] == whole.max())[-1])
    alike, as_numbered = int(moved[best, first]), int(numbered[:, first].max())
    compared = int(shared[first:].sum())
    if alike < LEAST_ALIKE * compared:
        return
    a_row = math.log((1.0 - WRONG_ROW) / WRONG_ROW)
    choices = 2.0 * MOST_STATIONS * int(shared.sum())
    odds = [(alike - as_numbered) * a_row - math.log(ONE_IN * choices)]
    for lag, other in rows.items():
        both = shared & other.known
        if lag not in (0, n) and both.any():
            ours, theirs = (
                _from(rows[x].alike(usual | other.differences) & both) for x in (n, lag)
            )
            odds.append(int(ours[:, first].max() - theirs[:, first].max()) * a_row)
    while first and rows[n].known[first - 1] and not rows[0].known[first - 1]:
        first -= 1  # as numbered it has nothing to be compared with
    yield StationOut(
        n, stations[first], stations[-1], compared, alike, as_numbered, math.exp(min(*odds, 50.0))
    )


def _from(alike: Bools) -> Counts:
    """How many rows are alike from each row on."""
    counts: Counts = alike[:, ::-1].cumsum(axis=1)[:, ::-1]
    return counts
