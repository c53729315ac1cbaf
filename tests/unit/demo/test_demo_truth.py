"""The planted truths: the evidence entered, and a truth file that names each finding's cause."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from demo_help import SEEDS, entries, of_kind, texts, truth

from rodhand.demo.truth import write_truth
from rodhand.record.marks import expand_marks


def told(key: str, seed: int = 7) -> dict[str, Any]:
    """One planted truth by its key."""
    return next(item for item in truth(seed)["truths"] if item["key"] == key)


def looks(item: str, found: str, seed: int = 7) -> list[dict[str, str]]:
    """Looks at one item with one finding."""
    return [
        dict(e.payload)
        for e in of_kind("check", seed)
        if e.payload["item"] == item and e.payload["found"] == found
    ]


def test_leaders_lead_every_bore_of_their_rig() -> None:
    item = told("leaders")
    bores = {b["bore"]: b for b in truth()["bores"]}
    of_rig = [name for name, bore in bores.items() if bore["rig"] == "Rig-40"]
    assert sorted(item["bores"]) == sorted(of_rig)
    assert all(bores[name]["rods"][:3] == item["things"] for name in of_rig)


@pytest.mark.parametrize("seed", SEEDS)
def test_over_steer_of_b2(seed: int) -> None:
    item = told("over-steer", seed)
    rods = [f"M1-{n:02d}" for n in range(1, 41)]
    # definitions: rods 1-32 passed, 33 stood in it, 34-36 never
    assert (item["passed"], item["in_it"], item["never"]) == (rods[:32], rods[32:33], rods[33:36])
    row = next(
        e.payload
        for e in of_kind("reading", seed)
        if e.payload["bore"] == "B-2" and e.payload["station"] == "4"
    )
    assert row["push_ft"] == "4"
    mid = [
        e.payload["pitch_pct"]
        for e in of_kind("reading", seed)
        if e.payload["bore"] == "B-2" and e.payload["station"] == "3.6"
    ]
    assert mid == ["-12.5"]
    others = [o for o in truth(seed)["over_limit"] if o["bore"] != "B-2"]
    assert len(others) == 3
    # M1-22 has one over-limit bend on record, so that nothing else explains it by accident.
    assert not any("M1-22" in (*other["passed"], *other["in_it"]) for other in others)


def test_spike_and_grown_box() -> None:
    item = told("spike")
    event = of_kind("event")[0].payload
    assert (event["bore"], event["station"], event["torque_ftlb"]) == ("B-2", "21", "5200")
    assert len(item["things"]) == 21 + 2  # rods, head, saver sub: 22 joints
    assert "M1-22" not in item["things"]
    readings: dict[str, list[float]] = {}
    for look in looks("box-swell", "sound"):
        readings.setdefault(look["things"], []).append(float(look["reading_in"]))
    grown = {mark: round(after - before, 3) for mark, (before, after) in readings.items()}
    assert grown.pop("M1-09") == 0.020
    assert max(grown.values()) <= 0.001


@pytest.mark.parametrize("seed", SEEDS)
def test_galled_sub_and_the_five_rods_it_met(seed: int) -> None:
    item = told("galled-sub", seed)
    sub = looks("galling", "galled", seed)
    assert [look["things"] for look in sub] == [item["sub"]] == ["SS-12-2"]
    five = [look["things"] for look in looks("galling", "light galling", seed)]
    assert sorted(five) == sorted(item["things"])
    after = [b for b in truth(seed)["bores"] if b["rig"] == "Rig-12" and b["day"] == "2025-09-04"]
    assert set(five) <= set(after[0]["rods"])
    places = sorted(after[0]["rods"].index(mark) for mark in five)
    assert all(b - a > 1 for a, b in pairwise(places))
    seen = [e for e in of_kind("check", seed) if e.payload["things"] == "SS-12-2"]
    assert seen[-2].payload["found"] == "sound"
    assert seen[-2].happened == "2025-08-29"


def test_gauge_and_the_good_comparison_before() -> None:
    pairs = [(e.payload["shown_ftlb"], e.payload["reference_ftlb"]) for e in of_kind("comparison")]
    assert pairs == [("4200", "4180"), ("4700", "4200")]
    assert told("gauge")["at_share"] == pytest.approx(0.89, abs=0.005)  # definitions: at 89 %
    plain = of_kind("comparison", planted=False)
    within = [float(e.payload["shown_ftlb"]) / float(e.payload["reference_ftlb"]) for e in plain]
    assert all(abs(ratio - 1) < 0.05 for ratio in within)


def test_low_pressure_shift_is_fourteen_joints_without_the_broken_rod() -> None:
    shift = of_kind("makeup")[0].payload
    assert (shift["bore"], shift["share_pct"]) == ("B-3", "30")
    assert int(shift["to_station"]) - int(shift["from_station"]) + 1 == 14
    assert len(told("low-pressure")["things"]) == 14
    assert "M1-22" not in told("low-pressure")["things"]


def test_bench_marks_bite_break_and_wrench() -> None:
    faced = looks("bench-mark", "faced past the bench mark")
    assert expand_marks(faced[0]["things"]) == ("M2-07", "M2-15")
    bite = [e for e in of_kind("check") if e.payload["item"] == "jaw-bite"]
    assert [(e.payload["things"], e.payload["found"]) for e in bite] == [
        ("M1-22", "jaw bite on the tube")
    ]
    broke = of_kind("break")[0]
    assert broke.payload["thing"] == "M1-22"
    assert bite[0].happened < broke.happened
    assert not [e for e in of_kind("dressing") if "M1-22" in expand_marks(e.payload["things"])]
    bore = next(b for b in truth()["bores"] if b["bore"] == broke.payload["bore"])
    assert (bore["style"], "M1-22" in bore["rods"]) == ("careful", True)
    oval = looks("joint-od", "not round")
    assert sorted(look["things"] for look in oval) == ["M1-05", "M1-06"]
    for look in oval:
        apart = float(look["reading_in"]) - float(look["second_reading_in"])
        assert apart == pytest.approx(0.04)
    remark = of_kind("remark")[0].payload
    assert expand_marks(remark["things"]) == ("M1-05", "M1-06")
    assert "pipe wrench" in remark["text"]


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_planted_says_nothing(seed: int) -> None:
    plain = truth(seed, planted=False)
    assert plain["over_limit"] == []
    assert plain["truths"] == []
    assert plain["causes"] == {}
    for kind in ("event", "makeup", "break", "remark", "standing"):
        assert not of_kind(kind, seed, planted=False)
    assert {e.payload["found"] for e in of_kind("check", seed, planted=False)} == {"sound"}


def test_ordinary_gauge_numbers_say_nothing() -> None:
    for look in (
        e.payload for e in of_kind("check", planted=False) if e.payload["item"] == "joint-od"
    ):
        one, other = float(look["reading_in"]), float(look["second_reading_in"])
        assert abs(one - other) < 0.01  # well below the 0.04 of the planted joints
        assert min(one, other) > 0.95 * 2.75  # loss far from 10 % of an R-M joint's diameter


def test_the_crews_never_tell_the_truth() -> None:
    typed = texts(entries()).casefold()
    for word in ("planted", "over-steer", "oversteer", "12 %", "under-torque", "12 % high"):
        assert word not in typed


def test_truth_file(tmp_path: Path) -> None:
    file = tmp_path / "truth.json"
    write_truth(file, 5)
    read = json.loads(file.read_text(encoding="utf-8"))
    assert read == truth(5)
    assert read["causes"]["M1-22"] == ["over-limit B-2 station 4"] * 2 + ["gauge", "broke"]
    assert "L1-001" not in read["causes"]
    assert "S2-01" not in read["causes"]
    assert {item["key"] for item in read["truths"]} == {
        "leaders", "over-steer", "spike", "galled-sub", "gauge", "low-pressure", "bench-mark",
        "broke", "pipe-wrench",
    }  # fmt: skip
