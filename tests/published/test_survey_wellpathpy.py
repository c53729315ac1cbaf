"""wellpathpy (LGPL-3.0, a plain survey library) as an oracle, in tests only.

It shares the equations, so it proves the coding and not the model; the real tables are the
stronger evidence. Its radius-of-curvature form puts 1e-6 rad where a difference is nothing.
"""

from __future__ import annotations

import numpy as np
import pytest
from wellpathpy.mincurve import minimum_curvature
from wellpathpy.rad_curv import radius_curvature
from wellpathpy.tan import average_tan, balanced_tan

from rodhand.hole.minimum_curvature import (
    average_angle_step,
    balanced_tangential_step,
    dogleg,
    minimum_curvature_positions,
    radius_of_curvature_step,
    tangent_from_inclination,
)
from rodhand.hole.readings import TieIn

RNG = np.random.default_rng(20260101)
SIZE = 200
MD = np.cumsum(RNG.uniform(1.5, 12.0, SIZE))
INC = np.clip(60 + np.cumsum(RNG.normal(0, 1.0, SIZE)), 5, 110)
AZI = 40 + 25 * np.sin(np.arange(SIZE) / 15) + RNG.normal(0, 0.5, SIZE)
TANGENTS = tangent_from_inclination(np.radians(INC), np.radians(AZI))
ROUNDING = 1e-6  # both are double precision sums over 200 stations and 1.4 km


def stacked(tvd: np.ndarray, north: np.ndarray, east: np.ndarray) -> np.ndarray:
    return np.stack([north, east, tvd], axis=-1)


def test_minimum_curvature() -> None:
    tvd, north, east, severity = minimum_curvature(MD, INC, AZI, course_length=30)
    ours = minimum_curvature_positions(MD, TANGENTS, TieIn())
    assert np.abs(ours - stacked(tvd, north, east)).max() < ROUNDING
    bend = dogleg(TANGENTS[:-1], TANGENTS[1:])
    assert np.abs(np.degrees(bend) * 30 / np.diff(MD) - severity[1:]).max() < ROUNDING


def test_balanced_tangential() -> None:
    steps = balanced_tangential_step(np.diff(MD), TANGENTS[:-1], TANGENTS[1:])
    theirs = stacked(*balanced_tan(MD, INC, AZI))
    assert np.abs(np.cumsum(steps, axis=0) - theirs[1:]).max() < ROUNDING


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [(average_angle_step, average_tan), (radius_of_curvature_step, radius_curvature)],
)
def test_methods_by_angles(ours: object, theirs: object) -> None:
    inclination, azimuth = np.radians(INC), np.radians(AZI)
    steps = ours(  # type: ignore[operator]
        np.diff(MD), (inclination[:-1], inclination[1:]), (azimuth[:-1], azimuth[1:])
    )
    other = stacked(*theirs(MD, INC, AZI))  # type: ignore[operator]
    assert np.abs(np.cumsum(steps, axis=0) - other[1:]).max() < ROUNDING
