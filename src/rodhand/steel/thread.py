"""Thread forms, and the thread and seat dimensions a joint's formulas need.

Lengths in API documents are inches, tapers inches per foot on diameter; here both are SI and
the taper is a plain ratio (2 in/ft = 1/6).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.units import INCH

GAUGE_POINT = 0.625 * INCH
"""Distance from the pin shoulder to the plane where the pitch diameter is stated. [m]"""


def sharp_height(lead: float, half_angle: float, taper: float) -> float:
    """Height of the sharp (untruncated) V of a taper thread.

    Parameters
    ----------
    lead : float
        Axial advance of one turn, single start. [m]
    half_angle : float
        Angle of a flank to the plane square to the axis. [rad]
    taper : float
        Change of diameter per length along the axis. [m/m]

    Returns
    -------
    float
        H = (p/2)(cot a - tan^2(b) tan a) with tan b = taper/2. [m]

    Notes
    -----
    Derived from the triangle between two flanks and the cone; equals every height printed in
    API Spec 7 38th ed. (1994) p. 30 to the last of its six decimals.
    """
    slope = taper / 2.0
    return lead / 2.0 * (1.0 / math.tan(half_angle) - slope**2 * math.tan(half_angle))


def flat_truncation(flat_width: float, lead: float, height: float) -> float:
    """Truncation that leaves a flat of a given width: F H / p.

    Parameters
    ----------
    flat_width : float
        Width of the flat along the cone's axis. [m]
    lead : float
        Axial advance of one turn. [m]
    height : float
        Sharp height H. [m]

    Returns
    -------
    float
        Height cut away. [m]
    """
    return flat_width * height / lead


def round_root_truncation(root_radius: float, half_angle: float) -> float:
    """Truncation of a round root: r (1/sin a - 1), which is r for a 60-degree thread.

    Parameters
    ----------
    root_radius : float
        Radius of the root. [m]
    half_angle : float
        Half of the included thread angle. [rad]

    Returns
    -------
    float
        Height from the sharp root to the round one. [m]
    """
    return root_radius * (1.0 / math.sin(half_angle) - 1.0)


@dataclass(frozen=True)
class ThreadForm:
    """The cross-section of a thread.

    Parameters
    ----------
    name : str
        Name of the form.
    taper : float
        Change of diameter per length. [m/m]
    lead : float
        Axial advance of one turn, single start. [m]
    root_truncation : float
        Height cut off at the root (Srs). [m]
    half_angle : float
        Half of the included angle. [rad]
    crest_truncation : float, optional
        Height cut off at the crest (fcs); only the crest diameters need it. [m]
    """

    name: str
    taper: float
    lead: float
    root_truncation: float
    half_angle: float = math.radians(30.0)
    crest_truncation: float | None = None

    @property
    def sharp_height(self) -> float:
        """Height of the sharp V. [m]"""
        return sharp_height(self.lead, self.half_angle, self.taper)

    @property
    def dedendum(self) -> float:
        """Pitch line to root, H/2 - Srs. [m]"""
        return self.sharp_height / 2.0 - self.root_truncation

    @property
    def addendum(self) -> float | None:
        """Pitch line to crest, H/2 - fcs. [m]"""
        if self.crest_truncation is None:
            return None
        return self.sharp_height / 2.0 - self.crest_truncation

    @property
    def thread_height(self) -> float | None:
        """Truncated height h = H - fcs - Srs. [m]"""
        return None if self.addendum is None else self.addendum + self.dedendum


@dataclass(frozen=True)
class JointDimensions:
    """Thread and seat of a rotary-shouldered joint, as drawn; OD and bore are given apart.

    Parameters
    ----------
    thread : ThreadForm
        The thread.
    pitch_diameter : float
        Pitch diameter 5/8 in from the pin shoulder (C). [m]
    pin_length : float
        Shoulder to pin end (Lpc). [m]
    counterbore : float
        Box counterbore diameter, the inside of the seat (Qc). [m]
    name : str
        Name of the connection.
    nose_od, nose_id : float, optional
        Outside and inside of a second seat at the pin nose, thinnest section. [m]
    """

    thread: ThreadForm
    pitch_diameter: float
    pin_length: float
    counterbore: float
    name: str = ""
    nose_od: float | None = None
    nose_id: float | None = None

    @property
    def large_diameter(self) -> float | None:
        """Crest diameter of the pin at its shoulder (DL). [m]"""
        addendum = self.thread.addendum
        if addendum is None:
            return None
        return self.pitch_diameter + 2.0 * addendum + self.thread.taper * GAUGE_POINT

    @property
    def small_diameter(self) -> float | None:
        """Crest diameter of the pin at its end (DS). [m]"""
        large = self.large_diameter
        return None if large is None else large - self.thread.taper * self.pin_length
