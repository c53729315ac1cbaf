# ruff: noqa: E501 a history is one line
"""Checks due: thirty histories, each with its due list written by hand."""

from __future__ import annotations

import pytest

from rodhand.advice.checks_due import CheckHistory, Work, check_states, period_of
from rodhand.advice.rules import Rule
from rodhand.book.work.event_checks import event_checks
from rodhand.book.work.in_force import default_rules

TODAY = "2025-07-01"
H = 3600.0


def rule(key: str, every: float, unit: str) -> Rule:
    return Rule(key, "whole", every, unit, None, "", 1.0, "watch", "test", "OURS")


RULES = (
    rule("full-look", 1, "months"),
    rule("galling", 1, "weeks"),
    rule("crack-hunt", 12, "months"),
    rule("applicator", 10, "rotating_hours"),
    rule("thread-cleanliness", 1, "makeups"),
    rule("thread-form", 200, "makeups"),
    rule("long-storage", 60, "idle_days"),
    rule("joint-oval", 0, "after wrench"),
    rule("bench-mark", 0, "at reface"),
)
ASKED = {"torque spike": ("crack-hunt", "full-look"), "jerk": ("galling",)}
ALL_SEEN = tuple((r.key, "2025-06-30") for r in RULES)
W = Work("2025-07-01", 1 * H, 4.0)
"""Every history below starts from `ALL_SEEN`, yesterday, with one hour of work today."""


def seen(**days: str) -> tuple[tuple[str, str], ...]:
    """All looks yesterday but those named, by key with underscores; '' is never."""
    changed = {key.replace("_", "-"): day for key, day in days.items()}
    return tuple((k, changed.get(k, day)) for k, day in ALL_SEEN if changed.get(k, day))


