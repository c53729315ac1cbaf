"""Rod types: the file format, its faults, and what follows from the sizes."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from rodhand.book.work.tables import built_in_rod_types, load_rod_type
from rodhand.faults import BadInputError, CannotReadError
from rodhand.steel.rod_type import radius_from_percent, rod_type_from_fields
from rodhand.words import render_faults

METRIC = {
    "tube_od_mm": 60.325,
    "wall_mm": 7.112,
    "length_m": 3.048,
    "joint_od_mm": 69.85,
    "joint_bore_mm": 25.4,
    "joint_length_m": 0.18,
    "yield_MPa": 930.8,
    "limit_radius_m": 44.196,
    "makeup_Nm": 5694.0,
}
US = {
    "tube_od_in": 2.375,
    "wall_in": 0.28,
    "length_ft": 10,
    "joint_od_in": 2.75,
    "joint_bore_in": 1,
    "joint_length_ft": 0.590551181,
    "yield_ksi": 135,
    "limit_radius_ft": 145,
    "makeup_ftlb": 4199.68,
}


def codes(fields: dict[str, object]) -> list[str]:
    with pytest.raises(BadInputError) as caught:
        rod_type_from_fields(fields, "rods.toml")
    assert "rods.toml" in render_faults(caught.value)  # every fault has its words
    return [fault.code for fault in caught.value.faults]


def test_metric_and_us_keys_give_the_same_rod() -> None:
    metric, us = rod_type_from_fields(METRIC, "a"), rod_type_from_fields(US, "a")
    for name in ("tube_od", "wall", "length", "joint_length", "limit_radius", "makeup_torque"):
        assert getattr(metric, name) == pytest.approx(getattr(us, name), rel=1e-6)
    assert metric.yield_stress == pytest.approx(us.yield_stress, rel=1e-4)


def test_unknown_stays_unknown() -> None:
    rod = rod_type_from_fields(METRIC, "a")
    assert (rod.build, rod.weld_flash, rod.shoulders) == ("unknown",) * 3
    assert rod.mass is None
    assert rod.joint is None
    assert rod.price is None


def test_percent_over_a_length_is_a_radius() -> None:
    fields = {k: v for k, v in METRIC.items() if k != "limit_radius_m"}
    rod = rod_type_from_fields({**fields, "limit_pct": 10, "limit_length_ft": 10}, "a")
    # DEFINITIONS: p % per length l means p/100 rad over l, R = 100 l / p = 100 ft.
    assert rod.limit_radius == pytest.approx(30.48)
    assert rod.limit_angle() == pytest.approx(0.1)
    assert rod.limit_angle(2 * rod.length) == pytest.approx(0.2)
    assert radius_from_percent(7.5, 4.572) == pytest.approx(60.96)  # 7.5 % per 15 ft is 200 ft


def test_all_faults_come_at_once() -> None:
    fields: dict[str, object] = {
        **{k: v for k, v in METRIC.items() if k not in ("length_m", "limit_radius_m")},
        "wall_mm": 31.0,
        "joint_bore_mm": 80.0,
        "tube_od_in": 2.375,
        "yield_MPa": "strong",
        "makeup_Nm": float("nan"),
        "colour": "green",
    }
    found = codes(fields)
    assert sorted(found) == sorted(
        [
            "field_doubled",
            "field_missing",
            "field_not_a_number",
            "field_not_a_number",
            "rod_type_bore_too_large",
            "rod_type_limit_missing",
            "field_unknown",
        ]
    )


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"wall_mm": 31.0}, "rod_type_no_bore_left"),
        ({"joint_bore_mm": 69.85}, "rod_type_bore_too_large"),
        ({"joint_length_m": 1.6}, "rod_type_joints_too_long"),
        ({"limit_pct": 10}, "rod_type_limit_twice"),
        ({"tube_od_mm": 2.375}, "field_out_of_range"),
        ({"yield_MPa": 135}, "field_out_of_range"),
        ({"build": "cast"}, "field_not_a_choice"),
        ({"joint_torsional_yield_Nm": 5000}, "rod_type_makeup_over_yield"),
        ({"pitch_diameter_mm": 47.6}, "rod_type_thread_incomplete"),
        ({"wall_mm": True}, "field_not_a_number"),
        ({"wall_mm": "7,112"}, "field_not_a_number"),
        ({"tube_od_m": 0.0603}, "field_doubled"),
        ({"lenght_m": 3.0}, "field_unknown"),
    ],
)
def test_each_fault(change: dict[str, object], code: str) -> None:
    assert codes({**METRIC, **change}) == [code]


THREAD = {
    "pitch_diameter_mm": 47.6,
    "taper_in_per_ft": 1.5,
    "lead_in": 0.25,
    "pin_length_in": 2.25,
    "root_truncation_in": 0.038,
    "counterbore_mm": 53,
}


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"counterbore_mm": 70}, ["rod_type_no_seat_left"]),
        ({"counterbore_mm": 48}, ["rod_type_counterbore_small"]),  # the pin cannot enter
        ({"nose_od_mm": 40}, ["rod_type_thread_incomplete"]),
        ({"half_angle_deg": 90}, ["field_out_of_range"]),
    ],
)
def test_thread_that_cannot_be(change: dict[str, object], found: list[str]) -> None:
    assert codes({**METRIC, **THREAD, **change}) == found


def test_thread_sizes_are_kept() -> None:
    joint = rod_type_from_fields({**METRIC, **THREAD}, "a").joint
    assert joint is not None
    assert joint.thread.taper == pytest.approx(0.125)
    assert joint.thread.half_angle == pytest.approx(math.radians(30))
    assert joint.large_diameter is None  # crest truncation unknown: no crest diameter made up
    assert joint.small_diameter is None


def test_a_limit_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="greater than 0"):
        radius_from_percent(0.0, 3.0)


def test_limit_percent_needs_its_length() -> None:
    fields = {k: v for k, v in METRIC.items() if k != "limit_radius_m"}
    assert codes({**fields, "limit_pct": 8}) == ["field_missing"]


@pytest.mark.parametrize(
    ("name", "factor"), [("demo-small", 1.11), ("demo-mid", 1.08), ("demo-large", 1.07)]
)
def test_stiff_joint_factor(name: str, factor: float) -> None:
    # reference page "from hole to steel" 3(a), computed outside the product, two decimals.
    assert load_rod_type(name).stiff_joint_factor == pytest.approx(factor, abs=0.005)


def test_built_in_types_as_in_the_scenario() -> None:
    mid = load_rod_type("DEMO-MID")
    assert mid.tube_id == pytest.approx(1.815 * 0.0254)
    assert mid.limit_angle() == pytest.approx(math.radians(3.95), abs=1e-4)  # scenario: 3.95 deg
    assert mid.long_life_radius == pytest.approx(1200 * mid.tube_od)
    assert set(built_in_rod_types()) == {"demo-small", "demo-mid", "demo-large"}


def test_file_is_read_and_named_after_itself(tmp_path: Path) -> None:
    file = tmp_path / "blue rods.toml"
    file.write_text("\n".join(f"{k} = {v}" for k, v in METRIC.items()), encoding="utf-8")
    assert load_rod_type(file).name == "blue rods"


def test_unknown_name_lists_the_built_in_ones() -> None:
    with pytest.raises(BadInputError) as caught:
        load_rod_type("demo-middle")
    assert "demo-mid" in render_faults(caught.value)


def test_files_that_cannot_be_used(tmp_path: Path) -> None:
    with pytest.raises(CannotReadError):
        load_rod_type(tmp_path / "absent.toml")
    broken = tmp_path / "broken.toml"
    broken.write_bytes(b"tube_od_mm = \xff\xfe")
    with pytest.raises(BadInputError) as caught:
        load_rod_type(broken)
    assert caught.value.faults[0].code == "rod_type_not_toml"
