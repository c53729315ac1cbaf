"""Every command and every option is told in docs/commands.md, and nothing else is."""

from __future__ import annotations

import re

import pytest
from typer.main import get_command

from house import ROOT
from rodhand.cli.main import app

PAGE = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
SYNOPSES = dict(re.findall(r"^### ([a-z-]+)\n\n```\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL))
OPTION = re.compile(r"--[a-z][A-Za-z-]*")
COMMANDS: dict[str, set[str]] = {
    name: {flag for each in command.params for flag in each.opts if flag.startswith("--")}
    for name, command in get_command(app).commands.items()  # type: ignore[attr-defined]
}


def test_commands_and_their_page_agree() -> None:
    table = re.findall(r"^\| (`.*?) \|", PAGE.partition("\n## ")[0], re.MULTILINE)
    told = {name for row in table for name in re.findall(r"`([a-z-]+)", row)}
    assert told == set(COMMANDS)
    assert set(SYNOPSES) == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_options_and_their_page_agree(name: str) -> None:
    assert set(OPTION.findall(SYNOPSES.get(name, ""))) == COMMANDS[name]
