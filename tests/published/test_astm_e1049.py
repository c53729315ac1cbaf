"""ASTM E1049-85 (2017) rainflow counts (READ, second hand), with the rainflow package as the
counter: first that the counter is right, then that a turning rod is what we count it as."""

from __future__ import annotations

import math

import pytest
import rainflow

SECOND_SERIES = [
    -1.5, 1, -3, 10, -1, 3, -8, 4, -2, 6, -1, -4, -8, 2, 1, -5, 0, 2.5, -4, 1, 0, 2, -0.5,
]  # fmt: skip


def test_example_of_figure_6() -> None:
    counts = rainflow.count_cycles([-2, 1, -3, 5, -1, 3, -4, 4, -2])
    assert counts == [(3, 0.5), (4, 1.5), (6, 0.5), (8, 1.0), (9, 0.5)]


def test_second_series_of_the_package() -> None:
    counts = dict(rainflow.count_cycles(SECOND_SERIES))
    assert counts == {
        1: 1, 2.5: 1, 4: 1.5, 6: 1.5, 6.5: 0.5, 7: 1, 10.5: 0.5, 13: 0.5, 14: 1, 18: 0.5,
    }  # fmt: skip


def fibre_history(turns: int, amplitude: float, mean: float = 0.0) -> list[float]:
    return [mean + amplitude * math.sin(math.pi * (k + 0.5)) for k in range(2 * turns + 1)]


@pytest.mark.parametrize("mean", [0.0, 40.0])
def test_one_turn_in_a_bend_is_one_cycle_of_twice_the_amplitude(mean: float) -> None:
    """What the damage sum takes for granted, counted: a bow or a pull moves only the mean."""
    ranges = {round(r, 9): n for r, n in rainflow.count_cycles(fibre_history(250, 150.0, mean))}
    assert ranges == {300.0: 250.0}


@pytest.mark.parametrize(("angle", "published"), [(10.0, 0.347296), (90.0, 2.0)])
def test_rocking_gives_less_than_a_turn(angle: float, published: float) -> None:
    """Rocking by +-angle: the fibre at the side sees 2 sin(angle) of the bending stress."""
    swing = math.radians(angle)
    history = [math.sin(swing * math.sin(math.pi * (k + 0.5))) for k in range(21)]
    assert max(r for r, _ in rainflow.count_cycles(history)) == pytest.approx(published, abs=1e-5)
