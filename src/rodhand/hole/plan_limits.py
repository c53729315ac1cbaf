"""What a plan of a bore must keep: ends, curves, cover, and distance from what is in the way."""

from __future__ import annotations

import math
from dataclasses import dataclass

COMMON_CLEARANCE = 0.4572
"""18 in clear on each side: Najafi 2010, p. 215, quoting a telephone specification (READ). [m]"""
NOT_FOUND = 3.0
"""Kept from a utility nobody has found, level and upright (the owner's distance, ours). [m]"""
LOCATED_SHARE = 0.10
"""Of its depth, added for a utility that was located and not seen (ours). [1]"""
DEPTH_ERROR = 0.05
"""A receiver's depth of the head is good to about this share (common practice). [1]"""
UNKNOWN_SIZE = 0.5
"""Taken where nobody knows how large a utility is (ours). [m]"""
HOLE_OVER_JOINT = 1.4
"""A hole of unknown diameter over the joint (common practice). [1]"""
HOLE_OVER_PRODUCT = 1.5
"""A reamed hole over its product (common practice). [1]"""
STEEPEST_ENTRY = math.radians(25.0)
"""Rigs stand at 5 to 25 degrees: Najafi 2010, p. 209 (READ). [rad]"""


@dataclass(frozen=True)
class InWay:
    """A utility as the plan meets it.

    Parameters
    ----------
    name : str
        Its name.
    at, to : float
        Where along the line it begins and ends; the same for one that runs across. [m]
    depth : float or None
        Ground to its middle; None unknown: nothing can be planned past it. [m]
    keep : float
        Distance of the hole's middle from its middle, at least. [m]
    offset : float or None
        Of one that runs along; None across. [m]
    keep_seen : float or None
        What would be to keep had it been potholed and seen; None where it was. [m]
    """

    name: str
    at: float
    to: float
    depth: float | None
    keep: float
    offset: float | None = None
    keep_seen: float | None = None


@dataclass(frozen=True)
class PlanAsk:
    """What is wanted of a bore.

    Parameters
    ----------
    distance : float
        Level distance, entry to exit. [m]
    entry : float
        How steep the rig stands, down positive, above 0. [rad]
    steepest_exit : float
        Steepest pitch at the exit, up positive, above 0. [rad]
    rod_length : float
        Of a rod. [m]
    radius : float
        Least radius of a curve: strictest of rods, head, steering and product. [m]
    exit_height : float
        Exit above the entry. [m]
    cover : float or None
        Least ground over the hole's middle from ``cover_from`` to ``cover_to``. [m]
    in_way : tuple of InWay
        Utilities, from the entry on.

    Raises
    ------
    ValueError
        If a size is not above 0, or the cover has no place.
    """

    distance: float
    entry: float
    steepest_exit: float
    rod_length: float
    radius: float
    exit_height: float = 0.0
    cover: float | None = None
    cover_from: float = math.nan
    cover_to: float = math.nan
    in_way: tuple[InWay, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no path can be asked of."""
        sizes = (self.distance, self.entry, self.steepest_exit, self.rod_length, self.radius)
        if not all(each > 0.0 for each in sizes):
            raise ValueError("distance, pitches, rod and radius must be above 0")
        if self.cover is not None and not 0.0 < self.cover_from <= self.cover_to < self.distance:
            raise ValueError("the cover must have a place between entry and exit")

    @property
    def straight(self) -> float:
        """The first rod is kept straight (Najafi 2010, p. 210, READ). [m]"""
        return self.rod_length


def allowance(how: str, own: float | None, depth: float | None) -> float:
    """Distance to keep from a utility's outside, by how it was found.

    Parameters
    ----------
    how : str
        "potholed seen", "located", "drawing" or "unknown".
    own : float or None
        The owner's distance, which goes before; but not for one that was not found, where the
        larger counts. [m]
    depth : float or None
        Of its middle. [m]

    Returns
    -------
    float
        Distance. [m]
    """
    if how == "potholed seen":
        return COMMON_CLEARANCE if own is None else own
    if how == "located":
        located = COMMON_CLEARANCE + LOCATED_SHARE * (depth or 0.0)
        return located if own is None else own
    return max(NOT_FOUND, own or 0.0)
