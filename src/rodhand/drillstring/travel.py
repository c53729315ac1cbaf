"""The tool's way along the hole in one pass, move by move, with the turns made on each move."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Travel:
    """Moves of the tool along the hole in the order they happened.

    Parameters
    ----------
    tool_from, tool_to : (k,) array of float
        Tool position before and after each move, measured along the hole from the entry; equal
        where the string turned in place. [m]
    turns : (k,) array of float
        Revolutions of the string during the move; 0 on a pushed stretch. [turns]
    row : (k,) array of int
        Row of the log the move belongs to; a rod takes its own row whole.

    Raises
    ------
    ValueError
        If the arrays differ in length, a move does not start where the last one ended, or a
        number is not finite, or turns are negative. Turns nobody recorded are filled by
        `rodhand.drillstring.turns` before a travel is made; they are never 0.
    """

    tool_from: Floats
    tool_to: Floats
    turns: Floats
    row: Integers

    def __post_init__(self) -> None:
        """Refuse travel that could not have happened."""
        arrays = (self.tool_from, self.tool_to, self.turns)
        if len({a.shape for a in (*arrays, self.row)}) != 1 or self.turns.ndim != 1:
            raise ValueError("tool_from, tool_to, turns and row must be 1-D and of one length")
        if not all(np.isfinite(a).all() for a in arrays):
            raise ValueError("tool positions and turns must be finite; unknown turns come first")
        if (self.turns < 0).any():
            raise ValueError("turns must not be negative")
        if (np.abs(self.tool_from[1:] - self.tool_to[:-1]) > 1e-6).any():
            raise ValueError("each move must start where the one before ended")

    def __len__(self) -> int:
        """Number of moves."""
        return len(self.turns)

    @property
    def total(self) -> float:
        """Turns of the string over all moves. [turns]"""
        return float(self.turns.sum())

    def part(self, start: int, stop: int) -> Travel:
        """The moves start to stop - 1 alone."""
        piece = slice(start, stop)
        return Travel(
            self.tool_from[piece], self.tool_to[piece], self.turns[piece], self.row[piece]
        )


def travel_of(moves: list[tuple[float, float, float, int]]) -> Travel:
    """Travel from a list of moves, for strokes back and forth and turning in place.

    Parameters
    ----------
    moves : list of (tool_from, tool_to, turns, row)
        Moves in the order they happened. [m, m, turns, -]

    Returns
    -------
    Travel
        The moves as arrays.
    """
    columns = np.array([m[:3] for m in moves], dtype=float).reshape(-1, 3)
    rows = np.array([m[3] for m in moves], dtype=np.int64)
    return Travel(columns[:, 0].copy(), columns[:, 1].copy(), columns[:, 2].copy(), rows)


def pilot_travel(
    stations: ArrayLike,
    turns: ArrayLike,
    push_from: ArrayLike | None = None,
    push_to: ArrayLike | None = None,
) -> Travel:
    """Travel away from the rig, one row per rod, with pushed stretches split off.

    Parameters
    ----------
    stations : (n+1,) array of float
        Tool position at the start and after each row. [m]
    turns : (n,) array of float
        Turns in each row. [turns]
    push_from, push_to : (n,) array of float, optional
        Where a pushed (not rotated) stretch began and ended, as tool positions; NaN where not
        known. [m]

    Returns
    -------
    Travel
        Moves of rows 1 to n.

    Raises
    ------
    ValueError
        If lengths do not fit or a pushed stretch lies outside its row.

    Notes
    -----
    Where the pushed stretch is known the turns lie on the rest of the row only; where it is not,
    they are spread over the whole row. A row pushed over its whole length that still has turns
    contradicts itself; its turns are spread over the row, because turning did happen.
    """
    s = np.asarray(stations, dtype=float)
    n = len(s) - 1
    given = np.asarray(turns, dtype=float)
    begins = np.full(n, np.nan) if push_from is None else np.asarray(push_from, dtype=float)
    ends = np.full(n, np.nan) if push_to is None else np.asarray(push_to, dtype=float)
    if not len(given) == len(begins) == len(ends) == n:
        raise ValueError(f"{n} rows need {n} values of turns, push_from and push_to")
    moves: list[tuple[float, float, float, int]] = []
    for k in range(n):
        moves += _row_moves(s[k], s[k + 1], given[k], begins[k], ends[k], k + 1)
    return travel_of(moves)


def _row_moves(
    start: float, end: float, turns: float, push_from: float, push_to: float, row: int
) -> list[tuple[float, float, float, int]]:
    """One row as one to three moves: rotated, pushed, rotated."""
    if np.isnan(push_from) or np.isnan(push_to):
        return [(start, end, turns, row)]
    slack = 1e-6
    if not start - slack <= push_from <= push_to <= end + slack:
        raise ValueError(
            f"row {row}: pushed from {push_from} m to {push_to} m does not lie in "
            f"{start} m to {end} m"
        )
    first, last = max(push_from, start), min(push_to, end)
    rotated = (end - start) - (last - first)
    if rotated <= slack:
        return [(start, end, turns, row)]
    pieces = ((start, first, 1.0), (first, last, 0.0), (last, end, 1.0))
    return [(a, b, turns * on * (b - a) / rotated, row) for a, b, on in pieces if b > a]


def toward_rig_travel(stations: ArrayLike, turns: ArrayLike) -> Travel:
    """Travel toward the rig: in row n the tool went from station n to station n - 1.

    Parameters
    ----------
    stations : (n+1,) array of float
        Positions of stations 0 to n, growing. [m]
    turns : (n,) array of float
        Turns of rows 1 to n (row n is travelled first). [turns]

    Returns
    -------
    Travel
        Moves of rows n down to 1.

    Raises
    ------
    ValueError
        If the number of turns does not fit.
    """
    s = np.asarray(stations, dtype=float)
    given = np.asarray(turns, dtype=float)
    if len(given) != len(s) - 1:
        raise ValueError(f"{len(s) - 1} rows need {len(s) - 1} values of turns")
    rows = np.arange(len(given), 0, -1, dtype=np.int64)
    return Travel(s[:0:-1].copy(), s[-2::-1].copy(), given[::-1].copy(), rows)


def moment_at(travel: Travel, position: float) -> float:
    """The moment the tool first goes past a position, counted in moves.

    Parameters
    ----------
    travel : Travel
        A whole pass.
    position : float
        Tool position, measured along the hole. [m]

    Returns
    -------
    float
        3.5 is halfway through the fourth move; the number of moves if it never goes past. [moves]

    Notes
    -----
    "Past" is in the sense of the pass as a whole: farther from the rig on a pilot, nearer to it
    on a pullback. Strokes that stay short of the position and turns made standing at it come
    before that moment, so the last position of a pass gives the whole pass.
    """
    if len(travel) == 0:
        return 0.0
    away = travel.tool_to[-1] >= travel.tool_from[0]
    past = travel.tool_to > position if away else travel.tool_to < position
    if not past.any():
        return float(len(travel))
    k = int(np.argmax(past))
    start, end = float(travel.tool_from[k]), float(travel.tool_to[k])
    return k + min(max((position - start) / (end - start), 0.0), 1.0)


def travel_until(travel: Travel, position: float) -> Travel:
    """The part of a travel up to the moment the tool first goes past a position.

    Parameters
    ----------
    travel : Travel
        A whole pass.
    position : float
        Tool position, measured along the hole. [m]

    Returns
    -------
    Travel
        Moves in order of time; the last one cut at the position with its share of turns.
    """
    moment = moment_at(travel, position)
    k = int(moment)
    before, share = travel.part(0, k), moment - k
    if share == 0.0:
        return before
    return Travel(
        np.append(before.tool_from, travel.tool_from[k]),
        np.append(before.tool_to, position),
        np.append(before.turns, travel.turns[k] * share),
        np.append(before.row, travel.row[k]),
    )
