"""The commands that keep the book, through the real command line."""

from __future__ import annotations

import csv
import io
import sqlite3
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rodhand.cli.main import main
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import entry_from_json
from rodhand.record.export import export_csv
from rodhand.record.journal import Journal
from rodhand.record.kinds import KINDS
from rodhand.words import say

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command on the test's book; exit code, output, errors."""
    monkeypatch.setenv("RODHAND_BOOK", str(tmp_path / "book"))

    def run_command(*arguments: str | Path) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rodhand", *map(str, arguments)])
        capsys.readouterr()
        try:
            main()
            code = 0
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run_command


@pytest.fixture
def started(run: Run) -> Run:
    run("enter", "rig", "--rig", "Rig-40", "--happened", "2025-01-01")
    run("enter", "bore", "--bore", "B-1", "--rig", "rig-40", "--happened", "2025-06-01")
    return run


def test_enter_makes_a_book_and_prints_the_id(run: Run, tmp_path: Path) -> None:
    code, out, err = run("enter", "rig", "--rig", "Rig-40", "--by", "p1", "--happened", "2025-W02")
    assert code == 0
    assert say("keep.new_book", folder=tmp_path / "book") in err
    with Journal.open(tmp_path / "book", write=False) as journal:
        (entry,) = journal.entries()
    assert out.split() == [entry.id]
    assert (entry.by, entry.happened) == ("p1", "2025-W02")


@pytest.mark.parametrize(
    "option", [["--pitch_pct", "-4.0"], ["--pitch-pct", "-4.0"], ["--Pitch_PCT=-4.0"]]
)
def test_a_negative_value_however_the_option_is_written(
    started: Run, tmp_path: Path, option: list[str]
) -> None:
    code, out, err = started("enter", "reading", "--bore", "B-1", "--station", "4", *option)
    assert code == 0, err
    with Journal.open(tmp_path / "book", write=False) as journal:
        assert journal.entries()[-1].payload == {"bore": "B-1", "station": "4", "pitch_pct": "-4.0"}
        assert journal.entries()[-1].id == out.strip()


def test_bad_input_ends_with_2_tells_all_and_makes_no_book(run: Run, tmp_path: Path) -> None:
    code, out, err = run("enter", "reading", "--station", "x", "--pitch_pct", "4,5", "--foo", "1")
    assert (code, out) == (2, "")
    assert err.count("do:") == 4  # station, comma, unknown column, missing bore
    assert not (tmp_path / "book").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["enter"], ["enter", "redding", "--a", "b"], ["enter", "remark", "stray"],
        ["enter", "remark", "--text"], ["enter", "remark", "--text", "a", "--text", "b"],
        ["strike", "0123456"], ["export", "--form", "xls"], ["export", "--as-of", "tomorrow"],
    ],
)  # fmt: skip
def test_wrong_use_ends_with_2(started: Run, arguments: list[str]) -> None:
    code, out, err = started(*arguments)
    assert (code, out) == (2, "")
    assert "Traceback" not in err


def test_rows_of_a_file_with_one_value_for_all(started: Run, tmp_path: Path) -> None:
    rows = tmp_path / "rows.csv"
    rows.write_text("Station;pitch_pct;happened;by\n1;-4.0;2025-06-01;p1\n\n2;-5;;\n")
    code, out, _ = started("enter", "reading", "--file", rows, "--bore", "B-1", "--by", "p2")
    assert code == 0
    assert len(out.split()) == 2
    with Journal.open(tmp_path / "book", write=False) as journal:
        first, second = journal.entries()[-2:]
    assert (first.happened, first.by, second.by) == ("2025-06-01", "p1", "p2")
    assert first.payload == {"bore": "B-1", "station": "1", "pitch_pct": "-4.0"}


@pytest.mark.parametrize(
    ("text", "places"),
    [
        (
            "station,pitch_pct\n1,x\n2,4\ny,4\n",
            ["line 2, column pitch_pct", "line 4, column station"],
        ),
        ("station,STATION\n1,1\n", ["line 1, column STATION"]),
        ("station,bore\n1,B-1\n", ["line 1, column bore"]),
        ("station\n1,7\n", ["line 2"]),
        ("station,rpm,\n1,7,8\n", ["line 2"]),
    ],
)
def test_faults_of_a_file_have_their_place_and_nothing_is_kept(
    started: Run, tmp_path: Path, text: str, places: list[str]
) -> None:
    rows = tmp_path / "rows.csv"
    rows.write_text(text)
    code, _, err = started("enter", "reading", "--file", rows, "--bore", "B-1")
    assert code == 2
    for place in places:
        assert f"{place}: " in err
    with Journal.open(tmp_path / "book", write=False) as journal:
        assert len(journal.entries()) == 2


