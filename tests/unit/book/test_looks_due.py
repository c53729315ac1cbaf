"""Looks due by date and sets by hours, in a book; the oilfield's minimum diameter on request."""

from __future__ import annotations

import pytest

from book_builder import Row, build_book, log_rows
from rodhand.advice.this_week import Task
from rodhand.book.tasks.look_tasks import look_tasks
from rodhand.book.tasks.set_tasks import set_life_tasks
from rodhand.book.work.assess import assess
from rodhand.book.yard.minimum_od import minimum_ods
from rodhand.faults import BadInputError

DAY, TODAY = "2025-06-02", "2025-06-06"


def tasks(*rows: Row) -> dict[str, Task]:
    log = [
        {"station": str(n), "length_ft": "10", "pitch_pct": "-20", "turns": "400"} for n in (1, 2)
    ]
    bore: list[Row] = [
        ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "by row"}, "2025-05-01"),
        ("bore", {"bore": "A", "rig": "Rig-40"}, DAY),
        *log_rows("A", log, day=DAY),
    ]
    worked = assess(build_book([*bore, *rows]), TODAY)
    found = {}
    for task in look_tasks(worked):
        for name in task.things:
            found[f"{task.verdict.what.values['look']} {name}"] = task
    return found


def look(things: str, item: str, day: str) -> Row:
    return ("check", {"things": things, "item": item, "found": "sound"}, day)


def test_a_rod_that_worked_and_was_never_looked_at_is_due() -> None:
    found = tasks()
    assert "Full look M1-01" in found
    assert found["Full look M1-01"].verdict.what.key == "verdict.never_looked.what"


def test_a_look_after_the_bore_in_its_time_is_enough() -> None:
    found = tasks(
        look("M1-01", "full-look", "2025-06-03"), look("M1-01", "crack-hunt", "2025-06-03")
    )
    assert not [key for key in found if key.endswith("M1-01")]
    assert "Full look M1-02" in found


def test_an_old_look_is_due_again_and_its_date_is_told() -> None:
    found = tasks(look("M1-01", "full-look", "2025-04-01"))
    assert found["Full look M1-01"].verdict.why.values["last"] == "2025-04-01"


def test_the_saver_sub_on_the_rig_is_looked_at_weekly() -> None:
    sub: Row = ("thing", {"thing": "SS-1", "what": "saver sub", "rig": "Rig-40"}, "2025-01-02")
    gone: Row = ("whereabouts", {"things": "SS-1", "where": "at the shop"}, "2025-05-01")
    assert "Saver sub look SS-1" in tasks(sub)
    assert "Saver sub look SS-1" not in tasks(sub, look("SS-1", "saver-sub", "2025-06-05"))
    assert "Saver sub look SS-1" in tasks(sub, look("SS-1", "saver-sub", "2025-05-29"))
    assert "Saver sub look SS-1" not in tasks(sub, gone)


@pytest.mark.parametrize(("hours", "told"), [("1000", False), ("1200", True)])
def test_a_set_near_its_hours_is_a_price(hours: str, told: bool) -> None:
    """1,600 h (READ, trade experience); a purchase is planned from 70 % of it: 1,120 h."""
    past: Row = ("past", {"set": "SET-M1", "rotating_h": hours, "order": "turned"}, "2025-01-02")
    found = set_life_tasks(assess(build_book([past]), TODAY))
    assert bool(found) is told
    assert all(task.verdict.voice == "price" for task in found)


def test_the_oilfield_rule_would_reject_a_new_small_rod() -> None:
    """DEFINITIONS: on request only, because it would reject new small rods."""
    assert [row.oilfield_class for row in minimum_ods("demo-small")] == ["premium", "class 2"]
    assert all(row.od is None or row.od > row.new_od for row in minimum_ods("demo-small"))


def test_a_name_without_a_tube_is_refused() -> None:
    with pytest.raises(BadInputError):
        minimum_ods("NC38")