# fmt: off
HISTORIES: list[tuple[str, CheckHistory, set[str]]] = [
    ("all seen yesterday", CheckHistory("2025-01-01", seen(), (W,)), set()),
    ("new today, never worked", CheckHistory("2025-07-01"), {"full-look", "galling", "crack-hunt"}),
    ("a memory without a day", CheckHistory(""), {"full-look", "galling", "crack-hunt"}),
    ("week old to the day", CheckHistory("2025-01-01", seen(galling="2025-06-24", full_look="2025-06-24"), (W,)), {"galling"}),
    ("six days", CheckHistory("2025-01-01", seen(galling="2025-06-25", full_look="2025-06-25"), (W,)), set()),
    ("a full look holds the eye's", CheckHistory("2025-01-01", seen(galling="2025-05-01"), (W,)), set()),
    ("no full look for a month", CheckHistory("2025-01-01", seen(full_look="2025-05-31"), (W,)), {"full-look"}),
    ("30 days are no month of 30.4", CheckHistory("2025-01-01", seen(full_look="2025-06-01"), (W,)), set()),
    ("galling alone is no full look", CheckHistory("2025-01-01", seen(full_look=""), (W,)), {"full-look"}),
    ("never cracked, worked", CheckHistory("2024-01-01", seen(crack_hunt=""), (W,)), {"crack-hunt"}),
    ("crack test a year and a day ago", CheckHistory("2024-01-01", seen(crack_hunt="2024-06-30"), (W,)), {"crack-hunt"}),
    ("crack test 364 days ago", CheckHistory("2024-01-01", seen(crack_hunt="2024-07-02"), (W,)), set()),
    ("month old, not worked since", CheckHistory("2025-01-01", seen(full_look="2025-05-01", galling="2025-05-01"), (Work("2025-04-20"),)), set()),
    ("worked on the day of the look", CheckHistory("2025-01-01", seen(full_look="2025-05-01"), (Work("2025-05-01", 1 * H, 1.0),)), {"full-look"}),
    ("nine hours on the applicator", CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-21", 9 * H, 1.0),)), set()),
    ("ten hours in two bores", CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-21", 4 * H, 1.0), Work("2025-06-22", 6 * H, 1.0))), {"applicator"}),
    ("hours before the look do not count", CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-19", 40 * H, 1.0), Work("2025-06-21", 6 * H, 1.0))), set()),
    ("hours unknown", CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-21", None, 1.0),)), set()),
    ("hours unknown but eleven known", CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-21", None, 1.0), Work("2025-06-22", 11 * H, 1.0))), {"applicator"}),
    ("199 make-ups", CheckHistory("2025-01-01", seen(thread_form="2025-06-01"), (Work("2025-06-02", 1 * H, 199.0),)), set()),
    ("200 make-ups", CheckHistory("2025-01-01", seen(thread_form="2025-06-01"), (Work("2025-06-02", 1 * H, 120.0), Work("2025-06-09", 1 * H, 80.0))), {"thread-form"}),
    ("make-ups never looked at", CheckHistory("2025-01-01", seen(thread_form=""), (Work("2025-02-02", 1 * H, 201.0),)), {"thread-form"}),
    ("stood two months, not yet used", CheckHistory("2025-01-01", seen(long_storage="2025-01-05"), (Work("2025-05-02", 1 * H, 1.0),)), {"long-storage"}),
    ("stood 59 days", CheckHistory("2025-01-01", seen(long_storage="2025-05-02"), (Work("2025-05-03", 1 * H, 1.0),)), set()),
    ("stood in winter, worked since, never looked at", CheckHistory("2024-01-01", seen(long_storage="2024-11-01"), (Work("2024-11-10", 1 * H, 1.0), Work("2025-03-01", 1 * H, 1.0), Work("2025-06-20", 1 * H, 1.0), W)), {"long-storage"}),
    ("stood in winter, looked at on recall", CheckHistory("2024-01-01", seen(long_storage="2025-05-05"), (Work("2024-11-10", 1 * H, 1.0), Work("2025-05-05", 1 * H, 1.0), Work("2025-06-20", 1 * H, 1.0), W)), set()),
    ("a wrench since", CheckHistory("2025-01-01", seen(), (W,), (("after wrench", "2025-07-01"),)), {"joint-oval"}),
    ("a wrench before the look", CheckHistory("2025-01-01", seen(), (W,), (("after wrench", "2025-06-29"),)), set()),
    ("refaced, mark not looked at", CheckHistory("2025-01-01", seen(bench_mark=""), (W,), (("at reface", "2025-06-01"),)), {"bench-mark"}),
    ("spike the day of the looks", CheckHistory("2025-01-01", seen(), (W,), (("torque spike", "2025-06-30"),)), {"crack-hunt", "full-look"}),
    ("jerk, then a full look", CheckHistory("2025-01-01", seen(galling="2025-06-20"), (W,), (("jerk", "2025-06-25"),)), set()),
    ("an event that asks for nothing", CheckHistory("2025-01-01", seen(), (W,), (("other", "2025-07-01"),)), set()),
]
# fmt: on


@pytest.mark.parametrize(("name", "history", "due"), HISTORIES, ids=[h[0] for h in HISTORIES])
def test_due_list_written_by_hand(name: str, history: CheckHistory, due: set[str]) -> None:
    states = check_states(history, RULES, TODAY, ASKED)
    assert {state.rule.key for state in states if state.code == "due"} == due
    assert states[4].code == "always"


def test_there_are_thirty_histories() -> None:
    assert len(HISTORIES) >= 30


def test_what_nobody_knows_is_told_and_what_rested_too() -> None:
    unknown = CheckHistory("2025-01-01", seen(applicator="2025-06-20"), (Work("2025-06-21"),))
    states = {s.rule.key: s for s in check_states(unknown, RULES, TODAY, ASKED)}
    assert states["applicator"].code == "not-known"
    assert states["applicator"].done is None
    rest = CheckHistory("2025-01-01", seen(full_look="2025-05-01"), (Work("2025-04-20"),))
    states = {s.rule.key: s for s in check_states(rest, RULES, TODAY, ASKED)}
    assert (states["full-look"].code, states["full-look"].done) == ("rested", 61.0)
    spike = CheckHistory("2025-01-01", seen(), (), (("torque spike", "2025-07-01"),))
    states = {s.rule.key: s for s in check_states(spike, RULES, TODAY, ASKED)}
    assert states["crack-hunt"].because == "torque spike"


def test_the_lists_the_rule_table_makes() -> None:
    lists: dict[str, set[str]] = {}
    for each in default_rules().values():
        lists.setdefault(period_of(each), set()).add(each.key)
    assert lists["weekly"] == {"galling", "jaw-bite", "saver-sub", "lead-rod"}
    assert lists["make-up"] == {"thread-cleanliness", "compound-coverage"}
    assert lists["hours"] == {"applicator", "set-life"}
    assert {"full-look", "joint-od", "gauge-truth", "jaws"} <= lists["periodic"]
    assert {"crack-hunt", "tube-wall", "full-evaluation"} <= lists["yearly"]
    assert lists["season"] == {"long-storage"}
    assert lists["event"] == {"bench-mark", "joint-oval"}
    assert {each.item for each in event_checks()} <= set(default_rules())
