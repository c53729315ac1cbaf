"""One bore as it was drilled: what could be read at the end of each rod."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from rodhand.demo.plan import PlannedBore
from rodhand.demo.profile import Profile, angle, drilled, over_steered
from rodhand.demo.scenario import RigKit, ground, rig_kit, written_bore, written_names
from rodhand.units import FOOT

MOST_TORQUE = 0.8
"""No torque of an ordinary bore reaches more than this share of the make-up torque. [1]"""


@dataclass(frozen=True)
class Row:
    """What was there to be read at the end of one rod of a pilot.

    Pitch in percent, depth in metres, minutes, turns a minute, foot-pounds, pounds.
    """

    station: str
    pitch: float
    depth: float | None
    rotating: float
    push: float
    rpm: float
    torque: float
    thrust: float
    heading: float | None = None
    extra: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Drilled:
    """One bore of the season with its pilot rows."""

    plan: PlannedBore
    kit: RigKit
    rows: tuple[Row, ...]

    @property
    def rods(self) -> int:
        """Rods in the hole at the end of the pilot. [1]"""
        return int(float(self.rows[-1].station))


def drill(
    seed: int, plan: PlannedBore, steered_over: Mapping[str, float], planted: bool
) -> Drilled:
    """Drill one planned bore.

    Parameters
    ----------
    seed : int
        Seed of the season.
    plan : PlannedBore
        Which bore.
    steered_over : mapping of str to float
        Bore name -> share of the limit on one rod of a curve that goes over it.
    planted : bool
        Whether B-2 keeps what the scenario planted in it.
    """
    kit = rig_kit(plan.rig)
    if plan.name in written_names():
        return Drilled(plan, kit, tuple(_written_rows(plan.name, planted)))
    rng = Random(f"{seed}/{plan.name}")
    profile = drilled(rng, kit, plan.style, plan.rods)
    while len(profile.pitch) > plan.rods + 2:  # too steep a way in for a bore this short
        profile = drilled(rng, kit, plan.style, plan.rods)
    if plan.name in steered_over:
        station = _late_curve(profile, kit) if plan.rig == "Rig-40" else 3
        profile = over_steered(profile, kit, station, steered_over[plan.name])
    return Drilled(plan, kit, tuple(_rows(rng, plan, kit, profile)))


def _late_curve(profile: Profile, kit: RigKit) -> int:
    """Second rod of the curve that leads out, counted from 1."""
    step = 30.0 * kit.limit_angle
    half = len(profile.pitch) // 2
    for index in range(len(profile.pitch) - 3, half, -1):
        if profile.pitch[index] - profile.pitch[index - 1] < step and profile.pitch[index] < 5.0:
            return index + 3
    return len(profile.pitch) - 2


def _rows(rng: Random, plan: PlannedBore, kit: RigKit, profile: Profile) -> list[Row]:
    """Readings of an invented bore."""
    soil = ground(plan.ground)
    headings = _headings(rng, plan, kit, profile)
    rows = []
    for index, pitch in enumerate(profile.pitch):
        last = profile.pitch[index - 1] if index else profile.entry
        steered = min(1.0, abs(angle(pitch) - angle(last)) / kit.limit_angle)
        minutes = kit.rod_length / kit.pilot_speed * rng.uniform(0.8, 1.25)
        grown = 1.0 + 0.5 * index / len(profile.pitch)
        torque = soil["torque_share"] * kit.max_torque * grown * rng.uniform(0.75, 1.1) * 0.6
        rows.append(
            Row(
                station=str(index + 1),
                pitch=pitch,
                depth=profile.depth[index],
                rotating=minutes * (1.0 - 0.55 * steered),
                push=minutes * 0.6 * steered if steered > 0.05 else 0.0,
                rpm=min(soil["rpm"], 0.9 * 220),
                torque=min(torque, MOST_TORQUE * kit.makeup),
                thrust=soil["thrust_share"] * kit.thrust * grown * rng.uniform(0.5, 0.8),
                heading=headings[index] if headings else None,
                extra=_makeup(rng, plan, index),
            )
        )
    return rows


def _makeup(rng: Random, plan: PlannedBore, index: int) -> dict[str, str]:
    """Make-up torque as the mid rig's crew reads it off the gauge on every eighth joint."""
    if plan.rig != "Rig-40" or not plan.habit.gauges or index % 8:
        return {}
    return {"makeup_ftlb": f"{4200 + 10 * rng.randint(-5, 5)}"}


def _headings(rng: Random, plan: PlannedBore, kit: RigKit, profile: Profile) -> list[float]:
    """Headings that wander slowly, held so that no bend in space nears the limit. [deg]"""
    if not plan.habit.heading:
        return []
    line = rng.choice((0.0, 0.4, 74.0, 201.5, 359.5)) if plan.habit.heading == "magnetic" else 0.0
    heading, given = line, []
    for index, pitch in enumerate(profile.pitch):
        last = profile.pitch[index - 1] if index else profile.entry
        room = (0.9 * kit.limit_angle) ** 2 - (angle(pitch) - angle(last)) ** 2
        most = math.degrees(math.sqrt(max(0.0, room)))
        change = rng.gauss(0.0, 0.5) - 0.15 * (heading - line)
        heading += min(most, max(-most, change))
        given.append(round(heading, 1) % 360.0)
    return given


def _written_rows(name: str, planted: bool) -> list[Row]:
    """Rows of a bore that the scenario writes out; B-2 eased where nothing is planted."""
    rows = []
    for rod in written_bore(name)["rods"]:
        extra: dict[str, str] = {}
        pitch, torque = rod["pitch_end_pct"], rod["torque_ftlb"]
        if name == "B-2":
            if not planted:
                pitch = {4: -8.7, 5: -3.9}.get(rod["n"], pitch)
                torque = min(torque, 1900)
            elif rod["n"] == 4:
                rows.append(Row("3.6", -12.5, None, 0, 0, 0, 0, 0))
                extra = {"push_ft": "4"}
            elif rod["n"] % 6 == 0:
                extra = {"makeup_ftlb": "4200"}
        rows.append(
            Row(
                str(rod["n"]), pitch, rod["depth_end_ft"] * FOOT, rod["rotate_min"],
                rod["push_min"], rod["rpm"], torque, rod["thrust_lb"], extra=extra,
            )
        )  # fmt: skip
    return rows
