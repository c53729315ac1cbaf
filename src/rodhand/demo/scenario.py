"""The invented kit: rigs, rod types, grounds, sets, three bores; from `data/scenario.json`."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from rodhand.units import FOOT


@dataclass(frozen=True)
class RigKit:
    """One invented rig with its rod type and usual figures.

    Parameters
    ----------
    name, rod_type, units : str
        Name of the rig, of its rod type, and the unit system its crew types in.
    number : str
        Short number used in the names of its kit.
    rod_length, limit_radius : float
        Length of a rod and the maker's least bend radius. [m]
    makeup, max_torque, thrust : float
        Make-up torque and the rig's greatest torque and thrust. [ft-lb], [ft-lb], [lb]
    pilot_speed, pull_speed : float
        Usual travel while turning. [m/min]
    pull_rpm : float
        Usual turning speed in pullback. [1/min]
    entry_pct : tuple of float
        Least and greatest entry pitch, downward. [%]
    rows, per_row : int
        Rows of the rod box and rods in each.
    """

    name: str
    number: str
    rod_type: str
    units: str
    rod_length: float
    limit_radius: float
    makeup: float
    max_torque: float
    thrust: float
    pilot_speed: float
    pull_speed: float
    pull_rpm: float
    entry_pct: tuple[float, float]
    rows: int
    per_row: int
    bit_mm: int
    reamer_mm: int
    head_length_m: float
    bit_to_sensor_m: float

    @property
    def limit_angle(self) -> float:
        """Change of direction per rod at the maker's limit. [rad]"""
        return self.rod_length / self.limit_radius


PILOT_SPEED = {"Rig-12": 0.6, "Rig-40": 0.65, "Rig-100": 0.8}
"""Travel of the pilot while turning, near the three written-out bores of the scenario. [m/min]"""


@cache
def scenario() -> Mapping[str, Any]:
    """The scenario as written, with its provenance head."""
    text = files("rodhand").joinpath("data/scenario.json").read_text(encoding="utf-8")
    loaded: Mapping[str, Any] = json.loads(text)
    return loaded


def _named(part: str, name: str) -> Mapping[str, Any]:
    rows: Sequence[Mapping[str, Any]] = scenario()[part]
    return next(row for row in rows if row["id"] == name)


def rig_kit(name: str) -> RigKit:
    """The kit of one rig of the scenario."""
    rig = _named("rigs", name)
    rod = _named("rod_types", rig["rod_type"])
    return RigKit(
        name=name,
        number=name.removeprefix("Rig-"),
        rod_type=rig["rod_type"],
        units="metric" if name == "Rig-100" else "us",
        rod_length=rod["length"]["value"] * FOOT,
        limit_radius=rod["min_bend_radius"]["value"] * FOOT,
        makeup=rod["make_up_torque"]["value"],
        max_torque=rig["max_torque"]["value"],
        thrust=rig["thrust"]["value"],
        pilot_speed=PILOT_SPEED[name],
        pull_speed=rig["pullback"]["m_per_min"],
        pull_rpm=rig["pullback"]["rpm"],
        entry_pct=(rig["entry_pitch"]["value"][0], rig["entry_pitch"]["value"][1]),
        rows=rig["box"]["rows"],
        per_row=rig["box"]["rods_per_row"],
        bit_mm=rig["bit_diameter"]["value"],
        reamer_mm=rig["reamer_diameter"]["value"],
        head_length_m=rig["head"]["length_m"],
        bit_to_sensor_m=rig["head"]["bit_to_sensor_m"],
    )


def ground(name: str) -> Mapping[str, Any]:
    """One ground of the scenario: rpm, shares of torque and thrust."""
    return _named("ground_types", name)


def rod_types() -> Sequence[Mapping[str, Any]]:
    """The invented rod types."""
    rows: Sequence[Mapping[str, Any]] = scenario()["rod_types"]
    return rows


def sets() -> Sequence[Mapping[str, Any]]:
    """The invented sets."""
    rows: Sequence[Mapping[str, Any]] = scenario()["sets"]
    return rows


def written_bore(name: str) -> Mapping[str, Any]:
    """One of the three bores that the scenario writes out station by station."""
    return _named("bores", name)


@cache
def written_names() -> tuple[str, ...]:
    """Names of the bores written out station by station."""
    return tuple(bore["id"] for bore in scenario()["bores"])
