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
    them back in their places; where a crew does otherwise, `swap` or a new order says so. A row
    with nobody left to join or leave changes nothing: the drive of the rig stands in for part
    of a rod.
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
