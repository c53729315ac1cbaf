"""A command typed wrong is told in the book's shape and language, with exit code 2."""

from __future__ import annotations

import sys

import pytest

from rodhand.cli.main import main


def run(monkeypatch: pytest.MonkeyPatch, *typed: str) -> int:
    monkeypatch.setattr(sys, "argv", ["rodhand", *typed])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("makeup",), "column joint: found nothing; needed: a value here"),
        (("makeup", "NC38", "--od-in", "abc"), "column --od-in: found «abc»; needed: a number"),
        (("makeup", "NC38", "--od-in=x1"), "column --od-in: found «x1»; needed: a number"),
        (("makeup", "NC38", "--wat", "3"), "found «--wat»; needed: an option"),
        (("forecast", "--units", "imperial"), "found «imperial»; needed: one of: metric, us"),
        (("why", "wat", "x"), "column what: found «wat»; needed: one of: life"),
        (("plan", "B", "--path", "longest"), "found «longest»; needed: one of: shortest"),
        (("serve", "--port", "99999999"), "column --port: found «99999999»"),
        (("nosuch",), "found «nosuch»; needed: a command"),
    ],
)
def test_what_was_found_needed_and_to_do(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    typed: tuple[str, ...], told: str,
) -> None:  # fmt: skip
    assert run(monkeypatch, *typed) == 2
    said = capsys.readouterr()
    assert told in said.err
    assert "; do: " in said.err
    assert said.out == ""


def test_help_and_a_command_that_is_whole_end_with_nought(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "makeup", "--help") == 0
    assert run(monkeypatch, "makeup", "NC38", "--od-in", "4.75", "--bore-in", "2.6875") == 0
    assert "NC38" in capsys.readouterr().out
