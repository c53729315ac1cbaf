"""Checks before work and at the end: one touch a line, and what is left open is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import kept, tell

from rodhand.advice.verdict import Sentence
from rodhand.book.rig.shift_checks import checks_view, shift_tasks, tell_check
from rodhand.book.work.assess import assess
from rodhand.book.work.tables import data_rows
from rodhand.faults import BadInputError
from rodhand.record.choices import SHIFTS
from rodhand.record.journal import Journal
from rodhand.words import catalogue

BEFORE, END = SHIFTS


def ticked(item: str, state: str, shift: str = END) -> tuple[str, dict[str, str]]:
    return ("shift-check", {"rig": "Rig-40", "shift": shift, "item": item, "state": state})


def whys(folder: Path, today: str) -> list[Sentence]:
    with Journal.open(folder, write=False) as journal:
        return [task.verdict.why for task in shift_tasks(assess(journal.book(), today))]


def test_every_line_has_words_a_source_and_a_mark_of_it() -> None:
    rows = data_rows("shift_checks.csv")
    assert {row["shift"] for row in rows} == set(SHIFTS)
    assert all(f"shift_item.{row['item']}" in catalogue() for row in rows)
    assert all(row["source"] for row in rows)
    assert {row["standing_of_number"] for row in rows} == {"READ", "PRACTICE"}
    assert len({row["item"] for row in rows}) == len(rows)


def test_what_has_to_be_on_the_end_list_is_on_it() -> None:
    end = [row["item"] for row in data_rows("shift_checks.csv") if row["shift"] == END]
    assert end[0] == "wash-down"
    assert {"jaws-washed", "rack", "saver-sub-capped", "compound-closed",
            "applicator-wiped"} <= set(end)  # fmt: skip


def test_one_touch_is_one_entry_and_the_last_word_counts(folder: Path) -> None:
    tell_check(folder, "rig-40", BEFORE, "jaws", "not done")
    tell_check(folder, "Rig-40", BEFORE, "jaws", "done")
    assert kept(folder)[-2:] == [ticked("jaws", "not done", BEFORE), ticked("jaws", "done", BEFORE)]
    view = checks_view(folder, "Rig-40", BEFORE)
    states = {line.item: line.state for line in view.lines}
    assert (states["jaws"], states["gauge"]) == ("done", "")
    assert view.figures["done"].value == 1.0
    assert not any(line.state for line in checks_view(folder, "Rig-40", END).lines)


def test_yesterdays_word_is_not_todays(folder: Path) -> None:
    tell(folder, [ticked("jaws", "done", BEFORE)], "2025-09-09")
    of_day = {day: {line.item: line.state for line in checks_view(folder, "Rig-40", BEFORE, day)
                    .lines}["jaws"] for day in ("2025-09-09", "2025-09-10")}  # fmt: skip
    assert of_day == {"2025-09-09": "done", "2025-09-10": ""}


def test_an_own_line_stands_from_its_day_on_and_only_once(folder: Path) -> None:
    line = {"rig": "Rig-40", "shift": BEFORE, "item": "Radio battery charged"}
    count = len(checks_view(folder, "Rig-40", BEFORE).lines)
    entry = tell(folder, [("shift-line", line)], "2025-09-10")[0]
    again = tell(folder, [("shift-line", {**line, "item": "radio  battery charged"})], "2025-09-11")
    tell(folder, [("shift-line", {**line, "item": "JAWS"})], "2025-09-11")
    assert len(checks_view(folder, "Rig-40", BEFORE, "2025-09-09").lines) == count
    last = checks_view(folder, "Rig-40", BEFORE, "2025-09-12").lines[-1]
    assert (last.words, last.source) == ("Radio battery charged",
                                         "the owner's own line, since 2025-09-10")  # fmt: skip
    assert len(checks_view(folder, "Rig-40", BEFORE, "2025-09-12").lines) == count + 1
    tell(folder, [ticked("Radio battery charged", "done", BEFORE)], "2025-09-12")
    with Journal.open(folder) as journal:
        journal.strike(entry, "not any more")
        journal.strike(again[0], "not any more")
    ticks = {line.item: line.state for line in
             checks_view(folder, "Rig-40", BEFORE, "2025-09-12").lines}  # fmt: skip
    assert ticks["Radio battery charged"] == "done"  # what was said is not lost


@pytest.mark.parametrize(
    ("shift", "state", "code"),
    [("noon", "done", "shift_which"), (BEFORE, "maybe", "shift_state")],
)
def test_what_is_no_touch_keeps_nothing(folder: Path, shift: str, state: str, code: str) -> None:
    before = len(kept(folder))
    with pytest.raises(BadInputError, match=code):
        tell_check(folder, "Rig-40", shift, "jaws", state)
    assert len(kept(folder)) == before


def test_what_was_not_done_is_told_for_a_week(folder: Path) -> None:
    end = [row["item"] for row in data_rows("shift_checks.csv") if row["shift"] == END]
    assert whys(folder, "2025-09-12") == []  # nobody began a list
    rows = [ticked(item, "done") for item in end[2:]]
    tell(folder, [ticked(end[0], "not done"), *rows], "2025-09-10")
    (why,) = whys(folder, "2025-09-12")
    assert why.figures()[0].value == 2.0
    assert why.values["items"] == (
        "Not done: Washed down with clean water. Nothing said of: Rods flushed through"
    )
    assert whys(folder, "2025-09-17") != []
    assert whys(folder, "2025-09-18") == []
    tell(folder, [ticked(item, "done") for item in end], "2025-09-11")
    assert whys(folder, "2025-09-12") == []  # the last shift counts
