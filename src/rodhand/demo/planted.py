"""What is planted in the season: the evidence as the crews entered it, and the truth about it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from random import Random
from typing import Any

from rodhand.demo.bores import Drilled, Row
from rodhand.demo.box import BROKEN, BoxOrder, order_before
from rodhand.demo.care import GOOD_COMPARISON, SECOND_COMPARISON, SWELL_AFTER, SWELL_BEFORE, compare
from rodhand.demo.diary import Diary, day, marks_text
from rodhand.demo.kit import SUBS, YARD
from rodhand.demo.plan import AFTER_B1, B1, B2, B3, BREAK_DAY, SPARES_BORE, PlannedBore
from rodhand.demo.profile import HARD, angle
from rodhand.units import FOOT

GROWN = "M1-09"
LEADERS = ("M1-01", "M1-02", "M1-03")
WRENCHED = ("M1-05", "M1-06")
FACED = ("M2-07", "M2-15")
LOW_FROM, LOW_TO = 24, 37
SPIKE_STATION, SPIKE = 21, "5200"
GALLED_PLACES = (3, 8, 12, 17, 21)
NEW_SUB = "SS-12-3"
SUB_CHANGED = AFTER_B1 + timedelta(days=8, hours=11)
BREAK_STATION = 30
FACED_SEEN = datetime(2025, 10, 24, 10, 0)
BITE_SEEN = datetime(2025, 10, 10, 10, 0)


def steered_over(seed: int, bores: Sequence[PlannedBore]) -> dict[str, float]:
    """Bores in which, besides B-2, one rod of a curve was steered over the limit.

    Two on the small rig's way in and one on the mid rig's way out, where few rods pass it; all
    before September. Name of the bore -> share of the limit.
    """
    rng = Random(f"{seed}/over")
    early = [b for b in bores if b.day < B1 - timedelta(weeks=2) and b.day != SPARES_BORE]
    small = [b for b in early if b.rig == "Rig-12"]
    hard = [b for b in small if b.style is HARD] or small
    mid = [b for b in early if b.rig == "Rig-40"]
    chosen = [*rng.sample(hard if len(hard) > 1 else small, 2), rng.choice(mid)]
    return {bore.name: round(rng.uniform(1.25, 1.35), 3) for bore in chosen}


def write_planted(
    diary: Diary, bores: Mapping[str, PlannedBore], orders: Sequence[BoxOrder]
) -> None:
    """Enter the evidence of everything planted but the logs and loads, which hold their own."""
    _spike_and_low_pressure(diary)
    _galled_sub(diary, bores, orders)
    compare(diary, SECOND_COMPARISON, "4700", "4200")
    _looks(diary)
    _break(diary, bores)


def _check(diary: Diary, when: datetime, things: str, item: str, found: str, **more: str) -> None:
    payload = {"things": things, "item": item, "found": found, **more}
    diary.add("check", payload, when, YARD, "yard-hand-1")


def _spike_and_low_pressure(diary: Diary) -> None:
    spike = {"bore": "B-2", "pass": "pilot", "station": str(SPIKE_STATION), "what": "torque spike"}
    diary.add(
        "event", spike | {"torque_ftlb": SPIKE}, B2 + timedelta(hours=12), "cab-40", "driller-40"
    )
    low = {"bore": "B-3", "pass": "pilot", "from_station": str(LOW_FROM), "to_station": str(LOW_TO)}
    note = "14 joints spun up on the low-pressure setting"
    diary.add(
        "makeup",
        low | {"share_pct": "30", "note": note},
        B3 + timedelta(hours=15),
        "cab-40",
        "driller-40",
    )
    wrench = {"bore": "B-3", "things": ", ".join(WRENCHED)}
    text = "exit crew put a pipe wrench on these two joints at the bank"
    diary.add("remark", wrench | {"text": text}, B3 + timedelta(hours=17), "cab-40", "exit-hand-1")


def galled_rods(bores: Mapping[str, PlannedBore], orders: Sequence[BoxOrder]) -> list[str]:
    """Five rods made up with the galled sub in the bore after B-1, none beside another."""
    after = next(b for b in bores.values() if b.rig == "Rig-12" and b.day == AFTER_B1)
    order = order_before(orders, after)
    return [order[place - 1] for place in GALLED_PLACES]


def _galled_sub(diary: Diary, bores: Mapping[str, PlannedBore], orders: Sequence[BoxOrder]) -> None:
    _check(diary, B1 + timedelta(days=1, hours=7), SUBS["Rig-12"], "galling", "galled", end="pin")
    rods = galled_rods(bores, orders)
    fridays = [AFTER_B1 + timedelta(days=1, hours=9)] * 2 + [
        AFTER_B1 + timedelta(days=8, hours=9)
    ] * 3
    for mark, when in zip(rods, fridays, strict=True):
        _check(diary, when, mark, "galling", "light galling", end="box")
    new = {"thing": NEW_SUB, "what": "saver sub", "rig": "Rig-12"}
    diary.add("thing", new, SUB_CHANGED, YARD, "mechanic-1")
    away = {"things": SUBS["Rig-12"], "where": "at the shop", "note": "changed for the new one"}
    diary.add("whereabouts", away, SUB_CHANGED, YARD, "mechanic-1")


def _looks(diary: Diary) -> None:
    seen = B3 + timedelta(days=3, hours=10)
    for mark, across in zip(WRENCHED, ("2.700", "2.702"), strict=True):
        turned = f"{float(across) + 0.04:.3f}"
        _check(
            diary, seen, mark, "joint-od", "not round", end="pin", reading_in=turned,
            second_reading_in=across, gauge="calipers", bore="B-3",
        )  # fmt: skip
    faced = marks_text(FACED)
    _check(diary, FACED_SEEN, faced, "bench-mark", "faced past the bench mark", end="pin")
    _check(diary, BITE_SEEN, BROKEN, "jaw-bite", "jaw bite on the tube", end="tube")


def _break(diary: Diary, bores: Mapping[str, PlannedBore]) -> None:
    bore = next(b for b in bores.values() if b.rig == "Rig-40" and b.day == BREAK_DAY)
    when = BREAK_DAY + timedelta(hours=19)
    note = (
        "parted in the tube on an easy bore; front part pulled out at the exit, all rods got back"
    )
    broke = {
        "thing": BROKEN,
        "bore": bore.name,
        "station": str(BREAK_STATION),
        "section": "mid tube",
    }
    diary.add("break", broke | {"note": note}, when, "cab-40", "driller-40")
    diary.add("whereabouts", {"things": BROKEN, "where": "scrapped"}, when, "cab-40", "foreman-1")
    scrap = {"things": BROKEN, "standing": "scrap", "why": "broke"}
    diary.add("standing", scrap, when, "cab-40", "foreman-1")


def over_limit(bore: Drilled, order: Sequence[str]) -> list[dict[str, Any]]:
    """Every reading of one bore whose change from the one before is past the maker's limit.

    Parameters
    ----------
    bore : Drilled
        The bore.
    order : sequence of str
        Rods of the box, first used first.

    Returns
    -------
    list of dict
        Bore, station, change and share of the limit over the length between the two readings, and
        which rods passed it, stood in it at the end, and never reached it.
    """
    found: list[dict[str, Any]] = []
    before = whole_before = replace(bore.rows[0], station="0")
    for row in bore.rows:
        inside = whole_before is not before or "." in row.station
        for earlier in (before, whole_before) if inside else (before,):
            length = (float(row.station) - float(earlier.station)) * bore.kit.rod_length
            share = _bend(earlier, row) * bore.kit.limit_radius / length
            if share > 1.0:
                found.append(_over(bore, order, row, row.pitch - earlier.pitch, length, share))
        before = row
        whole_before = whole_before if "." in row.station else row
    return found


def _bend(one: Row, other: Row) -> float:
    """Change of direction between two readings. [rad]"""
    sideways = 0.0
    if one.heading is not None and other.heading is not None:
        sideways = math.radians((other.heading - one.heading + 180.0) % 360.0 - 180.0)
    return math.hypot(angle(other.pitch) - angle(one.pitch), sideways)


def _over(
    bore: Drilled, order: Sequence[str], row: Row, change: float, length: float, share: float
) -> dict[str, Any]:
    station = float(row.station)
    whole = math.ceil(station)
    passed = bore.rods - whole
    return {
        "bore": bore.plan.name,
        "pass": "pilot",
        "station": station,
        "inside_rod": length < 0.99 * bore.kit.rod_length,
        "change_pct": round(change, 1),
        "length_ft": round(length / FOOT, 2),
        "share_of_limit": round(share, 3),
        "passed": list(order[:passed]),
        "in_it": list(order[passed : passed + 1]),
        "never": list(order[passed + 1 : bore.rods]),
    }


def planted_truths(
    bores: Mapping[str, PlannedBore], orders: Sequence[BoxOrder], shallow: Sequence[str]
) -> list[dict[str, Any]]:
    """The planted truths, one record each: key, what is true, what was entered and where.

    Parameters
    ----------
    shallow : sequence of str
        Names of the bores in which the leading rods led.
    """
    broke_on = next(b.name for b in bores.values() if b.rig == "Rig-40" and b.day == BREAK_DAY)
    rods = [f"M1-{number:02d}" for number in range(1, 41)]
    low = rods[LOW_FROM - 1 : LOW_TO]
    return [
        {"key": "leaders", "things": list(LEADERS), "set": "SET-M1", "bores": list(shallow)},
        {"key": "over-steer", "bore": "B-2", "station": 4, "passed": rods[:32],
         "in_it": rods[32:33], "never": rods[33:36]},
        {"key": "spike", "bore": "B-2", "station": SPIKE_STATION, "torque_ftlb": int(SPIKE),
         "joints": 22, "things": [*rods[:SPIKE_STATION], "HD-40", SUBS["Rig-40"]],
         "grown": GROWN, "grown_in": 0.02, "looks": [day(SWELL_BEFORE), day(SWELL_AFTER)]},
        {"key": "galled-sub", "sub": SUBS["Rig-12"], "after": "B-1",
         "things": galled_rods(bores, orders)},
        {"key": "gauge", "rig": "Rig-40", "shown_ftlb": 4700, "reference_ftlb": 4200,
         "at_share": round(4200 / 4700, 3), "last_good": day(GOOD_COMPARISON),
         "found_on": day(SECOND_COMPARISON)},
        {"key": "low-pressure", "bore": "B-3", "from_station": LOW_FROM, "to_station": LOW_TO,
         "share": 0.30, "joints": 14, "things": low,
         "neighbours": [rods[LOW_FROM - 2], rods[LOW_TO]]},
        {"key": "bench-mark", "things": list(FACED), "set": "SET-M2"},
        {"key": "broke", "thing": BROKEN, "bore": broke_on, "day": day(BREAK_DAY),
         "on_record": ["B-2 station 4", "jaw bite on the tube"], "cause": None},
        {"key": "pipe-wrench", "bore": "B-3", "things": list(WRENCHED), "apart_in": 0.04},
    ]  # fmt: skip
