"""Which end met which: mates in a string, the saver sub's meetings, joints that saw a torque."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

Thread = Literal["pin", "box"]
PinToward = Literal["head", "rig"]
"""Which way the pins of a rig's rods look; a fact of the rig, asked once."""


@dataclass(frozen=True)
class Meeting:
    """One made-up joint: a pin in a box.

    Parameters
    ----------
    pin_of, box_of : str
        Keys of the two things; a head or a drive counts as a thing.
    """

    pin_of: str
    box_of: str

    def end_of(self, key: str) -> Thread | None:
        """Which end of a thing is in this joint; None if it is not in it."""
        if key == self.pin_of:
            return "pin"
        return "box" if key == self.box_of else None

    def mate_of(self, key: str, end: Thread) -> tuple[str, Thread] | None:
        """The thing and end that a given end met; None if it is not in this joint."""
        if self.end_of(key) != end:
            return None
        return (self.box_of, "box") if end == "pin" else (self.pin_of, "pin")


def meetings_along(keys: Sequence[str], pin_toward: PinToward) -> tuple[Meeting, ...]:
    """Joints of a string from the order of its things.

    Parameters
    ----------
    keys : sequence of str
        Things from the exit side to the rig side: head, first rod, ..., saver sub.
    pin_toward : {"head", "rig"}
        Which way the pins look.

    Returns
    -------
    tuple of Meeting
        One less than there are things, in the same order.
    """
    pairs = list(pairwise(keys))
    if pin_toward == "head":
        return tuple(Meeting(pin_of=rig, box_of=head) for head, rig in pairs)
    return tuple(Meeting(pin_of=head, box_of=rig) for head, rig in pairs)


def string_at_station(
    rods: Sequence[str], station: int, head: str | None = None, saver: str | None = None
) -> tuple[str, ...]:
    """Things from head to drive while row `station` of a pilot is in.

    Parameters
    ----------
    rods : sequence of str
        Rods by place, the one behind the head first.
    station : int
        Number of rods in the string.
    head, saver : str, optional
        Keys of the head and of the saver sub (or drive), where they are known.

    Returns
    -------
    tuple of str
        Keys in order.

    Raises
    ------
    ValueError
        If so many rods are not there.
    """
    if not 0 <= station <= len(rods):
        raise ValueError(f"station {station} needs {station} rods, there are {len(rods)}")
    ends = ((head,) if head else (), (saver,) if saver else ())
    return (*ends[0], *rods[:station], *ends[1])


def joints_under_torque(
    rods: Sequence[str], station: int, head: str, saver: str, pin_toward: PinToward
) -> tuple[Meeting, ...]:
    """Joints between rig and head that a torque at a station went through.

    Returns
    -------
    tuple of Meeting
        The head's joint first and the saver sub's last: station + 1 joints.
    """
    return meetings_along(string_at_station(rods, station, head, saver), pin_toward)


def saver_meetings(rods: Sequence[str], saver: str, pin_toward: PinToward) -> tuple[Meeting, ...]:
    """The saver sub meets every rod in turn, at the end that faces the rig."""
    return tuple(meetings_along((rod, saver), pin_toward)[0] for rod in rods)
