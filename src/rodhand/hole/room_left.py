"""How much the direction may still change over the next length of hole."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from rodhand.hole.limits import USUAL_CUTOFFS, limit_angle


@dataclass(frozen=True)
class RoomLeft:
    """Change of direction left for one length of hole, any way round.

    Parameters
    ----------
    limit : float
        What the limit radius allows over the length. [rad]
    error : float
        One standard deviation of the change as it will be read. [rad]
    room : float
        Largest change, as read, that is no over-steer beyond reading error: below it the chance
        of being over stays under 5 %. Not below 0. [rad]
    """

    limit: float
    error: float
    room: float

    def sideways(self, upward: float) -> float:
        """Change left sideways once so much is steered up or down: both count together. [rad]

        Parameters
        ----------
        upward : float
            Change of pitch. [rad]
        """
        return math.sqrt(max(self.room**2 - upward**2, 0.0))


def room_left(
    length: float, limit_radius: float, error_before: float, error_after: float
) -> RoomLeft:
    """Room for one length of hole after the last reading.

    Parameters
    ----------
    length : float
        Hole from the last reading to the next one, above 0. [m]
    limit_radius : float
        The strictest of the limits that hold there, above 0. [m]
    error_before, error_after : float
        One standard deviation of the last reading and of the next one. [rad]

    Returns
    -------
    RoomLeft
        For steering up, down or sideways alone; see `RoomLeft.sideways` for both.

    Raises
    ------
    ValueError
        If length or radius is not above 0, or an error is below 0.

    Notes
    -----
    The mean bend over the length. A change made in a part of it bends the hole tighter there.
    """
    if length <= 0:
        raise ValueError(f"length must be above 0 m, got {length} m")
    if error_before < 0 or error_after < 0:
        raise ValueError("a reading's error must not be below 0")
    limit = limit_angle(limit_radius, length)
    error = math.hypot(error_before, error_after)
    taken_off = -NormalDist().inv_cdf(USUAL_CUTOFFS.within_error) * error
    return RoomLeft(limit, error, max(limit - taken_off, 0.0))
