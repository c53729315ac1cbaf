"""Passes: who joins and leaves where while the tool travels, and what the hole holds after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from rodhand.drillstring.string import Member, StringOrder
from rodhand.drillstring.travel import Travel

Integers = NDArray[np.int64]


class PassKind(StrEnum):
    """One travel of one string through the hole."""

    PILOT = "pilot"
    REAM = "ream"
    """Back ream without a tail string."""
    PRE_REAM = "pre-ream"
    """Back ream with rods added behind the reamer at the exit."""
    PUSH_REAM = "push-ream"
    SWAB = "swab"
    TRIP_OUT = "trip out"
    TRIP_IN = "trip in"
    PULLBACK = "pullback"

    @property
    def away_from_rig(self) -> bool:
        """Whether the tool goes away from the rig."""
        return self in (PassKind.PILOT, PassKind.PUSH_REAM, PassKind.TRIP_IN)


@dataclass(frozen=True)
class RodsOfBore:
    """Where every member of one bore is between two passes.

    Parameters
    ----------
    order : StringOrder
        The string that hangs on the rig.
    at_rig, at_exit : tuple of Member
        Laid down at the rig (the next to join stands first) and at the exit.
    lost : tuple of Member
        Left in the hole, broken off from the string.
    """

    order: StringOrder = field(default_factory=StringOrder)
    at_rig: tuple[Member, ...] = ()
    at_exit: tuple[Member, ...] = ()
    lost: tuple[Member, ...] = ()

    def everything(self) -> tuple[Member, ...]:
        """All members, wherever they are."""
        return self.order.members + self.at_rig + self.at_exit + self.lost


@dataclass(frozen=True, eq=False)
class Leg:
    """A travel during which the order of the string stays the same but for its outer ends.

    Parameters
    ----------
    kind : PassKind
        Kind of pass.
    travel : Travel
        Moves of the tool.
    order : StringOrder
        Every member that was in the string at some time of the leg.
    joined, left : (r,) array of int
        First move with the member in the string, and the first move without it after that.
    """

    kind: PassKind
    travel: Travel
    order: StringOrder
    joined: Integers
    left: Integers

    def until(self, travel: Travel) -> Leg:
        """The leg cut to the first part of its travel (see `travel_until`)."""
        moves = len(travel)
        return replace(
            self,
            travel=travel,
            joined=np.minimum(self.joined, moves),
            left=np.minimum(self.left, moves),
        )


def _row_bounds(travel: Travel) -> list[tuple[int, int]]:
    """First move and end of each row, in order of time."""
    starts = [k for k in range(len(travel)) if k == 0 or travel.row[k] != travel.row[k - 1]]
    return list(zip(starts, [*starts[1:], len(travel)], strict=True))


def run_pass(
    rods: RodsOfBore,
    kind: PassKind,
    travel: Travel,
    front_length: float = 0.0,
    tail_front_length: float = 0.0,
) -> tuple[Leg, RodsOfBore]:
    """Let the tool travel once; one rod joins or leaves per row at each open end.

    Parameters
    ----------
    rods : RodsOfBore
        What stands where before the pass.
    kind : PassKind
        Kind of pass. Away from the rig: a member joins at the rig at the start of each row, and
        where there is a tail its outermost member comes off at the exit after each row. Toward
        the rig: the last rig-side member leaves after each row; in a pre-ream or a swab a member
        waiting at the exit joins the tail at the start of each row.
    travel : Travel
        Moves with their rows.
    front_length, tail_front_length : float
        Lengths of the assembly on this pass (see `StringOrder`). [m]

    Returns
    -------
    Leg, RodsOfBore
        The pass for the ledger, and what stands where afterwards.

    Notes
    -----
    A member takes its own row whole. Rods of a trip out wait at the rig so that a trip in puts
    them back in their places; where a crew does otherwise, `swap` or a new order says so. A row with nobody left to join or leave changes nothing: the
    drive of the rig stands in for part of a rod.
    """
    order = replace(rods.order, front_length=front_length, tail_front_length=tail_front_length)
    bounds = _row_bounds(travel)
    if kind.away_from_rig:
        return _away(replace(rods, order=order), kind, travel, bounds)
    return _toward(replace(rods, order=order), kind, travel, bounds)


def _away(
    rods: RodsOfBore, kind: PassKind, travel: Travel, bounds: list[tuple[int, int]]
) -> tuple[Leg, RodsOfBore]:
    count = min(len(bounds), len(rods.at_rig))
    off = min(len(bounds), len(rods.order.tail))
    standing, tail = rods.order.rig_side, rods.order.tail
    order = replace(rods.order, rig_side=standing + rods.at_rig[:count])
    end = len(travel)
    joined = [0] * len(standing) + [bounds[k][0] for k in range(count)] + [0] * len(tail)
    left = [end] * len(order.rig_side) + [end] * (len(tail) - off)
    left += [bounds[k][1] for k in range(off)][::-1]  # the outermost comes off first
    after = replace(
        rods,
        order=replace(order, tail=tail[: len(tail) - off]),
        at_rig=rods.at_rig[count:],
        at_exit=rods.at_exit + tail[len(tail) - off :][::-1],
    )
    return _leg(kind, travel, order, joined, left), after


def _toward(
    rods: RodsOfBore, kind: PassKind, travel: Travel, bounds: list[tuple[int, int]]
) -> tuple[Leg, RodsOfBore]:
    rig_side = rods.order.rig_side
    off = min(len(bounds), len(rig_side))
    draws_tail = kind in (PassKind.PRE_REAM, PassKind.SWAB)
    count = min(len(bounds), len(rods.at_exit)) if draws_tail else 0
    order = replace(rods.order, tail=rods.order.tail + rods.at_exit[:count])
    end = len(travel)
    joined = [0] * (len(rig_side) + len(rods.order.tail)) + [bounds[k][0] for k in range(count)]
    left = [end] * (len(rig_side) - off) + [bounds[k][1] for k in range(off)][::-1]
    left += [end] * len(order.tail)
    after = replace(
        rods,
        order=replace(order, rig_side=rig_side[: len(rig_side) - off]),
        at_rig=_laid_down(kind, rods.at_rig, rig_side[len(rig_side) - off :]),
        at_exit=rods.at_exit[count:],
    )
    return _leg(kind, travel, order, joined, left), after


def _laid_down(
    kind: PassKind, at_rig: tuple[Member, ...], out: tuple[Member, ...]
) -> tuple[Member, ...]:
    """Rods of a trip go back in as they came out, last out first in; others queue up behind."""
    return out + at_rig if kind is PassKind.TRIP_OUT else at_rig + out[::-1]


def _leg(
    kind: PassKind, travel: Travel, order: StringOrder, joined: Sequence[int], left: Sequence[int]
) -> Leg:
    return Leg(kind, travel, order, np.array(joined, np.int64), np.array(left, np.int64))


def lead_rods_off(rods: RodsOfBore, count: int) -> RodsOfBore:
    """Break the first `count` members behind the head off at the exit.

    Raises
    ------
    ValueError
        If fewer members stand there.
    """
    rig_side = rods.order.rig_side
    if not 0 <= count <= len(rig_side):
        raise ValueError(f"{count} lead rods cannot come off a string of {len(rig_side)}")
    return replace(
        rods,
        order=replace(rods.order, rig_side=rig_side[count:]),
        at_exit=rods.at_exit + rig_side[:count],
    )


def take_tail_on(rods: RodsOfBore) -> RodsOfBore:
    """After a tail-string pass: the tool comes off at the rig, the tail is the new string.

    Counted from the next tool, which goes on at the exit, the order is reversed: the member that
    joined last stands next to the tool, and the one that joined first leaves first.

    Raises
    ------
    ValueError
        If members still stand between tool and rig.
    """
    if rods.order.rig_side:
        raise ValueError(f"{len(rods.order.rig_side)} members still stand between tool and rig")
    return replace(rods, order=StringOrder(rig_side=rods.order.tail[::-1]))


def swap(rods: RodsOfBore, place: int, key: str) -> RodsOfBore:
    """Put a member that waits at the rig in the place of one in the string.

    Parameters
    ----------
    rods : RodsOfBore
        What stands where.
    place : int
        Count from the tool on the rig side, from 1.
    key : str
        Key of the member at the rig.

    Returns
    -------
    RodsOfBore
        The member taken out lies at the rig, in the position of the one that went in.

    Raises
    ------
    ValueError
        If the place is empty or nothing of that key waits at the rig.
    """
    rig_side = rods.order.rig_side
    found = [k for k, m in enumerate(rods.at_rig) if m.key == key]
    if not 1 <= place <= len(rig_side) or not found:
        raise ValueError(f"cannot put {key} in place {place} of {len(rig_side)}")
    new, old = rods.at_rig[found[0]], rig_side[place - 1]
    order = replace(rods.order, rig_side=(*rig_side[: place - 1], new, *rig_side[place:]))
    at_rig = (*rods.at_rig[: found[0]], old, *rods.at_rig[found[0] + 1 :])
    return replace(rods, order=order, at_rig=at_rig)


def lose(rods: RodsOfBore, place: int) -> RodsOfBore:
    """The string parts: the members up to a place, tool and tail stay in the hole.

    Parameters
    ----------
    rods : RodsOfBore
        What stands where.
    place : int
        Last place lost, counted from the tool on the rig side; 0 loses the tail only. A broken
        rod counts as lost with its tool-side part.

    Returns
    -------
    RodsOfBore
        The rest hangs on the rig.

    Raises
    ------
    ValueError
        If the string has no such place.
    """
    rig_side = rods.order.rig_side
    if not 0 <= place <= len(rig_side):
        raise ValueError(f"place {place} is not in a string of {len(rig_side)}")
    # from exit to rig, as they lie in the hole
    gone = rods.order.tail[::-1] + rig_side[:place]
    order = replace(rods.order, rig_side=rig_side[place:], tail=())
    return replace(rods, order=order, lost=rods.lost + gone)


def fish(rods: RodsOfBore, keys: Sequence[str]) -> RodsOfBore:
    """Lost members come back out of the hole and lie at the rig.

    Raises
    ------
    ValueError
        If one of them was not lost.
    """
    missing = set(keys) - {m.key for m in rods.lost}
    if missing:
        raise ValueError(f"not lost: {', '.join(sorted(missing))}")
    back = tuple(m for m in rods.lost if m.key in keys)
    rest = tuple(m for m in rods.lost if m.key not in keys)
    return replace(rods, lost=rest, at_rig=rods.at_rig + back)


def meet(near: RodsOfBore, far: RodsOfBore) -> RodsOfBore:
    """Two strings drilled from both ends are joined tool to tool and become one.

    Parameters
    ----------
    near, far : RodsOfBore
        The bore seen from each rig; the result is seen from the near one.

    Returns
    -------
    RodsOfBore
        The far string stands in the hole as the near string's tail, and what lies at the far rig
        lies at the exit.

    Raises
    ------
    ValueError
        If either string has a tail already.
    """
    if near.order.tail or far.order.tail:
        raise ValueError("a string that meets another has no tail")
    order = replace(near.order, tail=far.order.rig_side, tail_front_length=far.order.front_length)
    return RodsOfBore(
        order=order,
        at_rig=near.at_rig + far.at_exit,
        at_exit=near.at_exit + far.at_rig,
        lost=near.lost + far.lost,
    )


def seen_from_other_end(leg: Leg, hole_length: float) -> Leg:
    """A leg of a rig at the exit, told in positions measured from the entry.

    Parameters
    ----------
    leg : Leg
        Positions measured from that rig, no tail.
    hole_length : float
        Length of the whole hole. [m]

    Returns
    -------
    Leg
        The same moves; its members stand on the exit side of the tool, and their pins look the
        other way: what was the distance from the head-facing end counts from the other end.

    Raises
    ------
    ValueError
        If the leg has members on both sides.
    """
    order = leg.order
    if order.tail:
        raise ValueError("only a string without a tail can be turned round")
    travel = replace(
        leg.travel,
        tool_from=hole_length - leg.travel.tool_from,
        tool_to=hole_length - leg.travel.tool_to,
    )
    turned = StringOrder(tail=order.rig_side, tail_front_length=order.front_length)
    return replace(leg, travel=travel, order=turned)
