"""Hours nobody knows: no fit rests on the record, nothing is read as nought."""

from __future__ import annotations

import math

import pytest

from book_builder import Row, build_book, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.thing_page import thing_view
from rodhand.book.yard.yard import yard_view
from rodhand.sheets.shown import printed
from rodhand.units import Figure, Standing

TODAY = "2025-06-20"
LOG: list[Row] = [
    ("load", {"rig": "Rig-40", "things": "SET-M1", "how": "by row"}, "2025-05-01"),
    ("bore", {"bore": "A", "rig": "Rig-40"}, "2025-06-01"),
    *log_rows(
        "A",
        [
            {"station": f"{n}", "pitch_pct": f"{p}", "rpm": "100", "rotating_min": "5"}
            for n, p in enumerate((-22, -22, -20, -8, -4, 0, 0, 1), 1)
        ],
    ),
    ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "4000"}, "2025-06-01"),
    ("check", {"things": "SET-M1", "item": "full-look", "found": "ok"}, "2025-06-15"),
]
UNKNOWN: Row = ("past", {"set": "SET-M1", "hours": "unknown"}, "2025-01-02")
NEW: Row = ("past", {"set": "SET-M1", "rotating_h": "0"}, "2025-01-02")
LAST = "M1-40"
"""A rod that never left the box."""


def assessed(*rows: Row) -> Assessment:
    return assess(build_book([*rows, *LOG]), TODAY)


def test_no_fit_rests_on_a_past_nobody_knows() -> None:
    new, unknown = assessed(NEW), assessed(UNKNOWN)
    key = new.book.sets["SET-M1"].things[-1]
    assert standing_of_thing(new, key)[0] == "fit"
    standing, reasons = standing_of_thing(unknown, key)
    assert standing == "not looked at"
    assert [reason.code for reason in reasons] == ["history-unknown"]
    assert "nobody knows" in printed_reason(unknown)


def printed_reason(assessment: Assessment) -> str:
    from rodhand.book.telling import tell

    return tell(thing_view(assessment, LAST).verdicts[0].why, "metric")


def test_a_person_may_still_call_it_fit() -> None:
    given: Row = (
        "standing", {"things": LAST, "standing": "fit", "why": "looked at every end"}, "2025-06-16",
    )  # fmt: skip
    found = assessed(UNKNOWN, given)
    assert standing_of_thing(found, found.book.sets["SET-M1"].things[-1])[0] == "fit"


def test_life_used_is_at_least_what_the_book_holds_and_never_nought() -> None:
    figures = thing_view(assessed(UNKNOWN), "M1-01").figures
    known = thing_view(assessed(NEW), "M1-01").figures
    for name in ("life_used", "assumed_share", "past_time"):
        assert figures[name].value is None, name
        assert figures[name].standing is Standing.UNKNOWN
    assert figures["life_used"].low == pytest.approx(known["life_used"].low, rel=0.5)
    assert figures["life_used"].high is None
    assert figures["design"].value == pytest.approx(known["design"].value)
    assert "chance_low" not in figures
    rods = [
        rod for _, rows in yard_view(assessed(UNKNOWN)).boxes for row in rows for rod in row.rods
    ]
    assert {rod.figures["life_used"].value for rod in rods} == {None}
    row = bore_view(assessed(UNKNOWN), "A").rods[0]
    assert row.figures["life_used_all"].value is None
    assert row.figures["assumed_share"].value is None


def test_it_is_told_on_the_rod_s_page() -> None:
    keys = [each.key for each in thing_view(assessed(UNKNOWN), "M1-01").unknown]
    assert "thing.unknown.past_hours" in keys
    assert "thing.unknown.past" not in keys


@pytest.mark.parametrize("order", ["same", "turned", "unknown"])
def test_a_declared_past_is_never_narrower_than_three_times(order: str) -> None:
    past: Row = ("past", {"set": "SET-M1", "rotating_h": "700", "order": order}, "2025-01-02")
    found = assessed(past)
    lives = found.histories[found.book.sets["SET-M1"].things[-1]].life.sections
    for life in lives:
        assert life.high >= 3.0 * life.best
        assert life.best >= 3.0 * life.low
        assert life.assumed == float(life.best > 0.0)
    assert max(life.best for life in lives) > 0.0


def test_an_unknown_order_is_never_narrower_than_a_known_one() -> None:
    def width(order: str) -> float:
        row: Row = ("past", {"set": "SET-M1", "rotating_h": "700", "order": order}, "2025-01-02")
        found = assessed(row)
        life = found.histories[found.book.sets["SET-M1"].things[0]].life.worst
        return math.log(life.high / life.low)

    assert width("unknown") > max(width("same"), width("turned"))


@pytest.mark.parametrize(
    ("low", "text"), [(0.0, "not known"), (0.01, "not known, at least a hundredth")]
)
def test_at_least_in_words(low: float, text: str) -> None:
    figure = Figure("x", None, "life", Standing.UNKNOWN, low)
    assert printed(figure, "metric").text == text
