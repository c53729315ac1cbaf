"""Combined limits at every place of a bore: pull, torque, bend and pressure against the steel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.book.bore_work import BoreWork
from rodhand.book.force_work import PassForces
from rodhand.book.pass_work import PassWork
from rodhand.drillstring.soft_string import Axis
from rodhand.hole.damage_curvature import CurvatureBand
from rodhand.steel.combined import TubeSize, envelope_share, seat_share, tube_share
from rodhand.steel.envelope import Envelope
from rodhand.steel.joint import YIELD_STRESS, joint_strength
from rodhand.steel.rod_type import RodType
from rodhand.steel.shoulder_opening import Seat
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.wear.sections import magnifications

Floats = NDArray[np.float64]
CHECKS = ("tube", "makeup", "envelope", "seat")
"""Tube yield; running torque against make-up torque; pull and torque of the joint; its seat."""


@dataclass(frozen=True)
class Share:
    """Share of a limit used: 5, 50 and 95 % points; ``is_floor`` where a load is not known. [1]"""

    check: str
    low: float
    best: float
    high: float
    is_floor: bool


@dataclass(frozen=True)
class PlaceLoad:
    """Loads on one rod's length of hole in one pass, and what they use of each limit.

    Parameters
    ----------
    station : int
        Row of the log that holds it.
    start, end : float
        Along the hole. [m]
    pull, torque : tuple of float or None
        Band of the largest pull (thrust negative) and torque. [N], [N m]
    radius : float
        Mean bend radius of the hole; infinite for straight, NaN unread. [m]
    shares : tuple of Share
        The checks that could be made.
    """

    station: int
    start: float
    end: float
    pull: tuple[float, float, float] | None
    torque: tuple[float, float, float] | None
    radius: float
    shares: tuple[Share, ...]

    @property
    def governing(self) -> Share | None:
        """The check with most of its limit used; None where none could be made."""
        return max(self.shares, key=lambda share: share.best, default=None)


def _curvature(band: CurvatureBand, start: float, end: float) -> tuple[float, float, float]:
    """Sharpest low, best and high curvature of the stretches in an interval; NaN unread. [1/m]"""
    inside = (band.edges[1:] > start + 1e-6) & (band.edges[:-1] < end - 1e-6)
    if not inside.any() or not np.isfinite(band.best[inside]).any():
        return (np.nan,) * 3
    values = (np.nanmax(each[inside]) for each in (band.low, band.best, band.high))
    low, best, high = values
    return float(low), float(best), float(high)


def joint_checks(rod_type: RodType) -> tuple[Envelope, Seat, float] | None:
    """Envelope, seat and full preload of a single-shouldered joint.

    Parameters
    ----------
    rod_type : RodType
        The rods.

    Returns
    -------
    tuple or None
        None without thread dimensions or make-up torque; for a double shoulder, because how
        much of its make-up rests on the outer seat is not known; and where the make-up torque
        entered is past the yield of the thread entered, because one of the two is wrong.
    """
    sizes, makeup = rod_type.joint, rod_type.makeup_torque
    if sizes is None or makeup is None or rod_type.shoulders != "single":
        return None
    try:
        strength = joint_strength(sizes, rod_type.joint_od, rod_type.joint_bore)
    except ValueError:
        return None
    envelope = Envelope(strength, YIELD_STRESS)
    if makeup >= min(envelope.pin_torque, envelope.box_torque):
        return None
    seat = Seat(rod_type.joint_od, sizes.counterbore, strength.pin_area, strength.box_area)
    return envelope, seat, makeup / strength.arm.total()


def _points(values: Floats) -> tuple[float, float, float]:
    low, best, high = np.quantile(values, (0.05, 0.5, 0.95))
    return float(low), float(best), float(high)


@dataclass(frozen=True, eq=False)
class _Loads:
    """Largest loads of one interval over all readings, one of each case; None unknown."""

    pull: Floats | None
    thrust: Floats | None
    torque: Floats | None


def _over(values: Floats | None, inside: NDArray[np.bool_], largest: bool) -> Floats | None:
    if values is None or not np.isfinite(values[inside]).any():
        return None
    return np.asarray((np.nanmax if largest else np.nanmin)(values[inside], axis=0))


def place_loads(
    work: BoreWork,
    each: PassWork,
    band: CurvatureBand,
    axis: Axis,
    forces: PassForces,
    pressure: float | None,
) -> tuple[PlaceLoad, ...]:
    """Loads and shares of their limits at every rod's length of hole, in one pass.

    Parameters
    ----------
    work, each, band : BoreWork, PassWork, CurvatureBand
        The bore, the pass and the pass's curvature.
    axis, forces : Axis, PassForces
        As worked out for the pass.
    pressure : float or None
        Mud pressure of the pass, where it was entered; else left out. [Pa]

    Returns
    -------
    tuple of PlaceLoad
        In order along the hole.

    Notes
    -----
    The largest pull, thrust and torque of a place are taken together although they may come
    from different readings. Bending moment = EI x bend of the hole x stiff joints x the pass's
    magnification at the joint. A load no gauge told is left out, and the share is then a floor.
    """
    stations = work.hole.stations
    joint = joint_checks(work.rod_type)
    found = []
    for n in range(1, len(stations)):
        start, end = stations[n - 1], stations[n]
        inside = (axis.edges >= start - 1e-6) & (axis.edges <= end + 1e-6)
        loads = _Loads(
            _over(forces.most_pull, inside, True),
            _over(forces.most_thrust, inside, False),
            _over(forces.most_torque, inside, True),
        )
        bends = _curvature(band, start, end)
        shares = _shares(work.rod_type, each, loads, bends, joint, pressure)
        found.append(
            PlaceLoad(
                n, start, end, _worst_force(loads),
                None if loads.torque is None else _points(loads.torque),
                np.nan if np.isnan(bends[1]) else 1.0 / bends[1] if bends[1] else np.inf, shares,
            )
        )  # fmt: skip
    return tuple(found)


def _worst_force(loads: _Loads) -> tuple[float, float, float] | None:
    """The larger of pull and thrust, with its sign."""
    if loads.pull is None or loads.thrust is None:
        return None
    pulled = np.median(loads.pull) >= -np.median(loads.thrust)
    return _points(loads.pull if pulled else loads.thrust)


def _shares(
    rod_type: RodType,
    each: PassWork,
    loads: _Loads,
    bends: tuple[float, float, float],
    joint: tuple[Envelope, Seat, float] | None,
    pressure: float | None,
) -> tuple[Share, ...]:
    stiff = ELASTIC_MODULUS * rod_type.tube_inertia * rod_type.stiff_joint_factor
    stiff *= float(magnifications(each.leg.kind).max())
    moments = [0.0 if np.isnan(bend) else stiff * bend for bend in bends]
    none = np.zeros(1)
    pull = none if loads.pull is None else loads.pull
    thrust = none if loads.thrust is None else loads.thrust
    torque = none if loads.torque is None else loads.torque
    size = TubeSize(rod_type.tube_od, rod_type.tube_id, rod_type.yield_stress)
    unbent, unforced, untwisted = np.isnan(bends[1]), loads.pull is None, loads.torque is None
    shares = []
    if not (unbent and unforced and untwisted):
        by_moment = [
            np.maximum(
                tube_share(size, pull, torque, moment, pressure or 0.0),
                tube_share(size, thrust, torque, moment, pressure or 0.0),
            )
            for moment in moments
        ]
        shares.append(_share("tube", by_moment, bool(unbent) or unforced or untwisted))
    if rod_type.makeup_torque is not None and not untwisted:
        shares.append(_share("makeup", [np.abs(torque) / rod_type.makeup_torque] * 3, False))
    if joint is not None and not unforced:
        envelope, seat, preload = joint
        twisted = [envelope_share(envelope, pull, torque, rod_type.makeup_torque or 0.0)] * 3
        shares.append(_share("envelope", twisted, untwisted))
        opened = [seat_share(seat, preload, pull, moment) for moment in moments]
        shares.append(_share("seat", opened, bool(unbent)))
    return tuple(shares)


def _share(check: str, by_moment: list[Floats], is_floor: bool) -> Share:
    """Low end with the low bend, best with the best, high end with the high one."""
    low, best, high = (_points(values)[k] for k, values in enumerate(by_moment))
    return Share(check, min(low, best), best, max(best, high), is_floor)
