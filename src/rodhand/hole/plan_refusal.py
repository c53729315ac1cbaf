"""Why no path keeps what is asked, and the smallest change that makes one possible."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from rodhand.hole.plan_limits import STEEPEST_ENTRY, InWay, PlanAsk
from rodhand.hole.planned_path import KEPT, fit_margin, most_room

FARTHEST = 150.0
"""Rig or exit are moved by no more than this. [m]"""
DEEPEST = 12.0
"""An unknown utility is looked for no deeper. [m]"""
FLATTEST = math.radians(3.0)
MOST_TRIES, NEAR = 16, 0.01
"""Steps to the smallest size of a change, and how near it is found. [1]"""
STEP_DOWN, HALVINGS = 0.5, 6
"""An unknown utility is looked for in such steps, then in halves. [m]"""
LITTLE = 0.01
"""A change after which so little is left over is near its smallest. [m]"""
SHARES = (1.0 / 64.0, 1.0 / 16.0, 1.0 / 4.0, 1.0)
"""Of the most a change may be: where the search for its size begins."""
FAR = 0.8
"""What misses by more on the grid is not searched on while a change is sized. [m]"""
ONE_WAY = ("beyond", "exit", "cover", "radius", "expose")
"""Changes of which more is never worse."""


@dataclass(frozen=True)
class Change:
    """One change that alone makes a plan possible.

    Parameters
    ----------
    what : str
        "back" (rig farther back), "beyond" (exit farther on), "steeper", "gentler" (entry),
        "exit" (steeper exit), "cover" (less), "radius" (tighter curves allowed), "expose" (less to
        keep from the utility, by potholing it), "no_deeper" (its middle found no deeper).
    by : float
        Size of the change. [m] or [rad]
    value : float
        What it comes to; for "back" and "beyond" the whole distance. [m] or [rad]
    ask : PlanAsk
        The plan with the change.
    """

    what: str
    by: float
    value: float
    ask: PlanAsk


@dataclass(frozen=True)
class Refusal:
    """Why a plan is refused.

    Parameters
    ----------
    reason : str
        "fit" (curves do not fit between the ends), "cover_from", "cover_to",
        "utility" (no way past it), "not_found" (its depth is unknown).
    utility : str
        Which one.
    missing : float
        By how much the best path misses it; NaN where nothing tells. [m]
    changes : tuple of Change
        Each enough alone, as small as it can be.
    """

    reason: str
    utility: str
    missing: float
    changes: tuple[Change, ...]


def least_kept(ask: PlanAsk, upto: int | None = None, far: float = math.inf) -> float:
    """By how much the tightest of what is asked is kept at best, below 0 missed. [m]

    Parameters
    ----------
    ask : PlanAsk
        What is asked.
    upto : int, optional
        Only so many parts of it, in the order of `hole.plan_shape.margins`.
    far : float
        See `most_room`. [m]

    Returns
    -------
    float
        How much the curves miss fitting where they do not fit; 0 or more as soon as a path
        keeps all.
    """
    fits = fit_margin(ask)
    if fits < 0.0:
        return fits
    found = most_room(ask, upto, far)
    return -math.inf if found is None else found[1]


def is_possible(ask: PlanAsk) -> bool:
    """Whether a path keeps all that is asked."""
    return least_kept(ask) >= KEPT


def first_reason(ask: PlanAsk) -> tuple[str, str, float] | None:
    """The first thing asked that cannot be kept together with those before it.

    Parameters
    ----------
    ask : PlanAsk
        What is asked, in this order: the curves fit between the ends; cover where it begins and
        where it ends; each utility from the entry on.

    Returns
    -------
    tuple of str, str, float, or None
        Reason, utility and by how much it is missed; None where a path keeps all.
    """
    fits = fit_margin(ask)
    if fits < 0.0:
        return "fit", "", -fits
    names = ["cover_from", "cover_to"] if ask.cover is not None else []
    offset = 2 - len(names)
    for number in range(len(names) + len(ask.in_way)):
        found = most_room(ask, offset + number + 1)
        least = -math.inf if found is None else found[1]
        if least >= KEPT:
            continue
        missing = -least if math.isfinite(least) and least > -1e3 else math.nan
        if number < len(names):
            return names[number], "", missing
        each = ask.in_way[number - len(names)]
        return ("not_found" if each.depth is None else "utility"), each.name, missing
    return None


def why_refused(ask: PlanAsk) -> Refusal | None:
    """The true first reason with the changes that mend it; None where a path is possible.

    Parameters
    ----------
    ask : PlanAsk
        What is asked.

    Returns
    -------
    Refusal or None
        Changes that alone make the whole plan possible, those nearest the reason first; none
        where no single change within its range does.
    """
    reason = first_reason(ask)
    if reason is None:
        return None
    what, name, missing = reason
    if what == "not_found":
        found = [_no_deeper(ask, name)]
    else:
        whole = least_kept(ask)
        found = [_smallest(lever, -whole) for lever in _levers(ask, what, name)]
    return Refusal(what, name, missing, tuple(each for each in found if each is not None))


Lever = tuple[str, Callable[[float], tuple[PlanAsk, float]], float]


def _levers(ask: PlanAsk, reason: str, name: str) -> list[Lever]:
    """Changes to try for a reason, with the most each may be."""
    steep = max(STEEPEST_ENTRY - ask.entry, 0.0)
    flat = max(ask.entry - FLATTEST, 0.0)
    rise = max(STEEPEST_ENTRY - ask.steepest_exit, 0.0)

    def back(by: float) -> tuple[PlanAsk, float]:
        farther = replace(
            ask, distance=ask.distance + by, cover_from=ask.cover_from + by,
            cover_to=ask.cover_to + by,
            in_way=tuple(replace(w, at=w.at + by, to=w.to + by) for w in ask.in_way),
        )  # fmt: skip
        return farther, farther.distance

    def beyond(by: float) -> tuple[PlanAsk, float]:
        return replace(ask, distance=ask.distance + by), ask.distance + by

    def entry(sign: float) -> Callable[[float], tuple[PlanAsk, float]]:
        return lambda by: (replace(ask, entry=ask.entry + sign * by), ask.entry + sign * by)

    def rising(by: float) -> tuple[PlanAsk, float]:
        steeper = ask.steepest_exit + by
        return replace(ask, steepest_exit=steeper), steeper

    def cover(by: float) -> tuple[PlanAsk, float]:
        left = (ask.cover or 0.0) - by
        return replace(ask, cover=left), left

    def radius(by: float) -> tuple[PlanAsk, float]:
        return replace(ask, radius=ask.radius - by), ask.radius - by

    all_of_them: dict[str, Lever] = {
        "back": ("back", back, FARTHEST),
        "beyond": ("beyond", beyond, FARTHEST),
        "steeper": ("steeper", entry(1.0), steep),
        "gentler": ("gentler", entry(-1.0), flat),
        "exit": ("exit", rising, rise),
        "cover": ("cover", cover, 0.9 * (ask.cover or 0.0)),
        "radius": ("radius", radius, 0.8 * ask.radius),
    }
    which = {
        "fit": ("back", "gentler", "exit", "radius"),
        "cover_from": ("back", "steeper", "cover"),
        "cover_to": ("beyond", "exit", "radius", "cover"),
        "utility": ("back", "steeper", "gentler", "beyond"),
        "not_found": (),
    }[reason]
    levers = [all_of_them[each] for each in which]
    own = next((w for w in ask.in_way if w.name == name), None)
    if own is not None and own.keep_seen is not None and own.keep_seen < own.keep:
        keep = own.keep

        def exposed(by: float) -> tuple[PlanAsk, float]:
            return _with(ask, replace(own, keep=keep - by)), keep - by

        levers.insert(0, ("expose", exposed, keep - own.keep_seen))
    return levers


def _with(ask: PlanAsk, known: InWay) -> PlanAsk:
    """The plan with one utility known otherwise."""
    return replace(ask, in_way=tuple(known if w.name == known.name else w for w in ask.in_way))


def _no_deeper(ask: PlanAsk, name: str) -> Change | None:
    """How deep a utility of unknown depth may be found for a path to go under it."""
    own = next(w for w in ask.in_way if w.name == name)

    def found_at(depth: float) -> PlanAsk:
        return _with(ask, replace(own, depth=depth))

    if not is_possible(found_at(0.0)):
        return None
    low = high = 0.0
    while low == high < DEEPEST:
        high = min(low + STEP_DOWN, DEEPEST)
        low = high if is_possible(found_at(high)) else low
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if is_possible(found_at(middle)) else (low, middle)
    return Change("no_deeper", low, low, found_at(low))


def _smallest(lever: Lever, missed_by: float) -> Change | None:
    """The smallest size of one change that makes the plan possible, to one part in a hundred."""
    what, make, most = lever
    if most <= 0.0:
        return None
    missed, high = [(0.0, -missed_by)], math.nan
    for share in SHARES[::-1] if what in ONE_WAY else SHARES:
        least = least_kept(make(share * most)[0], far=FAR)
        if least >= KEPT:
            high = share * most
        else:
            missed.append((share * most, least))
        if (what in ONE_WAY) == (least < KEPT):
            break
    if math.isnan(high):
        return None
    missed = [each for each in missed if each[0] < high]
    left = math.inf
    for turn in range(MOST_TRIES):
        if high - missed[-1][0] <= NEAR * high:
            break
        guess = _guess(missed, high, left, turn)
        least = least_kept(make(guess)[0], far=FAR)
        if least >= KEPT:
            high, left = guess, least
        else:
            missed.append((guess, least))
    changed, value = make(high)
    return Change(what, high, value, changed)


def _guess(missed: list[tuple[float, float]], high: float, left: float, turn: int) -> float:
    """Where to try next: where the last two misses point, just below what is enough, or half-way.

    The misses point at the size needed; it is tried a hair larger, so that it is enough. What is
    enough with little left over is tried just smaller, to show that it is the smallest.
    """
    low = missed[-1][0]
    middle, hair = (low + high) / 2.0, 0.4 * NEAR * high
    if left < LITTLE and turn % 2:
        return high * (1.0 - NEAR)
    if turn % 4 == 3 or len(missed) < 2:
        return middle
    (x0, y0), (x1, y1) = missed[-2:]
    pointed = x1 - y1 * (x1 - x0) / (y1 - y0) if y1 > y0 else high
    pointed = max(pointed, low) + hair
    return pointed if pointed < high else middle
