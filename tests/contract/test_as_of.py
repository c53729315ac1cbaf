"""Every page and paper as of a day is as it was, whatever is typed later, of earlier days too."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from book_builder import YARD, Row, entries_of, log_rows
from rodhand.book.claim.claim import claim_of
from rodhand.book.opening import open_assessment
from rodhand.cli.main import app
from rodhand.faults import BadInputError
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

DAY = "2025-06-10"
"""Everything of `YARD` and `KNOWN` was typed before its end, everything of `LATER` after."""
PITCHES = ("-20", "-14", "-9", "-5", "-2", "0")
KNOWN: tuple[Row, ...] = (
    ("bore", {"bore": "B-1", "rig": "Rig-40", "ground": "sand"}, "2025-05-20"),
    ("load", {"rig": "Rig-40", "bore": "B-1", "things": "M1-01..M1-06", "how": "marked"},
     "2025-05-20"),
    *log_rows(
        "B-1",
        [
            {"station": str(n), "length_ft": "10", "pitch_pct": pitch, "turns": "300"}
            for n, pitch in enumerate(PITCHES, 1)
        ],
        day="2025-05-20",
    ),
    ("check", {"things": "M1-01", "item": "full-look", "found": "sound"}, "2025-05-25"),
    ("break", {"thing": "M1-03", "bore": "B-1", "station": "3"}, "2025-05-20"),
)  # fmt: skip
LATER: tuple[Row, ...] = (
    ("bore", {"bore": "B-0", "rig": "Rig-40"}, "2025-05-10"),
    ("load", {"rig": "Rig-40", "bore": "B-0", "things": "M1-01..M1-03", "how": "marked"},
     "2025-05-10"),
    *log_rows(
        "B-0",
        [{"station": str(n), "length_ft": "10", "pitch_pct": "-9", "turns": "900"}
         for n in (1, 2, 3)],
        day="2025-05-10",
    ),
    ("check", {"things": "M1-01", "item": "crack-hunt", "found": "crack"}, "2025-05-26"),
    ("past", {"set": "SET-M1", "rotating_h": "900"}, "2025-01-01"),
    ("setting", {"setting": "rule.full-look.every", "value": "0.1"}, "2025-05-01"),
    ("mark", {"thing": "M1-02", "mark": "Z-9"}, "2025-05-02"),
    ("whereabouts", {"things": "M1-05", "where": "sold"}, "2025-05-05"),
    ("standing", {"things": "M1-01", "standing": "scrap", "why": "later"}, "2025-05-27"),
    ("pass", {"bore": "B-1", "pass": "pullback", "what": "pullback", "from_station": "6",
              "to_station": "0", "turns": "5000"}, "2025-05-21"),
)  # fmt: skip
PAGES = ("/", "/yard", "/office", "/bore/B-1", "/thing/M1-01", "/thing/M1-02", "/thing/M1-03",
         "/checks-due", "/trace/M1-01/pin")  # fmt: skip


def typed_at(rows: tuple[Row, ...], chain: Chain, entered: str) -> list[Entry]:
    return [
        chain.add(
            Draft(row[0], row[1], row[2], "+00:00", "p1"),  # type: ignore[misc]
            entered=entered,
            id=f"{entered[:10]}-{chain.device}-{n}",
        )
        for n, row in enumerate(rows, 1)
    ]


def bodies(folder: Path) -> dict[str, str]:
    """Every page's text and its figures as of the day, and the claim with its chain, whole."""
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    found = {}
    for page in PAGES:
        for address in (page, "/index.json" if page == "/" else f"{page}.json"):
            answer = client.get(address, params={"as_of": DAY})
            assert answer.status_code == 200, address
            found[address] = answer.text
    for subject in ("M1-03", "B-1"):
        found[f"claim {subject}"] = repr(claim_of(folder, subject, DAY))
    return found


COMMANDS = (
    ("due",), ("due", "--json"), ("order",), ("order", "--json"), ("order", "--rig", "Rig-40"),
    ("checks",), ("checks", "--json"), ("trace", "M1-01", "--end", "pin"),
    ("rod", "M1-01"), ("rod", "M1-02", "--json"), ("rod", "M1-05", "--units", "us"),
    ("export", "--form", "jsonl"),
)  # fmt: skip


def told(folder: Path, *command: str) -> str:
    """What a command prints of a book as of the day."""
    said = CliRunner().invoke(app, [*command, "--book", str(folder), "--as-of", DAY])
    assert said.exit_code == 0, (command, said.output, said.exception)
    return said.output


def written(folder: Path, out: Path) -> dict[str, bytes]:
    """Every file the commands write of a book as of the day."""
    for units in ("metric", "us"):
        told(folder, "report", "B-1", "--out", str(out / units), "--units", units)
    told(folder, "handover", "SET-M1", "--out", str(out / "set.json"))
    told(folder, "schedule", "--out", str(out / "schedule.pdf"))
    told(folder, "claim", "M1-03", "--out", str(out / "claim.zip"))
    return {
        str(file.relative_to(out)): file.read_bytes() for file in out.rglob("*") if file.is_file()
    }


@pytest.fixture(scope="module")
def two_books(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    then, now = tmp_path_factory.mktemp("then") / "book", tmp_path_factory.mktemp("now") / "book"
    office, other = Chain("office-1"), Chain("office-2")
    known = [*entries_of(YARD), *typed_at(KNOWN, office, "2025-06-09T12:00:00+00:00")]
    later = [
        *typed_at(LATER[::2], office, "2025-06-11T12:00:00+00:00"),
        *typed_at(LATER[1::2], other, "2025-06-11T12:00:00+00:00"),
    ]
    with Journal.open(then) as journal:
        journal.append(known)
    shutil.copytree(then, now)
    with Journal.open(now) as journal:
        journal.append(later)
    return then, now


def test_what_was_typed_later_changes_nothing_of_a_day(two_books: tuple[Path, Path]) -> None:
    then, now = (bodies(folder) for folder in two_books)
    for name, text in then.items():
        assert now[name] == text, name


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_a_command_prints_the_same_as_of_a_day(
    two_books: tuple[Path, Path], command: tuple[str, ...]
) -> None:
    then, now = two_books
    assert told(now, *command) == told(then, *command)


def test_papers_and_files_of_a_day_are_the_same_to_the_byte(
    two_books: tuple[Path, Path], tmp_path: Path
) -> None:
    before, after = (written(folder, tmp_path / f"{n}") for n, folder in enumerate(two_books))
    assert len(before) == 7
    assert set(after) == set(before)
    for name, content in before.items():
        assert after[name] == content, name


@pytest.mark.parametrize(
    "command",
    [("due",), ("order",), ("rod", "M1-01"), ("report", "B-1"), ("export", "--to", "x.xlsx"),
     ("serve",)],
)  # fmt: skip
def test_a_day_that_is_none_is_refused(
    two_books: tuple[Path, Path], command: tuple[str, ...]
) -> None:
    said = CliRunner().invoke(app, [*command, "--book", str(two_books[0]), "--as-of", "2025-13-1"])
    assert isinstance(said.exception, BadInputError)
    assert [fault.code for fault in said.exception.faults] == ["date_as_of"]


def test_the_later_entries_do_change_the_book_of_now(two_books: tuple[Path, Path]) -> None:
    then, now = (open_assessment(folder) for folder in two_books)
    assert not now.book.problems
    assert set(now.book.bores) - set(then.book.bores) == {"B-0"}
