"""Real table C: a horizontal well of 121 stations, READ; see data/SOURCES_survey.md.

TVD, north, east and dogleg severity were computed by others. North and east stand on a map grid
of scale 0.99975275 and in metres, the rest in feet. Table G is its lateral written as pitch and
heading.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from rodhand.hole.bends import hole_bends
from rodhand.hole.minimum_curvature import dogleg_severity
from rodhand.hole.path import hole_path, positions_at
from rodhand.hole.pilot_log import pilot_readings, survey_readings
from rodhand.units import FOOT

DATA = Path(__file__).parent / "data"
GRID_SCALE = 0.99975275
FOUR_DECIMALS = 1e-3  # the table's TVD and severity have four decimals, north and east m


def columns(name: str) -> dict[str, np.ndarray]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


TABLE = columns("survey_c_ft.csv")
READINGS = survey_readings(
    TABLE["md_ft"] * FOOT, np.radians(TABLE["inc_deg"]), np.radians(TABLE["azi_grid_deg"])
)
PATH = hole_path(READINGS)


def test_depth() -> None:
    assert TABLE["md_ft"].size == 121
    depth = positions_at(PATH, READINGS.measured_length)[:, 2] / FOOT
    assert np.abs(depth - TABLE["tvd_ft"]).max() < FOUR_DECIMALS


@pytest.mark.parametrize(("column", "axis"), [("north_m", 0), ("east_m", 1)])
def test_plan_after_grid_scale(column: str, axis: int) -> None:
    ground = positions_at(PATH, READINGS.measured_length)[:, axis]
    grid = TABLE[column] - TABLE[column][0]
    assert np.abs(ground * GRID_SCALE - grid).max() < FOUR_DECIMALS


def test_trap_grid_distances_are_not_ground_distances() -> None:
    """Half a metre of apparent error is the map's scale alone; mixing both must show."""
    plan = positions_at(PATH, READINGS.measured_length)[:, :2]
    grid = np.stack([TABLE["north_m"], TABLE["east_m"]], axis=-1)
    raw = np.abs(plan - (grid - grid[0])).max()
    assert raw == pytest.approx(0.5031, abs=0.001)


def test_dogleg_severity() -> None:
    bends = hole_bends(READINGS)
    severity = np.degrees(dogleg_severity(bends.angle, bends.length, 100 * FOOT))
    assert np.abs(severity - TABLE["dls_deg_per_100ft"][1:]).max() < FOUR_DECIMALS


LATERAL = columns("survey_g_pitch.csv")


def lateral_depth(pitch: np.ndarray) -> np.ndarray:
    """Depth change along table G through the rod-by-rod entry, station 0 giving the start."""
    log = pilot_readings(
        LATERAL["station"],
        pitch,
        measured_length=LATERAL["md_ft"] * FOOT,
        heading=np.radians(LATERAL["heading_deg"]),
    )
    return positions_at(hole_path(log), LATERAL["md_ft"] * FOOT)


def test_lateral_as_pitch_and_heading() -> None:
    points = lateral_depth(np.radians(LATERAL["pitch_deg_up"]))
    assert np.abs(points[:, 2] / FOOT - LATERAL["depth_change_ft"]).max() < 0.001
    for axis, column in enumerate(("d_north_m", "d_east_m")):
        assert np.abs(points[:, axis] * GRID_SCALE - LATERAL[column]).max() < FOUR_DECIMALS


def test_lateral_with_pitch_rounded_to_a_tenth_of_a_percent() -> None:
    """What the display's step costs in depth over 1672 ft: -0.0752 ft."""
    exact = lateral_depth(np.radians(LATERAL["pitch_deg_up"]))[-1, 2]
    grade = np.round(LATERAL["pitch_pct_up"], 1) / 100
    rounded = lateral_depth(np.arctan(grade))[-1, 2]
    assert (rounded - exact) / FOOT == pytest.approx(-0.0752, abs=0.005)
