"""The ladder of turns: each rung by hand, and what is missing is never 0."""

from __future__ import annotations

import math

import pytest

from rodhand.drillstring.passes import PassKind
from rodhand.drillstring.turns import TurnEvidence, TurnRung, Turns, sigma_of_sum, turns_from

PILOT = PassKind.PILOT


@pytest.mark.parametrize(
    ("evidence", "best", "sigma", "rung"),
    [
        (TurnEvidence(PILOT, 3.0, counter=410.0, speed=2.0, rotating_time=240.0),
         410.0, 0.02, TurnRung.COUNTER),
        # 100 rpm for 4.2 min
        (TurnEvidence(PILOT, 3.0, speed=100 / 60, rotating_time=252.0, habit_speed=3.0),
         420.0, 0.10, TurnRung.RPM_MINUTES),
        # 100 rpm by habit, 6 min between two entries
        (TurnEvidence(PILOT, 3.0, habit_speed=100 / 60, elapsed=360.0),
         600.0, 0.35, TurnRung.HABIT_TIME),
        (TurnEvidence(PILOT, 3.0, own_per_metre=110.0), 330.0, 0.45, TurnRung.OWN_PAST),
        # sqrt(40 x 270) and sqrt(60 x 400) turns per metre
        (TurnEvidence(PILOT, 10.0), 1039.2, 0.9, TurnRung.PUBLISHED),
        (TurnEvidence(PassKind.PULLBACK, 10.0), 1549.2, 0.9, TurnRung.PUBLISHED),
        (TurnEvidence(None, 10.0), 1549.2, 1.2, TurnRung.UNKNOWN),
    ],
)  # fmt: skip
def test_each_rung(evidence: TurnEvidence, best: float, sigma: float, rung: TurnRung) -> None:
    found = turns_from(evidence)
    assert found.best == pytest.approx(best, abs=0.05)
    assert (found.sigma, found.rung) == (sigma, rung)


def test_a_row_logged_without_rotation_is_a_measured_nothing() -> None:
    assert turns_from(TurnEvidence(PILOT, 3.0, speed=2.0, rotating_time=0.0)).best == 0.0


def test_minutes_without_a_speed_take_the_habit() -> None:
    found = turns_from(TurnEvidence(PILOT, 3.0, rotating_time=60.0, habit_speed=2.0, elapsed=900.0))
    assert (found.best, found.rung) == (120.0, TurnRung.HABIT_TIME)


def test_a_speed_without_any_time_is_no_count() -> None:
    assert turns_from(TurnEvidence(PILOT, 3.0, speed=2.0)).rung is TurnRung.PUBLISHED


def test_same_rung_adds_straight_different_rungs_as_squares() -> None:
    """Two halves on one rung: 0.35. Halves on 0.35 and 0.10: sqrt(0.175^2 + 0.05^2)."""
    habit = Turns(100.0, 0.35, TurnRung.HABIT_TIME)
    logged = Turns(100.0, 0.10, TurnRung.RPM_MINUTES)
    assert sigma_of_sum([(1.0, habit), (1.0, habit)]) == pytest.approx(0.35)
    assert sigma_of_sum([(1.0, habit), (1.0, logged)]) == pytest.approx(math.hypot(0.175, 0.05))
    assert sigma_of_sum([]) == 0.0
