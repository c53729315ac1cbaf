"""Combined limits at every place of a bore: pull, torque, bend and pressure against the steel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.book.work.bore_work import BoreWork
from rodhand.book.work.force_work import PassForces
from rodhand.drillstring.soft_string import Axis
from rodhand.hole.damage_curvature import CurvatureBand
from rodhand.record.book_bores import BorePass
from rodhand.steel.combined import TubeSize, envelope_share, seat_share, tube_share
from rodhand.steel.envelope import Envelope
from rodhand.steel.joint import YIELD_STRESS
from rodhand.steel.made_up_seat import MadeUpSeat, made_up_joint, made_up_seat
from rodhand.steel.rod_type import RodType
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.wear.bend_powers import BendPowers

Floats = NDArray[np.float64]
CHECKS = ("tube", "makeup", "envelope", "seat")
"""Tube yield; running torque against make-up torque; pull and torque of the joint; its seat."""


@dataclass(frozen=True)
class Share:
    """Share of a limit used: 5, 50 and 95 % points. [1]

    ``is_floor`` where a load is not known; ``is_assumed`` where the limit itself is.
    """

    check: str
    low: float
    best: float
    high: float
    is_floor: bool
    is_assumed: bool = False


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


@dataclass(frozen=True, eq=False)
class SteelBend:
    """Sharpest bend of the steel in one place of the hole: low, best and high. [1/m]

    Moment over EI of the tube; NaN where nobody can tell the bend of the hole.
    """

    tube: tuple[float, float, float]
    joint: tuple[float, float, float]


def steel_bend(powers: BendPowers, start: float, end: float) -> SteelBend:
    """Sharpest bend of tube and joint between two places along the hole. [m]

    Parameters
    ----------
    powers : BendPowers
        What the steel bends in the pass.
    start, end : float
        Along the hole. [m]

    Returns
    -------
    SteelBend
        Over the tube's three sections, and over both threads.
    """
    edges = powers.edges
    inside = (edges[1:] > start + 1e-6) & (edges[:-1] < end - 1e-6)
    points = powers.section_bends()

    def sharpest(rows: list[int]) -> tuple[float, float, float]:
        if not inside.any() or not np.isfinite(points[1][rows][:, inside]).any():
            return (np.nan,) * 3
        low, best, high = (float(np.nanmax(each[rows][:, inside])) for each in points)
        return low, best, high

    return SteelBend(sharpest([1, 2, 3]), sharpest([0, 4]))


@dataclass(frozen=True, eq=False)
class Limits:
    """What the steel of a rod type takes.

    Parameters
    ----------
    tube : TubeSize
        The tube.
    stiffness : float
        E I of the tube, which bends are moments over. [N m^2]
    makeup : float or None
        Make-up torque. [N m]
    envelope : Envelope or None
        Of the joint; None without thread sizes or torques.
    seat : MadeUpSeat or None
        Its outer seat, made up in full.
    """

    tube: TubeSize
    stiffness: float
    makeup: float | None
    envelope: Envelope | None
    seat: MadeUpSeat | None

    @classmethod
    def of(cls, rod_type: RodType) -> Limits:
        """Of a rod type."""
        joint = made_up_joint(rod_type)
        return cls(
            TubeSize(rod_type.tube_od, rod_type.tube_id, rod_type.yield_stress),
            ELASTIC_MODULUS * rod_type.tube_inertia,
            rod_type.makeup_torque,
            None if joint is None else Envelope(joint.strength, YIELD_STRESS),
            made_up_seat(rod_type),
        )


def _points(values: Floats) -> tuple[float, float, float]:
    low, best, high = np.quantile(values, (0.05, 0.5, 0.95))
    return float(low), float(best), float(high)


@dataclass(frozen=True, eq=False)
class Loads:
    """Largest loads of one place over all readings, one of each case; None unknown. [N], [N m]"""

    pull: Floats | None
    thrust: Floats | None
    torque: Floats | None


def _over(values: Floats | None, inside: NDArray[np.bool_], largest: bool) -> Floats | None:
    if values is None or not np.isfinite(values[inside]).any():
        return None
    return np.asarray((np.nanmax if largest else np.nanmin)(values[inside], axis=0))


def place_loads(
    work: BoreWork, number: int, axis: Axis, forces: PassForces, said: BorePass | None
) -> tuple[PlaceLoad, ...]:
    """Loads and shares of their limits at every rod's length of hole, in one pass.

    Parameters
    ----------
    work : BoreWork
        The bore.
    number : int
        Which of its passes.
    axis, forces : Axis, PassForces
        As worked out for the pass.
    said : BorePass or None
        The pass as recorded: its mud pressure, and its one pull where no row has any.

    Returns
    -------
    tuple of PlaceLoad
        In order along the hole.

    Notes
    -----
    The largest pull, thrust and torque of a place are taken together although they may come
    from different readings. Moment = E I x bend of the steel there, of the tube's sections for
    the tube and of the threads for the seat. One pull for the whole pass is taken whole at every
    place. A load no gauge told is left out, and the share is
    then a floor.
    """
    stations = work.hole.stations
    limits, powers = Limits.of(work.rod_type), work.powers[number]
    whole = None if said is None or said.pull is None else np.full(1, said.pull)
    pressure = said.mud_pressure if said is not None else None
    found = []
    for n in range(1, len(stations)):
        start, end = stations[n - 1], stations[n]
        inside = (axis.edges >= start - 1e-6) & (axis.edges <= end + 1e-6)
        pull, thrust = (
            _over(forces.most_pull, inside, True), _over(forces.most_thrust, inside, False),
        )  # fmt: skip
        loads = Loads(
            whole if pull is None else pull,
            whole if thrust is None else thrust,
            _over(forces.most_torque, inside, True),
        )
        hole = _curvature(work.bands[number], start, end)[1]
        found.append(
            PlaceLoad(
                n, start, end, _worst_force(loads),
                None if loads.torque is None else _points(loads.torque),
                np.nan if np.isnan(hole) else 1.0 / hole if hole else np.inf,
                shares_of(limits, loads, steel_bend(powers, start, end), pressure),
            )
        )  # fmt: skip
    return tuple(found)


def _worst_force(loads: Loads) -> tuple[float, float, float] | None:
    """The larger of pull and thrust, with its sign."""
    if loads.pull is None or loads.thrust is None:
        return None
    pulled = np.median(loads.pull) >= -np.median(loads.thrust)
    return _points(loads.pull if pulled else loads.thrust)


def shares_of(
    limits: Limits, loads: Loads, bend: SteelBend, pressure: float | None
) -> tuple[Share, ...]:
    """What loads and bend in one place use of each limit that can be checked.

    Parameters
    ----------
    limits : Limits
        Of the rods.
    loads : Loads
        Cases of the loads; what is not known is left out.
    bend : SteelBend
        Of the steel there.
    pressure : float or None
        Mud pressure, where it was entered. [Pa]

    Returns
    -------
    tuple of Share
        In the order of `CHECKS`.
    """
    none = np.zeros(1)
    pull = none if loads.pull is None else loads.pull
    thrust = none if loads.thrust is None else loads.thrust
    torque = none if loads.torque is None else loads.torque
    unbent, unforced, untwisted = (
        bool(np.isnan(bend.tube[1])), loads.pull is None, loads.torque is None,
    )  # fmt: skip

    def moments(bends: tuple[float, float, float]) -> list[float]:
        return [limits.stiffness * float(np.nan_to_num(each)) for each in bends]

    shares = []
    if not (unbent and unforced and untwisted):
        by_moment = [
            np.maximum(
                tube_share(limits.tube, pull, torque, moment, pressure or 0.0),
                tube_share(limits.tube, thrust, torque, moment, pressure or 0.0),
            )
            for moment in moments(bend.tube)
        ]
        shares.append(_share("tube", by_moment, unbent or unforced or untwisted))
    if limits.makeup is not None and not untwisted:
        shares.append(_share("makeup", [np.abs(torque) / limits.makeup] * 3, False))
    if limits.envelope is None or limits.seat is None or unforced:
        return tuple(shares)
    assumed = limits.seat.is_by_yield
    twisted = [envelope_share(limits.envelope, pull, torque, limits.makeup or 0.0)] * 3
    shares.append(_share("envelope", twisted, untwisted, assumed))
    opened = [
        seat_share(limits.seat.seat, limits.seat.full_preload, pull, moment)
        for moment in moments(bend.joint)
    ]
    shares.append(_share("seat", opened, unbent, assumed))
    return tuple(shares)


def _share(check: str, by_moment: list[Floats], is_floor: bool, assumed: bool = False) -> Share:
    """Low end with the low bend, best with the best, high end with the high one."""
    low, best, high = (_points(values)[k] for k, values in enumerate(by_moment))
    return Share(check, min(low, best), best, max(best, high), is_floor, assumed)
