"""When something was, as people type it. Expected values: the calendar, worked by hand."""

from __future__ import annotations

import pytest

from rodhand.record.moment import order_text, read_moment, set_right


@pytest.mark.parametrize(
    ("typed", "start", "end", "precision"),
    [
        ("2025-09-09", "2025-09-09T00:00", "2025-09-09T23:59", "day"),
        ("2025-09-09T14:30", "2025-09-09T14:30", "2025-09-09T14:30", "minute"),
        ("2025-09-09 14:30:05", "2025-09-09T14:30:05", "2025-09-09T14:30:05", "minute"),
        # ISO 8601 week 37 of 2025 begins on Monday 8 September
        ("2025-W37", "2025-09-08T00:00", "2025-09-14T23:59", "week"),
        # week 1 of 2026 begins in 2025, and 2020 has a week 53
        ("2026-W01", "2025-12-29T00:00", "2026-01-04T23:59", "week"),
        ("2020-W53", "2020-12-28T00:00", "2021-01-03T23:59", "week"),
        ("2024-02", "2024-02-01T00:00", "2024-02-29T23:59", "between"),
        ("2025-12", "2025-12-01T00:00", "2025-12-31T23:59", "between"),
        ("2024", "2024-01-01T00:00", "2024-12-31T23:59", "between"),
        ("2025-09-01/2025-09-09", "2025-09-01T00:00", "2025-09-09T23:59", "between"),
        ("2025-09-01T08:00/2025-09-01T12:00", "2025-09-01T08:00", "2025-09-01T12:00", "between"),
        (" Unknown ", "", "", "unknown"),
    ],
)
def test_forms(typed: str, start: str, end: str, precision: str) -> None:
    moment = read_moment(typed)
    assert (moment.start, moment.end, moment.precision) == (start, end, precision)


@pytest.mark.parametrize(
    "typed",
    [
        "", "yesterday", "2025-13", "2025-02-30", "2025-W54", "2025-9-9", "09.09.2025",
        "2025-09-09T25:00", "2025-09-09/2025-09-01", "2025-09-01/", "/", "20250909", "0000",
    ],
)  # fmt: skip
def test_what_is_no_moment(typed: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_moment(typed)


def test_an_offset_typed_with_the_time_goes_before_the_zone() -> None:
    assert read_moment("2025-09-09T14:30+02:00", "-05:00").zone == "+02:00"
    assert read_moment("2025-09-09T14:30Z").zone == "+00:00"
    assert read_moment("2025-09-09T14:30", "-05:00").zone == "-05:00"


def test_order_is_in_utc_and_without_the_clocks_error() -> None:
    # 14:30 at +02:00 is 12:30 UTC; a clock 90 min fast showed 14:30 at 13:00
    moment = read_moment("2025-09-09T14:30", "+02:00")
    assert order_text(moment) == "2025-09-09T12:30:00"
    assert order_text(set_right(moment, 5400.0)) == "2025-09-09T11:00:00"


def test_a_typed_day_is_not_moved_by_a_clock() -> None:
    assert order_text(set_right(read_moment("2025-09-09"), 5400.0)) == "2025-09-09T00:00:00"


def test_unknown_comes_before_everything() -> None:
    assert order_text(read_moment("unknown")) < order_text(read_moment("0001-01-01"))


def test_the_calendars_ends_do_not_break_the_order() -> None:
    assert order_text(read_moment("0001-01-01", "+14:00")) == "0001-01-01T00:00:00"
    assert order_text(read_moment("9999-12-31T23:59", "-12:00")) == "9999-12-31T23:59:00"
