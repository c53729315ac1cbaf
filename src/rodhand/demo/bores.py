"""One bore as its crew wrote it: the bore, its passes, its rows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from random import Random

from rodhand.demo.diary import Diary, day, minute
from rodhand.demo.plan import WRONG_CLOCK, PlannedBore
from rodhand.demo.profile import Profile, angle, drilled, over_steered
from rodhand.demo.scenario import RigKit, ground, rig_kit, written_bore, written_names
from rodhand.units import FOOT, from_si, to_si

LATE_BY = timedelta(days=24)
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
            )
        )
    return rows


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


class BoreWriter:
    """Writes one drilled bore into the diary, row by row as the day goes on."""

    def __init__(self, diary: Diary, seed: int, bore: Drilled) -> None:
        self.diary = diary
        self.bore = bore
        self.plan = bore.plan
        self.kit = bore.kit
        self.rng = Random(f"{seed}/{bore.plan.name}/written")
        self.metric = bore.kit.units == "metric"
        number = bore.kit.number
        wrong = self.plan.rig == "Rig-12" and WRONG_CLOCK[0] <= self.plan.day < WRONG_CLOCK[1]
        self.device = "office" if self.plan.typed_late else f"cab-{number}{'b' if wrong else ''}"
        self.by = "office-1" if self.plan.typed_late else f"driller-{number}"
        self.to_the_minute = wrong or self.plan.rig == "Rig-100"
        self.clock = self.plan.day + timedelta(hours=8)

    def write(self) -> None:
        """Enter the bore, its pilot and its way back."""
        self._say("bore", self._bore_facts())
        self._pilot()
        self.clock += timedelta(minutes=40)
        if self.plan.pullback_missing:
            return
        if self.plan.pre_ream:
            self._pass_back("pre-ream", 1.0)
            self._trip()
        self._pass_back("pullback", 1.0 if self.plan.pre_ream else 1.1)

    def _say(self, kind: str, payload: Mapping[str, str]) -> None:
        late = LATE_BY if self.plan.typed_late else timedelta()
        shown = self.clock + self.diary.fast.get(self.device, timedelta())
        happened = minute(shown) if self.to_the_minute else day(self.clock)
        self.diary.add(kind, payload, self.clock + late, self.device, self.by, happened)

    def _bore_facts(self) -> dict[str, str]:
        plan, kit = self.plan, self.kit
        facts = {"bore": plan.name, "rig": plan.rig, "place": plan.place, "ground": plan.ground}
        facts["under"] = plan.under
        hole = kit.bit_mm * self.rng.uniform(1.05, 1.2)
        if plan.name in written_names():
            facts |= _WRITTEN_FACTS[plan.name]
        elif plan.rig == "Rig-100":
            facts |= {"head": "HD-100"}
        if plan.habit.hole:
            facts |= (
                {"hole_diameter_mm": f"{hole:.0f}"}
                if self.metric
                else {"hole_diameter_in": f"{hole / 25.4:.1f}"}
            )
        return facts

    def _pilot(self) -> None:
        plan, habit = self.plan, self.plan.habit
        for row in self.bore.rows:
            self.clock += timedelta(minutes=row.rotating + row.push + 2.0)
            if self._forgotten(row):
                continue
            self._say("reading", {"bore": plan.name, "pass": "pilot", **self._row_text(row)})
        minutes = sum(row.rotating for row in self.bore.rows)
        turns = sum(row.rotating * row.rpm for row in self.bore.rows)
        facts = {
            "bore": plan.name, "pass": "pilot", "what": "pilot", "from_station": "0",
            "to_station": str(self.bore.rods), "tool": f"HD-{self.kit.number}",
        }  # fmt: skip
        if habit.turns == "counter":
            self._say("pass", facts | {"turns": f"{turns:.0f}"})
        elif habit.turns == "pass minutes":
            self._say("pass", facts | {"rotating_min": f"{minutes:.0f}"})
        elif habit.turns != "none" or self.rng.random() < 0.5:
            self._say("pass", facts)

    def _forgotten(self, row: Row) -> bool:
        """Whether nobody wrote this station down at all."""
        return not self._always(row) and self.rng.random() < 0.3 * self.plan.habit.gaps

    def _always(self, row: Row) -> bool:
        return row is self.bore.rows[-1] or row.station in ("1", "2", "3")

    def _row_text(self, row: Row) -> dict[str, str]:
        """One row as typed, with what this crew leaves out left out."""
        habit = self.plan.habit
        text = {"station": row.station}
        always = self._always(row)
        if always or self.rng.random() >= habit.gaps:
            text["pitch_pct"] = f"{row.pitch:.1f}"
        if row.heading is not None:
            text |= {"heading_deg": f"{row.heading:.1f}", "heading_ref": habit.heading}
        if row.depth is not None and (always or self.rng.random() < 0.9):
            text |= self._depth_text(row.depth)
        if habit.turns in ("full", "minutes") and row.rotating > 0:
            text |= {"rotating_min": f"{row.rotating:.1f}"}
            text |= {"push_min": f"{row.push:.1f}"} if row.push >= 0.05 else {}
        if habit.turns == "full" and row.rpm > 0:
            text["rpm"] = f"{row.rpm:g}"
        if habit.gauges and row.torque > 0:
            text |= self._gauge_text(row)
        return text | dict(row.extra)

    def _depth_text(self, depth: float) -> dict[str, str]:
        if self.metric:
            return {"depth_m": f"{depth:.2f}"}
        digits = 2 if self.plan.name in written_names() else 1
        return {"depth_ft": f"{from_si(depth, 'length', 'ft'):.{digits}f}"}

    def _gauge_text(self, row: Row) -> dict[str, str]:
        if not self.metric:
            return {"torque_ftlb": f"{row.torque:.0f}", "thrust_lb": f"{row.thrust:.0f}"}
        torque, thrust = to_si(row.torque, "torque", "ftlb"), to_si(row.thrust, "force", "lb")
        return {"torque_Nm": f"{torque:.0f}", "thrust_kN": f"{from_si(thrust, 'force', 'kN'):.1f}"}

    def _trip(self) -> None:
        """Rods back in through the opened hole, pushed and not turned."""
        self.clock += timedelta(minutes=45)
        facts = {"bore": self.plan.name, "pass": "trip", "what": "trip", "from_station": "0"}
        self._say("pass", facts | {"to_station": str(self.bore.rods), "rotating_min": "0"})

    def _pass_back(self, name: str, wider: float) -> None:
        """A pass toward the rig, told rod by rod or as a whole."""
        plan, kit, habit = self.plan, self.kit, self.plan.habit
        rods = self.bore.rods
        minutes = [
            kit.rod_length / kit.pull_speed * self.rng.uniform(0.85, 1.3) for _ in range(rods)
        ]
        pulls = [kit.thrust * self.rng.uniform(0.12, 0.4) for _ in range(rods)]
        facts = {
            "bore": plan.name, "pass": name, "what": name, "from_station": str(rods),
            "to_station": "0", "tool": f"RM-{kit.number}", **self._hole_text(wider),
        }  # fmt: skip
        if self.rng.random() < 0.3:
            facts["lead_rods_off"] = "0"
        rows = habit.pull_rows and habit.turns in ("full", "minutes")
        for station, spent, pull in zip(range(rods, 0, -1), minutes, pulls, strict=True):
            self.clock += timedelta(minutes=spent + 1.5)
            if rows:
                text = {"bore": plan.name, "pass": name, "station": str(station)}
                text["rotating_min"] = f"{spent:.1f}"
                text |= {"rpm": f"{kit.pull_rpm:g}"} if habit.turns == "full" else {}
                self._say("reading", text | self._pull_text(pull))
        if not rows:
            facts |= self._turns_text(sum(minutes)) | self._pull_text(max(pulls))
        self._say("pass", facts)

    def _turns_text(self, minutes: float) -> dict[str, str]:
        rpm = self.kit.pull_rpm
        return {
            "full": {"rotating_min": f"{minutes:.0f}", "rpm": f"{rpm:g}"},
            "minutes": {"rotating_min": f"{minutes:.0f}"},
            "counter": {"turns": f"{minutes * rpm:.0f}"},
            "pass minutes": {"rotating_min": f"{minutes:.0f}"},
            "none": {},
        }[self.plan.habit.turns]

    def _pull_text(self, pull: float) -> dict[str, str]:
        if not self.plan.habit.gauges:
            return {}
        if self.metric:
            return {"pull_kN": f"{from_si(to_si(pull, 'force', 'lb'), 'force', 'kN'):.1f}"}
        return {"pull_lb": f"{pull:.0f}"}

    def _hole_text(self, wider: float) -> dict[str, str]:
        if not self.plan.habit.hole:
            return {}
        hole = self.kit.reamer_mm * wider
        return (
            {"hole_diameter_mm": f"{hole:.0f}"}
            if self.metric
            else {"hole_diameter_in": f"{hole / 25.4:.1f}"}
        )


_AT_TRANSMITTER = "stations counted at the transmitter; first rod is station 1"
_WRITTEN_FACTS: Mapping[str, Mapping[str, str]] = {
    "B-1": {
        "place": "Cotter Row service", "under": "nothing", "ground": "soft-clay", "head": "HD-12",
        "front_length_ft": "0", "bit_to_sensor_ft": "0", "note": _AT_TRANSMITTER,
    },
    "B-2": {
        "place": "Pell Lane road crossing", "under": "road", "ground": "sand", "head": "HD-40",
        "front_length_ft": "0", "bit_to_sensor_ft": "0", "note": _AT_TRANSMITTER,
    },
    "B-3": {
        "place": "Osier Drain crossing", "under": "water", "ground": "stiff-clay", "head": "HD-40",
        "front_length_ft": "0", "bit_to_sensor_ft": "0", "note": _AT_TRANSMITTER,
    },
}  # fmt: skip
