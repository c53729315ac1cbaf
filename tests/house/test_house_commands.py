"""Every command is told in docs/commands.md, and every command told there exists."""

from __future__ import annotations

import re
from pathlib import Path

from rodhand.cli.main import app

PAGE = Path(__file__).parents[2] / "docs" / "commands.md"


def test_commands_and_their_page_agree() -> None:
    commands = {command.name for command in app.registered_commands}
    table = re.findall(r"^\| (`.*?) \|", PAGE.read_text(encoding="utf-8"), re.M)
    told = {name for row in table for name in re.findall(r"`([a-z]+)", row)}
    assert told == commands