def test_steep_is_kept_and_asked(started: Run) -> None:
    code, out, err = started(
        "enter", "reading", "--bore", "B-1", "--station", "4", "--pitch_pct", "-64"
    )
    assert code == 0
    assert out.strip()
    assert "-64" in err


def test_strike_and_strike_the_strike(started: Run, tmp_path: Path) -> None:
    _, id, _ = started("enter", "remark", "--text", "wrong")
    code, out, _ = started("strike", id.strip()[:8], "--why", "slip", "--by", "p1")
    assert code == 0
    assert out.strip().endswith(id.strip())
    with Journal.open(tmp_path / "book", write=False) as journal:
        strike = journal.entries()[-1]
        assert not journal.book().remarks
    assert started("strike", strike.id, "--why", "no slip")[0] == 0
    with Journal.open(tmp_path / "book", write=False) as journal:
        assert journal.book().remarks


@pytest.mark.parametrize(
    "arguments", [["verify"], ["export"], ["backup", "x.zip"], ["strike", "0123456", "--why", "x"]]
)
def test_without_a_book_the_end_is_3(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (3, "")
    assert "no book" in err
    assert not (tmp_path / "book").exists()


def test_export_has_every_entry_and_every_column(started: Run, tmp_path: Path) -> None:
    started("enter", "remark", "--text", 'a, "b"\nc', "--bore", "B-1")
    with Journal.open(tmp_path / "book", write=False) as journal:
        entries = list(journal.entries())
    _, lines, _ = started("export", "--form", "jsonl")
    assert [entry_from_json(line) for line in lines.splitlines()] == entries
    _, sheet, _ = started("export")
    rows = list(csv.DictReader(io.StringIO(sheet, newline="")))
    assert [row["entry_hash"] for row in rows] == [entry.hash for entry in entries]
    assert rows[-1]["text"] == 'a, "b"\nc'
    file = tmp_path / "all.csv"
    assert started("export", "--to", file)[0] == 0
    assert file.read_bytes() == sheet.encode()


def test_export_as_of_leaves_out_what_was_entered_later(started: Run) -> None:
    assert started("export", "--form", "jsonl", "--as-of", "2020-01-01")[1] == ""


def test_export_that_cannot_be_written_ends_with_3(started: Run, tmp_path: Path) -> None:
    assert started("export", "--to", tmp_path / "none" / "x.csv")[0] == 3


def test_verify_tells_the_first_entry_that_does_not_hold(started: Run, tmp_path: Path) -> None:
    code, out, _ = started("verify")
    assert code == 0
    assert out.startswith("2 entries")
    with sqlite3.connect(tmp_path / "book" / FILE_NAME) as connection:
        connection.execute("DROP TRIGGER entries_no_update")
        connection.execute("""UPDATE entries SET payload = '{"rig":"Rig-41"}' WHERE arrival = 1""")
    code, _, err = started("verify")
    assert code == 3
    assert "entry 1 (" in err


def test_backup_and_restore(started: Run, tmp_path: Path) -> None:
    assert started("backup", tmp_path / "copy.zip")[0] == 0
    assert started("backup", tmp_path / "copy.zip")[0] == 2
    assert started("restore", tmp_path / "copy.zip", "--book", tmp_path / "again")[0] == 0
    _, before, _ = started("export")
    assert started("export", "--book", tmp_path / "again")[1] == before
    started("enter", "remark", "--text", "newer")
    code, _, err = started("restore", tmp_path / "copy.zip")
    assert code == 2
    assert "remark" in err


def test_help_names_every_kind() -> None:
    assert say("keep.kinds").split(", ") == list(KINDS)


def test_columns_of_an_entry_and_of_what_was_typed_stay_apart(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.write("rig", {"rig": "R", "zone": "typed"}, "2025-01-01", "p1", "+02:00")
        stream = io.StringIO(newline="")
        export_csv(journal.entries(), stream)
    (row,) = csv.DictReader(io.StringIO(stream.getvalue(), newline=""))
    assert (row["zone"], row["entry_zone"]) == ("typed", "+02:00")
