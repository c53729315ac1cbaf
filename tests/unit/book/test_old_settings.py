"""Books with what no figure can use: a setting of an older version, salt or sour ground."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from book_builder import YARD, Row, entries_of, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.opening import open_assessment
from rodhand.book.yard.thing_page import thing_view
from rodhand.cli.main import app
from rodhand.record.journal import Journal

PITCHES = [
    {"station": str(n), "length_ft": "10", "pitch_pct": p, "turns": "300"}
    for n, p in enumerate(("-20", "-15", "-10"), 1)
]


def a_bore(name: str, things: str, **more: str) -> tuple[Row, ...]:
    return (
        ("bore", {"bore": name, "rig": "Rig-40", **more}, "2025-05-20"),
        ("load", {"rig": "Rig-40", "bore": name, "things": things, "how": "marked"}, "2025-05-20"),
        *log_rows(name, PITCHES, day="2025-05-20"),
    )


@pytest.fixture
def book(tmp_path: Path) -> Path:
    rows = [
        *YARD,
        ("setting", {"setting": "retire", "value": "abc"}, "2025-01-02"),
        *a_bore("B-1", "M1-01..M1-03", salt_or_sour="yes"),
        *a_bore("B-2", "M1-04..M1-06", salt_or_sour="no"),
    ]
    with Journal.open(tmp_path / "book") as journal:
        journal.append(entries_of(rows))
    return tmp_path / "book"


def test_papers_and_lists_of_a_book_with_a_setting_that_cannot_be_used(
    book: Path, tmp_path: Path
) -> None:
    for command in (["report", "B-1", "--out", str(tmp_path)], ["due"], ["order"], ["rod", "M1-01"],
                    ["export", "--to", str(tmp_path / "x.xlsx")]):  # fmt: skip
        said = CliRunner().invoke(app, [*command, "--book", str(book)])
        assert said.exit_code == 0, (command, said.exception)
    assert {file.suffix for file in tmp_path.iterdir()} >= {".pdf", ".xlsx"}


def test_salt_is_a_caution_on_the_bore_and_its_rods_and_on_no_other(book: Path) -> None:
    assessment = open_assessment(book)

    def told(name: str) -> list[str]:
        view = bore_view(assessment, name) if name.startswith("B") else thing_view(assessment, name)
        lines = view.warnings if name.startswith("B") else view.unknown  # type: ignore[union-attr]
        return [each.key for each in lines if "salt" in each.key]

    assert told("B-1") == ["bore.warning.salt_or_sour"]
    assert told("M1-02") == ["thing.unknown.salt_or_sour"]
    assert told("B-2") == told("M1-05") == []


def test_salt_takes_a_third_of_the_life_of_rods_that_did_the_same(book: Path) -> None:
    """Both bores have the same rows; life/3 of published free corrosion, from memory."""
    histories = open_assessment(book).histories
    named = {thing.name: key for key, thing in open_assessment(book).book.things.items()}
    salt, fresh = (histories[named[name]].life.worst for name in ("M1-01", "M1-04"))
    assert fresh.design > 0
    assert salt.design == pytest.approx(3.0 * fresh.design)
    assert salt.low == pytest.approx(fresh.low)
    assert salt.high > 1.5 * fresh.high
