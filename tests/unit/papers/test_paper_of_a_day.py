"""Papers of a real book, by command: the day they stand for, the same body again later."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pypdf
import pytest
import typer
from typer.testing import CliRunner

from rodhand.book import opening
from rodhand.cli.report import report
from rodhand.record import moment
from rodhand.record.journal import Journal

APP = typer.Typer()
APP.command()(report)
ROD_TYPE = {
    "name": "T", "tube_od_mm": "60", "wall_mm": "7", "length_m": "3", "joint_od_mm": "70",
    "joint_bore_mm": "30", "joint_length_mm": "150", "yield_MPa": "600", "build": "one-piece",
    "limit_radius_m": "35",
}  # fmt: skip


def at(monkeypatch: pytest.MonkeyPatch, day: str) -> None:
    """Everything is entered and asked on that day."""

    class OnDay(date):
        @classmethod
        def today(cls) -> OnDay:
            return cls.fromisoformat(day)

    monkeypatch.setattr(moment, "now", lambda: f"{day}T10:00:00+00:00")
    monkeypatch.setattr(opening, "date", OnDay)


def enter(folder: Path, pitches: dict[int, str]) -> None:
    with Journal.open(folder) as journal:
        for station, pitch in pitches.items():
            row = {"bore": "B-7", "station": str(station), "pitch_pct": pitch, "rpm": "100",
                   "rotating_min": "4"}  # fmt: skip
            journal.write("reading", row, "2025-06-02")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A bore of five rods, entered on the second of June."""
    at(monkeypatch, "2025-06-02")
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.write("rod-type", ROD_TYPE, "2025-01-01")
        rig = {"rig": "R", "rod_type": "T", "units": "metric"}
        journal.write("rig", rig, "2025-01-01")
        one = {"set": "S", "rod_type": "T", "count": "8", "marks_start": "S-1", "rig": "R"}
        journal.write("set", one, "2025-01-01")
        load = {"rig": "R", "things": "S-1..S-8", "how": "by row"}
        journal.write("load", load, "2025-01-02")
        journal.write("bore", {"bore": "B-7", "rig": "R"}, "2025-06-02")
    enter(folder, {0: "-20", 1: "-20", 2: "-14", 3: "-8", 4: "-3", 5: "0"})
    return folder


def papers(book: Path, out: Path, *more: str) -> list[bytes]:
    """Both papers' bytes; the bore is named in small letters."""
    arguments = ["b-7", "--book", str(book), "--out", str(out), *more]
    result = CliRunner().invoke(APP, arguments, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return [(out / f"B-7-{name}.pdf").read_bytes() for name in ("bore-log", "rod-sheet")]


def text_of(file: Path) -> str:
    pages = [page.extract_text() for page in pypdf.PdfReader(file).pages]
    return " ".join(" ".join(pages).replace("\u00a0", " ").split())


def test_printed_again_as_of_its_day_a_paper_has_the_same_bytes(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = papers(book, tmp_path / "first")
    at(monkeypatch, "2025-06-09")
    enter(book, {6: "6", 7: "12"})
    with Journal.open(book) as journal:
        look = {"things": "S-3", "end": "pin", "item": "full-look", "found": "crack"}
        journal.write("check", look, "2025-06-09")
    assert papers(book, tmp_path / "again", "--as-of", "2025-06-02") == first
    now = papers(book, tmp_path / "now")
    assert all(one != other for one, other in zip(now, first, strict=True))


def test_without_a_day_a_paper_stands_for_the_day_it_is_printed(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(monkeypatch, "2025-06-05")
    papers(book, tmp_path)
    for name in ("bore-log", "rod-sheet"):
        file = tmp_path / f"B-7-{name}.pdf"
        assert "read as of 2025-06-05" in text_of(file)
        made = pypdf.PdfReader(file).metadata
        assert made is not None
        assert str(made["/CreationDate"]).startswith("D:20250605")
