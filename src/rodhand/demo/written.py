"""One bore as its crew wrote it: the bore, its passes, its rows, with what crews leave out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from random import Random

from rodhand.demo.bores import Drilled, Row
from rodhand.demo.diary import Diary, day, minute
from rodhand.demo.plan import WRONG_CLOCK
from rodhand.demo.scenario import written_names
from rodhand.units import from_si, to_si

LATE_BY = timedelta(days=24)
"""How long after the bore its log was typed where it was typed late."""


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
        if self.plan.pullback_missing:
            return
        self.clock += timedelta(minutes=40)
        if self.plan.rig == "Rig-100":  # a long pull has its own day
            self.clock = self.plan.day + timedelta(days=1, hours=6, minutes=30)
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
            text["pitch_pct"] = f"{row.pitch + 0.0:.1f}"  # no "-0.0"
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
