"""Whether a gauge was in date on a day, from its calibrations alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from rodhand.advice.rules import DAYS_IN

GaugeCode = Literal[
    "in-date", "out-of-date", "never-calibrated", "out-of-order", "found-off-later", "no-date",
    "not-registered",
]  # fmt: skip
IN_ORDER = "in order"
OUT_OF_ORDER = "out of order"


@dataclass(frozen=True)
class Calibrated:
    """One calibration: ISO day, result, and the ISO day it says it holds to ('' not said)."""

    when: str
    result: str
    until: str = ""


@dataclass(frozen=True)
class GaugeState:
    """What is known of a gauge on a day.

    Parameters
    ----------
    code : GaugeCode
        ``no-date`` where neither the gauge nor its calibration says how long it holds.
    last : str
        ISO day of the last calibration up to then; empty when there was none.
    until : str
        ISO day it holds to; empty when not known.
    """

    code: GaugeCode
    last: str = ""
    until: str = ""

    @property
    def marks_readings(self) -> bool:
        """Whether a reading of that day is marked."""
        return self.code != "in-date"


def gauge_state(done: Sequence[Calibrated], every_months: float | None, day: str) -> GaugeState:
    """State of a registered gauge on a day.

    Parameters
    ----------
    done : sequence of Calibrated
        Its calibrations, in any order.
    every_months : float or None
        Months from one to the next. [30.4 d]
    day : str
        ISO day.

    Returns
    -------
    GaugeState
        A gauge later found off, before any calibration found it in order, was in doubt since its
        last good one (common practice, no source).
    """
    rows = sorted(done, key=lambda each: each.when)
    before = [each for each in rows if each.when <= day]
    if not before:
        return GaugeState("never-calibrated")
    last = before[-1]
    until = last.until or _later(last.when, every_months)
    if last.result == OUT_OF_ORDER:
        return GaugeState("out-of-order", last.when, until)
    following = next((each for each in rows if each.when > day), None)
    if following is not None and following.result != IN_ORDER:
        return GaugeState("found-off-later", last.when, until)
    if not until:
        return GaugeState("no-date", last.when)
    return GaugeState("in-date" if day <= until else "out-of-date", last.when, until)


def _later(when: str, months: float | None) -> str:
    if not when or not months:
        return ""
    return (date.fromisoformat(when) + timedelta(days=DAYS_IN["months"] * months)).isoformat()
