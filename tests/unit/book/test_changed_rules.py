"""Changed rules: what moved and why is told, and nothing is released but by a person."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from book_builder import ROD_TYPE, YARD, entries_of
from rodhand.book import opening
from rodhand.book.entry.keeping import enter, strike
from rodhand.book.first_page import first_page
from rodhand.book.opening import open_assessment
from rodhand.book.tasks import changed_rules
from rodhand.book.tasks.moved_page import moved_view, setting_rows
from rodhand.book.tasks.rule_snapshot import Change, mark_seen, read_snapshot
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.tasks.week import this_week
from rodhand.cli.main import app
from rodhand.faults import BadInputError
from rodhand.record.backup import BESIDE
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal

EVERY = "rule.full-look.every"
TODAY = date.today()
A_MONTH_IS_DUE = 20, 60
"""Days since the looks at M1-01 and M1-02; the program asks for one every 30.4 days."""


def ago(days: int) -> str:
    return (TODAY - timedelta(days)).isoformat()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Two rods looked at and found sound: one in time, one overdue; opened once."""
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of(YARD))
    for thing, days in zip(("M1-01", "M1-02"), A_MONTH_IS_DUE, strict=True):
        say(folder, "check", {"things": thing, "item": "full-look", "found": "sound"}, ago(days))
    assert standings(folder) == ("fit", "not looked at")
    return folder


def say(folder: Path, kind: str, payload: Mapping[str, str], happened: str = "") -> str:
    return enter(folder, [Draft(kind, payload, happened)], "test").entries[0].id


def setting(folder: Path, name: str, value: str, happened: str = "") -> str:
    typed = {"setting": name, "value": value, "why": "ours"}
    return say(folder, "setting", typed, happened or ago(0))


def standings(folder: Path) -> tuple[str, str]:
    made = open_assessment(folder)
    things = [made.book.thing_named(name) for name in ("M1-01", "M1-02")]
    first, second = (standing_of_thing(made, each.key)[0] for each in things if each)
    return first, second


def moved(folder: Path) -> list[tuple[str, str, str, bool]]:
    snapshot = read_snapshot(folder)
    assert snapshot is not None
    moves = snapshot.batches[-1].moves
    return [(move.name, move.before, move.after, move.held) for move in moves]


def changes(folder: Path) -> tuple[Change, ...]:
    snapshot = read_snapshot(folder)
    assert snapshot is not None
    return snapshot.batches[-1].changes if snapshot.batches else ()


def test_a_stricter_rule_makes_worse_and_says_which(book: Path) -> None:
    setting(book, EVERY, "0.5")
    assert standings(book) == ("not looked at", "not looked at")
    assert moved(book) == [("M1-01", "fit", "not looked at", False)]
    assert changes(book) == (Change("setting", EVERY, "", "0.5"),)
    made = open_assessment(book)
    shown = first_page(this_week(made), book, made).moved
    assert [row.things for each in shown for row in each.rows] == [("M1-01",)]
    mark_seen(book)
    assert first_page(this_week(made), book, made).moved == ()
    assert len(moved_view(book, made).batches) == 1


def test_a_laxer_rule_releases_nothing_until_a_person_says_so(book: Path) -> None:
    setting(book, EVERY, "3")
    assert standings(book) == ("fit", "not looked at")
    assert moved(book) == [("M1-02", "not looked at", "fit", True)]
    made = open_assessment(book)
    assert [(row.things, row.standing) for row in moved_view(book, made).held] == [
        (("M1-02",), "not looked at")
    ]
    assert [each.kind for each in made.entries[-2:]] == ["setting", "held"]
    say(book, "standing", {"things": "M1-02", "standing": "fit", "why": "seen today"}, ago(0))
    assert standings(book) == ("fit", "fit")
    assert moved_view(book, open_assessment(book)).held == ()


def test_a_struck_setting_is_a_changed_rule_too(book: Path) -> None:
    entry = setting(book, EVERY, "0.5")
    assert standings(book)[0] == "not looked at"
    strike(book, entry, "typing slip", "p1")
    assert standings(book)[0] == "not looked at"  # kept, though the default would say fit
    assert changes(book) == (Change("setting", EVERY, "0.5", ""),)
    assert moved(book) == [("M1-01", "not looked at", "fit", True)]


