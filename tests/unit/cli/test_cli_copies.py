"""`rodhand backup`, `restore` and `import FILE.jsonl` through the real command line."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rodhand.cli.main import main
from rodhand.record.database import FILE_NAME

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

    run_command("enter", "rig", "--rig", "Rig-40", "--happened", "2025-01-01")
    return run_command


def test_a_copy_without_a_target_goes_where_the_last_one_went(run: Run, tmp_path: Path) -> None:
    code, _, err = run("backup")
    assert code == 2
    assert "a folder or stick" in err
    (tmp_path / "stick").mkdir()
    assert run("backup", tmp_path / "stick" / "first.zip")[0] == 0
    code, out, _ = run("backup")
    assert code == 0
    assert "1 entries" in out
    assert len(list((tmp_path / "stick").glob("*.zip"))) == 2


def test_a_newer_book_is_left_alone_and_the_difference_shown(run: Run, tmp_path: Path) -> None:
    run("backup", tmp_path / "copy.zip")
    run("enter", "remark", "--text", "one")
    run("enter", "remark", "--text", "two", "--happened", "2025-09-09")
    code, _, err = run("restore", tmp_path / "copy.zip")
    assert code == 2
    lines = err.splitlines()
    assert lines[0] == "Only in the book: 2"
    assert lines[1].startswith("   remark: 2, the last 2025-09-09 (typed ")
    assert lines[2:4] == ["Only in the copy: 0", "   nothing"]


def test_damage_is_told_in_words_and_the_way_back_with_it(run: Run, tmp_path: Path) -> None:
    run("backup", tmp_path / "copy.zip")
    run("enter", "remark", "--text", "kept elsewhere")
    _, lines, _ = run("export", "--form", "jsonl")
    (tmp_path / "outbox.jsonl").write_text(lines, encoding="utf-8")
    file = tmp_path / "book" / FILE_NAME
    file.write_bytes(file.read_bytes()[: -3 * 4096])
    for command in (["verify"], ["due"], ["backup", tmp_path / "bad.zip"]):
        code, _, err = run(*command)
        assert code == 3
        assert "is damaged" in err
        assert "rodhand restore COPY" in err
    code, out, _ = run("restore", tmp_path / "copy.zip")
    assert code == 0
    assert "journal-damaged-" in out
    code, out, _ = run("import", tmp_path / "outbox.jsonl")
    assert code == 0
    assert "of 2 entries in outbox.jsonl" in out
    assert run("export", "--form", "jsonl")[1].count("\n") == 2
    assert run("verify")[0] == 0


def test_lines_that_were_changed_are_refused(run: Run, tmp_path: Path) -> None:
    _, lines, _ = run("export", "--form", "jsonl")
    (tmp_path / "x.jsonl").write_text(lines.replace("Rig-40", "Rig-41"), encoding="utf-8")
    code, _, err = run("import", tmp_path / "x.jsonl")
    assert code == 2
    assert "line 1" in err
