"""The best path: against a dense second method, against truth, and under faults."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from path_study import one_hole, ratios

from rodhand.hole.bend_posterior import bend_posterior
from rodhand.hole.best_path import BestPath, PathDoubt, best_path
from rodhand.hole.pilot_log import pilot_readings
from rodhand.hole.plane_fit import (
    ANY_DIRECTION,
    MEMORY,
    SHAPE_SD,
    START_POSITION_SD,
    PlaneFit,
    PlaneReadings,
    Scales,
    left_out,
)

ROD = 3.0


def fitted(pitch: list[float | None], **more: object) -> BestPath:
    """Best path of a log of 3 m rods, the rig's own pitch first."""
    known = more.pop("sensor_known", True)
    log = pilot_readings(
        list(range(len(pitch))),
        pitch,
        length=[ROD] * len(pitch),
        **more,  # type: ignore[arg-type]
    )
    path = best_path(log, sensor_known=bool(known))
    assert path is not None
    return path


def plane(positions: bool) -> PlaneReadings:
    """Six nodes unevenly apart, one direction unread, two positions read or none."""
    along = np.array([0.0, 3.0, 4.5, 6.0, 9.0, 12.0])
    length = np.diff(along)
    return PlaneReadings(
        along=along,
        lift=np.array([1.0, 0.95, 0.9, 0.97, 1.0]),
        direction=np.array([0.10, 0.12, np.nan, 0.15, 0.11, 0.16]),
        direction_sd=np.full(6, 0.01),
        position=np.array([np.nan, np.nan, 0.5, np.nan, np.nan, 1.6])
        if positions
        else np.full(6, np.nan),
        position_sd=np.full(6, 0.2),
        rise=length * 0.9,
        at_level=length * 0.02,
        bias_sd=0.02,
    )


def dense(readings: PlaneReadings, scales: Scales) -> tuple[float, np.ndarray, np.ndarray]:
    """Log probability, mean and covariance of the directions by the plain normal formulas.

    Every unknown is written as a matrix times independent normals; nothing is banded.
    """
    n = readings.along.size - 1
    length = np.diff(readings.along)
    count = 1 + (n + 1) + n + 1 + n + 1  # first direction, curve, own bends, start, shape, bias
    sd = np.ones(count)
    curve, position = np.zeros((n + 1, count)), np.zeros((n + 1, count))
    direction = np.zeros((n + 1, count))
    direction[0, 0], sd[0] = 1.0, ANY_DIRECTION
    curve[0, 1], sd[1] = 1.0, scales.curve
    position[0, 2 * n + 2], sd[2 * n + 2] = 1.0, START_POSITION_SD
    level = np.zeros(n + 1)
    first = readings.direction[0]
    straight = np.full(n + 1, first)
    for i in range(n):
        keep = math.exp(-length[i] / MEMORY)
        curve[i + 1] = keep * curve[i]
        curve[i + 1, 2 + i], sd[2 + i] = 1.0, scales.curve * math.sqrt(1 - keep**2)
        bend = length[i] / 2 * (curve[i] + curve[i + 1])
        bend[n + 2 + i], sd[n + 2 + i] = 1.0, scales.wander * math.sqrt(length[i])
        direction[i + 1] = direction[i] + bend / readings.lift[i]
        position[i + 1] = position[i] + readings.rise[i] / 2 * (direction[i] + direction[i + 1])
        position[i + 1, 2 * n + 3 + i], sd[2 * n + 3 + i] = 1.0, SHAPE_SD * math.sqrt(length[i])
        level[i + 1] = level[i] + readings.at_level[i] + readings.rise[i] * first
    sd[-1] = readings.bias_sd
    has = readings.has_position
    seen, placed = np.isfinite(readings.direction), np.isfinite(readings.position)
    biased = direction.copy()
    biased[:, -1] += 1.0 if has else 0.0
    rows = np.vstack([biased[seen], position[placed]])
    value = np.concatenate(
        [(readings.direction - straight)[seen], (readings.position - level)[placed]]
    )
    noise = np.concatenate(
        [scales.noise * readings.direction_sd[seen], readings.position_sd[placed]]
    )
    scaled, wanted = rows * sd, direction * sd
    total = scaled @ scaled.T + np.diag(noise**2)
    gain = wanted @ scaled.T @ np.linalg.inv(total)
    log = -0.5 * (np.linalg.slogdet(total)[1] + value @ np.linalg.solve(total, value))
    return log, straight + gain @ value, wanted @ wanted.T - gain @ scaled @ wanted.T


@pytest.mark.parametrize("positions", [False, True])
def test_banded_fit_against_plain_normal_formulas(positions: bool) -> None:
    readings = plane(positions)
    fit = PlaneFit(readings)
    one, other = Scales(0.008, 0.01, 1.0), Scales(0.02, 0.003, 1.5)
    found = fit.at(one)
    log, mean, covariance = dense(readings, one)
    assert found.direction == pytest.approx(mean, abs=1e-9)
    assert found.direction_covariance() == pytest.approx(covariance, abs=1e-9)
    # probabilities are compared as a ratio between two sets of sizes: constants are left out
    assert fit.at(other).log_evidence - found.log_evidence == pytest.approx(
        dense(readings, other)[0] - log, abs=1e-6
    )


