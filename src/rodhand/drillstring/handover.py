"""What happens to the rods of a bore between two passes, and where two strings meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rodhand.drillstring.passes import Leg, RodsOfBore
from rodhand.drillstring.string import StringOrder


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
