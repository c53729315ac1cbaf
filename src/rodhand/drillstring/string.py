"""What hangs on the tool: members in order on both sides, and where each one's ends are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Member:
    """One thing in a string.

    Parameters
    ----------
    key : str
        Permanent key of the thing.
    what : str
        Kind of thing: rod, sub, head, ...
    length : float
        Length it adds to the string, as measured. [m]
    turns_with_string : bool
        False for what does not turn: the outer tube of a two-pipe string, a string above a motor
        in slide, a tail behind a swivel. Such a member takes no turns.

    Raises
    ------
    ValueError
        If the length is not greater than zero.
    """

    key: str
    what: str
    length: float
    turns_with_string: bool = True

    def __post_init__(self) -> None:
        """Refuse a thing without length."""
        if not self.length > 0:
            raise ValueError(f"length of {self.key} must be greater than 0 m, got {self.length} m")


@dataclass(frozen=True)
class StringOrder:
    """Members on both sides of the tool, each side counted from the tool outwards.

    Parameters
    ----------
    rig_side : tuple of Member
        Between the tool and the rig; the first stands next to the tool.
    tail : tuple of Member
        Between the tool and the exit; the first stands next to the tool.
    front_length : float
        Length of the assembly between the tool's reference point and the first rig-side member:
        the head, or reamer and swivel. It lies within the measured tool position. [m]
    tail_front_length : float
        The same toward the tail. [m]

    Notes
    -----
    A section at offset u stands at s = S - u when the tool is at S: u is positive toward the rig
    and negative in the tail.
    """

    rig_side: tuple[Member, ...] = ()
    tail: tuple[Member, ...] = ()
    front_length: float = 0.0
    tail_front_length: float = 0.0

    @property
    def members(self) -> tuple[Member, ...]:
        """All members, rig side first; every array of the ledger has one row for each."""
        return self.rig_side + self.tail

    def head_ends(self) -> Floats:
        """Offset u of each member's end that faces away from the rig. [m]

        A section a distance x from that end stands at u + x on either side of the tool, because
        things keep their direction in the hole: pins that look toward the rig on the pilot do so
        in a tail string too.
        """
        rig = np.array([m.length for m in self.rig_side], dtype=float)
        tail = np.array([m.length for m in self.tail], dtype=float)
        rig_ends = self.front_length + np.cumsum(rig) - rig
        tail_ends = -(self.tail_front_length + np.cumsum(tail))
        return np.concatenate((rig_ends, tail_ends))

    def lengths(self) -> Floats:
        """Length of each member. [m]"""
        return np.array([m.length for m in self.members], dtype=float)

    def turning(self) -> NDArray[np.bool_]:
        """Whether each member turns with the string."""
        return np.array([m.turns_with_string for m in self.members], dtype=bool)
