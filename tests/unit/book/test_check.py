"""The check of a log: fixtures of the invented bores, the JSON contract, and its warnings.

Fixtures marked [C] were computed outside the product from the invented scenario (DEFINITIONS).
"""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from rodhand.book.bore.check_json import check_json
from rodhand.book.work.tables import data_text
from rodhand.sheets.checking import check_file

STATION_KEYS = {
    "station", "measured_length_m", "north_m", "east_m", "depth_m", "pitch_deg", "heading_deg",
    "bend_deg", "bend_radius_m", "dogleg_deg_per_30m", "share_of_limit", "over",
}  # fmt: skip
TOP_KEYS = {"stations", "rods", "passes", "over_limit", "unknown", "warnings"}
TYPES = {"B-1": "demo-small", "B-2": "demo-mid", "B-3": "demo-mid"}


def scenario(bore: str) -> list[dict[str, Any]]:
    found = next(
        each for each in json.loads(data_text("scenario.json"))["bores"] if each["id"] == bore
    )
    return list(found["rods"])


def write_log(path: Path, rows: Sequence[Mapping[str, object]]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def log_of(path: Path, bore: str, **more: object) -> Path:
    feet = 6 if bore == "B-1" else 10
    rows = [
        {"station": r["n"], "length_ft": feet, "pitch_pct": r["pitch_end_pct"],
         "rotating_min": r["rotate_min"], "rpm": r["rpm"], **more}
        for r in scenario(bore)
    ]  # fmt: skip
    return write_log(path / f"{bore}.csv", rows)


def checked(path: Path, bore: str) -> dict[str, Any]:
    return check_json(check_file(log_of(path, bore), TYPES[bore]), ["w"])


@pytest.mark.parametrize(
    ("bore", "station", "share", "over"),
    [("B-2", 4, 1.366, "over"), ("B-3", 2, 0.931, "within_error"), ("B-1", 4, 0.894, "no")],
)
def test_share_of_limit(tmp_path: Path, bore: str, station: int, share: float, over: str) -> None:
    row = checked(tmp_path, bore)["stations"][station - 1]
    assert row["share_of_limit"] == pytest.approx(share, abs=0.0005)
    assert row["over"] == over


def test_mean_radius_of_the_over_steer(tmp_path: Path) -> None:
    row = checked(tmp_path, "B-2")["stations"][3]
    assert row["bend_radius_m"] == pytest.approx(32.35, abs=0.005)


@pytest.mark.parametrize(
    ("rod", "turns", "tighter"),
    [
        (1, 15890, (0, 320, 2930, 3345, 7530)),
        (22, 6270, (0, 540, 1995, 1995, 2410)),
        (33, 1460, (0, 215, 995, 995, 995)),
        (34, 1160, (0, 0, 630, 630, 630)),
    ],
)
def test_turns_in_tight_bends(
    tmp_path: Path, rod: int, turns: int, tighter: tuple[int, ...]
) -> None:
    found = checked(tmp_path, "B-2")["rods"][rod - 1]
    assert found["turns"] == pytest.approx(turns, abs=0.5)
    assert list(found["turns_tighter_than_m"].values()) == pytest.approx(list(tighter), abs=0.5)
    assert list(found["turns_tighter_than_m"]) == ["30", "50", "100", "200", "500"]


def test_who_passed_the_over_steer(tmp_path: Path) -> None:
    bend = checked(tmp_path, "B-2")["over_limit"][0]
    assert bend["rods_passed"] == [str(n) for n in range(1, 33)]
    assert bend["rods_in_it"] == ["33"]
    assert bend["rods_never"] == ["34", "35", "36"]


def test_the_json_keeps_its_contract(tmp_path: Path) -> None:
    found = checked(tmp_path, "B-2")
    assert set(found) >= TOP_KEYS
    assert all(set(row) == STATION_KEYS for row in found["stations"])
    rod = found["rods"][0]
    assert {"rod", "place", "turns", "turns_tighter_than_m", "life_used"} <= set(rod)
    assert {"low", "best", "high", "design", "model", "label"} <= set(rod["life_used"])
    assert rod["life_used"]["label"] == "pilot_only"
    assert rod["life_used"]["low"] < rod["life_used"]["best"] < rod["life_used"]["high"]
    assert all(row["east_m"] is None for row in found["stations"])
    assert {"what": "heading", "stations": list(range(1, 37))} in found["unknown"]
    json.dumps(found, allow_nan=False)


def test_a_pullback_in_the_log_counts_and_takes_the_label_away(tmp_path: Path) -> None:
    pilot = [
        {"station": r["n"], "length_ft": 10, "pitch_pct": r["pitch_end_pct"],
         "rotating_min": r["rotate_min"], "rpm": r["rpm"], "pass": "pilot"}
        for r in scenario("B-2")
    ]  # fmt: skip
    back = [
        {"station": n, "length_ft": "", "pitch_pct": "", "rotating_min": 5, "rpm": 80,
         "pass": "pullback"}
        for n in range(36, 0, -1)
    ]  # fmt: skip
    alone = check_json(check_file(write_log(tmp_path / "a.csv", pilot), "demo-mid"), [])
    both = check_json(check_file(write_log(tmp_path / "b.csv", [*pilot, *back]), "demo-mid"), [])
    assert both["rods"][0]["life_used"]["label"] == ""
    assert both["rods"][0]["turns"] == pytest.approx(15890 + 36 * 400)
    # rod 36 leaves after the first row of the pullback
    assert both["rods"][35]["turns"] == pytest.approx(430 + 400)
    assert both["rods"][0]["life_used"]["design"] > alone["rods"][0]["life_used"]["design"]


def test_a_reading_inside_a_rod_raises_the_verdict(tmp_path: Path) -> None:
    """Common practice: 6 % in a rod is under 6.9 %, but all of it in the last 4 ft is not."""
    even = [
        {"station": n, "length_ft": 10, "pitch_pct": p} for n, p in [(1, -20), (2, -20), (3, -14)]
    ]
    inside = [*even[:2], {"station": 2.6, "length_ft": "", "pitch_pct": -20}, even[2]]
    calm = check_json(check_file(write_log(tmp_path / "a.csv", even), "demo-mid"), [])
    sharp = check_json(check_file(write_log(tmp_path / "b.csv", inside), "demo-mid"), [])
    assert calm["stations"][2]["over"] == "no"
    by_station = {row["station"]: row for row in sharp["stations"]}
    assert by_station[3]["over"] == "over"
    # mean over the rod stays what it was
    assert by_station[3]["share_of_limit"] == pytest.approx(calm["stations"][2]["share_of_limit"])


def test_a_pushed_length_is_told_and_raises_no_alarm(tmp_path: Path) -> None:
    rows = [
        {"station": n, "length_ft": 10, "pitch_pct": p, "push_ft": push}
        for n, p, push in [(1, -20, ""), (2, -20, ""), (3, -15, 4), (4, -15, "")]
    ]
    found = check_json(check_file(write_log(tmp_path / "a.csv", rows), "demo-mid"), [])
    assert found["over_limit"] == []
    assert any(bend["by_pushed_length"] and bend["over"] == "over" for bend in found["inside_rods"])


def test_a_plain_survey_has_a_path_and_no_rods(tmp_path: Path) -> None:
    """drillingformulas.com, minimum curvature (READ): 100 ft, 15 to 25 deg, 20 to 45 deg."""
    rows = [
        {"md_ft": 0, "inclination_deg": 15, "azimuth_deg": 20},
        {"md_ft": 100, "inclination_deg": 25, "azimuth_deg": 45},
    ]
    found = check_json(check_file(write_log(tmp_path / "s.csv", rows)), [])
    last = found["stations"][-1]
    assert last["north_m"] == pytest.approx(27.22 * 0.3048, abs=0.003)
    assert last["east_m"] == pytest.approx(19.45 * 0.3048, abs=0.003)
    assert last["depth_m"] == pytest.approx(94.01 * 0.3048, abs=0.006)
    assert found["rods"] == []
    assert last["share_of_limit"] is None


def test_a_station_not_read_is_unknown_and_not_level(tmp_path: Path) -> None:
    rows = [
        {"station": n, "length_ft": 10, "pitch_pct": p} for n, p in [(1, -20), (2, ""), (3, -8)]
    ]
    found = check_json(check_file(write_log(tmp_path / "a.csv", rows), "demo-mid"), [])
    missing = found["stations"][1]
    assert missing["pitch_deg"] is None
    assert missing["bend_deg"] is None
    assert missing["over"] is None
    assert {"what": "pitch", "stations": [2]} in found["unknown"]


@pytest.mark.parametrize(
    ("after", "over", "exit_is_over"),
    [
        # two rods of 10 ft between the readings: 25 % is 12.4 % a rod of 6.9 %; 14 % is 6.9 % a rod
        (5, "over", True),
        (-6, "within_error", False),
        (-14, None, False),
    ],
)
def test_a_missing_reading_hides_no_over_steer(
    tmp_path: Path, after: float, over: str | None, exit_is_over: bool
) -> None:
    """One of the rods between two readings bends at least as much as their mean."""
    rows = [
        {"station": n, "length_ft": 10, "pitch_pct": p}
        for n, p in [(1, -20), (2, -20), (3, ""), (4, after), (5, after)]
    ]
    checked = check_file(write_log(tmp_path / "a.csv", rows), "demo-mid")
    found = check_json(checked, [])
    assert [row["over"] for row in found["stations"][2:4]] == [None, None]  # which one: unknown
    assert [bend["over"] for bend in found["over_limit"]] == ([over] if over else [])
    assert checked.is_over is exit_is_over
    if over == "over":
        (bend,) = found["over_limit"]
        assert (bend["what"], bend["rods_in_it"]) == ("not read", ["2", "3"])
        assert bend["end_m"] - bend["start_m"] == pytest.approx(6.096)


def test_two_gaps_with_a_reading_between_are_two(tmp_path: Path) -> None:
    """+13 % and back: the bends are told apart and do not cancel."""
    rows = [
        {"station": n, "length_ft": 10, "pitch_pct": p}
        for n, p in [(1, -5), (2, ""), (3, 20), (4, ""), (5, -5), (6, "")]
    ]
    found = check_json(check_file(write_log(tmp_path / "a.csv", rows), "demo-mid"), [])
    assert [bend["station"] for bend in found["over_limit"]] == [3, 5]


def test_a_heading_gives_the_way_to_the_right(tmp_path: Path) -> None:
    """Level and due east for three rods of 3 m."""
    rows = [
        {"station": n, "length_m": 3, "pitch_pct": 0, "heading_deg": 90, "heading_ref": "grid"}
        for n in (1, 2, 3)
    ]
    last = check_json(check_file(write_log(tmp_path / "a.csv", rows), "demo-mid"), [])["stations"][
        -1
    ]
    assert (last["east_m"], last["heading_deg"]) == (pytest.approx(9.0), pytest.approx(90.0))
    assert last["north_m"] == pytest.approx(0.0, abs=1e-9)


def test_without_head_and_sensor_the_check_says_what_it_took(tmp_path: Path) -> None:
    log = log_of(tmp_path, "B-2")
    plain = {told.key for told in check_file(log, "demo-mid").warnings}
    assert {"bore.warning.front_length", "bore.warning.bit_to_sensor"} <= plain
    assert "bore.warning.pilot_only" in plain
    headed = check_file(log, "demo-mid", head="head-mid")
    told = {sentence.key for sentence in headed.warnings}
    assert not {"bore.warning.front_length", "bore.warning.bit_to_sensor"} & told
    assert headed.work is not None
    assert headed.work.hole.front_length > 0.0
