"""Lists of marks."""

from __future__ import annotations

import pytest

from rodhand.record.marks import LONGEST_LIST, MarksError, count_up, expand_marks


def test_ranges_and_single_marks() -> None:
    assert expand_marks("M1-01..M1-03, M2-03") == ("M1-01", "M1-02", "M1-03", "M2-03")


def test_digits_are_kept_and_grow_when_they_must() -> None:
    assert count_up("A9", 3) == ("A9", "A10", "A11")
    assert count_up("M1-098", 3) == ("M1-098", "M1-099", "M1-100")


def test_a_range_may_run_downward() -> None:
    assert expand_marks("M1-03..M1-01") == ("M1-03", "M1-02", "M1-01")


def test_unmarked_rods_have_ranges_too() -> None:
    assert expand_marks("SET-X no. 9..SET-X no. 11") == (
        "SET-X no. 9", "SET-X no. 10", "SET-X no. 11",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("M1-01..M2-03", "marks_range"),
        ("M1-01..", "marks_range"),
        ("..", "marks_range"),
        ("a..b", "marks_range"),
        ("M1-01, m1-01", "mark_twice"),
        ("M1-01..M1-05, M1-03", "mark_twice"),
        (" , ;", "marks_empty"),
        ("M1..M999999999999", "marks_too_many"),
        (f"M1..M{10**25}", "marks_range"),
    ],
)
def test_what_is_no_list(typed: str, code: str) -> None:
    with pytest.raises(MarksError) as caught:
        expand_marks(typed)
    assert caught.value.code == code


def test_the_longest_list_still_goes() -> None:
    assert len(expand_marks(f"M1..M{LONGEST_LIST}")) == LONGEST_LIST
    with pytest.raises(MarksError):
        expand_marks(f"M1..M{LONGEST_LIST}, X")
