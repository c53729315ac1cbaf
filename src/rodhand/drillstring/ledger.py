"""The turn ledger: how many turns each section of a string made in each stretch of the hole.

While the tool goes from a to b with R turns, a section u behind it takes R ds/|b - a| turns in
every ds it passes. The turns are therefore spread over tool positions with a density that is
constant on each move, and one cumulative curve C(S) over tool position answers for every
section: turns in the stretch (s1, s2) are C(s2 + u) - C(s1 + u). The order of the moves does not
matter for that, so strokes back and forth need nothing extra. Turns made standing still are
jumps, booked where the section stands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rodhand.drillstring.passes import Leg
from rodhand.drillstring.travel import Travel

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

TOUCHING = 1e-6
"""Overlaps shorter than this count as none: ends of rods and stretches that meet. [m]"""


@dataclass(frozen=True, eq=False)
class Booked:
    """Turns of one leg, one row per member of its order.

    Parameters
    ----------
    by_stretch : (r, m) array of float
        Turns in each stretch of the hole. [turns]
    outside : (r,) array of float
        Turns while the member was in the string and the section stood outside the hole, where it
        takes no bend. [turns]
    total : (r,) array of float
        Turns while the member was in the string, its own row whole. [turns]
    """

    by_stretch: Floats
    outside: Floats
    total: Floats


def cumulative_turns(travel: Travel) -> tuple[Floats, Floats]:
    """C(S): turns made on moves while the tool was nearer to the rig than S.

    Parameters
    ----------
    travel : Travel
        Moves in any order and direction; turns in place are left out.

    Returns
    -------
    positions, turns : (p,) array of float
        Corners of the piecewise straight, never falling curve; p may be 0. [m], [turns]
    """
    steps = travel.tool_to - travel.tool_from
    moving = steps != 0.0
    if not moving.any():
        return np.zeros(0), np.zeros(0)
    start, end = travel.tool_from[moving], travel.tool_to[moving]
    turns = travel.turns[moving]
    if (steps >= 0.0).all():
        return np.append(start[:1], end), np.append(0.0, np.cumsum(turns))
    if (steps <= 0.0).all():
        return np.append(end[::-1], start[0]), np.append(0.0, np.cumsum(turns[::-1]))
    return _cumulative_of_strokes(np.minimum(start, end), np.maximum(start, end), turns)


def _cumulative_of_strokes(low: Floats, high: Floats, turns: Floats) -> tuple[Floats, Floats]:
    """Moves that overlap: the density steps up where one begins and down where it ends."""
    density = turns / (high - low)
    at = np.concatenate((low, high))
    order = np.argsort(at, kind="stable")
    at = at[order]
    running = np.cumsum(np.concatenate((density, -density))[order])
    step = np.diff(at)
    # The running density ends a hair off 0 after many additions; turns never fall.
    summed = np.concatenate(([0.0], np.cumsum(np.maximum(running[:-1], 0.0) * step)))
    corner = np.concatenate(([True], step > 0.0))
    return at[corner], summed[corner]


def turns_by_stretch(travel: Travel, offsets: ArrayLike, edges: ArrayLike) -> Floats:
    """Turns of each section in each stretch of the hole, exact.

    Parameters
    ----------
    travel : Travel
        Moves with the section in the string all the while.
    offsets : (r,) array of float
        Distance of each section behind the tool, negative in a tail. [m]
    edges : (m+1,) array of float
        Ends of the stretches along the hole, growing. [m]

    Returns
    -------
    (r, m) array of float
        Turns. [turns]

    Notes
    -----
    Cost grows with sections x stretches, plus moves x log moves. A turn in place with the section
    exactly between two stretches is booked to the farther one.

    Examples
    --------
    Ten turns while the tool goes from 0 to 2 m; a section 0.5 m behind it enters after 0.5 m:

    >>> from rodhand.drillstring.travel import travel_of
    >>> turns_by_stretch(travel_of([(0.0, 2.0, 10.0, 1)]), [0.5], [0.0, 1.0, 2.0])
    array([[5. , 2.5]])
    """
    u = np.asarray(offsets, dtype=float)
    s = np.asarray(edges, dtype=float)
    booked = _on_moves(travel, u, s)
    _in_place(booked, travel, u, s, np.zeros(len(u)), np.full(len(u), len(travel)))
    return booked


def _on_moves(travel: Travel, offsets: Floats, edges: Floats) -> Floats:
    at, turns = cumulative_turns(travel)
    if not len(at):
        return np.zeros((len(offsets), len(edges) - 1))
    return np.diff(np.interp(edges[None, :] + offsets[:, None], at, turns), axis=1)


def _in_place(
    booked: Floats,
    travel: Travel,
    offsets: Floats,
    edges: Floats,
    joined: NDArray[np.generic],
    left: NDArray[np.generic],
) -> None:
    """Add the turns made standing still, to the members in the string at that moment."""
    for k in np.flatnonzero((travel.tool_from == travel.tool_to) & (travel.turns > 0)):
        sections = travel.tool_to[k] - offsets
        stretch = np.searchsorted(edges, sections, side="right") - 1
        stretch[sections == edges[-1]] = len(edges) - 2  # the tool standing at the hole's end
        inside = (stretch >= 0) & (stretch < len(edges) - 1) & (joined <= k) & (k < left)
        booked[np.flatnonzero(inside), stretch[inside]] += travel.turns[k]


def turns_total(leg: Leg) -> Floats:
    """Turns of each member while it was in the string, its own row whole.

    Returns
    -------
    (r,) array of float
        Turns; 0 for a member that does not turn with the string. [turns]
    """
    running = np.concatenate(([0.0], np.cumsum(leg.travel.turns)))
    return np.asarray((running[leg.left] - running[leg.joined]) * leg.order.turning())


def book_turns(leg: Leg, along: ArrayLike, edges: ArrayLike) -> Booked:
    """The ledger of one leg for one section of every member.

    Parameters
    ----------
    leg : Leg
        A pass, or the part of it with one order of the string.
    along : (r,) array of float or float
        Distance of the section from the member's end that faces away from the rig. [m]
    edges : (m+1,) array of float
        Ends of the stretches along the hole, growing. [m]

    Returns
    -------
    Booked
        Turns in each stretch, outside the hole, and together.

    Notes
    -----
    A member that is not in the string yet, or no more, normally stands outside the hole then, and
    one curve serves for all. Where measured lengths and rows disagree so far that it would not,
    that member is booked from its own moves alone.
    """
    s = np.asarray(edges, dtype=float)
    u = leg.order.head_ends() + np.asarray(along, dtype=float)
    inside = _on_moves(leg.travel, u, s)
    for k in np.flatnonzero(_would_be_inside(leg, u, s)):
        own = leg.travel.part(int(leg.joined[k]), int(leg.left[k]))
        inside[k] = _on_moves(own, u[k : k + 1], s)[0]
    _in_place(inside, leg.travel, u, s, leg.joined, leg.left)
    inside[~leg.order.turning()] = 0.0
    total = turns_total(leg)
    outside = total - inside.sum(axis=1)
    outside[np.abs(outside) < 1e-9 * np.maximum(total, 1.0)] = 0.0
    return Booked(inside, outside, total)


def _would_be_inside(leg: Leg, offsets: Floats, edges: Floats) -> NDArray[np.bool_]:
    """Whether a section would stand in the hole on a move made without its member."""
    low = np.minimum(leg.travel.tool_from, leg.travel.tool_to)
    high = np.maximum(leg.travel.tool_from, leg.travel.tool_to)
    far = np.array([np.inf])
    nearest, farthest = edges[0] + offsets + TOUCHING, edges[-1] + offsets - TOUCHING
    before = _touches(
        np.concatenate((far, np.minimum.accumulate(low)))[leg.joined],
        np.concatenate((-far, np.maximum.accumulate(high)))[leg.joined],
        nearest,
        farthest,
    )
    after = _touches(
        np.concatenate((np.minimum.accumulate(low[::-1])[::-1], far))[leg.left],
        np.concatenate((np.maximum.accumulate(high[::-1])[::-1], -far))[leg.left],
        nearest,
        farthest,
    )
    return before | after


def _touches(low: Floats, high: Floats, nearest: Floats, farthest: Floats) -> NDArray[np.bool_]:
    return np.asarray((high > nearest) & (low < farthest))


def turns_tighter_than(by_stretch: Floats, bend: ArrayLike, radii: ArrayLike) -> Floats:
    """Turns in hole bends tighter than given radii, by each stretch's mean bend.

    Parameters
    ----------
    by_stretch : (r, m) array of float
        Turns in each stretch. [turns]
    bend : (m,) array of float
        Mean bend of each stretch; NaN where unknown. [1/m]
    radii : (q,) array of float
        Radii, greater than zero. [m]

    Returns
    -------
    (r, q) array of float
        Turns where 1/bend is below the radius. [turns]

    Notes
    -----
    A stretch of unknown bend counts as not tighter, so with unknown stretches the figure means
    "at least"; `turns_where_unknown` says how many turns that leaves open.
    """
    kappa = np.asarray(bend, dtype=float)
    limit = 1.0 / np.asarray(radii, dtype=float)
    tighter = np.nan_to_num(kappa, nan=0.0)[:, None] > limit[None, :]
    return np.asarray(by_stretch @ tighter.astype(float))


def turns_where_unknown(by_stretch: Floats, bend: ArrayLike) -> Floats:
    """Turns in stretches whose bend is unknown (NaN).

    Returns
    -------
    (r,) array of float
        Turns. [turns]
    """
    return np.asarray(by_stretch[:, np.isnan(np.asarray(bend, dtype=float))].sum(axis=1))
