"""Which rods of a pilot's string stand in a stretch of the hole, while it is being drilled."""

from __future__ import annotations

import math

ABOUT = 1e-6
"""Share of a rod's length that is no rod's end inside the stretch yet. [1]"""


def places_in(
    start: float, end: float, bit: float, front_length: float, rod_length: float
) -> tuple[range, range]:
    """Places that have passed a stretch, and places that stand in it; all behind will pass.

    Parameters
    ----------
    start, end : float
        The stretch, along the hole. [m]
    bit : float
        Where the bit is, along the hole. [m]
    front_length : float
        From the bit to the front end of the rod behind the head. [m]
    rod_length : float
        Of every rod, above 0. [m]

    Returns
    -------
    tuple of range, range
        Counted from 1, the rod behind the head. The second is empty where only the front assembly
        stands in the stretch, or has not reached it yet.

    Notes
    -----
    Rod p reaches from ``bit - front_length - p * rod_length`` to one rod length further on. A
    reading stands behind the bit, so a rod may have passed a bend before it was read.

    Examples
    --------
    >>> places_in(21.0, 24.0, 24.0, 0.0, 3.0)
    (range(1, 1), range(1, 2))
    """
    reach = bit - front_length
    first = max(math.floor((reach - end) / rod_length + ABOUT) + 1, 1)
    last = math.ceil((reach - start) / rod_length - ABOUT)
    return range(1, first), range(first, max(last, first - 1) + 1)
