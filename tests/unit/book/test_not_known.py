"""An over-steer says what nobody knows: whose rods these are, and the bend sideways."""

from __future__ import annotations

import pytest

from book_builder import Row, build_book, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.tasks.week import this_week
from rodhand.book.work.assess import assess

LOAD = "2025-05-01"
BORE: Row = ("bore", {"bore": "A", "rig": "Rig-40"}, "2025-06-01")


def readings(name: str, **more: str) -> list[Row]:
    """A log whose fourth rod bends by 12 % over 10 ft, far over the limit of the rods."""
    pitch = (-22, -22, -20, -8, -4, 0, 0, 1)
    return log_rows(
        name,
        [{"station": f"{n}", "pitch_pct": f"{p}", **more} for n, p in enumerate(pitch, 1)],
    )


def marks(count: int) -> list[Row]:
    return [
        ("reading", {"bore": "A", "pass": "pilot", "station": f"{n}", "rod": f"M1-{n:02}"},
         "2025-06-01")
        for n in range(1, count + 1)
    ]  # fmt: skip


def load(how: str, day: str = LOAD) -> Row:
    return ("load", {"rig": "Rig-40", "things": "SET-M1", "how": how}, day)


def told(*rows: Row) -> list[str]:
    found = assess(build_book(list(rows)), "2025-06-20")
    over = next(row for row in bore_view(found, "A").over_steers if row.verdict == "over")
    keys = [each.key.removeprefix("bore.not_known.") for each in over.not_known]
    week = [row for name, row in this_week(found).bends if name == "A" and row.verdict == "over"]
    assert [each.key for each in week[0].not_known] == [each.key for each in over.not_known]
    return keys


@pytest.mark.parametrize(
    ("before", "key"),
    [([load("by row")], "marks"), ([load("set only")], "order"), ([], "rods")],
)
def test_what_is_not_known_of_the_rods(before: list[Row], key: str) -> None:
    assert told(*before, BORE, *readings("A")) == [key, "sideways"]


def test_an_order_confirmed_for_an_earlier_bore_only_is_told() -> None:
    earlier: Row = ("bore", {"bore": "0", "rig": "Rig-40"}, "2025-05-15")
    rows = [load("by row"), earlier, *readings("0"), BORE, *readings("A")]
    assert told(*rows) == ["row", "sideways"]


def test_marks_and_headings_that_were_read_leave_nothing_to_tell() -> None:
    assert told(load("by row"), BORE, *readings("A"), *marks(8)) == ["sideways"]
    assert told(load("by row"), BORE, *readings("A", heading_deg="90"), *marks(8)) == []
