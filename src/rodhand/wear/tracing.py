"""From one bad end to the ends it met: in the order of time, hand by hand, as sure as its joints.

A thread that is galled spoils the threads it is made up with, and those spoil the next. What
spreads goes from end to end of a joint, never through a rod from its pin to its box.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.wear.who_stood import WhoStood

Integers = NDArray[np.int64]

SUREST_FIRST = tuple(WhoStood)
FURTHEST = 3
"""Hands followed when nobody says otherwise: past three nearly every end of a rig is named."""
_NEVER = np.iinfo(np.int64).max


@dataclass(frozen=True, eq=False)
class MakeUps:
    """Make-ups by number of their ends, in the order of the work.

    Parameters
    ----------
    pin, box : (n,) array of int
        Numbers of the two ends. An end that was cut, dressed or seen sound goes on under a new
        number: nothing from before reaches it.
    order : (n,) array of int
        Time as a count, never falling. Two make-ups of one count pass nothing on to each other.
    known : (n,) array of int
        Place in `SUREST_FIRST` of the less sure of the two rods.
    ends : int
        How many ends there are.

    Raises
    ------
    ValueError
        If the arrays differ in length, the order falls, or an end is out of range.
    """

    pin: Integers
    box: Integers
    order: Integers
    known: Integers
    ends: int

    def __post_init__(self) -> None:
        """Refuse what is no list of make-ups."""
        if len({len(self.pin), len(self.box), len(self.order), len(self.known)}) > 1:
            raise ValueError("make-ups need four columns of one length")
        if np.any(np.diff(self.order) < 0):
            raise ValueError("make-ups must stand in the order of the work")
        for column in (self.pin, self.box):
            if column.size and not (column.min() >= 0 and column.max() < self.ends):
                raise ValueError("a make-up names an end that is not there")


@dataclass(frozen=True, eq=False)
class Reached:
    """What a bad end reached.

    Parameters
    ----------
    hands : (ends,) array of int
        Fewest joints between the bad end and each end; 0 for itself, -1 for what it never reached.
    known : (ends,) array of int
        Of the ways with so few joints the surest, told by its least sure joint; -1 likewise.
    by : (ends,) array of int
        The make-up through which it came on such a way; -1 likewise and for the bad end itself.
    """

    hands: Integers
    known: Integers
    by: Integers


def spread(make_ups: MakeUps, bad: int, furthest: int = FURTHEST) -> Reached:
    """Every end a bad end reached, by joints made up one after the other.

    Parameters
    ----------
    make_ups : MakeUps
        All make-ups on record.
    bad : int
        Number of the bad end; it counts as bad since its number began.
    furthest : int
        Hands to follow. [1]

    Returns
    -------
    Reached
        A way leads only forward in time: from end to end, each joint made up after the one before.
    """
    hands, by = _hands(make_ups, np.arange(make_ups.pin.size), bad, furthest)
    last = len(SUREST_FIRST) - 1
    unsettled = hands > 0
    known = np.where(unsettled, last, np.minimum(hands, 0))  # the last level is the run above
    for level in range(last):
        if not unsettled.any():
            break
        kept = np.flatnonzero(make_ups.known <= level)
        level_hands, level_by = _hands(make_ups, kept, bad, furthest)
        now = unsettled & (level_hands == hands)
        known[now], by[now] = level, level_by[now]
        unsettled &= ~now
    return Reached(hands, known, by)


def _hands(make_ups: MakeUps, kept: Integers, bad: int, furthest: int) -> tuple[Integers, Integers]:
    """Fewest hands and the make-up of arrival, over the make-ups kept.

    The earliest arrival with at most so many hands follows from that with one hand fewer, for all
    make-ups at once.
    """
    pin, box, order = make_ups.pin[kept], make_ups.box[kept], make_ups.order[kept]
    arrived = np.full(make_ups.ends, _NEVER)
    arrived[bad] = -1
    hands = np.full(make_ups.ends, -1)
    hands[bad] = 0
    by = np.full(make_ups.ends, -1)
    for hand in range(1, furthest + 1):
        at_pin, at_box = arrived[pin], arrived[box]
        to_box = np.flatnonzero((order > at_pin) & (order < at_box))
        to_pin = np.flatnonzero((order > at_box) & (order < at_pin))
        if not to_box.size and not to_pin.size:
            break
        for ends, through in ((box[to_box], to_box), (pin[to_pin], to_pin)):
            # Written last to first, so that the earliest make-up of an end is what stays.
            arrived[ends[::-1]] = order[through[::-1]]
            new = np.flatnonzero(hands[ends] < 0)[::-1]
            by[ends[new]] = kept[through[new]]
            hands[ends[new]] = hand
    return hands, by


@dataclass(frozen=True, eq=False)
class Suspects:
    """Ends that may have spoiled a bad end, the likeliest first.

    Parameters
    ----------
    end : (n,) array of int
        Their numbers.
    spoiled, met : (n,) array of int
        Ends found bad after they met it, and all ends that met it.
    bad_before : (n,) array of bool
        Whether it was itself found bad.
    known : (n,) array of int
        The surest of its joints with the bad end, as a place in `SUREST_FIRST`.
    """

    end: Integers
    spoiled: Integers
    met: Integers
    bad_before: NDArray[np.bool_]
    known: Integers


def likely_sources(make_ups: MakeUps, bad: int, found_at: Integers) -> Suspects:
    """Which of the ends that met a bad end is the likely one, from how many each spoiled.

    Parameters
    ----------
    make_ups : MakeUps
        All make-ups on record.
    bad : int
        Number of the bad end.
    found_at : (ends,) array of int
        Count of the work by which each end was found bad; -1 for ends never found bad.

    Returns
    -------
    Suspects
        Ranked by how many it spoiled, then those found bad themselves, then by the fewer it met:
        one bad end among few says more than one among many. A count, no proof: an end that was
        never looked at counts as not spoiled.
    """
    last = found_at[bad] if found_at[bad] >= 0 else _NEVER
    early = make_ups.order <= last
    on_pin, on_box = (make_ups.pin == bad) & early, (make_ups.box == bad) & early
    mates = np.concatenate([make_ups.box[on_pin], make_ups.pin[on_box]])
    levels = np.concatenate([make_ups.known[on_pin], make_ups.known[on_box]])
    suspects = np.unique(mates)
    surest = np.full(make_ups.ends, len(SUREST_FIRST))
    np.minimum.at(surest, mates, levels)
    wanted = np.zeros(make_ups.ends, dtype=bool)
    wanted[suspects] = True
    of_pin, of_box = wanted[make_ups.pin], wanted[make_ups.box]
    owner = np.concatenate([make_ups.pin[of_pin], make_ups.box[of_box]])
    other = np.concatenate([make_ups.box[of_pin], make_ups.pin[of_box]])
    order = np.concatenate([make_ups.order[of_pin], make_ups.order[of_box]])
    met = _distinct(owner, other, make_ups.ends)[suspects]
    after = found_at[other] >= order
    spoiled = _distinct(owner[after], other[after], make_ups.ends)[suspects]
    bad_before = found_at[suspects] >= 0
    rank = np.lexsort((suspects, met, ~bad_before, -spoiled))
    end = suspects[rank]
    return Suspects(end, spoiled[rank], met[rank], bad_before[rank], surest[end])


def _distinct(owner: Integers, other: Integers, ends: int) -> Integers:
    """How many different ends each end met."""
    pairs = np.unique(owner * ends + other)
    return np.bincount(pairs // ends, minlength=ends).astype(np.int64)
