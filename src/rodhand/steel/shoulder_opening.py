"""Does the seat stay closed: make-up preload against pull and bending.

When it opens, the thread's share of the load goes from about a quarter to all of it: stress
times four, damage times 64 at a slope of three. Then under-torque, not the bend, uses the life.
"""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.steel import tube


@dataclass(frozen=True)
class Seat:
    """The ring on which a joint's outer shoulder sits.

    Parameters
    ----------
    od, inner_diameter : float
        Outside (bevel taken off) and counterbore. [m]
    pin_area, box_area : float
        Metal of pin and box that share a pull. [m^2]
    """

    od: float
    inner_diameter: float
    pin_area: float
    box_area: float

    @property
    def area(self) -> float:
        """Area of the ring. [m^2]"""
        return tube.area(self.od, self.inner_diameter)

    def bending_stress(self, moment: float) -> float:
        """Bending stress at the ring's outside, as if it were one piece. [Pa]"""
        return moment * self.od / 2.0 / tube.inertia(self.od, self.inner_diameter)


def unloading_stress(seat: Seat, pull: float, moment: float) -> float:
    """Seat pressure that pull and bending take away at the worst point.

    Parameters
    ----------
    seat : Seat
        The seat.
    pull : float
        Pull on the joint. [N]
    moment : float
        Bending moment at the joint. [N m]

    Returns
    -------
    float
        Stress. [Pa]

    Notes
    -----
    The box side gives up Ab/(Ap + Ab) of a pull, as in the tension that opens the shoulder
    (`rodhand.steel.envelope`). Linear and elastic; a seat worn uneven opens earlier.
    """
    box_share = seat.box_area / (seat.pin_area + seat.box_area)
    return pull * box_share / seat.area + seat.bending_stress(moment)


def margin(seat: Seat, preload: float, pull: float, moment: float) -> float:
    """Seat pressure left at the worst point; the seat is open at zero or below.

    Parameters
    ----------
    seat : Seat
        The seat.
    preload : float
        Force on the seat after make-up, torque over lever arm. [N]
    pull, moment : float
        Pull and bending moment at the joint. [N], [N m]

    Returns
    -------
    float
        Stress. [Pa]
    """
    return preload / seat.area - unloading_stress(seat, pull, moment)


def opening_share(seat: Seat, full_preload: float, pull: float, moment: float) -> float:
    """Share of the full make-up below which the seat opens.

    Parameters
    ----------
    seat : Seat
        The seat.
    full_preload : float
        Force on the seat after the full make-up torque, above zero. [N]
    pull, moment : float
        Pull and bending moment at the joint. [N], [N m]

    Returns
    -------
    float
        Share; above 1 the seat opens even when made up in full. [-]

    Raises
    ------
    ValueError
        If the full preload is not above zero.
    """
    if not full_preload > 0:
        raise ValueError(f"full_preload must be greater than 0 N, got {full_preload} N")
    return unloading_stress(seat, pull, moment) * seat.area / full_preload
