"""`rodhand report`: which papers are written where, in which units, and what is told."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pypdf
import pytest
import typer
from paper_views import HASH, bore
from typer.testing import CliRunner

from rodhand.book.bore import bore_page
from rodhand.book.views import BoreView
from rodhand.cli.report import report
from rodhand.faults import BadInputError

APP = typer.Typer()
APP.command()(report)


@pytest.fixture(autouse=True)
def opened(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """A book of one bore on a rig in US units; what it was asked for."""
    asked: list[object] = []
    book = SimpleNamespace(entry_count=5210, head=HASH, rigs={"Rig-2": SimpleNamespace(units="us")})

    def open_assessment(folder: Path, as_of: str | None) -> object:
        asked.append((folder.name, as_of))
        return SimpleNamespace(book=book, today=as_of or "2025-09-26")

    def view(_assessment: object, name: str, at_pass: str | None = None) -> BoreView:
        if name != "B-2":
            raise bore_page.NoSuchBoreError(name)
        asked.append(at_pass)
        shown = replace(bore(), slider=(("pilot", 0.0, 109.7), ("pullback", 109.7, 0.0)))
        return shown if at_pass is None else replace(shown, at_pass=at_pass)

    opening = ModuleType("rodhand.book.opening")
    opening.open_assessment = open_assessment  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "rodhand.book.opening", opening)
    monkeypatch.setattr(bore_page, "bore_view", view)
    return asked


def run(folder: Path, *more: str) -> list[str]:
    """Lines the command prints."""
    result = CliRunner().invoke(
        APP, ["B-2", "--out", str(folder), "--book", "yard-book", *more], catch_exceptions=False
    )
    assert result.exit_code == 0
    return result.output.splitlines()


def text_of(file: Path) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(file).pages)


def test_both_papers_in_the_rigs_own_units(tmp_path: Path, opened: list[object]) -> None:
    lines = run(tmp_path)
    written = [tmp_path / "B-2-bore-log.pdf", tmp_path / "B-2-rod-sheet.pdf"]
    assert [line for line in lines if line.endswith(".pdf")] == [str(file) for file in written]
    assert all("360 ft" in text_of(file).replace("\u00a0", " ") for file in written)
    assert opened == [("yard-book", ""), None, "pullback"]
    assert "pullback" in text_of(written[1])


def test_what_is_missing_is_said(tmp_path: Path) -> None:
    lines = run(tmp_path)
    assert "  heading: not known" in lines
    assert "  cover: none entered" in lines


@pytest.mark.parametrize("paper", ["bore-log", "rod-sheet"])
def test_one_paper_in_other_units(tmp_path: Path, paper: str) -> None:
    run(tmp_path, "--paper", paper, "--units", "metric")
    (file,) = tmp_path.iterdir()
    assert file.name == f"B-2-{paper}.pdf"
    assert "109.7 m" in text_of(file).replace("\u00a0", " ")


def test_the_day_is_handed_on(tmp_path: Path, opened: list[object]) -> None:
    run(tmp_path, "--as-of", "2025-08-01", "--paper", "bore-log")
    assert opened[0] == ("yard-book", "2025-08-01")
    assert "as of 2025-08-01" in text_of(tmp_path / "B-2-bore-log.pdf")


def test_every_bad_choice_is_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(BadInputError) as told:
        run(tmp_path, "--paper", "poster", "--units", "leagues")
    assert [fault.code for fault in told.value.faults] == ["paper_choice", "paper_units"]
    assert not list(tmp_path.iterdir())


def test_a_bore_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BadInputError) as told:
        CliRunner().invoke(APP, ["B-9", "--out", str(tmp_path)], catch_exceptions=False)
    assert [(fault.code, fault.found) for fault in told.value.faults] == [("paper_bore", "B-9")]
