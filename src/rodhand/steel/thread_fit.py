"""Whether two threads are drawn alike; only sizes somebody entered can tell."""

from __future__ import annotations

import math

from rodhand.steel.thread import JointDimensions
from rodhand.units import INCH

LEAD = 2 * 0.0015
"""Two new products' lead may differ so much: +-0.0015 in an inch each (drawing sheets after API
Spec 7, READ). [-]"""
TAPER = 0.030 / 12.0
"""Taper of pin +0.030 and box -0.030 in a foot (drawing sheets after API Spec 7, READ). [m/m]"""
HALF_ANGLE = math.radians(0.75)
"""Half angle +-0.75 degrees (drawing sheets after API Spec 7, READ). [rad]"""
PITCH_DIAMETER = 0.010 * INCH
"""Pitch diameters further apart are different threads (this project's proposal). [m]"""


def thread_differences(
    one: JointDimensions | None, other: JointDimensions | None
) -> tuple[str, ...] | None:
    """In what two threads differ beyond the tolerances of new ones.

    Parameters
    ----------
    one, other : JointDimensions or None
        As entered; None where nobody entered them.

    Returns
    -------
    tuple of str or None
        Some of ``pitch_diameter, lead, taper, half_angle``; empty when drawn alike; None where
        one is not known, which says nothing.
    """
    if one is None or other is None:
        return None
    a, b = one.thread, other.thread
    apart = {
        "pitch_diameter": abs(one.pitch_diameter - other.pitch_diameter) > PITCH_DIAMETER,
        "lead": abs(a.lead - b.lead) > LEAD * max(a.lead, b.lead),
        "taper": abs(a.taper - b.taper) > TAPER + 1e-12,
        "half_angle": abs(a.half_angle - b.half_angle) > HALF_ANGLE + 1e-12,
    }
    return tuple(name for name, is_apart in apart.items() if is_apart)
