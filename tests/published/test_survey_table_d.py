"""Real table D: a disposal well of 64 stations, READ; see data/SOURCES_survey.md.

Near vertical: small angles, wandering azimuth, and a first row that is not at the surface.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from rodhand.hole.bends import hole_bends
from rodhand.hole.minimum_curvature import dogleg_severity
from rodhand.hole.path import hole_path, positions_at
from rodhand.hole.pilot_log import survey_readings
from rodhand.hole.readings import TieIn

DATA = Path(__file__).parent / "data"
TWO_DECIMALS = 0.03  # the table has two decimals in every column, and the sums carry them on


@pytest.fixture(scope="module")
def table() -> dict[str, np.ndarray]:
    with (DATA / "survey_d_ft.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


def test_positions_from_the_tie_in(table: dict[str, np.ndarray]) -> None:
    assert table["md_ft"].size == 64
    start = TieIn(
        north=table["north_ft"][0],
        east=table["east_ft"][0],
        depth=table["tvd_ft"][0],
        measured_length=table["md_ft"][0],
    )
    readings = survey_readings(
        table["md_ft"], np.radians(table["inc_deg"]), np.radians(table["azi_deg"]), tie_in=start
    )
    points = positions_at(hole_path(readings), table["md_ft"])
    for axis, column in enumerate(("north_ft", "east_ft", "tvd_ft")):
        assert np.abs(points[:, axis] - table[column]).max() < TWO_DECIMALS, column
    # from the origin instead of the tie-in the plan is off by what the first row says
    assert np.abs(points[:, 1] - table["east_ft"][0] - table["east_ft"]).max() > 0.4


def test_dogleg_severity(table: dict[str, np.ndarray]) -> None:
    bends = hole_bends(
        survey_readings(table["md_ft"], np.radians(table["inc_deg"]), np.radians(table["azi_deg"]))
    )
    severity = np.degrees(dogleg_severity(bends.angle, bends.length, 100.0))
    assert np.abs(severity - table["dls_deg_per_100ft"][1:]).max() < TWO_DECIMALS
