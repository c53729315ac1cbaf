"""A bore's sequence of pitches as a crew would have drilled and read it: invented, no mechanics."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from rodhand.demo.scenario import RigKit

CAP = 0.86
"""No ordinary change of direction per rod reaches more than this share of the maker's limit."""


@dataclass(frozen=True)
class Style:
    """How a crew steers: the invented bore mix of careful, ordinary and hard bores.

    Parameters
    ----------
    name : str
        careful, ordinary or hard.
    curve : float
        Change per rod in the curves as a share of the maker's limit.
    wander : float
        Standard deviation of the change per rod on the level. [%]
    """

    name: str
    curve: float
    wander: float


CAREFUL = Style("careful", 0.55, 1.0)
ORDINARY = Style("ordinary", 0.75, 1.5)
HARD = Style(
    "hard", 0.80, 2.5
)  # the mix has 0.95; held under CAP so that nothing is over unplanted


@dataclass(frozen=True)
class Profile:
    """Pitch at the end of each rod and read depth there.

    Parameters
    ----------
    entry : float
        Pitch of the rig, up positive. [%]
    pitch : tuple of float
        Pitch at the end of each rod, to the tenth as a receiver shows it. [%]
    depth : tuple of float
        Depth below the entry point as read; 0 where the head is out. [m]
    """

    entry: float
    pitch: tuple[float, ...]
    depth: tuple[float, ...]


def angle(pct: float) -> float:
    """Angle of a percent grade. [rad]"""
    return math.atan(pct / 100.0)


class _Drill:
    """Pitch and depth while one bore is being drilled rod by rod."""

    def __init__(self, kit: RigKit, entry: float) -> None:
        self.kit = kit
        self.pitches = [entry]
        self.depths = [0.0]

    def add(self, pitch: float) -> None:
        """Drill one rod, ending at a pitch held within the cap. [%]"""
        last = self.pitches[-1]
        most = 100.0 * CAP * self.kit.limit_angle
        pitch = round(min(max(pitch, last - most), last + most), 1)
        while abs(angle(pitch) - angle(last)) > CAP * self.kit.limit_angle:
            pitch = round(pitch - math.copysign(0.1, pitch - last), 1)
        self.pitches.append(pitch)
        self.depths.append(
            self.depths[-1] - self.kit.rod_length * math.sin(angle((pitch + last) / 2))
        )


def _exit_rods(kit: RigKit, depth: float, step: float, exit_pitch: float) -> int:
    """Rods needed to come from level at a depth up to the surface. [1]"""
    pitch, rods = 0.0, 0
    while depth > 0:
        new = min(exit_pitch, pitch + step)
        depth -= kit.rod_length * math.sin(angle((pitch + new) / 2))
        pitch, rods = new, rods + 1
    return rods


def drilled(rng: Random, kit: RigKit, style: Style, rods: int) -> Profile:
    """Invent one bore: straight first rod, curve, level with wander, curve up, out.

    Parameters
    ----------
    rng : Random
        Source of chance.
    kit : RigKit
        The rig and its rods.
    style : Style
        How it is steered.
    rods : int
        Rods wished for; at least the curves' own rods are drilled. [1]

    Returns
    -------
    Profile
        Pitches and read depths, one per rod.
    """
    entry = -round(rng.uniform(*kit.entry_pct), 1)
    step = 100.0 * style.curve * kit.limit_angle
    drill = _Drill(kit, entry)
    drill.add(entry + rng.uniform(-0.2, 0.2))
    while drill.pitches[-1] < -0.4 * step:
        drill.add(min(0.4, drill.pitches[-1] + step * rng.uniform(0.88, 1.1)))
    level = drill.depths[-1]
    exit_pitch = round(rng.uniform(10.5, 20.0), 1)
    exit_rods = _exit_rods(kit, level, 0.85 * step, exit_pitch)
    _level(rng, drill, style, level, rods - (len(drill.pitches) - 1) - exit_rods)
    while drill.depths[-1] > 0.02 * kit.rod_length:
        drill.add(min(exit_pitch, drill.pitches[-1] + 0.85 * step) + rng.uniform(-0.3, 0.3))
    depths = [max(0.0, depth * rng.uniform(0.97, 1.03)) for depth in drill.depths[1:]]
    depths[-1] = 0.0
    return Profile(entry, tuple(drill.pitches[1:]), tuple(depths))


def _level(rng: Random, drill: _Drill, style: Style, depth: float, rods: int) -> None:
    """Hold the depth for some rods, wandering as a steered head does."""
    for _ in range(rods):
        back = 100.0 * (drill.depths[-1] - depth) / (6 * drill.kit.rod_length)
        target = min(2.0, max(-2.0, back))
        drill.add(0.4 * drill.pitches[-1] + 0.6 * target + rng.gauss(0.0, 0.75 * style.wander))


def over_steered(profile: Profile, kit: RigKit, station: int, share: float) -> Profile:
    """The same bore with one rod steered past the limit and the rest of the curve eased.

    Parameters
    ----------
    station : int
        Rod on which it happens, counted from 1. [1]
    share : float
        Change on that rod as a share of the maker's limit. [1]

    Returns
    -------
    Profile
        Same depths: a crew reads depth too coarsely to see it.
    """
    pitch = list(profile.pitch)
    before = pitch[station - 2]
    after = 100.0 * math.tan(angle(before) + share * kit.limit_angle)
    pitch[station - 1] = math.ceil(10.0 * after) / 10.0
    for later in range(station, len(pitch)):  # hold what was gained until the old curve catches up
        if pitch[later] >= pitch[station - 1] - 0.3:
            break
        pitch[later] = round(pitch[station - 1] + (0.1 if later % 2 else -0.1), 1)
    return Profile(profile.entry, tuple(pitch), profile.depth)
