"""Life that driven bends took against the plan: a bore on its line, and one with one sharp bend."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pytest

from book_builder import build_book
from rodhand.book.plan.driven_life import DrivenLife, driven_life, life_rows, life_told
from rodhand.book.plan.planned import asked_of, plan_named
from rodhand.book.plan.planned_bore import Steering, planned_bore
from rodhand.book.work.assess import Assessment, assess
from rodhand.hole.planned_path import PlannedPath, own_path
from rodhand.record.planned import Plan

RODS, BEND, SHARP = 16, 0.02, (8, 9)
STEERING = Steering(0.0005, 0)
PLANNED = [-0.24 + BEND * k for k in range(1, RODS + 1)]
PLAN = {
    "plan": "P-1", "rig": "Rig-40", "rod_type": "R-M", "distance_m": "48.2",
    "entry_pitch_pct": f"{100 * math.tan(0.24):.2f}", "exit_pitch_pct": "20", "chosen": "own",
    "pitches": " ".join(f"{100 * math.tan(each):.2f}" for each in PLANNED),
}  # fmt: skip


@lru_cache(maxsize=2)
def drilled(sharp: bool) -> tuple[Assessment, Plan, PlannedPath, DrivenLife]:
    """The plan drilled on its line, or stations 8 and 9 bent three times as much."""
    pitch, readings = -0.24, []
    for station in range(1, RODS + 1):
        pitch += BEND * (3.0 if sharp and station in SHARP else 1.0)
        row = {
            "bore": "P-1", "station": str(station), "pitch_pct": f"{100 * math.tan(pitch):.2f}",
            "turns": "100", "heading_deg": "0", "heading_ref": "relative",
        }  # fmt: skip
        readings.append(("reading", row, "2026-04-03"))
    book = build_book([
        ("plan", PLAN, "2026-04-01"),
        ("bore", {"bore": "P-1", "rig": "Rig-40", "rig_pitch_pct": "-" + PLAN["entry_pitch_pct"]},
         "2026-04-03"), *readings,
    ])  # fmt: skip
    plan, assessment = plan_named(book, "P-1"), assess(book)
    assert plan is not None
    ask = asked_of(book, plan).ask
    assert ask is not None
    path = own_path(ask, np.array(plan.target_pitches), "kept")
    found = driven_life(assessment, "P-1", plan, path, STEERING)
    assert found is not None
    return assessment, plan, path, found


def test_a_sharp_bend_is_found_where_it_is_with_who_paid() -> None:
    found = drilled(True)[3]
    times = found.times_there
    worst = int(np.nanargmax(times)) + 1
    assert worst in SHARP
    # three times the bend to the power of the mid tube is 3^4.7 = 175; threads' 3 gives 27. The
    # rod spreads a lone sharp bend over the hole, and the plan's wander counts in what was planned
    assert 5.0 < float(times[worst - 1]) < 180.0
    assert float(np.nanmedian(times)) < 3.0
    (told,) = life_told(found, tuple(range(1, RODS + 1)), "k")
    assert told.key == "plan.life_bend"
    begin, end = told.values["from"], told.values["to"]
    assert isinstance(begin, str)
    assert isinstance(end, str)
    assert int(begin) <= SHARP[0]
    assert int(end) >= SHARP[1]
    # rods behind the head turned all the way through it; the last rods never came there
    driven, planned = found.by_place
    extra = driven - planned
    assert extra[:6].min() > 3.0 * max(float(extra[10:].max()), 0.0)
    rows = life_rows(found, tuple(range(1, RODS + 1)), "k")
    assert len(rows) == RODS
    assert rows[0].figures["times"].value == pytest.approx(driven[0] / planned[0])


def test_on_its_line_a_bore_takes_about_what_was_planned() -> None:
    found = drilled(False)[3]
    driven, planned = found.by_place
    assert float(driven.sum() / planned.sum()) == pytest.approx(1.0, abs=0.15)
    (told,) = life_told(found, tuple(range(1, RODS + 1)), "k")
    assert told.key == "plan.life_within"


def test_the_planned_side_is_what_the_plan_itself_gives_for_the_same_turns() -> None:
    assessment, plan, path, found = drilled(False)
    work = assessment.works["P-1"]
    alone = planned_bore(assessment.book, plan, work.rod_type, path, STEERING)
    # the plan takes its own turns of the pilot, the bore those logged: by their ratio
    ratio = work.damages[0].turns[0] / alone.damages[0].turns[0]
    pilot = alone.damages[0].best[:, 2] * ratio
    whole = sum(
        each.best[:, 2] * (one.turns[0] / each.turns[0])
        for one, each in zip(work.damages[1:], alone.damages[1:], strict=False)
    )
    assert found.planned[0, 2] == pytest.approx(float((pilot + whole)[0]), rel=0.1)