def test_drawn_directions_have_the_covariance_of_the_fit() -> None:
    found = PlaneFit(plane(True)).at(Scales(0.008, 0.01, 1.0))
    normal = np.random.default_rng(3).standard_normal((found.state.size + 1, 40_000))
    drawn = found.draw_directions(normal)
    assert np.cov(drawn) == pytest.approx(found.direction_covariance(), rel=0.1, abs=3e-6)


def test_small_study_of_bias_and_coverage() -> None:
    rows = [one_hole("asked", seed) for seed in range(60)]
    assert ratios(rows).mean(axis=0) == pytest.approx([1.0, 1.0], abs=0.08)
    assert (ratios(rows, raw=True).mean(axis=0) > 1.1).all()
    assert 0.86 < np.mean([row.covered for row in rows]) < 0.94


def test_expected_power_is_the_mean_of_draws() -> None:
    found = bend_posterior(fitted([-0.2, -0.19, -0.12, -0.04, 0.0, 0.01, 0.0]))
    draws = found.draw(20_000, 5)
    assert (draws**4.7).mean(axis=0)[1:4] == pytest.approx(found.expected_power(4.7)[1:4], rel=0.03)
    low, high = found.band()
    assert np.quantile(draws, 0.05, axis=0) == pytest.approx(low, rel=0.05, abs=1e-3)
    assert np.quantile(draws, 0.95, axis=0) == pytest.approx(high, rel=0.05, abs=1e-3)
    assert (draws == found.draw(20_000, 5)).all()
    assert not (draws == found.draw(20_000, 6)).all()


WANDERING = (0.004 * np.array([0, 2, -1, 1, 3, 1, 0, -2, -1, 1, 0, 2, 1, -1, 0, 1])).tolist()


def test_gross_reading_is_told_from_an_over_steer() -> None:
    wrong = list(WANDERING)
    wrong[8] += 0.08
    path = fitted(wrong)
    assert path.vertical.gross == (8,)
    assert PathDoubt.GROSS in path.doubts
    assert bend_posterior(path).band()[1][7:9].max() < 0.08
    steered = [each + (0.08 if k >= 8 else 0.0) for k, each in enumerate(WANDERING)]
    path = fitted(steered)
    assert path.vertical.gross == ()
    assert PathDoubt.GROSS not in path.doubts
    low, high = bend_posterior(path).band()
    assert low[7] < 0.08 < high[7]


def test_a_shared_error_of_pitch_is_no_gross_reading() -> None:
    """Depths tie the whole hole down; what then remains for all readings is the transmitter's."""
    depth = (-ROD * np.cumsum(np.sin(np.array(WANDERING) - 0.006))).tolist()
    path = fitted(WANDERING, depth=depth)
    assert path.vertical.gross == ()
    assert PathDoubt.GROSS not in path.doubts
    wrong = [each + (0.08 if k == 8 else 0.0) for k, each in enumerate(WANDERING)]
    assert fitted(wrong, depth=depth).vertical.gross == (8,)


def test_left_out_is_the_reading_against_a_fit_without_it() -> None:
    readings, scales = replace(plane(True), bias_sd=1e-9), Scales(0.008, 0.01, 1.0)
    variance = readings.direction_sd**2
    which, difference, spread, _ = left_out(PlaneFit(readings).at(scales), readings, variance, 0.0)
    for node, gap, rest in zip(which, difference, spread, strict=True):
        less = readings.direction.copy()
        less[node] = np.nan
        _, mean, covariance = dense(replace(readings, direction=less), scales)
        assert gap == pytest.approx(readings.direction[node] - mean[node], abs=1e-8)
        assert rest == pytest.approx(covariance[node, node], rel=1e-6)


def test_what_is_not_known_widens_and_is_told() -> None:
    heading = [0.0] * 16
    whole = bend_posterior(fitted(WANDERING, heading=heading))
    gap = [None if k == 8 else each for k, each in enumerate(WANDERING)]
    missing = fitted(gap, heading=heading)
    assert PathDoubt.MISSING_ROWS in missing.doubts
    assert bend_posterior(missing).vertical.sd[7] > 1.5 * whole.vertical.sd[7]
    flat = fitted(WANDERING)
    assert PathDoubt.NO_HEADING in flat.doubts
    assert bend_posterior(flat).sideways.sd[5] > whole.sideways.sd[5]
    lost = fitted(WANDERING, heading=heading, sensor_known=False)
    assert PathDoubt.SENSOR_PLACE in lost.doubts
    assert bend_posterior(lost).vertical.sd[5] > 1.5 * whole.vertical.sd[5]
    coarse = fitted([math.atan(round(math.tan(p), 2)) for p in WANDERING], heading=heading)
    assert PathDoubt.COARSE_STEP in coarse.doubts


def test_offsets_alone_show_a_long_sideways_curve() -> None:
    along = ROD * np.arange(31)
    offset = np.where(along > 30, (along - 30) ** 2 / (2 * 100.0), 0.0)  # R 100 m from 30 m on
    found = bend_posterior(fitted([0.0] * 31, offset=offset.tolist()))
    assert found.sideways.mean[15:28].mean() == pytest.approx(ROD / 100.0, rel=0.15)
    assert abs(found.sideways.mean[:7].mean()) < 0.3 * ROD / 100.0


def test_no_pitch_no_path() -> None:
    assert best_path(pilot_readings([1, 2], [None, None], length=[ROD] * 2)) is None
