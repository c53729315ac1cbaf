"""Turning the rows against a case worked by hand, leading rods, looks due, suspects, verdicts."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.advice.due import Subject, due_looks
from rodhand.advice.leading import leading, replay
from rodhand.advice.looks import Finding
from rodhand.advice.rules import Rule
from rodhand.advice.suspects import (
    GaugeLook,
    gauge_faults,
    is_under_torqued,
    sub_trace,
)
from rodhand.advice.this_week import Task, in_order
from rodhand.advice.verdict import Sentence, Verdict
from rodhand.units import Figure, Standing

FIVE = [np.array([4.0, 3.0, 2.0, 1.0])] * 5


def test_replay_by_hand() -> None:
    """Four rods in two rows, five equal bores of 4, 3, 2, 1.

    Kept: rod 1 takes 5 x 4 = 20. Turned by two rods each bore: rods 1 and 3 take 4, 2, 4, 2, 4
    and 2, 4, 2, 4, 2: 16 and 14. The worst is 16, so turning takes it 20/16 as far.
    """
    done = replay(FIVE, 4, 2)
    assert done is not None
    assert (done.worst_same, done.worst_turned) == (20.0, 16.0)
    assert done.gain == pytest.approx(1.25)


def test_too_few_bores_say_nothing() -> None:
    assert replay(FIVE[:4], 4, 2) is None
    with pytest.raises(ValueError, match="greater than 0"):
        replay(FIVE, 0, 2)


def test_bores_shorter_and_longer_than_the_box() -> None:
    short, long = np.array([2.0]), np.array([1.0, 1.0, 1.0])
    done = replay([short, long, short, long, short], 2, 1)
    assert done is not None
    assert done.worst_same == 3 * 2.0 + 2 * 1.0


def test_leading_rods_are_named_only_when_they_nearly_always_lead() -> None:
    same, other = ("a", "b", "c", "d"), ("d", "b", "c", "a")
    assert leading([same] * 5) is not None
    assert leading([same] * 4) is None
    assert leading([same] * 8 + [other] * 2) is not None
    assert leading([same] * 7 + [other] * 3) is None
    assert leading([(), (), same, same, same, same]) is None


def _rule(key: str, every: float, unit: str) -> Rule:
    return Rule(key, "whole", every, unit, None, "", 4.0, "watch", "test", "OURS")


WEEKLY, MONTHLY = _rule("galling", 1, "weeks"), _rule("full-look", 1, "months")
HOURLY, AT_REFACE = _rule("applicator", 10, "rotating_hours"), _rule("bench-mark", 0, "at reface")
TODAY = "2025-11-14"


YESTERDAY = (("galling", "2025-11-13"), ("full-look", "2025-11-13"), ("applicator", "2025-11-12"))


@pytest.mark.parametrize(
    ("last", "hours", "worked_on", "due"),
    [
        # the due list written by hand: (last looks), hours since, last worked on -> rules due
        ((), None, "2025-11-14", ["full-look", "galling"]),
        ((), None, "", ["full-look", "galling"]),
        ((("galling", "2025-11-13"), ("full-look", "2025-11-01")), None, "2025-11-14", []),
        ((("galling", "2025-11-07"), ("full-look", "2025-11-01")), None, "2025-11-14", ["galling"]),
        ((("galling", "2025-11-08"), ("full-look", "2025-10-14")), None, "2025-11-14",
         ["full-look"]),
        # worked after the full look and not after the galling look: one is due, one is not
        ((("galling", "2025-11-01"), ("full-look", "2025-09-01")), None, "2025-10-10",
         ["full-look"]),
        # not worked since the last of each: nothing is due, however old
        ((("galling", "2025-01-02"), ("full-look", "2025-01-02")), None, "2025-01-01", []),
        # looked at on the day of its last bore
        ((("galling", "2025-11-01"), ("full-look", "2025-10-01")), None, "2025-10-01", []),
        (YESTERDAY, 9.9, "2025-11-14", []),
        (YESTERDAY, 10.0, "2025-11-14", ["applicator"]),
    ],
)  # fmt: skip
def test_looks_due(
    last: tuple[tuple[str, str], ...], hours: float | None, worked_on: str, due: list[str]
) -> None:
    subject = Subject("k", "M1-01", "Rig-40", last, "2025-01-01", hours, worked_on)
    rules = (WEEKLY, MONTHLY, HOURLY, AT_REFACE)
    assert sorted(each.rule.key for each in due_looks([subject], rules, TODAY)) == due


def test_the_latest_stands_first_and_says_by_how_much() -> None:
    """7 days after 11-01 is 11-08: 6 days late on 11-14; after 11-07 it is 11-14: 0 days."""
    subjects = [
        Subject(name, name, "Rig-40", (("galling", last),), "2025-01-01", None, TODAY)
        for name, last in [("a", "2025-11-07"), ("b", "2025-11-01"), ("c", "2025-11-10")]
    ]
    dues = due_looks(subjects, [WEEKLY], TODAY)
    assert [(due.subject.name, due.late_by) for due in dues] == [("b", 6.0), ("a", 0.0)]


def test_a_thing_that_came_nobody_knows_when_is_due_and_not_late() -> None:
    (due,) = due_looks([Subject("k", "n", "w", (), "")], [WEEKLY], TODAY)
    assert (due.never, due.late_by) == (True, 0.0)


def test_a_gauge_out_of_tolerance_puts_make_ups_since_the_good_day_in_doubt() -> None:
    good, bad = GaugeLook("2025-06-13", 4200.0, 4180.0), GaugeLook("2025-10-17", 4700.0, 4200.0)
    (off,) = gauge_faults([good, bad])
    assert (off.last_good, round(off.share, 3), off.mended) == ("2025-06-13", 0.894, "")
    assert gauge_faults([good]) == gauge_faults([]) == ()


def test_a_good_comparison_takes_no_doubt_from_make_ups_before() -> None:
    """Off by 4700/4200 in October, mended in November, off again in January by 4000/4200."""
    looks = [
        GaugeLook("2025-06-13", 4200.0, 4180.0),
        GaugeLook("2025-10-17", 4700.0, 4200.0),
        GaugeLook("2025-11-01", 4210.0, 4200.0),
        GaugeLook("2026-01-05", 3900.0, 4200.0),
    ]
    first, second = gauge_faults(looks)
    assert (first.last_good, first.when, first.mended) == ("2025-06-13", "2025-10-17", "2025-11-01")
    assert (second.last_good, second.when, second.mended) == ("2025-11-01", "2026-01-05", "")
    assert round(second.share, 3) == 1.077


def _galling(when: str) -> Finding:
    return Finding("light galling", "dress", when, "e", "galling")


def test_rods_galled_after_the_sub_are_named_with_it() -> None:
    rods = [("a", _galling("2025-09-05")), ("b", _galling("2025-08-01"))]
    trace = sub_trace("sub", [Finding("galled", "set aside", "2025-09-03", "e", "saver-sub")], rods)
    assert trace is not None
    assert trace.things == ("a",)
    assert sub_trace("sub", [], rods) is None


def test_under_torque_by_share_or_by_torque() -> None:
    assert is_under_torqued(None, 0.3, 5694.0) == 0.3
    assert is_under_torqued(2000.0, None, 5000.0) == pytest.approx(0.4)
    assert is_under_torqued(4500.0, None, 5000.0) is None
    assert is_under_torqued(2000.0, None, None) is None


FIGURE = Figure("k", 1.0, "count", Standing.MEASURED)
PART = Sentence("verdict.leading.do")


def _verdict(voice: str = "note", why: Sentence | None = None, source: str = "own") -> Verdict:
    reason = why or Sentence("verdict.sub.why", {"count": FIGURE})
    return Verdict(voice, PART, reason, PART, source, Sentence("caution.rods"))  # type: ignore[arg-type]


def test_a_verdict_needs_a_number_a_source_and_a_caution() -> None:
    assert _verdict().source == "own"
    with pytest.raises(ValueError, match="no number"):
        _verdict(why=PART)
    with pytest.raises(ValueError, match="lacks"):
        _verdict(source="")


def test_stop_comes_before_note_and_note_before_price() -> None:
    tasks = [
        Task(rank, "driller", (name,), "Rig-1", _verdict(voice), 1.0, "/")
        for rank, voice, name in [(9, "stop", "c"), (0, "price", "a"), (1, "note", "b")]
    ]
    assert [task.things[0] for task in in_order(tasks)] == ["c", "b", "a"]
