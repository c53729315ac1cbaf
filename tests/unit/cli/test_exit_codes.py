"""Exit codes of the real command: 0 done, 1 over a limit, 2 bad input, 3 cannot read."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

LOG = "station,length_ft,pitch_pct\n1,10,-20\n2,10,{}\n3,10,{}\n"


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "RODHAND_BOOK": str(folder / "no-book")}
    return subprocess.run(
        [sys.executable, "-m", "rodhand", *words], capture_output=True, text=True, timeout=60,
        check=False, cwd=folder, env=environment,
    )  # fmt: skip


@pytest.fixture
def straight(tmp_path: Path) -> str:
    path = tmp_path / "straight.csv"
    path.write_text(LOG.format(-20, -20), encoding="utf-8")
    return str(path)


def test_done(tmp_path: Path, straight: str) -> None:
    done = run("check", straight, "--rod-type", "demo-mid", folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "No bend over the limit" in done.stdout


def test_over_the_limit(tmp_path: Path) -> None:
    path = tmp_path / "bent.csv"
    path.write_text(LOG.format(-10, -10), encoding="utf-8")
    assert run("check", str(path), "--rod-type", "demo-mid", folder=tmp_path).returncode == 1


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ((), "--rod-type"),
        (("--rod-type", "demo-huge"), "demo-small"),
        (("--rod-type", "demo-mid", "--head", "head-mid", "--bit-to-sensor-m", "1"), "--head"),
        (("--rod-type", "demo-mid", "--head", "nose"), "head-small"),
        (("--rod-type", "demo-mid", "--columns", "no-such"), "no-such"),
    ],
)
def test_bad_options(tmp_path: Path, straight: str, words: tuple[str, ...], named: str) -> None:
    done = run("check", straight, *words, folder=tmp_path)
    assert done.returncode == 2
    assert named in done.stderr
    assert "Traceback" not in done.stderr


def test_every_fault_of_a_file_at_its_place(tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(
        "station,length_ft,pitch_pct\n1,10,steep\n1,10,-20\n3,-4,-20\n", encoding="utf-8"
    )
    done = run("check", str(path), "--rod-type", "demo-mid", folder=tmp_path)
    assert done.returncode == 2
    assert "line 2, column pitch_pct" in done.stderr
    assert "line 3, column station" in done.stderr
    assert "line 4, column length_ft" in done.stderr


def test_what_cannot_be_read(tmp_path: Path) -> None:
    assert run("check", "nowhere.csv", "--rod-type", "demo-mid", folder=tmp_path).returncode == 3
    assert run("due", folder=tmp_path).returncode == 3


def test_a_picture_is_drawn(tmp_path: Path, straight: str) -> None:
    plot = tmp_path / "hole.svg"
    words = ("--rod-type", "demo-mid", "--plot", str(plot))
    assert run("check", straight, *words, folder=tmp_path).returncode == 0
    assert plot.read_text(encoding="utf-8").startswith("<svg")