def test_a_setting_dated_ahead_begins_on_its_day_and_releases_nothing_then(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setting(book, EVERY, "3", ago(-5))
    assert standings(book) == ("fit", "not looked at")
    assert changes(book) == ()
    coming = [row for row in setting_rows(open_assessment(book)) if row.own]
    assert [(row.name, row.value) for row in coming] == [(EVERY, "3")]

    class Later(date):
        @classmethod
        def today(cls) -> Later:
            return cls.fromisoformat(ago(-6))

    monkeypatch.setattr(opening, "date", Later)
    assert standings(book) == ("fit", "not looked at")
    assert moved(book) == [("M1-02", "not looked at", "fit", True)]


def test_a_new_program_tells_what_it_moved(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    noted = json.loads((book / BESIDE).read_text())
    key = open_assessment(book).book.thing_named("M1-01")
    assert key is not None
    noted["standings"][key.key] = "set aside"  # as an older program may have had it
    (book / BESIDE).write_text(json.dumps(noted))
    monkeypatch.setattr(changed_rules, "program_now", lambda: "9, model 9, tables 9")
    say(book, "remark", {"text": "anything"})
    assert standings(book)[0] == "set aside"
    assert [each.what for each in changes(book)] == ["program"]
    assert moved(book) == [("M1-01", "set aside", "fit", True)]


def test_a_rod_type_entered_anew_tells_its_two_limits(book: Path) -> None:
    say(book, "rod-type", {**ROD_TYPE, "limit_radius_ft": "200"}, ago(0))
    standings(book)
    (change,) = changes(book)
    assert (change.what, change.name) == ("limit", "R-M")
    # 145 ft and 200 ft at 0.3048 m, the international foot.
    assert float(change.before) == pytest.approx(44.196)
    assert float(change.after) == pytest.approx(60.96)


def test_what_is_kept_is_kept_in_a_folder_that_cannot_be_written_to(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rodhand.book.tasks import kept_standings
    from rodhand.faults import CannotReadError

    setting(book, EVERY, "3")

    def read_only(folder: Path, write: bool = False) -> None:
        raise CannotReadError(str(folder), "read-only")

    monkeypatch.setattr(kept_standings, "journal_of", read_only)
    count = len(open_assessment(book).entries)
    assert standings(book) == ("fit", "not looked at")
    assert len(open_assessment(book).entries) == count


@pytest.mark.parametrize(
    ("name", "value", "code"),
    [
        ("retire", "abc", "setting_number"),
        ("retire", "nan", "setting_number"),
        ("retire", "0", "setting_range"),
        ("known_share", "1.2", "setting_range"),
        ("retired", "1", "setting_unknown"),
        ("rule.full-look.source", "1", "setting_unknown"),
    ],
)
def test_a_setting_that_cannot_be_used_is_refused(
    book: Path, name: str, value: str, code: str
) -> None:
    with pytest.raises(BadInputError) as caught:
        setting(book, name, value)
    assert [fault.code for fault in caught.value.faults] == [code]
    assert [each.kind for each in open_assessment(book).entries].count("setting") == 0


@pytest.mark.parametrize(("name", "value"), [("retire", "abc"), ("nonsense", "1")])
def test_an_old_book_that_holds_one_opens_with_the_default(
    book: Path, name: str, value: str
) -> None:
    with Journal.open(book) as journal:  # as taken from an older program or another device
        journal.write("setting", {"setting": name, "value": value}, ago(0))
    assert open_assessment(book).thresholds.retire == 1.0
    for command in (["due"], ["rod", "M1-01"], ["order"]):
        done = CliRunner().invoke(app, [*command, "--book", str(book)])
        assert done.exit_code == 0, done.output
    told = CliRunner().invoke(app, ["due", "--book", str(book)]).output
    assert f"{name} = {value} cannot be used" in told
