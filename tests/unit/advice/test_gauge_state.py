"""A gauge's state on a day, by a table worked out by hand."""

from __future__ import annotations

import pytest

from rodhand.advice.gauge_state import Calibrated, gauge_state

GOOD = Calibrated("2025-01-10", "in order")
WITH_DATE = Calibrated("2025-01-10", "in order", "2025-03-31")
OFF = Calibrated("2025-06-01", "adjusted")
BROKEN = Calibrated("2025-06-01", "out of order")


@pytest.mark.parametrize(
    ("done", "months", "day", "code", "until"),
    [
        ([], 6.0, "2025-02-01", "never-calibrated", ""),
        ([GOOD], 6.0, "2025-01-09", "never-calibrated", ""),
        ([GOOD], 6.0, "2025-01-10", "in-date", "2025-07-11"),  # 182.4 days
        ([GOOD], 6.0, "2025-07-11", "in-date", "2025-07-11"),
        ([GOOD], 6.0, "2025-07-12", "out-of-date", "2025-07-11"),
        ([GOOD], None, "2025-02-01", "no-date", ""),
        ([WITH_DATE], 6.0, "2025-03-31", "in-date", "2025-03-31"),
        ([WITH_DATE], 6.0, "2025-04-01", "out-of-date", "2025-03-31"),
        ([GOOD, OFF], 6.0, "2025-05-01", "found-off-later", "2025-07-11"),
        ([OFF, GOOD], 6.0, "2025-06-01", "in-date", "2025-11-30"),
        ([GOOD, BROKEN], 6.0, "2025-06-02", "out-of-order", "2025-11-30"),
        ([GOOD, Calibrated("2025-06-01", "in order")], 6.0, "2025-05-01", "in-date", "2025-07-11"),
    ],
)
def test_state_on_a_day(
    done: list[Calibrated], months: float | None, day: str, code: str, until: str
) -> None:
    state = gauge_state(done, months, day)
    assert (state.code, state.until) == (code, until)
    assert state.marks_readings == (code != "in-date")
