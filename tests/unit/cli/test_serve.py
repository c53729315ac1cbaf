"""`rodhand serve` on a folder without a book, on this machine only and on its network."""

from __future__ import annotations

import re
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from rodhand.web.door import own_addresses


@contextmanager
def serving(folder: Path, *more: str) -> Iterator[list[str]]:
    """The first lines the real command prints, while it serves."""
    command = [sys.executable, "-m", "rodhand", "serve", "--book", str(folder), "--port", "0"]
    with subprocess.Popen([*command, *more], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout
        try:
            yield [process.stdout.readline() for _ in range(3 if more else 1)]
        finally:
            process.terminate()


def opened(address: str) -> str:
    with urllib.request.urlopen(address, timeout=20) as answer:
        return str(answer.url)


def test_an_empty_folder_leads_to_the_start_and_stays_empty(tmp_path: Path) -> None:
    with serving(tmp_path / "book") as lines:
        address = re.findall(r"http://\S+", lines[0])[0]
        assert opened(address) == f"{address}start"
        port = address.rstrip("/").rpartition(":")[2]
        for own in own_addresses():
            with pytest.raises(urllib.error.URLError):
                opened(f"http://{own}:{port}/")
    assert not (tmp_path / "book").exists()


def test_on_a_network_others_are_asked_for_the_key(tmp_path: Path) -> None:
    with serving(tmp_path / "book", "--network") as lines:
        address = re.findall(r"http://\S+", lines[0])[0]
        assert opened(address) == f"{address}start"
        key = (tmp_path / "book" / "phones-key.txt").read_text().strip()
        assert key in lines[1]
        assert "password" in lines[2]
        for other in re.findall(r"http://\S+", lines[1]):
            assert opened(other) == f"{other}key"
