"""Pull, torque, bend and pressure together at one place: what share of its limit is used.

A share of 1 is the limit; the margin is one less the share. What is not known is left out by the
caller and named there; nothing here stands in for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rodhand.steel import tube
from rodhand.steel.envelope import Envelope
from rodhand.steel.shoulder_opening import Seat, unloading_stress

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class TubeSize:
    """A tube and its steel.

    Parameters
    ----------
    od, bore : float
        Diameters. [m]
    yield_stress : float
        Yield. [Pa]
    """

    od: float
    bore: float
    yield_stress: float


def von_mises(axial: ArrayLike, hoop: ArrayLike, radial: ArrayLike, shear: ArrayLike) -> Floats:
    """equivalent (von Mises) stress of a point of a tube under torsion; textbook form.

    Parameters
    ----------
    axial, hoop, radial : array of float
        Normal stresses, tension positive. [Pa]
    shear : array of float
        Shear of torsion. [Pa]

    Returns
    -------
    array of float
        sqrt([(a-h)^2 + (h-r)^2 + (r-a)^2]/2 + 3 t^2). [Pa]
    """
    a, h, r, t = (np.asarray(x, dtype=float) for x in (axial, hoop, radial, shear))
    return np.asarray(np.sqrt(((a - h) ** 2 + (h - r) ** 2 + (r - a) ** 2) / 2.0 + 3.0 * t**2))


def tube_share(
    size: TubeSize,
    pull: ArrayLike,
    torque: ArrayLike,
    moment: ArrayLike,
    pressure: ArrayLike = 0.0,
) -> Floats:
    """Share of yield at the worst point of a tube's section.

    Parameters
    ----------
    size : TubeSize
        The tube.
    pull, torque, moment : array of float
        Tension (thrust negative), torque and bending moment. [N], [N m], [N m]
    pressure : array of float
        Of the mud inside over that outside. [Pa]

    Returns
    -------
    array of float
        Largest equivalent stress over yield, at bore and outside, on both sides of the bend. [1]

    Notes
    -----
    Elastic, thick-walled (Lamé); the pull is what the wall carries, so the end force of the
    pressure is in it already.
    """
    area, inertia = tube.area(size.od, size.bore), tube.inertia(size.od, size.bore)
    pull, torque, moment, pressure = (
        np.asarray(x, dtype=float) for x in (pull, torque, moment, pressure)
    )
    lame = size.bore**2 / (size.od**2 - size.bore**2)
    points = (
        (size.od / 2.0, 2.0 * lame * pressure, 0.0 * pressure),
        (size.bore / 2.0, (2.0 * lame + 1.0) * pressure, -pressure),
    )
    worst = [
        von_mises(
            pull / area + side * moment * radius / inertia,
            hoop,
            radial,
            torque * radius / (2.0 * inertia),
        )
        for radius, hoop, radial in points
        for side in (1.0, -1.0)
    ]
    return np.asarray(np.max(np.stack(np.broadcast_arrays(*worst)), axis=0) / size.yield_stress)


def envelope_share(
    envelope: Envelope, pull: ArrayLike, torque: ArrayLike, makeup: ArrayLike
) -> Floats:
    """Share of yield of a joint's steel under pull and torque (RP 7G appendix A.10 type).

    Parameters
    ----------
    envelope : Envelope
        Of the joint.
    pull, torque : array of float
        Tension (thrust counts as none) and torque. [N], [N m]
    makeup : array of float
        Make-up torque it was set with. [N m]

    Returns
    -------
    array of float
        The factor on both loads at which the nearer of pull and torque line is met, turned
        over. [1]

    Notes
    -----
    Torque line: from T2 at no pull down to T3 at P1, straight; box side flat. Pull line: P1 up to
    the make-up T4, the pin's spare above it. Above make-up torque the joint goes on tightening, so
    the torque that sets the pull line is the larger of the two. That the shoulder opens is no
    yield: `seat_share` has it. Bending and pressure are left out, as in the source.
    """
    pulled = np.maximum(np.asarray(pull, dtype=float), 0.0)
    twisted = np.abs(np.asarray(torque, dtype=float))
    made = np.maximum(np.asarray(makeup, dtype=float), twisted)
    allowed = np.vectorize(envelope.yielding_pull, otypes=[float])(made)
    with np.errstate(divide="ignore", invalid="ignore"):
        by_pull = np.where(pulled > 0, pulled / np.maximum(allowed, 0.0), 0.0)
    # both loads times x meet the line x T + x P (T2 - T3)/P1 = T2, unless the box is weaker
    fall = (envelope.pin_torque - envelope.open_pin_torque) / envelope.pin_tension
    by_torque = np.maximum(
        (twisted + fall * pulled) / envelope.pin_torque, twisted / envelope.box_torque
    )
    return np.asarray(np.maximum(by_pull, by_torque))


def seat_share(seat: Seat, preload: float, pull: ArrayLike, moment: ArrayLike) -> Floats:
    """Share of a seat's preload that pull and bending take away; at 1 it opens.

    Parameters
    ----------
    seat : Seat
        The seat.
    preload : float
        Force on it after make-up, above zero. [N]
    pull, moment : array of float
        Tension (thrust counts as none) and moment at the joint. [N], [N m]

    Returns
    -------
    array of float
        Share. [1]

    Raises
    ------
    ValueError
        If there is no preload.
    """
    if not preload > 0:
        raise ValueError(f"preload must be greater than 0 N, got {preload} N")
    pulled = np.maximum(np.asarray(pull, dtype=float), 0.0)
    bending = np.asarray(moment, dtype=float) * seat.bending_stress(1.0)
    taken = pulled * unloading_stress(seat, 1.0, 0.0) + bending
    return np.asarray(taken * seat.area / preload)
